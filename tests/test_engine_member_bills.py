"""A member's own bill by hours: against hand-worked numbers, and as laws for any club."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import law
from panelworth.engine.cash_flow.price_groups import JOBS, prices_by_group
from panelworth.engine.evaluate import evaluate
from panelworth.engine.funding.member_bills import member_bills
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.members import BillCrossing, MemberBills
from panelworth.model.case import Case
from panelworth.reading.folder import read_case
from small_cases import case_in, refit
from strategies import Folder, case_of, changed, folders

CLUB = "[club]\nmembers = 10\ndues_per_month = 70\nreserve = 90000\n"
RATE = "hourly_rate = 120"
DAYS = 8760.0  # hours in a year of 365 days


def found_in(case: Case) -> MemberBills:
    """Return a club's own bills."""
    own = member_bills(case, evaluate(case, trials=1))
    assert own is not None
    return own


def at(own: MemberBills, option_id: str, hours: float) -> float:
    """Interpolate a bill, as the page does, with numpy.interp."""
    return float(np.interp(hours, own.hours, own.lines[option_id].per_month))


def pair(own: MemberBills, one: str, other: str) -> BillCrossing:
    """Return what is said of two options."""
    return next(each for each in own.crossings if set(each.pair) == {one, other})


def small_club(folder: Path) -> Case:
    """Write four options by hand: keep 70 + 10·h a month, see the test below."""
    options = {
        "less": refit(rest="[after]\nhourly_rate = 108\n[funding]\ndues_increase = 15\n"),
        "dear": refit(rest="[after]\nhourly_rate = 126\n[funding]\nassessment_per_member = 250\n"),
        "same": refit(rest="[funding]\ndues_increase = 0\n"),
    }
    return case_in(folder, options, aircraft=RATE, rest=CLUB)


def test_bills_and_break_even_hours_are_those_worked_out_by_hand(tmp_path: Path) -> None:
    """With h hours a year, a month: keep 70 + 120·h/12, less 85 + 108·h/12, dear 70 + 126·h/12.

    keep = less: 70 + 10·h = 85 + 9·h at h = 15, keep cheaper below. dear = less:
    70 + 10.5·h = 85 + 9·h at h = 10. keep and dear are alike at 0 hours and part from there.
    """
    own = found_in(small_club(tmp_path))
    expected = {"keep": 70 + 10 * 30, "less": 85 + 9 * 30, "dear": 70 + 10.5 * 30, "same": 370}
    assert {each: at(own, each, 30.0) for each in own.lines} == pytest.approx(expected)
    assert own.hours == (0.0, DAYS)
    assert [own.lines[each].assessment for each in ("keep", "dear")] == [0.0, 250.0]
    assert (own.lines["less"].dues, own.lines["less"].hourly_rate) == (85.0, 108.0)
    crossed = {each: pair(own, *each) for each in [("keep", "less"), ("dear", "less")]}
    assert [each.hours for each in crossed.values()] == pytest.approx([15.0, 10.0])
    assert [(each.below, each.above) for each in crossed.values()] == [
        ("keep", "less"), ("dear", "less"),
    ]  # fmt: skip


def test_lines_that_part_at_no_hours_and_lines_that_are_one_never_cross(tmp_path: Path) -> None:
    own = found_in(small_club(tmp_path))
    parting, one = pair(own, "keep", "dear"), pair(own, "keep", "same")
    assert (parting.hours, parting.below, parting.above) == (None, "keep", "keep")
    assert (one.hours, one.below, one.above) == (None, "", "")


def test_a_crossing_past_the_hours_of_a_year_is_none(tmp_path: Path) -> None:
    """90 a month more in dues against a hundredth an hour: even only at 108,000 hours a year."""
    option = refit(rest="[after]\nhourly_rate = 119.99\n[funding]\ndues_increase = 90\n")
    own = found_in(case_in(tmp_path, {"far": option}, aircraft=RATE, rest=CLUB))
    assert (pair(own, "keep", "far").hours, pair(own, "keep", "far").below) == (None, "keep")


def test_the_golden_club_is_billed_what_its_working_says() -> None:
    """Bill at 24 hours: keep 50 + 2·100 = 250; refit 16.42 more."""
    case, problems = read_case(Path(__file__).parent / "golden" / "club-retrofit")
    assert case is not None, problems
    own = found_in(settled(case))
    assert at(own, "keep", 24.0) == pytest.approx(250.0)
    assert at(own, "refit", 24.0) == pytest.approx(266.42)


def test_an_owner_is_billed_nothing(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit()})
    assert member_bills(case, evaluate(case, trials=1)) is None


@law(15)
@given(
    folder=folders(club=True), hours=st.integers(0, 100 * int(DAYS)).map(lambda each: each / 100)
)
def test_between_the_two_points_a_bill_is_the_one_a_profile_gets(
    folder: Folder, hours: float
) -> None:
    profile = [{"name": "Somebody", "hours_per_year": hours}]
    case = case_of(changed(folder, "scenario.toml", ("club", "profiles"), profile))
    figures = evaluate(case, trials=1)
    own = member_bills(case, figures)
    assert own is not None
    for option_id, option in figures.options.items():
        [bill] = option.allowed_start.bills if option.allowed_start else option.bills
        if bill.per_month is None:  # no raise funds it: nobody knows its bill
            assert option_id not in own.lines
            continue
        assert at(own, option_id, hours) == pytest.approx(bill.per_month, rel=1e-9)
        assert own.lines[option_id].assessment == bill.assessment


@law(25)
@given(folder=folders(club=True))
def test_at_the_break_even_hours_both_bills_are_equal_and_on_either_side_as_said(
    folder: Folder,
) -> None:
    own = found_in(case_of(folder))
    assert len(own.crossings) == len(own.lines) * (len(own.lines) - 1) // 2
    for each in own.crossings:
        one, other = each.pair
        if each.hours is not None:
            assert 0.0 < each.hours < DAYS
            assert at(own, one, each.hours) == pytest.approx(at(own, other, each.hours), abs=1e-6)
            assert each.below != each.above
        for hours in np.linspace(0.0, DAYS, 50):
            gap = at(own, one, hours) - at(own, other, hours)
            cheaper = each.below if each.hours is None or hours < each.hours else each.above
            assert abs(gap) < 1e-6 or (one if gap < 0 else other) == cheaper


def test_prices_by_group_are_those_worked_out_by_hand(tmp_path: Path) -> None:
    """Ten hours at 50 and 10 % tax are 550; 1,000 and 200 of equipment 1,200; the job 300."""
    items = (
        'group = "labour"\nhours = 10\nrate = 50\ntax = 0.1',
        'group = "equipment"\ncost = 1000',
        'group = "equipment"\ncost = 200',
    )
    job = '[[jobs]]\nname = "Hoses"\nnow = 300\nlater = 900\nchance_per_year = 0.1\n'
    case = case_in(tmp_path, {"refit": refit(*items, top='jobs = ["Hoses"]')}, rest=job)
    expected = {"labour": 550.0, "equipment": 1200.0, JOBS: 300.0}
    assert prices_by_group(case)["refit"] == pytest.approx(expected)
    assert prices_by_group(case)["keep"] == {}


@law(15)
@given(folder=folders())
def test_prices_by_group_add_up_to_the_project(folder: Folder) -> None:
    case = case_of(folder)
    figures, priced = evaluate(case, trials=1), prices_by_group(case)
    for option_id, option in figures.options.items():
        assert sum(priced[option_id].values()) == pytest.approx(option.likely.project, abs=1e-6)
