"""The effect of each changed input on the headline figures: one at a time, through the engine.

Each step evaluates the last edition's inputs with the changes of this step only. The part of the
whole change that no step alone explains is the interaction of the changes.

Why each change is applied to the last edition, and not to the result of the change before: then no
order of the changes has to be chosen, and the effect of a change does not depend on the others. An
average over all orders (Shapley values) would leave no interaction, but needs 2^n evaluations.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.editions.input_changes import changes_between, with_changes
from panelworth.engine.funding.funding_plan import funded_figures
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.editions import (
    HEADLINE_KEYS,
    ChangeAttribution,
    Headline,
    Headlines,
    InputChange,
    Step,
)
from panelworth.engine.results.figures import (
    Figures,
    Funded,
    Likely,
)
from panelworth.engine.results.trials import OptionUncertainty
from panelworth.engine.returns.benefit import without_growth
from panelworth.engine.returns.comparison import likely_figures
from panelworth.engine.returns.scale import tolerance_of
from panelworth.engine.trials import likely_trial
from panelworth.engine.uncertainty.simulation import simulate
from panelworth.model.case import Case, WrittenCase
from panelworth.model.dates import month_index
from panelworth.model.edition import Edition, Editions, with_trials
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Scenario

ALIKE = 1e-9  # relative: the last digits of a figure may differ between processors
RAISES = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}
Progress = Callable[[int, int], None]


def compared_with(editions: Editions, now: Case, figures: Figures) -> Edition | None:
    """Return the last edition that differs from this one; None where there is none.

    It is the last published edition if an input or a figure has changed since; otherwise the
    edition with which that one was compared. None also if it is in another currency: amounts in two
    currencies cannot be subtracted.
    """
    last = editions.last
    if last is not None and not _differs(last, now, figures):
        last = editions.before
    if last is None or last.case.scenario.currency != now.scenario.currency:
        return None
    return last


def _differs(last: Edition, now: Case, figures: Figures) -> bool:
    """Say whether an input or a headline figure has changed since an edition."""
    case = with_trials(now.written, figures.uncertainty.trials)
    if changes_between(last.case, case):
        return True
    before, after, tolerance = published(last), headlines(figures, case), tolerance_of(now)

    def close(one: float | None, other: float | None) -> bool:
        if one is None or other is None:
            return one is other
        return abs(one - other) <= max(tolerance, ALIKE * abs(one), ALIKE * abs(other))

    return any(
        not close(before[option_id][key], after[option_id][key])
        for option_id in after
        for key in HEADLINE_KEYS
    )


def attribute_changes(
    then: Edition, now: Case, figures: Figures, *, progress: Progress | None = None
) -> ChangeAttribution:
    """Return the effect of each change from `then` to `now` on the headline figures.

    `program` is the part that a newer version of the program causes: the inputs of `then` evaluated
    today, less the figures that were published. program + Σ steps + interaction = the whole change.
    `progress` is called after each step with (steps done, steps in all).
    """
    case = with_trials(now.written, figures.uncertainty.trials)
    start, end = _start_of(then), headlines(figures, case)
    published_figures, both = (
        published(then),
        [option_id for option_id in case.options if option_id in then.case.options],
    )
    steps = []
    groups = list(steps_of(then.case, case))
    for done, changes in enumerate(groups, start=1):
        moved = with_changes(
            then.case, case, [part for change in changes for part in change.places]
        )
        moved = _as_decided(moved, case)
        # If the step is the whole change, its figures are known already.
        alone = _headlines_of(moved) if changes_between(moved, case) else end
        steps.append(Step(changes=changes, effects=_differences(alone, start, both)))
        if progress is not None:
            progress(done, len(groups))
    program, change_in_all = (
        _differences(start, published_figures, both),
        _differences(end, published_figures, both),
    )
    return ChangeAttribution(
        as_of=then.case.scenario.as_of.isoformat(),
        steps=tuple(steps),
        then={option_id: published_figures[option_id] for option_id in then.case.options},
        program=program,
        interaction={
            option_id: _rest(change_in_all[option_id], program[option_id], steps, option_id)
            for option_id in both
        },
        now=end,
    )


def _as_decided(moved: WrittenCase, now: WrittenCase) -> WrittenCase:
    """Return a step's case with the decision of now: rows after it move no figure."""
    scenario = moved.scenario.model_copy(update={"decision": now.scenario.decision})
    return replace(moved, scenario=scenario)


@lru_cache(maxsize=8)  # each build of a preview starts from the same edition
def _start_of(then: Edition) -> Headlines:
    return _headlines_of(then.case)


def _headlines_of(written: WrittenCase) -> Headlines:
    """Return the headline figures of a case, with the same values as `evaluate` gives.

    Everything else is left out, since each step needs an evaluation of its own.
    """
    case = settled(written)
    trials, uncertainty = likely_trial(case), simulate(case)
    flows = {option_id: flows_of(case, option_id, trials) for option_id in case.options}
    baseline = flows[case.scenario.baseline]
    return {
        option_id: _headline(
            case.options[option_id],
            likely_figures(option_flows, baseline, without_growth=without_growth(case, option_id)),
            funded_figures(case, option_flows, uncertainty.options[option_id].solved)[0],
            uncertainty.options[option_id],
        )
        for option_id, option_flows in flows.items()
    }


def headlines(figures: Figures, case: WrittenCase) -> Headlines:
    """Return the headline figures of each option; a figure may be None."""
    uncertainty = figures.uncertainty.options
    return {
        option_id: _headline(
            case.options[option_id], option.likely, option.funded, uncertainty[option_id]
        )
        for option_id, option in figures.options.items()
    }


def _headline(
    option: Option, likely: Likely, funded: Funded | None, uncertainty: OptionUncertainty
) -> Headline:
    solve = option.funding.solve
    return {
        "upfront": likely.upfront,
        "net_benefit": likely.net_benefit,
        "cost_per_hour": likely.cost_per_hour,
        "solved_raise": getattr(funded, RAISES[solve]) if funded and solve else None,
        "lowest_balance": funded.lowest_balance if funded else None,
        "budget_p80": uncertainty.budget_p80,
    }


def published(edition: Edition) -> Headlines:
    """Return the headline figures as an edition published them."""
    return {
        option_id: _published(edition.published["options"][option_id], option)
        for option_id, option in edition.case.options.items()
    }


def _published(figures: Mapping[str, Any], option: Option) -> Headline:
    likely, funded = figures["likely"], figures["funded"] or {}
    solve = option.funding.solve
    return {
        **{key: likely[key] for key in ("upfront", "net_benefit", "cost_per_hour")},
        "solved_raise": funded.get(RAISES[solve]) if solve else None,
        "lowest_balance": funded.get("lowest_balance"),
        "budget_p80": figures["budget_p80"],
    }


def _differences(more: Headlines, less: Headlines, options: list[str]) -> Headlines:
    """Subtract figure by figure; None where either is None or the option is missing."""
    return {
        option_id: {
            key: _difference(more.get(option_id, {}).get(key), less[option_id][key])
            for key in HEADLINE_KEYS
        }
        for option_id in options
    }


def _difference(more: float | None, less: float | None) -> float | None:
    return None if more is None or less is None else more - less


def _rest(
    change_in_all: Headline, program: Headline, steps: list[Step], option_id: str
) -> Headline:
    """Return the interaction: the whole change less the program's part and those of all steps."""
    rest = {}
    for key in HEADLINE_KEYS:
        change = change_in_all[key]
        parts = [program[key], *(step.effects[option_id][key] for step in steps)]
        rest[key] = None if change is None else change - math.fsum(part or 0.0 for part in parts)
    return rest


def steps_of(then: WrittenCase, now: WrittenCase) -> Iterator[tuple[InputChange, ...]]:
    """Group the changes into steps: one for each, and one for those that are inconsistent alone.

    Inconsistent alone is, for example, a new as_of after the planned start of an option, or the
    removal of a job that an option still includes. These changes form one step, with as few others
    as make it consistent. Tried in this order: no others; all changes of jobs; of days; of new or
    removed options; all of these three; all changes.
    """
    changes = changes_between(then, now)

    def consistent(group: list[InputChange]) -> bool:
        return is_consistent(
            with_changes(then, now, [part for change in group for part in change.places])
        )

    rest = [change for change in changes if not consistent([change])]
    kinds = [
        [change for change in changes if is_of_kind(change)]
        for is_of_kind in (_of_jobs, _of_days, _of_options)
    ]
    for added in ([], *kinds, [change for kind in kinds for change in kind], list(changes)):
        group = [change for change in changes if change in rest or change in added]
        if consistent(group):
            break
    together = group if rest else []
    yield from ((change,) for change in changes if change not in together)
    if together:
        yield tuple(together)


def _of_jobs(change: InputChange) -> bool:
    return "jobs" in change.places[0]


def _of_days(change: InputChange) -> bool:
    return bool({"as_of", "years", "schedule"} & set(change.places[0]))


def _of_options(change: InputChange) -> bool:
    head, *rest = change.places[0]
    return rest == ["baseline"] or (head == "options" and len(rest) == 1)


def is_consistent(case: WrittenCase) -> bool:
    """Say whether a case is consistent: all names exist, all schedules are within the horizon."""
    scenario = case.scenario
    # Only what a mix of two sound editions can break: each edition was checked when it was read.
    jobs = {job.name for job in scenario.jobs}
    return scenario.baseline in case.options and all(
        set(option.jobs) <= jobs and _in_time(option, scenario) for option in case.options.values()
    )


def _in_time(option: Option, scenario: Scenario) -> bool:
    schedule, as_of = option.schedule, scenario.as_of
    if schedule is None:
        return True
    finish = schedule.likely_finish
    first = min(schedule.order or as_of, schedule.start)
    return as_of <= first and month_index(as_of, finish) <= MONTHS * scenario.years
