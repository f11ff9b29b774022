"""What an option brings to the members: laws, published principles, and figures by head."""

from pathlib import Path

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import law, others, size_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.figures import (
    Figures,
)
from small_cases import CLUB, case_in, drawn_trials, refit
from strategies import Folder, case_of, folders

OWNER_COSTS = "fuel_per_hour = 10\nfuel_price = 5\noil_per_hour = 2\nother_per_hour = 8"


def figures_in(folder: Path, refit_file: str, **parts: str) -> Figures:
    return evaluate(case_in(folder, {"refit": refit_file}, **parts), trials=100)  # type: ignore[arg-type]


@law(30)
@given(folders())
def test_the_parts_add_up_to_the_net_benefit(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case, trials=100)
    for option_id, option in others(figures):
        parts = option.likely.parts
        together = (
            parts.running
            + parts.project
            + parts.airplane_value
            + parts.hours
            + parts.members
            + parts.loan
        )
        assert together == pytest.approx(
            option.likely.net_benefit, rel=0, abs=1e-9 * size_of(case, option_id)
        )
    assert figures.options[figures.baseline].likely.net_benefit == 0.0


@pytest.mark.parametrize("rate", [0, 60, 200])
def test_a_rate_that_members_pay_their_club_is_no_benefit(tmp_path: Path, rate: int) -> None:
    """A transfer is left out: HM Treasury, The Green Book (2022), paragraph 6.8."""
    after = f"[after]\nhourly_rate = {rate}\nhours_per_year_change = 10"
    same = figures_in(
        tmp_path, refit("cost = 5000", rest=after), aircraft="hourly_rate = 100", rest=CLUB
    )
    likely = same.options["refit"].likely
    assert likely.parts.hours == pytest.approx(2 * 10 * 100)  # at today's rate, whatever it becomes
    assert likely.net_benefit == pytest.approx(2000 - 5000)
    assert likely.npv_vs_baseline == pytest.approx(2 * (110 * rate - 100 * 100) - 5000)


def test_net_benefit_is_benefits_less_costs_in_present_value(tmp_path: Path) -> None:
    """ASTM E1074 (net benefits for investments in buildings): PVNB = Σ (B - C)/(1+i)^t.

    Costs of 1,000 now and savings of 600 a year for two years, paid a month at a time at the
    monthly rate that makes 10 % a year; the present value is numpy-financial's.
    """
    saved = '[after]\ndropped_fixed = ["Old unit"]'
    fixed = 'fixed = [{ name = "Old unit", per_year = 600 }]'
    figures = figures_in(
        tmp_path, refit("cost = 1000", rest=saved), aircraft=fixed, rates="[rates]\ndiscount = 0.1"
    )
    monthly = 1.1 ** (1 / 12) - 1
    expected = npf.npv(monthly, [-1000.0] + [50.0] * 24)
    assert figures.options["refit"].likely.net_benefit == pytest.approx(expected)


def test_an_hour_lost_is_no_saving_for_an_owner(tmp_path: Path) -> None:
    after = "[after]\nhours_lost_per_year = 40"
    without = figures_in(tmp_path / "a", refit("cost = 0", rest=after), aircraft=OWNER_COSTS)
    assert without.options["refit"].likely.net_benefit == pytest.approx(0.0)
    aircraft = f"{OWNER_COSTS}\nworth_per_hour = 90"
    worth = figures_in(tmp_path / "b", refit("cost = 0", rest=after), aircraft=aircraft)
    assert worth.options["refit"].likely.net_benefit == pytest.approx(-2 * 40 * (90 - 60))


def test_money_of_newcomers_counts_and_money_of_members_who_leave_is_lost(tmp_path: Path) -> None:
    club = CLUB.replace("dues_per_month = 0", "dues_per_month = 50\njoining_fee = 300")
    more = figures_in(tmp_path / "a", refit(rest="[members]\njoined = 2"), rest=club)
    less = figures_in(tmp_path / "b", refit(rest="[members]\njoined = -2"), rest=club)
    assert more.options["refit"].likely.parts.members == pytest.approx(2 * (24 * 50 + 300))
    assert less.options["refit"].likely.parts.members == pytest.approx(-2 * 24 * 50)


def test_what_is_hoped_for_is_taken_out_and_what_is_feared_stays(tmp_path: Path) -> None:
    club = CLUB.replace("dues_per_month = 0", "dues_per_month = 50")
    hoped = "[after]\nhours_per_year_change = 20\n[members]\njoined = 2"
    feared = "[after]\nhours_per_year_change = -20\n[members]\njoined = -2"
    up, down = (
        figures_in(tmp_path / name, refit("cost = 100", rest=rest), rest=club).options["refit"]
        for name, rest in (("up", hoped), ("down", feared))
    )
    assert up.likely.without_growth == pytest.approx(-100)
    assert down.likely.without_growth == pytest.approx(down.likely.net_benefit)


def test_an_option_that_changes_nothing_brings_nothing(tmp_path: Path) -> None:
    option = figures_in(tmp_path, refit(), rest=CLUB).options["refit"]
    assert option.likely.net_benefit == 0.0
    assert option.likely.irr == ()
    assert option.swings == ()


def test_borrowing_costs_what_the_annuity_costs(tmp_path: Path) -> None:
    """Against numpy-financial: the payment, and its present value at the discount rate."""
    loan = "[funding]\nloan = { amount = 6000, apr = 0.12, months = 12 }"
    figures = figures_in(
        tmp_path,
        refit('cost = 6000\nwhen = "order"', rest=loan),
        rates="[rates]\ndiscount = 0.05",
        rest=CLUB,
    )
    option = figures.options["refit"]
    payment = round(-npf.pmt(0.01, 12, 6000.0), 2)
    assert option.funded is not None
    assert option.funded.loan_payment == payment
    worth = -npf.pv(1.05 ** (1 / 12) - 1, 12, payment)
    assert option.likely.loan_npv == pytest.approx(6000 - worth, abs=0.06)  # cents of the last one
    assert option.likely.parts.loan == option.likely.loan_npv
    assert option.likely.net_benefit == pytest.approx(-6000 + option.likely.loan_npv)


def test_a_tax_on_the_value_follows_the_value(tmp_path: Path) -> None:
    aircraft = "value = 1200\nvalue_tax = 0.1\nvalue_change = -0.5"
    figures = figures_in(tmp_path, refit(), aircraft=aircraft)
    expected = sum(0.1 / 12 * 1200 * 0.5 ** (month / 12) for month in range(1, 25))
    assert sum(figures.series["keep"].rows["value_tax"]) == pytest.approx(expected)


def test_a_fixed_line_ends_after_its_months(tmp_path: Path) -> None:
    aircraft = 'fixed = [{ name = "Hangar", per_year = 1200, for_months = 7 }]'
    added = 'added_fixed = [{ name = "Data", per_year = 240, for_months = 3 }]'
    figures = figures_in(tmp_path, refit(rest=f"[after]\n{added}"), aircraft=aircraft)
    keep, other = (figures.series[each].rows["fixed"] for each in ("keep", "refit"))
    assert keep == (0.0, *[100.0] * 7, *[0.0] * 17)
    assert other == (0.0, *[120.0] * 3, *[100.0] * 4, *[0.0] * 17)


@law(20)
@given(st.floats(0.05, 0.9), st.integers(1, 50))
def test_ranges_that_move_together_keep_their_rank(mode: float, seed: int) -> None:
    """A range that follows another has rank correlation 1 with it, whatever their shapes."""
    import tempfile  # noqa: PLC0415

    follower = f'{{ low = 0, likely = {mode}, high = 1, like = "aircraft.value" }}'
    with tempfile.TemporaryDirectory() as folder:
        case = case_in(
            Path(folder),
            {"refit": refit(f"cost = {follower}", "cost = [1, 2, 9]")},
            aircraft='value = { low = 100, likely = 300, high = 400, shape = "triangular" }',
            seed=seed,
        )
        trials = drawn_trials(case, 0, 500)
    value = trials.values["aircraft.value"]
    cost = trials.values["options.refit.items[Item 0].cost"]
    free = trials.values["options.refit.items[Item 1].cost"]
    assert (np.argsort(np.argsort(value)) == np.argsort(np.argsort(cost))).all()
    assert abs(np.corrcoef(value, free)[0, 1]) < 0.3


def test_a_followed_range_moves_its_followers_in_its_swing(tmp_path: Path) -> None:
    items = (
        'cost = { low = 10, likely = 20, high = 30, like = "options.refit.items[Item 1].cost" }',
        "cost = [100, 200, 300]",
    )
    [swing] = figures_in(tmp_path, refit(*items)).options["refit"].swings
    assert swing.input == "options.refit.items[Item 1].cost"
    assert (swing.low, swing.high) == (pytest.approx(-110), pytest.approx(-330))


def test_a_root_in_another_option_is_listed_where_its_followers_are(tmp_path: Path) -> None:
    """Both prices move together; each option's own net benefit moves by its own price."""
    root = "options.refit.items[Item 0].cost"
    follower = f'cost = {{ low = 10, likely = 20, high = 50, like = "{root}" }}'
    case = case_in(tmp_path, {"refit": refit("cost = [100, 200, 400]"), "part": refit(follower)})
    for option_id, low, high in (("refit", -100, -400), ("part", -10, -50)):
        [swing] = evaluate(case, trials=100).options[option_id].swings
        assert (swing.input, swing.low, swing.high) == (
            root,
            pytest.approx(low),
            pytest.approx(high),
        )
