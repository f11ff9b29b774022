"""The closing report: what was voted, what it came to, and which ranges have held."""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import item_price
from panelworth.engine.project_status.accounts import Line
from panelworth.engine.project_status.underway import Underway
from panelworth.engine.project_status.weeks import weeks_between
from panelworth.engine.results.project_status import CloseOut, RangeCheck
from panelworth.engine.trials import Array
from panelworth.engine.uncertainty.distributions import chance_at_most
from panelworth.engine.uncertainty.draws import draw_source_of, draws_of
from panelworth.model.ledger_targets import item_target
from panelworth.model.scenario import HALF_A_CENT

HELD = (0.1, 0.9)  # 8 in 10 of all outcomes: what pages show as the middle of a range


def close_out(underway: Underway, lines: Sequence[Line], trials: int) -> CloseOut | None:
    """Return the closing report once the work is finished and every item's invoice is final.

    The share of a range below the actual price is counted in so many trials of what was voted on,
    because a price may follow from two ranges, hours and rate.
    """
    if not _is_done(underway) or not lines or without_final_invoice(underway, lines):
        return None
    hours, money = _members_work(underway)
    return CloseOut(
        voted=math.fsum(line.item.voted for line in lines),
        actual=math.fsum(line.item.forecast for line in lines),
        ranges=tuple(_ranges(lines, _drawn_prices(underway, trials))),
        weeks=_weeks(underway),
        hours_saved=hours,
        money_saved=money,
    )


def without_final_invoice(underway: Underway, lines: Sequence[Line]) -> tuple[str, ...]:
    """Return the items that the closing report waits for; () before the work is finished."""
    if not _is_done(underway):
        return ()
    return tuple(line.item.name for line in lines if not line.final)


def _is_done(underway: Underway) -> bool:
    return underway.schedule is None or underway.schedule.finished is not None


def _drawn_prices(underway: Underway, count: int) -> dict[str, Array]:
    """Return the prices of the items with tax in the trials that were voted on, by name."""
    trials = draws_of(draw_source_of(underway.voted), 0, count).trials
    context = option_context(underway.voted, underway.option_id, trials)
    return {
        item_target(context.prefix, item).name: item_price(context, phase, item)
        * (1.0 + trials.of(item.tax))
        for phase in context.phases
        for item in phase.step.items
    }


def _ranges(lines: Sequence[Line], drawn: dict[str, Array]) -> Iterator[RangeCheck]:
    for line in lines:
        item = line.item
        if item.high - item.low <= HALF_A_CENT or item.name not in drawn:
            continue
        share = float(np.mean(drawn[item.name] <= item.forecast + HALF_A_CENT))
        yield _check(item.name, item.low, item.high, actual=item.forecast, share=share)


def _weeks(underway: Underway) -> RangeCheck | None:
    planned, now = underway.planned, underway.schedule
    if planned is None or planned.weeks_down.certain or now is None or now.finished is None:
        return None
    weeks = planned.weeks_down
    actual = weeks_between(now.start, now.finished)
    share = float(chance_at_most(weeks, np.array([actual]))[0])
    return _check("", weeks.low, weeks.high, actual=actual, share=share)


def _check(name: str, low: float, high: float, *, actual: float, share: float) -> RangeCheck:
    held = HELD[0] <= share <= HELD[1]
    return RangeCheck(name=name, low=low, high=high, actual=actual, share=share, held=held)


def _members_work(underway: Underway) -> tuple[float, float | None]:
    """Return members' unpaid hours, and what they would have cost.

    At the item's own rate, else at the mean rate of the option's items that have one; None where
    there is neither.
    """
    items = underway.voted.written_options[underway.option_id].items
    hours = math.fsum(item.member_hours for item in items)
    rates = [item.rate.likely for item in items if item.rate is not None]
    if not hours or not rates:
        return hours, None
    mean = math.fsum(rates) / len(rates)
    worth = math.fsum(
        item.member_hours * (item.rate.likely if item.rate else mean) for item in items
    )
    return hours, worth
