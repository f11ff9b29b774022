"""The break-even values of figures.json: one input changes, all others stay at likely.

Net benefit is a straight line with corners in each of these inputs. For hours there is a corner
where the hours flown reach 0; for a project that is paid in part, where nothing more is due. From
the values at the corners every root follows exactly by linear interpolation, without a search.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from panelworth.engine.cash_flow.hourly_prices import todays_worth
from panelworth.engine.cash_flow.hours import hours_a_year
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.phases import AirplaneInput, paths_everywhere
from panelworth.engine.cash_flow.project import paid_corners
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.trials import Array, Trials, likely_trial, overrun_path, trials_with
from panelworth.model.bounds import HOURS_IN_A_YEAR
from panelworth.model.case import Case, affects
from panelworth.model.value import Quantity, exactly

Gap = Callable[[Array], Array]  # values of an input -> net benefit at each, the same shape
# The largest value that is still reported; if the root is beyond it, the figure says "never pays".
# An input that is not listed has no limit: its last line is extended. The project's method, section
# 4.
MOST = {
    "hours_per_year": HOURS_IN_A_YEAR,
    "extra_hours_per_year": 20_000.0,
    "members_joined": 10_000.0,
    "project": 10_000.0,
    "resale_recovery": 1.0,
    "worth_per_hour": 10_000.0,
}


@dataclass(frozen=True, kw_only=True)
class BreakEvenValue:
    """A break-even value and the side on which the option pays; or the reason why there is none."""

    value: float | None
    side: str = ""
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class SearchRange:
    """The range of an input that is searched: from 0 to `most`, which may be infinite.

    The net benefit may have a corner at each of `corners`.
    """

    corners: list[float]
    likely: float
    most: float


def break_evens(case: Case, option_id: str, *, tolerance: float) -> dict[str, BreakEvenValue]:
    """Return every break-even of an option against the baseline, by its key in figures.json.

    Money up to `tolerance` counts as 0. {} for the baseline itself.
    """
    if option_id == case.scenario.baseline:
        return {}
    evens = {}
    for key, tried in _varied_inputs(case, option_id).items():
        gap = net_benefit_over(tried.case, option_id, likely_trial(tried.case), tried.paths)
        corners = _corners(case, option_id, key)
        reach = SearchRange(corners=corners, likely=tried.likely, most=MOST.get(key, np.inf))
        evens[key] = break_even_at(gap, reach, tolerance=tolerance)
    return evens


def net_benefit_over(case: Case, option_id: str, trials: Trials, paths: list[str]) -> Gap:
    """Return net_benefit as a function of one value that the inputs at all these paths take.

    Loans are drawn in their likely month at every value. Otherwise the month would follow the first
    outlay, and jump where an outlay reaches 0; the straight line would be broken there.
    """
    baseline_unaffected = not any(affects(path, case.scenario.baseline) for path in paths)

    def value_of(one: str, tried: Trials) -> Array:
        return benefits(case, one, tried, likely_loan_month=True)

    # The baseline is evaluated only once if none of these inputs affects it.
    unchanged = value_of(case.scenario.baseline, trials) if baseline_unaffected else None

    def gap(values: Array) -> Array:
        tried = trials_with(trials, dict.fromkeys(paths, values))
        baseline = value_of(case.scenario.baseline, tried) if unchanged is None else unchanged
        return np.broadcast_to(value_of(option_id, tried) - baseline, values.shape)

    return gap


@dataclass(frozen=True, kw_only=True)
class VariedInputs:
    """The inputs that a break-even changes together, and their common likely value."""

    case: Case
    paths: list[str]
    likely: float


def _varied_inputs(case: Case, option_id: str) -> dict[str, VariedInputs]:
    """Return the inputs of each break-even of an option, by its key in figures.json."""
    option, both = case.options[option_id], (option_id, case.scenario.baseline)

    def everywhere(wanted: AirplaneInput) -> VariedInputs:
        paths = paths_everywhere(case, both, wanted)
        return VariedInputs(case=case, paths=paths, likely=wanted(case.scenario.aircraft).likely)

    def one(quantity: Quantity, case: Case = case) -> VariedInputs:
        return VariedInputs(case=case, paths=[quantity.path], likely=quantity.likely)

    tried = {
        "hours_per_year": everywhere(lambda aircraft: aircraft.hours_per_year),
        "extra_hours_per_year": one(option.after.hours_per_year_change),
        "project": VariedInputs(case=case, paths=[overrun_path(option_id)], likely=1.0),
        "resale_recovery": everywhere(lambda aircraft: aircraft.resale_recovery),
    }
    if case.scenario.club is not None:
        tried["members_joined"] = one(option.members.joined)
    if option.buy is not None:
        tried["buy_price"] = one(option.buy.price)
    stated, worth = worth_stated(case)
    return {**tried, "worth_per_hour": one(worth, stated)}


def worth_stated(case: Case) -> tuple[Case, Quantity]:
    """Return the case with worth_per_hour stated, and this input.

    If the file leaves it out, it is stated at the likely value of its default: an input that is
    left out has no path and could not be changed.
    """
    scenario, worth = case.scenario, case.scenario.aircraft.worth_per_hour
    if worth is not None:
        return case, worth
    worth = exactly(float(todays_worth(scenario, likely_trial(case))[0]))
    aircraft = scenario.aircraft.model_copy(update={"worth_per_hour": worth})
    stated = replace(case, scenario=scenario.model_copy(update={"aircraft": aircraft}))
    return worth_stated(stated)


def _corners(case: Case, option_id: str, key: str) -> list[float]:
    """Return the values of an input at which net benefit has a corner.

    For hours: where the hours flown reach 0 in a stretch of the option's or the baseline's time.
    For the project: the multiples at which an item costs what has already been paid for it.
    """
    trials = likely_trial(case)
    if key == "project":
        return paid_corners(option_context(case, option_id, trials))
    if key not in ("hours_per_year", "extra_hours_per_year"):
        return []
    corners = [
        stretch.lost - (stretch.change if key == "hours_per_year" else stretch.wanted)
        for one in (option_id, case.scenario.baseline)
        for stretch in hours_a_year(option_context(case, one, trials))
    ]
    return sorted(set(corners))


def break_even_at(gap: Gap, reach: SearchRange, *, tolerance: float) -> BreakEvenValue:
    """Return the root of a gap that is a straight line between its corners, from 0 to `most`.

    Of several roots the one nearest to the likely value is returned: it is the first that a change
    of the input reaches. Without a limit the last line is extended beyond the last corner. Money up
    to `tolerance` counts as 0.
    """
    corners, likely, most = reach.corners, reach.likely, reach.most
    # Without a limit a point well beyond the last corner gives the slope of the last line.
    far = most if np.isfinite(most) else 2.0 * max(1.0, likely, *corners)
    inside = [corner for corner in (*corners, likely) if 0.0 < corner < far]
    points = np.unique([0.0, *inside, far])
    values = gap(points)
    values = np.where(np.abs(values) <= tolerance, 0.0, values)
    if np.ptp(values) <= tolerance:
        return BreakEvenValue(value=None, why="no effect")
    roots = _roots(points, values)
    if not np.isfinite(most):
        roots += _beyond(points, values, tolerance)
    if not roots:
        pays = values[np.searchsorted(points, np.clip(likely, 0.0, far))] > 0.0
        return BreakEvenValue(value=None, why="pays at any value" if pays else "never pays")
    value, pays_above = min(roots, key=lambda root: abs(root[0] - likely))
    return BreakEvenValue(value=value, side="at least" if pays_above else "at most")


def _roots(points: Array, values: Array) -> list[tuple[float, bool]]:
    """Return the values at which the line is 0, and whether the option pays above each.

    If several neighbouring points are 0, each of them is a root. The side follows from the next
    value that is not 0; if there is none, from the opposite of the one before.
    """
    signs, roots = np.sign(values), []
    for place, sign in enumerate(signs):
        if sign == 0.0:
            later, before = signs[place:], -signs[:place][::-1]
            beyond = next((sign for sign in (*later, *before) if sign), 0.0)
            roots.append((float(points[place]), bool(beyond > 0.0)))
    for place in np.flatnonzero(signs[:-1] * signs[1:] < 0.0).tolist():
        (left, right), (low, high) = points[place : place + 2], values[place : place + 2]
        roots.append((float(left + (right - left) * low / (low - high)), bool(high > 0.0)))
    return roots


def _beyond(points: Array, values: Array, tolerance: float) -> list[tuple[float, bool]]:
    """Return the root beyond the last corner; [] if the last line is flat or leads away from 0.

    It is flat if the net benefit changes by no more than `tolerance` over a distance as large as
    the last point.
    """
    slope = (values[-1] - values[-2]) / (points[-1] - points[-2])
    if abs(slope) * points[-1] <= tolerance or values[-1] * slope >= 0.0:
        return []
    return [(float(points[-1] - values[-1] / slope), bool(slope > 0.0))]
