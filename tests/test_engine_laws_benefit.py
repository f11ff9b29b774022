"""What an option brings, in the likely view and in the trials: laws that hold for every scenario.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

from copy import deepcopy
from dataclasses import asdict
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from changed_cases import money_times, without_loans
from laws import as_certain, law, others, size_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.engine.results.trials import OptionUncertainty
from strategies import AS_OF, Folder, case_of, changed, folders

CENT = 0.01
SAME = ("net_benefit", "without_growth", "parts", "loan_npv", "npv", "npv_vs_baseline", "cost_npv")
RAISES = ("dues_increase", "hourly_rate_increase", "assessment_per_member")


def brought(figures: Figures) -> dict[str, Any]:
    """Return what every option is compared by, likely and in the trials."""
    found = {}
    for option_id, option in figures.options.items():
        brings, drawn = option.likely, figures.uncertainty.options[option_id]
        found[option_id] = (brings.net_benefit, brings.parts, brings.without_growth)
        found[f"{option_id} drawn"] = (drawn.outcomes, drawn.ahead_of, drawn.regret)
    return found


@law(10)
@given(folders(club=True), st.integers(0, 500), st.integers(0, 90))
def test_what_members_pay_their_club_changes_no_net_benefit(
    folder: Folder, rate: int, raised: int
) -> None:
    """A transfer between members and their club: HM Treasury, The Green Book (2022), 6.8."""
    dearer = deepcopy(folder)
    for name, option in dearer.items():
        if name != "scenario.toml":
            option["after"]["hourly_rate"] = rate
            option["funding"] |= dict.fromkeys(RAISES, raised)
            option["funding"].pop("solve", None)
    before, after = evaluate(case_of(folder)), evaluate(case_of(dearer))
    assert brought(after) == brought(before)
    for option in after.options.values():
        assert option.funded is not None
        assert option.funded.dues_increase == raised


@law(10)
@given(folders())
def test_an_option_that_is_the_baseline_again_brings_nothing(folder: Folder) -> None:
    folder["options/keep.toml"] = as_certain(folder["options/keep.toml"], bracketed=False)
    figures = evaluate(case_of({**folder, "options/again.toml": folder["options/keep.toml"]}))
    again, drawn = figures.options["again"], figures.uncertainty.options["again"]
    mine, other = (asdict(figures.options[each].likely) for each in ("again", "keep"))
    assert {key: mine[key] for key in SAME} == {key: other[key] for key in SAME}
    assert mine["net_benefit"] == 0.0
    assert again.likely.irr == again.swings == ()
    assert again.likely.payback_months == again.likely.discounted_payback_months == 0
    assert set(drawn.outcomes) == {0.0}
    assert drawn.ahead_of["keep"] == 0.5
    assert drawn.chance_beats_baseline == 0.0
    keep = figures.uncertainty.options["keep"]
    assert (drawn.chance_best, drawn.regret) == (keep.chance_best, keep.regret)


@law(10)
@given(folders())
def test_of_two_options_one_is_ahead_or_they_share(folder: Folder) -> None:
    drawn = evaluate(case_of(folder)).uncertainty.options
    for one, of_one in drawn.items():
        assert of_one.ahead_of.keys() == drawn.keys() - {one}
        for other, share in of_one.ahead_of.items():
            assert share + drawn[other].ahead_of[one] == pytest.approx(1.0)
        assert of_one.regret >= 0.0
        assert of_one.outcomes == tuple(sorted(of_one.outcomes))
    assert sum(each.chance_best for each in drawn.values()) == pytest.approx(1.0)


@law(10)
@given(folders())
def test_without_growth_is_the_net_benefit_of_files_that_hope_for_nothing(folder: Folder) -> None:
    case = case_of(folder)

    def hoped(option_id: str) -> dict[str, float]:
        option = case.options[option_id]
        change = option.after.hours_per_year_change.likely
        return {"joined": option.members.joined.likely, "change": change}

    bare, base = folder, hoped("keep")
    for option_id in case.options:
        left = {key: min(0.0, own - base[key]) for key, own in hoped(option_id).items()}
        if option_id == "keep":
            left = dict.fromkeys(left, 0.0)
        file = f"options/{option_id}.toml"
        bare = changed(bare, file, ("after", "hours_per_year_change"), left["change"])
        if case.scenario.club is not None:
            bare = changed(bare, file, ("members", "joined"), left["joined"])
    expected = evaluate(case_of(bare))
    for option_id, option in evaluate(case).options.items():
        assert option.likely.without_growth == pytest.approx(
            expected.options[option_id].likely.net_benefit,
            rel=0,
            abs=1e-9 * size_of(case, option_id),
        )


def money_of(found: OptionUncertainty) -> list[float]:
    """List the money that the trials tell of, but for what rests on a raise to the cent."""
    kept = ("upfront", "net_benefit", "npv")
    spreads = [asdict(getattr(found.range, each)).values() for each in kept]
    return [
        *(each for values in spreads for each in values),
        *found.outcomes,
        found.regret,
        found.budget_p80,
    ]


@law(10)
@given(folders(), st.sampled_from([0.01, 1000.0]))
def test_money_in_another_unit_scales_what_the_trials_tell(folder: Folder, times: float) -> None:
    case = without_loans(case_of(folder))
    once, scaled = (evaluate(each).uncertainty.options for each in (case, money_times(case, times)))
    for option_id, found in once.items():
        other = scaled[option_id]
        size = times * size_of(case, option_id)
        expected = pytest.approx([times * each for each in money_of(found)], rel=0, abs=1e-9 * size)
        assert money_of(other) == expected
        assert (found.solved is None) == (other.solved is None)
        if found.solved is None or other.solved is None:
            continue
        for key in ("amount", "once"):
            one, more = getattr(found.solved, key), getattr(other.solved, key)
            assert (one is None) == (more is None)
            if one is not None:  # each is rounded up to whole cents of its own unit
                assert more == pytest.approx(times * one, rel=0, abs=CENT * (1.0 + times))


@law(10)
@given(folders(), st.integers(0, 12))
def test_the_first_allowed_start_has_the_figures_of_files_that_plan_it(
    folder: Folder, weeks: int
) -> None:
    """Prices stand still here: what they rise by meanwhile has tests of its own."""
    for key in ("inflation", "equipment_inflation"):
        folder["scenario.toml"]["rates"][key] = 0
    folder["scenario.toml"]["aircraft"]["value_change"] = 0
    planned = {name: each["schedule"] for name, each in folder.items() if "schedule" in each}
    for schedule in planned.values():
        schedule.pop("lead_weeks", None)
        schedule["weeks_down"] = [1, 2, 4]
    assert all(each.allowed_start is None for each in evaluate(case_of(folder)).options.values())
    shut = {"from": AS_OF, "to": AS_OF + timedelta(days=30 + 7 * weeks)}
    figures = evaluate(case_of({**folder, "fleet.toml": {"blackout": [shut]}}))
    later = deepcopy(folder)
    for option_id, option in figures.options.items():
        allowed = option.allowed_start
        schedule = later[f"options/{option_id}.toml"].get("schedule")
        if schedule is None or schedule["start"] > shut["to"]:
            assert allowed is None
            continue
        assert allowed is not None
        days = date.fromisoformat(allowed.start) - schedule["start"]
        assert days.days % 7 == 0
        assert shut["to"] < date.fromisoformat(allowed.start) <= shut["to"] + timedelta(days=7)
        schedule["start"] += days
        schedule["order"] += days
        assert allowed.order == schedule["order"].isoformat()
    assume(later != folder)
    moved = evaluate(case_of(later))
    for option_id, option in others(figures):
        if option.allowed_start is not None:
            known = {"funded": moved.options[option_id].funded}
            drawn = moved.uncertainty.options[option_id]
            assert option.allowed_start.net_benefit == pytest.approx(
                moved.options[option_id].likely.net_benefit, rel=1e-9, abs=1e-6
            )
            assert option.allowed_start.outcomes == pytest.approx(drawn.outcomes, abs=1e-6)
            assert option.allowed_start.ahead_of == drawn.ahead_of
            assert option.allowed_start.budget_p80 == pytest.approx(drawn.budget_p80)
            assert option.allowed_start.funded == known["funded"]
