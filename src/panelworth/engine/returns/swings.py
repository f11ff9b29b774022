"""The effect of each range alone on net benefit: one-at-a-time sensitivity (tornado diagram)."""

from panelworth.engine.results.figures import (
    Swing,
)
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.trials import Trials, one_at_a_time
from panelworth.model.case import Case, Input, inputs_of, option_prefix
from panelworth.model.scenario import HALF_A_CENT


def swings_of(case: Case, option_id: str, trials: Trials, *, tolerance: float) -> tuple[Swing, ...]:
    """Return net_benefit at each range's low and high, all else at likely, the widest swing first.

    Ranges of scenario.toml, of the option and of the baseline; () for the baseline itself. A range
    moves all ranges that follow it (`like`) to the same end; a follower has no swing of its own.
    Widths that differ by less than `tolerance` count as equal and keep the order of the inputs, so
    that a rounding error does not change the order.
    """
    baseline = case.scenario.baseline
    groups = _groups(case, option_id)
    if option_id == baseline or not groups:
        return ()
    tried = one_at_a_time(trials, groups)
    gaps = benefits(case, option_id, tried) - benefits(case, baseline, tried)
    swings = [
        Swing(input=group[0].path, low=float(gaps[2 * place]), high=float(gaps[2 * place + 1]))
        for place, group in enumerate(groups)
        if abs(gaps[2 * place + 1] - gaps[2 * place]) >= HALF_A_CENT
    ]
    return tuple(sorted(swings, key=lambda swing: -round(abs(swing.high - swing.low) / tolerance)))


def _groups(case: Case, option_id: str) -> list[list[Input]]:
    """Return the ranges that affect an option, each with the ranges that follow it.

    These are ranges of the scenario, of the option and of the baseline. If one of them follows a
    range of a third option, that range is in the list too.
    """
    prefix, baseline = option_prefix(option_id), option_prefix(case.scenario.baseline)
    of_scenario = {input_.path for input_ in inputs_of(case.scenario)}
    ranges = [input_ for input_ in case.inputs if not input_.quantity.certain]
    ordered = [
        *(input_ for input_ in ranges if input_.path in of_scenario),
        *(input_ for input_ in ranges if input_.path.startswith(prefix)),
        *(input_ for input_ in ranges if input_.path.startswith(baseline)),
    ]
    by_path = {input_.path: input_ for input_ in ranges}
    roots = dict.fromkeys(case.roots.get(input_.path, input_.path) for input_ in ordered)
    return [
        [by_path[root], *(input_ for input_ in ranges if case.roots.get(input_.path) == root)]
        for root in roots
    ]
