"""An option as a list of phases: several phases must say what one phase says of the same thing.

No scenario file has more than one phase; the tests split the phase of an option in two.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from laws import law
from panelworth.engine.cash_flow import option_context
from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.phases import Phase
from panelworth.engine.returns.benefit import total_benefit
from panelworth.engine.trials import Array
from panelworth.model.case import Case
from panelworth.model.option import After, Members
from panelworth.model.scenario import MONTHS
from panelworth.model.value import exactly
from small_cases import drawn_trials
from strategies import Folder, case_of, folders

TRIALS = 25
PROJECT = ("project", "purchase", "credits", "sale", "jobs")
NONE = exactly(0.0).at("nothing")  # of the phase that changes nothing
Split = Callable[[Phase], tuple[Phase, ...]]


def work_then_changes(phase: Phase) -> tuple[Phase, Phase]:
    """Put what is bought and done into a first phase, what changes into a second of the same days.

    The first has the days without an airplane.
    """
    nothing = {
        "after": After().model_copy(update={"hours_per_year_change": NONE}),
        "members": Members().model_copy(update={"joined": NONE}),
    }
    first = phase.step.model_copy(update=nothing)
    no_work = {"items": (), "credits": (), "jobs": (), "buy": None, "sell": None}
    second = phase.step.model_copy(update=no_work)
    up = replace(phase.dates, down=0.0 * phase.dates.down)
    return replace(phase, step=first, aircraft=phase.before), replace(phase, step=second, dates=up)


def later_by(phase: Phase, months: int) -> Phase:
    """Let a phase be finished so many months later, at most at the horizon; nothing else moves."""
    last = phase.dates.down.shape[1] - 1
    finish = np.minimum(phase.dates.finish + months, last)
    likely = min(phase.dates.likely_finish + months, last)
    return replace(phase, dates=replace(phase.dates, finish=finish, likely_finish=likely))


def flows_split(case: Case, option_id: str, split: Split) -> Flows:
    """Work out an option whose one phase is split so."""
    with pytest.MonkeyPatch.context() as patch:
        phases_of = option_context.phases_of
        patch.setattr(option_context, "phases_of", lambda *args: split(phases_of(*args)[0]))
        trials = drawn_trials(case, 0, TRIALS)
        trials = replace(trials, values={**trials.values, NONE.path: np.zeros(1)})
        return flows_of(case, option_id, trials)


def same(found: Array, expected: Array) -> bool:
    """Say whether two figures agree in all trials and months, but for floating point."""
    size = 1.0 + float(np.abs(expected).max())
    return bool(np.abs(found - expected).max() <= 1e-10 * size)


@law(12)
@given(folders())
def test_two_phases_of_the_same_days_are_one_phase(folder: Folder) -> None:
    case = case_of(folder)
    for option_id, option in case.options.items():
        if option.replaces_airplane:  # bought, and changed from then on, in one phase alone
            continue
        whole = flows_of(case, option_id, drawn_trials(case, 0, TRIALS))
        parts = flows_split(case, option_id, work_then_changes)
        for name, row in whole.rows.items():
            assert same(parts.rows[name], row), name
        assert same(parts.end_value, whole.end_value)
        assert same(total_benefit(parts), total_benefit(whole))


@law(12)
@given(folders())
def test_what_a_second_phase_changes_holds_from_its_own_finish(folder: Folder) -> None:
    case = case_of(folder)
    for option_id, option in case.options.items():
        if option.replaces_airplane:
            continue
        late = flows_split(case, option_id, lambda phase: (later_by(phase, 4),))

        def split(phase: Phase) -> tuple[Phase, ...]:
            first, second = work_then_changes(phase)
            return first, later_by(second, 4)

        parts = flows_split(case, option_id, split)
        for name, row in late.rows.items():
            if name not in PROJECT:
                assert same(parts.rows[name], row), name


@law(12)
@given(folders())
def test_present_values_over_two_phases_are_those_of_the_months(folder: Folder) -> None:
    case = case_of(folder)

    def split(phase: Phase) -> tuple[Phase, ...]:
        first, second = work_then_changes(phase)
        return first, later_by(second, 7)

    for option_id, option in case.options.items():
        if option.replaces_airplane:
            continue
        flows = flows_split(case, option_id, split)
        rate = flows.context.trials.column(case.scenario.rates.discount)
        factors = (1.0 + rate) ** (-np.arange(flows.cost.shape[1]) / MONTHS)
        size = 1.0 + max(float(np.abs(row).sum(axis=1).max()) for row in flows.rows.values())
        monthly = (flows.cost * factors).sum(axis=1)
        assert np.abs(flows.present.cost - monthly).max() <= 1e-10 * size
