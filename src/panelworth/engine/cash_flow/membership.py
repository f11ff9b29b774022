"""A club's members in each month, and the money from members and new members.

Rows have the smallest shape that holds them (cash_flow/rows.py) and are escalated to their month.
Source of every equation: the project's method, section 3.
"""

from collections.abc import Mapping

import numpy as np

from panelworth.engine.cash_flow.calendar import Integers
from panelworth.engine.cash_flow.option_context import OptionContext
from panelworth.engine.cash_flow.phases import Phase
from panelworth.engine.cash_flow.rows import NOTHING, Row, added, unchanged
from panelworth.engine.trials import Array
from panelworth.model.club import (
    Club,
)
from panelworth.model.scenario import (
    MONTHS,
)


def newcomers(context: OptionContext) -> Array:
    """Return the members of each month less today's, shape (T or 1, H+1); 0 for an owner.

    max(-members, Σ joined·min(1, max(0, (m-f)/over_months))), summed over the phases. Negative
    where members leave; no more can leave than are members today.
    """
    club, last = context.scenario.club, context.months.last
    come = np.zeros((last + 1, 1))
    for phase in context.phases if club else ():
        joined, finish = context.trials.of(phase.step.members.joined), phase.dates.finish
        if joined.any():
            height = max(come.shape[1], len(joined), len(finish))
            # The array is widened to all trials only once an input differs between them.
            come = np.repeat(come, height, axis=1) if come.shape[1] < height else come
            months, over = _joining_months(phase), phase.step.members.over_months
            joining = context.months.index[months.start : months.stop, np.newaxis]
            come[months.start : months.stop] += joined * _arrived(joining - finish, over)
            come[months.stop :] += joined
    if club and (come < -float(club.members)).any():
        np.maximum(come, -float(club.members), out=come)
    return come.T


def _joining_months(phase: Phase) -> range:
    """Return the months in which new members of a phase join in at least one trial."""
    finish, over = phase.dates.finish, phase.step.members.over_months
    return range(int(finish.min()) + 1, int(finish.max()) + max(over, 1))


def _arrived(since: Integers, over: int) -> Array:
    """Return the share of new members who have joined, by the months since the finish."""
    share: Array = np.clip(since / over, 0.0, 1.0) if over else (since > 0).astype(float)
    return share


def club_income(context: OptionContext, joined: Array) -> dict[str, Row]:
    """Return dues, joining fees and the club's other net income; nothing for an owner.

    dues = members·dues_per_month·e; fees = max(0, members(m) - members(m-1))·joining_fee·e;
    other = other_net_per_year/12·e. `joined` is what newcomers() returns.
    """
    club = context.scenario.club
    if club is None:
        return {}
    dues = unchanged(context.trials.column(club.dues_per_month) * context.costs)
    other = context.trials.column(club.other_net_per_year) / MONTHS * context.costs
    return {
        "dues": Row(newcomer=dues, level=dues * float(club.members)),
        "fees": Row(dated=_fees(context, club, joined)),
        "other": Row(level=unchanged(other)),
    }


def from_newcomers(income: Mapping[str, Row]) -> Row:
    """Return money from people who are not members today, negative where members leave.

    (members(m) - members)·dues_per_month·e + fees; 0 for an owner, who has no fees.
    """
    if not income:
        return NOTHING
    return added(Row(newcomer=income["dues"].newcomer), income["fees"])


def _fees(context: OptionContext, club: Club, joined: Array) -> dict[int, Array]:
    """Return joining fees by month, only for the months in which anyone may join."""
    fee = context.trials.column(club.joining_fee)
    if not (fee.any() and joined.any()):
        return {}
    escalated, months = fee * context.costs, [_joining_months(phase) for phase in context.phases]
    first, last = min(span.start for span in months), max(span.stop for span in months)
    return {
        month: np.maximum(joined[:, month] - joined[:, month - 1], 0.0)
        * escalated[:, context.months.year[month]]
        for month in range(first, min(last, context.months.last) + 1)
    }
