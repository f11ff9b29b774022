"""The values of one input at which an option breaks even, and where the best option changes.

All other inputs stay at their likely values. The search covers a plausible range of the input. The
range is part of the result: "never pays" is a statement about this range only.
"""

from collections.abc import Iterable, Mapping
from datetime import date

import numpy as np

from panelworth.engine.cash_flow.calendar import months_of
from panelworth.engine.results.figures import (
    Swing,
)
from panelworth.engine.results.insight import (
    BreakEvenPoints,
    RankReversal,
    Root,
)
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.returns.breakeven import Gap, net_benefit_over
from panelworth.engine.returns.crossings import Crossing, crossings
from panelworth.engine.returns.scale import ROUNDING, scale_of_case
from panelworth.engine.trials import Array, likely_trial, trials_with
from panelworth.model.bounds import HOURS_IN_A_YEAR, LARGEST_NAMED
from panelworth.model.case import Case, Input, affects
from panelworth.model.dates import DAYS_IN_A_WEEK

# Net benefit has corners and, where the month of a date changes, jumps. With so many points two of
# them seldom lie between the same two points; `crossings` narrows each one down.
POINTS = 601
WIDEST = 3  # inputs whose rank reversals a page shows
# The limits of the search. They are wide rather than exact, since a root beyond them is of no use
# to a reader. They are a choice of this program, without a source.
TIMES = 10.0  # an amount: up to ten times its high
MOST_PEOPLE = 10_000.0
# Ten times an amount that is small or 0 is no plausible limit. Its limit is a share of the case's
# scale of money: the whole for an amount paid once, a tenth for one paid each year (ten years add
# up to the scale), a thousandth for one by the hour, the month or the unit of fuel.
REACH = {"money": 1.0, "money a year": 0.1}
REACH_BY_UNIT = 1e-3
OTHER_REACH = 1e3  # fuel an hour, weeks


def break_even_of(
    case: Case, option_id: str, path: str, *, scale: float | None = None
) -> BreakEvenPoints:
    """Return every value of the input at a path at which net_benefit is 0.

    If there is none, `why` says that the input has no effect, that the option pays at any value, or
    that it never pays. `scale` is the case's scale of money, worked out unless given. Raises
    KeyError if the folder has no input at this path.
    """
    input_, scale = _input_at(case, path), scale or scale_of_case(case)
    points = _points(case, input_, scale)
    gap = net_benefit_over(case, option_id, likely_trial(case), [path])
    values = gap(points)
    tolerance = ROUNDING * scale
    roots = crossings(gap, points, tolerance=tolerance)
    why = ""
    if np.ptp(values) <= tolerance:
        roots, why = [], "no effect"
    elif not roots:
        why = "pays at any value" if values[0] > 0.0 else "never pays"
    return BreakEvenPoints(
        input=path,
        least=float(points[0]),
        most=float(points[-1]),
        roots=tuple(Root(value=root.value, side=_side(root), jump=root.jump) for root in roots),
        why=why,
    )


def _side(root: Crossing) -> str:
    """Return the side of a root on which the option pays; "" if both sides or neither pays."""
    if (root.above > 0) == (root.below > 0):
        return ""
    return "at least" if root.above > 0 else "at most"


def rank_reversals(
    case: Case, swings: Mapping[str, Iterable[Swing]], *, scale: float | None = None
) -> tuple[RankReversal, ...]:
    """Return where the best option changes, for the inputs with the widest swings of any option.

    The best option has the highest total benefit. `swings` are those of the options, by id.
    """
    widths: dict[str, float] = {}
    for swing in (swing for option_swings in swings.values() for swing in option_swings):
        widths[swing.input] = max(widths.get(swing.input, 0.0), abs(swing.high - swing.low))
    widest = sorted(widths, key=lambda path: (-widths[path], path))[:WIDEST]
    return tuple(rank_reversal(case, path, scale=scale) for path in widest)


def rank_reversal(case: Case, path: str, *, scale: float | None = None) -> RankReversal:
    """Return where the best option changes as the input at a path moves from its likely value.

    It is the value nearest to the likely one at which another option becomes better; None if none
    does within the limits. `scale` is the case's scale of money, worked out unless given.
    """
    input_, trials, scale = _input_at(case, path), likely_trial(case), scale or scale_of_case(case)
    points, likely, ids = _points(case, input_, scale), input_.quantity.likely, list(case.options)

    # Options that the input does not affect are evaluated once, and not at every value.
    unaffected = {
        option_id: benefits(case, option_id, trials, likely_loan_month=True)
        for option_id in ids
        if not affects(path, option_id)
    }

    def values_at(tried: Array) -> Array:
        moved = trials_with(trials, {path: tried})
        rows = [
            unaffected[option_id]
            if option_id in unaffected
            else benefits(case, option_id, moved, likely_loan_month=True)
            for option_id in ids
        ]
        return np.stack([np.broadcast_to(row, tried.shape) for row in rows])

    best = int(np.argmax(values_at(np.array([likely]))[:, 0]))

    def lead(tried: Array) -> Array:
        """Return the best option's benefit less that of the best of the others."""
        values = values_at(tried)
        rest = np.delete(values, best, axis=0)
        ahead: Array = values[best] - rest.max(axis=0, initial=-np.inf)
        return ahead

    reversals = crossings(lead, points, tolerance=ROUNDING * scale) if len(ids) > 1 else []
    nearest = _nearest(reversals, likely)
    then = None if nearest is None else _after(values_at, nearest, likely, points)
    return RankReversal(
        input=path,
        likely=likely,
        least=float(points[0]),
        most=float(points[-1]),
        best=ids[best],
        value=None if nearest is None else nearest.value,
        then=None if then is None else ids[then],
        jump=nearest is not None and nearest.jump,
    )


def _nearest(candidates: Iterable[Crossing], likely: float) -> Crossing | None:
    """Return the crossing nearest to the likely value beyond which the lead is negative.

    A crossing where the lead only touches 0 changes nothing and is left out.
    """
    lost = [
        crossing
        for crossing in candidates
        if (crossing.above if crossing.value >= likely else crossing.below) < 0
    ]
    return min(lost, key=lambda crossing: abs(crossing.value - likely), default=None)


def _after(values_at: Gap, crossing: Crossing, likely: float, points: Array) -> int:
    """Return the index of the option that is best just beyond a crossing, seen from likely.

    At the crossing itself two options are equal, so the benefits are compared a small step beyond
    it: a millionth of the value, which is more than the error of the root.
    """
    away = 1.0 if crossing.value >= likely else -1.0
    step = away * max(abs(crossing.value), float(np.ptp(points)) * 1e-3) * 1e-6
    return int(np.argmax(values_at(np.array([crossing.value + step]))[:, 0]))


def _input_at(case: Case, path: str) -> Input:
    match = next((input_ for input_ in case.inputs if input_.path == path), None)
    if match is None:
        raise KeyError(path)
    return match


def _points(case: Case, input_: Input, scale: float) -> Array:
    """Return the first points of the search: even steps, and values where the line may change.

    These values are low, likely, high and 0. For weeks down there are also the values at which the
    finish moves into a later month, each with the double just below it: net benefit jumps between
    the two.
    """
    least, most = bounds_of(case, input_, scale)
    quantity = input_.quantity
    known = np.array([quantity.low, quantity.likely, quantity.high, 0.0])
    points = [np.linspace(least, most, POINTS), known]
    if input_.path in _starts(case):
        turns = _month_turns(case, input_)
        points += [turns, np.nextafter(turns, -np.inf)]
    inside = np.concatenate(points)
    return np.unique(inside[(inside >= least) & (inside <= most)])


def bounds_of(case: Case, input_: Input, scale: float) -> tuple[float, float]:
    """Return the limits of an input's search: its declared bounds, narrowed to plausible values.

    Hours: up to the hours of a year. People: from all members leaving to 10,000 joining. Weeks
    down: while the finish is within the horizon. Amounts without a declared limit: ten times their
    high or, if they are small, a share of the scale. The range of the file is always within.
    """
    quantity, unit = input_.quantity, input_.unit
    if unit.startswith("hours"):
        reach = (-float(HOURS_IN_A_YEAR), float(HOURS_IN_A_YEAR))
    elif unit == "people":
        club = case.scenario.club
        reach = (-float(club.members if club else 0), MOST_PEOPLE)
    elif input_.path in _starts(case):
        # The last turn is the day after the horizon: a finish on it would be too late.
        reach = (0.0, float(_month_turns(case, input_)[-1]) - 1e-9)
    elif input_.most >= LARGEST_NAMED:
        far = max(TIMES * abs(quantity.high), TIMES * abs(quantity.low), _reach(unit, scale))
        reach = (-far, far)
    else:
        reach = (input_.least, input_.most)
    least = min(max(reach[0], input_.least), quantity.low)
    return least, max(min(reach[1], input_.most), quantity.high)


def _reach(unit: str, scale: float) -> float:
    """Return the limit of an amount that is small or left out, in its own unit."""
    if not unit.startswith("money"):
        return OTHER_REACH
    return REACH.get(unit, REACH_BY_UNIT) * scale


def _month_turns(case: Case, input_: Input) -> Array:
    """Return the weeks down at which the finish is the first day of a later month."""
    months = months_of(case.scenario)
    turns: Array = (months.first_day - _starts(case)[input_.path].toordinal()) / DAYS_IN_A_WEEK
    return turns[turns > 0.0]


def _starts(case: Case) -> dict[str, date]:
    """Return the start of each schedule, by the path of its weeks down."""
    schedules = (option.schedule for option in case.options.values())
    return {
        schedule.weeks_down.path: schedule.start for schedule in schedules if schedule is not None
    }
