"""A club's members month by month, and the money that comes from them and from newcomers.

Money is given in the narrowest form it has (engine/rows.py), escalated to its month.
Source of every equation: the project's method, section 3.
"""

from collections.abc import Mapping

import numpy as np

from panelworth.engine.calendar import Whole
from panelworth.engine.course import Course
from panelworth.engine.operations import by_finish, unchanged
from panelworth.engine.rows import NOTHING, Row, added
from panelworth.engine.worlds import Array
from panelworth.model.scenario import MONTHS


def members(course: Course) -> Array:
    """Return the members of each month, month 0 included; 0 for an owner.

    members(m) = max(0, members + joined·min(1, max(0, (m-f)/over_months))).
    """
    club = course.scenario.club
    if club is None:
        return np.zeros((1, course.months.last + 1))
    over = course.option.members.over_months
    arrived = by_finish(course, lambda since: _arrived(since, over))
    joined = course.worlds.column(f"{course.prefix}members.joined")
    people: Array = np.maximum(club.members + joined * arrived, 0.0)
    return people


def _arrived(since: Whole, over: int) -> Array:
    """Return the share of new members who have come so many months after the finish."""
    share: Array = np.clip(since / over, 0.0, 1.0) if over else (since > 0).astype(float)
    return share


def club_income(course: Course, people: Array) -> dict[str, Row]:
    """Return dues, joining fees and the club's other net income; nothing for an owner.

    dues = members·dues_per_month·e; fees = max(0, members(m) - members(m-1))·joining_fee·e;
    other = other_net_per_year/12·e.
    """
    if course.scenario.club is None:
        return {}
    other = course.worlds.column("club.other_net_per_year") / MONTHS * course.costs
    return {
        "dues": Row(member=unchanged(course.worlds.column("club.dues_per_month") * course.costs)),
        "fees": Row(dated=_fees(course, people)),
        "other": Row(level=unchanged(other)),
    }


def newcomers(course: Course, income: Mapping[str, Row]) -> Row:
    """Return money from people who are not members today, negative where members leave.

    (members(m) - members)·dues_per_month·e + fees; 0 for an owner, who has no fees.
    """
    club = course.scenario.club
    dues = income["dues"].member if "dues" in income else None
    if club is None or dues is None:
        return NOTHING
    todays = dues * -float(club.members)
    return added(Row(member=dues, level=todays), income["fees"])


def _fees(course: Course, people: Array) -> Array | None:
    """Return joining fees; worked out only in the months in which anyone may join."""
    fee = course.worlds.column("club.joining_fee")
    if not fee.any():
        return None
    height = max(len(people), len(fee), len(course.costs))
    fees = np.zeros((course.months.last + 1, height)).T
    last = int(course.dates.finish.max()) + max(course.option.members.over_months, 1)
    here, before = slice(1, last + 1), slice(0, min(last, course.months.last))
    joining = np.maximum(people[:, here] - people[:, before], 0.0)
    fees[:, here] = joining * (fee * course.costs[:, course.months.year[here]])
    return fees
