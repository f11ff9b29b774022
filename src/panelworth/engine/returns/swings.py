"""How far each range alone, from its low to its high, moves an option against the baseline."""

from panelworth.engine.results.figures import Swing
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.trials import Trials, one_at_a_time
from panelworth.model.case import Case, Input, inputs_of, option_prefix
from panelworth.model.scenario import HALF_A_CENT


def swings_of(case: Case, option_id: str, trials: Trials, *, nothing: float) -> tuple[Swing, ...]:
    """Return net_benefit at each range's low and high, all else likely, widest first.

    Ranges of scenario.toml, of the option and of the baseline; none for the baseline itself. A
    range moves all that follow it to the same end, and has no swing of its own if it follows. Of
    swings that are equally wide but for `nothing`, the one whose input is named first comes first.
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
    return tuple(sorted(swings, key=lambda swing: -round(abs(swing.high - swing.low) / nothing)))


def _groups(case: Case, option_id: str) -> list[list[Input]]:
    """List the ranges that affect an option, each with those that follow it.

    The scenario's, the option's own and the baseline's; also one of another option that such a
    range follows.
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
