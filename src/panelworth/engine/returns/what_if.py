"""Figures on a grid of inputs, from which the sliders of a page interpolate exactly.

The present values are multilinear in these inputs: along each axis they are a straight line, and
they have products of different inputs. Therefore the figures at the corners of a box determine
those at every point within it, and the script of the page needs no copy of the model. Where a line
has a bend (members leave instead of joining, nobody flies) the axis has a grid point. At the end
the interpolation is compared with the engine at random points. The largest difference is published
with the grid.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.cash_flow.hours import hours_a_year
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.phases import AirplaneInput, paths_everywhere
from panelworth.engine.results.what_if import Axis, Grid
from panelworth.engine.returns.benefit import total_benefit
from panelworth.engine.returns.scale import scale_of_case
from panelworth.engine.trials import Array, Trials, likely_trial, overrun_path, trials_with
from panelworth.model.case import Case

CLOSE = 1e-6  # of the scale of money, far less than a page shows: a larger error adds a grid point
MOST_POINTS = 9  # of an axis: the points of all axes multiply, and the page loads them
CHECKS = 200  # points at which the interpolation is compared with the engine
# The ends of the sliders. Projects cost more than planned more often than less, so the sliders go
# farther up than down. They are a choice of this program, without a source.
FEWER, MORE = -4.0, 6.0  # members joining, in addition to the option's own number
LEAST, MOST = -0.2, 0.6  # overrun of the project
Corners = Mapping[str, Mapping[str, Array]]


def whatif_grid(case: Case) -> Grid:
    """Return the grid of a case, with as many points on each axis as exactness needs."""
    trials = likely_trial(case)
    close = CLOSE * scale_of_case(case)
    axes = tuple(_exact(case, trials, axis, close) for axis in _axes(case, trials))
    corners = _evaluated(case, trials, axes)
    rows = {
        option_id: {key: tuple(values.ravel().tolist()) for key, values in figures.items()}
        for option_id, figures in corners.items()
    }
    return Grid(axes=axes, figures=rows, error=_error(case, trials, axes, corners))


def _axes(case: Case, trials: Trials) -> list[Axis]:
    """Return the axes of a case, each from its lowest to its highest shift.

    A shift is added to the likely value. Axes without an input or without a width are left out.
    """
    aircraft = case.scenario.aircraft

    def axis(key: str, wanted: AirplaneInput, bounds: tuple[float, float], step: float) -> Axis:
        paths = tuple(paths_everywhere(case, case.options, wanted))
        return _axis(key, paths, wanted(aircraft).likely, bounds, step)

    overruns = tuple(overrun_path(option_id) for option_id in case.options)
    hours, fuel = aircraft.hours_per_year.likely, aircraft.fuel_price.likely
    recovery = aircraft.resale_recovery.likely
    axes = [
        Axis(key="overrun", paths=overruns, points=(LEAST, MOST), likely=1.0, step=0.05),
        _bent(
            axis("hours", lambda plane: plane.hours_per_year, (-0.5 * hours, 0.5 * hours), 5.0),
            _grounded(case, trials),
        ),
        _joined(case),
        axis("fuel", lambda plane: plane.fuel_price, (-0.4 * fuel, 0.8 * fuel), _step(fuel)),
        axis(
            "recovery",
            lambda plane: plane.resale_recovery,
            (-recovery, 1.0 - recovery),
            0.01,
        ),
    ]
    return [axis for axis in axes if len(axis.points) > 1 and axis.paths]


def _step(price: float) -> float:
    """Return the step of a price's slider: a twentieth of the power of ten just below the price.

    So the step fits the price in every currency.

    >>> _step(6.35), _step(180.0)
    (0.05, 5.0)
    """
    return 0.05 * 10.0 ** math.floor(math.log10(price)) if price > 0.0 else 0.05


def _axis(
    key: str, paths: tuple[str, ...], likely: float, bounds: tuple[float, float], step: float
) -> Axis:
    """Return an axis in whole steps around the likely value, within its bounds."""
    # The factor keeps a bound that is a whole number of steps from falling just below it.
    steps = (math.trunc(bound / step * (1.0 + 1e-9)) for bound in bounds)
    low, high = (float(f"{count * step:.12g}") for count in steps)
    return Axis(key=key, paths=paths, points=tuple(sorted({low, high})), likely=likely, step=step)


def _joined(case: Case) -> Axis:
    """Return the axis of members joining, with a point where nobody joins or all members leave.

    The baseline keeps its own members: the slider asks what an option's growth is worth.
    """
    club = case.scenario.club
    others = [
        option for option_id, option in case.options.items() if option_id != case.scenario.baseline
    ]
    joined = [option.members.joined for option in others] if club else []
    paths, members = tuple(quantity.path for quantity in joined), club.members if club else 0
    bends = {bend for quantity in joined for bend in (-quantity.likely, -quantity.likely - members)}
    axis = Axis(key="joined", paths=paths, points=(FEWER, MORE), likely=0.0, step=1.0)
    return _bent(axis, bends)


def _grounded(case: Case, trials: Trials) -> set[float]:
    """Return the shifts of hours at which the hours flown fall to 0 in a stretch of an option."""
    bends: set[float] = set()
    for option_id in case.options:
        stretches = hours_a_year(option_context(case, option_id, trials))
        bends |= {stretch.lost - stretch.wanted - stretch.change for stretch in stretches}
    return bends


def _bent(axis: Axis, bends: set[float]) -> Axis:
    """Return an axis with an additional grid point at each bend within it."""
    low, high = axis.points[0], axis.points[-1]
    inside = {bend + 0.0 for bend in bends if low < bend < high}
    return replace(axis, points=tuple(sorted({low, high} | inside)))


def shifted(trials: Trials, axes: Sequence[Axis], shifts: Array) -> Trials:
    """Return one trial for each row of shifts, shape (T, axes)."""
    values = {
        path: trials.values[path] + shifts[:, place]
        for place, axis in enumerate(axes)
        for path in axis.paths
    }
    return trials_with(trials, values)


def _figures(case: Case, option_id: str, trials: Trials) -> dict[str, Array]:
    flows = flows_of(case, option_id, trials, likely_loan_month=True)
    return {"benefit": np.broadcast_to(total_benefit(flows), (trials.size,))}


def _evaluated(case: Case, trials: Trials, axes: Sequence[Axis]) -> Corners:
    mesh = np.meshgrid(*(axis.points for axis in axes), indexing="ij")
    shifts = np.stack([column.ravel() for column in mesh], axis=1)
    tried, shape = shifted(trials, axes, shifts), mesh[0].shape
    return {
        option_id: {
            key: values.reshape(shape) for key, values in _figures(case, option_id, tried).items()
        }
        for option_id in case.options
    }


def interpolated(axes: Sequence[Axis], corners: Array, shifts: Array) -> Array:
    """Return a figure at points within the grid, by multilinear interpolation.

    `corners` has shape (n1, …, nk), `shifts` (T, k), the result (T,). The page's script does the
    same.
    """
    total: Array = np.zeros(len(shifts))
    places, shares = [], []
    for column, axis in enumerate(axes):
        points = np.array(axis.points)
        place = np.clip(np.searchsorted(points, shifts[:, column]) - 1, 0, len(points) - 2)
        places.append(place)
        shares.append((shifts[:, column] - points[place]) / (points[place + 1] - points[place]))
    for corner in np.ndindex(*(2 for _ in axes)):
        weight = np.ones(len(shifts))
        for share, side in zip(shares, corner, strict=True):
            weight = weight * (share if side else 1.0 - share)
        at = tuple(place + side for place, side in zip(places, corner, strict=True))
        total += weight * corners[at]
    return total


def _exact(case: Case, trials: Trials, axis: Axis, close: float) -> Axis:
    """Add points to an axis, all else at likely, until the interpolation is within `close`.

    Each step adds a point where the difference to the engine is largest. Axes are refined one by
    one, because the number of points of the grid is the product over all axes.
    """
    while len(axis.points) < MOST_POINTS:
        corners = _evaluated(case, trials, [axis])
        shifts = np.linspace(axis.points[0], axis.points[-1], CHECKS + 1)[:, np.newaxis]
        wrong = _differences(case, shifted(trials, [axis], shifts), [axis], corners, shifts)
        if wrong.max() <= close:
            break
        worst = float(shifts[int(np.argmax(wrong)), 0])
        if worst in axis.points:  # a floating-point error: a further point would not help
            break
        axis = replace(axis, points=tuple(sorted({*axis.points, worst})))
    return axis


def _differences(
    case: Case, tried: Trials, axes: Sequence[Axis], corners: Corners, shifts: Array
) -> Array:
    """Return the largest difference of any option to the engine at each point, in money, (T,)."""
    worst: Array = np.zeros(len(shifts))
    for option_id, figures in corners.items():
        exact = _figures(case, option_id, tried)
        for key, values in exact.items():
            worst = np.maximum(worst, np.abs(interpolated(axes, figures[key], shifts) - values))
    return worst


def _error(case: Case, trials: Trials, axes: Sequence[Axis], corners: Corners) -> float:
    """Return the largest difference in money to the engine at random points within the grid."""
    rng = np.random.default_rng(CHECKS)  # a fixed seed: the same files must give the same bytes
    low, high = (np.array([axis.points[end] for axis in axes]) for end in (0, -1))
    shifts = rng.uniform(low, high, (CHECKS, len(axes)))
    tried = shifted(trials, axes, shifts)
    return float(_differences(case, tried, axes, corners, shifts).max())
