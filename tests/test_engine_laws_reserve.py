"""The club's reserve and the raises that hold its floor: laws that hold for every scenario.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

from typing import Any

import pytest
from hypothesis import assume, given

from laws import ROUNDING, law
from panelworth.engine.evaluate import evaluate
from strategies import Folder, case_of, changed, folders

CENT = 0.01
RAISES = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}


@law(16)
@given(folders(club=True))
def test_the_reserve_ends_where_its_flows_and_raises_and_the_loan_lead(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case)
    for option_id, option in figures.options.items():
        series, funded = figures.series[option_id], option.funded
        assert funded is not None
        assert funded.balance_at_end is not None
        raised = (funded.dues_increase or 0.0) * sum(series.members[1:])
        raised += (funded.hourly_rate_increase or 0.0) * sum(series.hours)
        raised += (funded.assessment_per_member or 0.0) * series.members[0]
        club = case.scenario.club
        assert club is not None
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


def funded_with(folder: Folder, option_id: str, kind: str, amount: float) -> Any:  # noqa: ANN401
    """Return the funding figures with a given raise in place of the one that is solved."""
    file = f"options/{option_id}.toml"
    given_raise = changed(folder, file, ("funding", RAISES[kind]), amount)
    del given_raise[file]["funding"]["solve"]
    return evaluate(case_of(given_raise)).options[option_id].funded


@law(16)
@given(folders(club=True))
def test_a_solved_raise_holds_the_floor_and_one_cent_less_does_not(folder: Folder) -> None:
    asked = {
        file.removeprefix("options/").removesuffix(".toml"): option["funding"]["solve"]
        for file, option in folder.items()
        if "solve" in option.get("funding", {})
    }
    assume(asked)
    figures = evaluate(case_of(folder))
    for option_id, kind in asked.items():
        funded = figures.options[option_id].funded
        found = getattr(funded, RAISES[kind])
        if found is None:
            assert funded_with(folder, option_id, kind, 1e6).below_floor_month is not None
        else:
            assert funded is not None
            assert funded.below_floor_month is None
            assert found == pytest.approx(round(found, 2), abs=1e-9)
            assert funded_with(folder, option_id, kind, found).below_floor_month is None
            assert (found > 0.0) == (funded.solve_month is not None)
        if found:
            less = funded_with(folder, option_id, kind, found - CENT)
            assert less.below_floor_month is not None
