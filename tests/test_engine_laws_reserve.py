"""The club's reserve and the raises that hold its floor: laws that hold for every scenario.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

import math

import pytest
from hypothesis import assume, given

from laws import ROUNDING, law
from panelworth.engine.evaluate import evaluate
from panelworth.engine.uncertainty.simulation import simulate
from panelworth.model.case import Case
from strategies import Folder, case_of, changed, folders

LESS = 0.02  # a cent of rounding up, and half a cent that a balance may be below the floor
RAISES = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}


def months_paid(case: Case, option_id: str, kind: str) -> int:
    """Return the last month of a raise: as stated, else to the end, or while the floor counts."""
    terms, scenario = case.options[option_id].funding, case.scenario
    assert scenario.club is not None
    solved = min(scenario.club.floor_years or 5, scenario.years)
    years = terms.raise_years or (solved if terms.solve == kind else scenario.years)
    return 12 * years


@law(16)
@given(folders(club=True))
def test_the_reserve_ends_where_its_flows_and_raises_and_the_loan_lead(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case)
    for option_id, option in figures.options.items():
        series, funded = figures.series[option_id], option.funded
        assert funded is not None
        assert funded.balance_at_end is not None
        club = case.scenario.club
        assert club is not None
        paid = {key: months_paid(case, option_id, key) for key in ("dues", "hourly_rate")}
        raised = (funded.dues_increase or 0.0) * sum(series.members[1 : paid["dues"] + 1])
        raised += (funded.hourly_rate_increase or 0.0) * sum(
            series.hours[: paid["hourly_rate"] + 1]
        )
        raised += (funded.assessment_per_member or 0.0) * series.members[0]
        from_loan = funded.balance_at_end - club.reserve - sum(series.net) - raised
        # Of a loan there stays what is still owed, less the interest paid so far.
        debt, interest = funded.debt_at_end or 0.0, funded.loan_interest or 0.0
        assert -interest - ROUNDING <= from_loan - debt <= ROUNDING
        if debt == 0.0:
            assert from_loan == pytest.approx(-interest, abs=ROUNDING)


@law(16)
@given(folders(club=True))
def test_the_lowest_balance_is_that_of_its_month(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case)
    for option_id, option in figures.options.items():
        balance, funded = figures.series[option_id].balance, option.funded
        assert balance is not None
        assert funded is not None
        assert funded.lowest_balance == min(balance)
        month = funded.lowest_balance_month
        assert month is not None
        assert balance[month] == pytest.approx(min(balance), abs=ROUNDING)
        assert case.scenario.club is not None
        below = [each < case.scenario.club.reserve_floor - ROUNDING for each in balance]
        assert funded.below_floor_month == (below.index(True) if any(below) else None)


def chance_with(folder: Folder, option_id: str, kind: str, amount: float) -> float:
    """Return how often the floor breaks with a given raise in place of the one that is solved."""
    file = f"options/{option_id}.toml"
    given_raise = changed(folder, file, ("funding", RAISES[kind]), amount)
    del given_raise[file]["funding"]["solve"]
    found = simulate(case_of(given_raise)).options[option_id].chance_below_floor
    assert found is not None
    return found


@law(16)
@given(folders(club=True))
def test_a_solved_raise_holds_in_the_share_asked_for_and_less_does_not(folder: Folder) -> None:
    asked = {
        file.removeprefix("options/").removesuffix(".toml"): option["funding"]["solve"]
        for file, option in folder.items()
        if "solve" in option.get("funding", {})
    }
    assume(asked)
    figures = evaluate(case_of(folder))
    for option_id, kind in asked.items():
        funded = figures.options[option_id].funded
        assert funded is not None
        found = getattr(funded, RAISES[kind])
        chance = folder[f"options/{option_id}.toml"]["funding"].get("solve_chance", 0.8)
        trials = figures.uncertainty.trials
        at_most = 1.0 - math.ceil(chance * trials - 1e-9) / trials + 1e-9
        if found is None:
            assert chance_with(folder, option_id, kind, 1e9) > at_most
            assert funded.solve_month is None
            continue
        assert found == pytest.approx(round(found, 2), abs=1e-9)
        assert (found > 0.0) == (funded.solve_month is not None)
        held = chance_with(folder, option_id, kind, found)
        assert held <= at_most
        assert held == figures.uncertainty.options[option_id].chance_below_floor
        if found > LESS:
            assert chance_with(folder, option_id, kind, found - LESS) > at_most
