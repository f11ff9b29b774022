"""Raises that hold the club's floor in enough trials: against trial by trial, and by head."""

import math
from pathlib import Path

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from laws import law
from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.funding.reserve import (
    balances,
    binding_month,
    held_in,
    least_raises,
    stated_raise,
)
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.model.case import Case
from small_cases import CLUB, case_in, drawn_trials, refit

COST = 'cost = [9000, 12000, 21000]\nwhen = "order"'
TRIALS = 200


def paid_by(
    folder: Path,
    solve: str,
    *,
    chance: float = 0.8,
    rest: str = "",
    club: str = CLUB,
    cost: str = COST,
) -> Case:
    funding = f'[funding]\nsolve = "{solve}"\nsolve_chance = {chance}\n{rest}'
    return case_in(folder, {"refit": refit(cost, rest=funding)}, rest=club, trials=TRIALS)


def share_below(case: Case, solve: str, amount: float, months: int) -> float:
    """Count, trial by trial in plain sums, how often the floor breaks with this raise."""
    club, below = case.scenario.club, 0
    assert club is not None
    flows = flows_of(case, "refit", drawn_trials(case, 0, TRIALS))
    net, members, hours = (each.tolist() for each in (flows.net, flows.members, flows.hours))
    for trial in range(TRIALS):
        own_net, own_members, own_hours = (
            each[min(trial, len(each) - 1)] for each in (net, members, hours)
        )
        balance = club.reserve
        broken = False
        for month in range(25):
            balance += own_net[month]
            if solve == "assessment" and month == 0:
                balance += amount * own_members[0]
            if month and month <= months and solve == "dues":
                balance += amount * own_members[month]
            if month and month <= months and solve == "hourly_rate":
                balance += amount * own_hours[month]
            broken = broken or balance < club.reserve_floor - 0.005
        below += broken
    return below / TRIALS


@pytest.mark.parametrize("solve", ["dues", "hourly_rate", "assessment"])
@pytest.mark.parametrize("chance", [0.5, 0.8, 0.99])
def test_the_raise_is_the_least_that_holds_in_the_share_asked_for(
    tmp_path: Path, solve: str, chance: float
) -> None:
    start = "[schedule]\nstart = 2026-06-01\nweeks_down = 4\norder = 2026-05-04\n"
    case = paid_by(tmp_path, solve, chance=chance, rest=start)
    figures = evaluate(case)
    option, uncertain = figures.options["refit"], figures.uncertainty.options["refit"]
    assert option.funded is not None
    amounts = {
        "dues": option.funded.dues_increase,
        "hourly_rate": option.funded.hourly_rate_increase,
        "assessment": option.funded.assessment_per_member,
    }
    amount = amounts[solve]
    assert amount is not None
    assert amount > 0
    assert share_below(case, solve, amount, 24) <= 1 - chance + 1e-9
    assert share_below(case, solve, amount - 0.02, 24) > 1 - chance + 1e-9
    assert uncertain.chance_below_floor == share_below(case, solve, amount, 24)


@law(25)
@given(st.integers(1, 10_000), st.sampled_from(["dues", "assessment"]))
def test_a_raise_found_holds_in_about_the_stated_share_of_fresh_draws(
    seed: int, solve: str
) -> None:
    import tempfile  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as folder:
        start = "[schedule]\nstart = 2026-06-01\nweeks_down = 4\norder = 2026-05-04\n"
        found = paid_by(Path(folder), solve, rest=start)
        raise_ = evaluate(found, trials=2000).uncertainty.options["refit"].solved
        assert raise_ is not None
        assert raise_.amount is not None
        uncertainty = found.scenario.uncertainty.model_copy(update={"seed": seed})
        fresh = found.scenario.model_copy(update={"uncertainty": uncertainty})
        import dataclasses  # noqa: PLC0415

        again = dataclasses.replace(found, scenario=fresh)
    flows = flows_of(again, "refit", drawn_trials(again, 0, 2000))
    club = again.scenario.club
    assert club is not None
    terms = dataclasses.replace(
        stated_raise(again.scenario, again.options["refit"].funding), **{solve: raise_.amount}
    )
    held = (balances(flows, club, terms).min(axis=1) >= club.reserve_floor - 0.005).mean()
    assert held == pytest.approx(0.8, abs=4 * math.sqrt(0.8 * 0.2 / 2000) * math.sqrt(2))


def test_an_assessment_covers_what_is_short_and_is_its_own_payment_once(tmp_path: Path) -> None:
    """20,000 in hand, a floor of 10,000, 12,000 to pay, ten members: 200 each."""
    case = paid_by(tmp_path, "assessment", cost='cost = 12000\nwhen = "order"')
    funded = evaluate(case, trials=100).options["refit"].funded
    assert funded is not None
    assert funded.assessment_per_member == 200.0
    assert funded.solve_once == 200.0
    assert funded.solve_likely == 200.0
    assert funded.solve_month == 0
    assert funded.lowest_balance == 10_000.0


def test_a_monthly_raise_cannot_pay_for_month_0(tmp_path: Path) -> None:
    case = paid_by(tmp_path, "dues", cost='cost = 12000\nwhen = "order"')
    figures = evaluate(case, trials=100)
    option = figures.options["refit"]
    assert option.funded is not None
    assert option.funded.dues_increase is None
    assert option.funded.solve_likely is None
    assert option.funded.solve_month is None
    assert option.funded.solve_once == 200.0
    assert option.funded.lowest_balance == 8000.0  # the balances without it
    assert figures.uncertainty.options["refit"].chance_below_floor == 1.0


@law(100)
@given(
    st.integers(0, 10_000_000),
    st.lists(st.integers(1, 10_000_000), min_size=1, max_size=6),
    st.sampled_from([0, 1]),
)
def test_a_balance_at_the_floor_needs_no_raise_whatever_floating_point_leaves(
    floor: int, bills: list[int], cents: int
) -> None:
    """All is paid in month 0, before a monthly raise brings anything: a cent less cannot be met."""
    in_hand = (floor + sum(bills) - cents) / 100
    balance = np.cumsum([[in_hand - sum(bill / 100 for bill in bills)]], axis=1)
    needed = least_raises(balance, np.zeros_like(balance), floor / 100)
    assert needed.tolist() == [[math.inf if cents else 0.0]]


def test_a_raise_runs_for_the_years_it_is_given(tmp_path: Path) -> None:
    """The floor must hold for one year: 1,000 short in month 5, ten members, five months: 20."""
    start = "[schedule]\nstart = 2026-06-01\nweeks_down = 1\n"
    club = CLUB + "floor_years = 1\n"
    case = paid_by(tmp_path, "dues", cost='cost = 11000\nwhen = "start"', rest=start, club=club)
    figures = evaluate(case, trials=100)
    funded = figures.options["refit"].funded
    assert funded is not None
    assert funded.dues_increase == 20.0
    assert funded.solve_month == 5
    assert funded.balance_at_end == pytest.approx(20_000 - 11_000 + 12 * 20 * 10)
    longer = paid_by(
        tmp_path / "b",
        "dues",
        cost='cost = 11000\nwhen = "start"',
        rest=f"raise_years = 2\n{start}",
        club=club,
    )
    again = evaluate(longer, trials=100).options["refit"].funded
    assert again is not None
    assert again.balance_at_end == pytest.approx(20_000 - 11_000 + 24 * 20 * 10)


def test_how_often_the_floor_breaks_by_year_only_rises_and_ends_at_the_horizon(
    tmp_path: Path,
) -> None:
    case = paid_by(
        tmp_path, "dues", rest='[after]\nadded_fixed = [{ name = "X", per_year = 6000 }]'
    )
    found = evaluate(case).uncertainty.options["refit"].reserve
    assert found is not None
    by_year = found.chance_below_floor_by_year
    assert len(by_year) == 2
    assert by_year[0] <= by_year[1]
    assert found.chance_below_floor == by_year[1]
    assert len(found.reserve_by_year) == 3


@law(50)
@given(
    st.lists(
        st.one_of(st.just(0.0), st.just(math.inf), st.floats(0.01, 1e4)), min_size=1, max_size=60
    ),
    st.floats(0.01, 0.99),
)
def test_the_raise_that_holds_is_an_order_statistic(needed: list[float], chance: float) -> None:
    """In at least the share asked for no more is needed, and a cent less is too little for it."""
    found, rank = held_in(np.array(needed), chance)
    enough = sum(each <= found for each in needed)
    assert enough >= chance * len(needed) - 1e-6
    assert rank == max(1, math.ceil(chance * len(needed) - 1e-9))
    assume(math.isfinite(found) and found > 0.02)
    assert sum(each <= found - 0.011 for each in needed) < rank


def test_the_month_that_binds_is_the_commonest_around_the_raise() -> None:
    needed = np.array([0.0, 0.0, 3.0, 4.0, 5.0, 6.0, math.inf] * 100)
    months = np.array([0, 0, 9, 4, 4, 7, 3] * 100)
    found, rank = held_in(needed, 0.6)
    assert found == 5.0
    assert binding_month(needed, months.take, found, rank) == 4
    assert binding_month(needed, months.take, 0.0, 1) is None
    assert binding_month(needed, months.take, math.inf, 700) is None


def test_coverage_is_cash_before_the_loan_over_its_payments(tmp_path: Path) -> None:
    """100 hours at 60 less nothing: 6,000 a year over twelve payments of numpy-financial's pmt."""
    loan = "[funding]\nloan = { amount = 6000, apr = 0.12, months = 12 }"
    case = case_in(
        tmp_path,
        {"refit": refit('cost = 6000\nwhen = "order"', rest=loan)},
        aircraft="hourly_rate = 60",
        rest=CLUB,
    )
    funded = evaluate(case, trials=100).options["refit"].funded
    assert funded is not None
    paid = round(-npf.pmt(0.01, 12, 6000.0), 2) * 12
    assert funded.lowest_coverage == pytest.approx(6000 / paid, rel=1e-4)
    assert funded.lowest_coverage_year == 1


def test_the_figures_of_a_club_do_not_depend_on_the_size_of_a_block(tmp_path: Path) -> None:
    from panelworth.engine.uncertainty.simulation import simulate  # noqa: PLC0415

    case = paid_by(tmp_path, "hourly_rate")
    whole: Figures | object = simulate(case, block=200).options["refit"].reserve
    assert simulate(case, block=37).options["refit"].reserve == whole
