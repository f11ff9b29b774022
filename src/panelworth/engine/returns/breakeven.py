"""At what value of one input two options come out even, all else at its likely value.

Each of these inputs acts on net benefit in a straight line, but for hours, whose line has
a corner where nobody would fly, and for a project paid in part, which has one where nothing more
is due: evaluating the corners settles every solution exactly.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.operations import lost_hours, todays_worth
from panelworth.engine.cash_flow.option_context import in_force, option_context
from panelworth.engine.cash_flow.project import paid_corners
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.trials import Array, Trials, likely_trial, overrun_path, trials_with
from panelworth.model.bounds import HOURS_IN_A_YEAR
from panelworth.model.case import Case, moves, option_prefix

Gap = Callable[[Array], Array]
MOST = {
    "hours_per_year": HOURS_IN_A_YEAR,
    "extra_hours_per_year": 20_000.0,
    "members_joined": 10_000.0,
    "project": 10_000.0,
    "resale_recovery": 1.0,
    "worth_per_hour": 10_000.0,
}


@dataclass(frozen=True, kw_only=True)
class Even:
    """Where an option breaks even: the value and the side on which it pays, or why nowhere."""

    value: float | None
    side: str = ""
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class Reach:
    """What an input is searched over: from 0 to the most, around its likely value.

    The line may have a corner at each of `corners`; `most` may be infinite.
    """

    corners: list[float]
    likely: float
    most: float


def break_evens(case: Case, option_id: str, *, nothing: float) -> dict[str, Even]:
    """Return every break-even of an option against the baseline, by the figure's key.

    Money up to `nothing` counts as 0.
    """
    if option_id == case.scenario.baseline:
        return {}
    trials = likely_trial(case)
    found = {}
    for key, (paths, likely) in _inputs(case, option_id, trials).items():
        gap = gap_over(case, option_id, trials, paths)
        corners = _corners(case, option_id, trials, key)
        reach = Reach(corners=corners, likely=likely, most=MOST.get(key, np.inf))
        found[key] = even_at(gap, reach, nothing=nothing)
    return found


def gap_over(case: Case, option_id: str, trials: Trials, paths: list[str]) -> Gap:
    """Return net_benefit as a function of one value put in at all these paths.

    Loans are drawn in their likely months.
    """
    still = not any(moves(path, case.scenario.baseline) for path in paths)

    def value_of(each: str, tried: Trials) -> Array:
        return benefits(case, each, tried, likely_loan_month=True)

    stays = value_of(case.scenario.baseline, trials) if still else None

    def gap(values: Array) -> Array:
        tried = trials_with(trials, dict.fromkeys(paths, values))
        baseline = value_of(case.scenario.baseline, tried) if stays is None else stays
        return np.broadcast_to(value_of(option_id, tried) - baseline, values.shape)

    return gap


def _inputs(case: Case, option_id: str, trials: Trials) -> dict[str, tuple[list[str], float]]:
    """Return for each break-even the paths it moves and the likely value it is searched around."""
    prefix, option = option_prefix(option_id), case.options[option_id]
    moved = {
        "hours_per_year": moved_everywhere(case, option_id, trials, "hours_per_year"),
        "extra_hours_per_year": [f"{prefix}after.hours_per_year_change"],
        "project": [overrun_path(option_id)],
        "resale_recovery": moved_everywhere(case, option_id, trials, "resale_recovery"),
    }
    if case.scenario.club is not None:
        moved["members_joined"] = [f"{prefix}members.joined"]
    if option.buy is not None:
        moved["buy_price"] = [f"{prefix}buy.price"]
    found = {key: (paths, float(trials.values[paths[0]][0])) for key, paths in moved.items()}
    worth = float(todays_worth(case.scenario, trials)[0])
    return {**found, "worth_per_hour": (["aircraft.worth_per_hour"], worth)}


def _corners(case: Case, option_id: str, trials: Trials, key: str) -> list[float]:
    """Return where the line has a corner: where flying, now or later, is down to nothing.

    For the project, the multiples at which an item costs just what has been paid for it.
    """
    if key == "project":
        return paid_corners(option_context(case, option_id, trials))
    if "hours" not in key:
        return []
    corners = []
    for each in (option_id, case.scenario.baseline):
        context = option_context(case, each, trials)
        lost = lost_hours(context)
        if key == "extra_hours_per_year":
            lacking = lost - in_force(context, "hours_per_year")
            corners += [float(each[0, 0]) for each in (lacking.before, lacking.later)]
        else:
            change = float(trials.values[f"{context.prefix}after.hours_per_year_change"][0])
            sides = [float(each[0, 0]) for each in (lost.before, lost.later)]
            corners += sides + [each - change for each in sides]
    return sorted(set(corners))


def moved_everywhere(case: Case, option_id: str, trials: Trials, key: str) -> list[str]:
    """Return an airplane input's paths for both options: today's and where [after] changes it."""
    both = (option_prefix(option_id), option_prefix(case.scenario.baseline))
    changed = [f"{prefix}after.{key}" for prefix in both]
    return [f"aircraft.{key}", *(path for path in changed if trials.has(path))]


def even_at(gap: Gap, reach: Reach, *, nothing: float) -> Even:
    """Solve a gap that is a straight line between its corners, from 0 to the most.

    Of several solutions the one nearest to the likely value counts; past the last corner the
    line runs on where there is no most. Money up to `nothing` counts as 0.
    """
    corners, likely, most = reach.corners, reach.likely, reach.most
    far = most if np.isfinite(most) else 2.0 * max(1.0, likely, *corners)
    inside = [corner for corner in (*corners, likely) if 0.0 < corner < far]
    points = np.unique([0.0, *inside, far])
    values = gap(points)
    values = np.where(np.abs(values) <= nothing, 0.0, values)
    if np.ptp(values) <= nothing:
        return Even(value=None, why="no effect")
    roots = _roots(points, values)
    if not np.isfinite(most):
        roots += _beyond(points, values, nothing)
    if not roots:
        pays = values[np.searchsorted(points, np.clip(likely, 0.0, far))] > 0.0
        return Even(value=None, why="pays at any value" if pays else "never pays")
    value, pays_above = min(roots, key=lambda root: abs(root[0] - likely))
    return Even(value=value, side="at least" if pays_above else "at most")


def _roots(points: Array, values: Array) -> list[tuple[float, bool]]:
    """Return where the line meets 0 and whether the option pays above; flat zeros by corners."""
    signs, found = np.sign(values), []
    for place, sign in enumerate(signs):
        if sign == 0.0:
            later, before = signs[place:], -signs[:place][::-1]
            beyond = next((each for each in (*later, *before) if each), 0.0)
            found.append((float(points[place]), bool(beyond > 0.0)))
    for place in np.flatnonzero(signs[:-1] * signs[1:] < 0.0).tolist():
        (left, right), (low, high) = points[place : place + 2], values[place : place + 2]
        found.append((float(left + (right - left) * low / (low - high)), bool(high > 0.0)))
    return found


def _beyond(points: Array, values: Array, nothing: float) -> list[tuple[float, bool]]:
    """Return the root past the last corner, if the last line leads to one."""
    slope = (values[-1] - values[-2]) / (points[-1] - points[-2])
    if abs(slope) * points[-1] <= nothing or values[-1] * slope >= 0.0:
        return []
    return [(float(points[-1] - values[-1] / slope), bool(slope > 0.0))]
