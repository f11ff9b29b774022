"""My own bill: each sentence, sum and bar against the engine's figure it tells."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import law
from panelworth import templates_folder
from panelworth.engine.results.members import BillCrossing, BillLine, MemberBills
from panelworth.publishing.charts.sums import WIDTH, bars
from panelworth.publishing.pages.bill import bill_page
from panelworth.publishing.pages.costs import costs_page
from panelworth.publishing.site.layout import Layout, pages_of, render_page
from panelworth.publishing.view import View
from panelworth.publishing.words import bill_words, pay_words
from panelworth.publishing.words.rounding import RoundedSum

ALL = ("keep", "part", "full", "replace")


def own_of(view: View) -> MemberBills:
    """Return the view's own bills, which a club has."""
    assert view.insight.member_bills is not None
    return view.insight.member_bills


def with_bills(view: View, *crossings: BillCrossing, **bills: tuple[float, float]) -> View:
    """Return the view with other bills: of one who never flies, and of one who flies all year."""
    lines = {
        each: BillLine(dues=ends[0], hourly_rate=0.0, per_month=ends, assessment=0.0)
        for each, ends in bills.items()
    }
    own = MemberBills(hours=(0.0, 8760.0), lines=lines, crossings=crossings)
    return replace(view, insight=replace(view.insight, member_bills=own))


def text_of(view: View) -> str:
    """Lay the page out."""
    pages = pages_of(view)
    page = next(each for each in pages if each.file == "bill.html")
    return render_page(Layout.of(templates_folder()), view, page, pages, root="")


def test_the_sums_of_the_profiles_are_those_of_the_first_page(club: View) -> None:
    own = own_of(club)
    for place, kind in enumerate(bill_words.kinds(club.club)):
        sums = bill_words.sums_at(club, own, kind.hours)
        for tag in club.tags.values():
            assert sums[tag.id] == pay_words.monthly(club, tag, place)


@given(hours=st.floats(0.0, 8760.0))
@law(60)
def test_a_total_beside_its_difference_adds_up_at_any_hours(club: View, hours: float) -> None:
    own = own_of(club)
    sums = bill_words.sums_at(club, own, hours)
    for each, found in sums.items():
        exact = own.per_month(each, hours)
        assert exact is not None
        assert found.base == sums["keep"].total
        assert abs(found.total - exact) <= 1.0
    told = bill_words.asks_least(club, own, hours)
    least = min(found.total for found in sums.values())
    assert club.formats.money(least) in told
    for tag in club.tags.values():
        assert (sums[tag.id].total == least) == (tag.short in told)


@pytest.mark.parametrize(
    ("base", "total", "common", "gap", "more"),
    [
        (100.0, 100.0, 80.0, 0.0, False),
        (100.0, 150.0, 80.0, 40.0, True),
        (100.0, 60.0, 48.0, 32.0, False),
    ],
)
def test_a_bar_shows_what_is_common_and_what_is_more_or_less(
    base: float, total: float, common: float, gap: float, *, more: bool
) -> None:
    found = bars(
        {
            "x": RoundedSum(base=base, difference=total - base),
            "widest": RoundedSum(base=200, difference=0),
        }
    )
    assert (found["x"].common, found["x"].gap, found["x"].more) == (common, gap, more)
    assert found["widest"].common == WIDTH


def test_dues_and_rate_hold_the_raise_and_what_was_worked_out_is_rounded_up(club: View) -> None:
    rows = dict(bill_words.parts(club, own_of(club)))
    funded = {each: club.leading(club.tags[each]).funded for each in ALL}
    raised = funded["full"]
    assert raised is not None
    assert raised.dues_increase == pytest.approx(17.61)
    assert dict(zip(club.tags, rows["Dues a month"], strict=True))["full"] == "$92"
    assert dict(zip(club.tags, rows["Once"], strict=True)) == {
        "keep": "—", "part": "$71", "full": "—", "replace": "$500",
    }  # fmt: skip
    runs = dict(zip(club.tags, rows["The raise runs for"], strict=True))
    years = club.case.options["full"].funding.years_of("dues", club.case.scenario)
    assert (runs["full"], runs["keep"]) == (f"{years} years", "—")


def test_a_raise_that_begins_before_its_option_is_said_once_of_all(club: View) -> None:
    """A raise runs from month 1; only sums paid once do not run."""
    assert bill_words.notes(club, own_of(club)).endswith(
        "Refit all and Replace ask for their raise from December 2026 on, before they start."
    )
    soon = {
        each: replace(series, start="2026-12-15") for each, series in club.figures.series.items()
    }
    options = {
        each: replace(figures, allowed_start=None) for each, figures in club.figures.options.items()
    }
    view = replace(club, figures=replace(club.figures, series=soon, options=options))
    assert "raise" not in bill_words.notes(view, own_of(view))


def test_what_the_club_holds_and_what_options_bring_answers_why(club: View) -> None:
    head, told = bill_words.why_more(club, own_of(club))
    assert head == "Why pay more than Keep asks?"
    for tag in club.tags.values():
        trials = club.leading(tag).trials.reserve
        assert trials is not None
        found = re.search(rf"\$([\d,]+) with {tag.short}\b", told)
        assert found
        shown = float(found.group(1).replace(",", ""))
        assert shown == pytest.approx(trials.reserve_by_year[-1].p50, abs=1000)
    assert "Refit all level" in told
    cheap = with_bills(club, keep=(90.0, 900.0), part=(80.0, 800.0))
    assert bill_words.why_more(cheap, own_of(cheap))[0] == "What a bill leaves out"


@pytest.mark.parametrize(
    ("third", "reach", "told"),
    [
        (500.0, 100.0, ["Below 41.3 hours a year Keep asks least, above that Refit part."]),
        (50.0, 100.0, []),  # another asks least there
        (500.0, 40.0, []),  # beyond the slider
    ],
)
def test_only_where_another_option_asks_least_a_crossing_is_told(
    club: View, third: float, reach: float, told: list[str]
) -> None:
    slope = 8760 / 41.26
    crossing = BillCrossing(pair=("keep", "part"), hours=41.26, below="keep", above="part")
    view = with_bills(
        club, crossing, keep=(100.0, 100.0 + 10 * slope), part=(110.0, 110.0), full=(third, third)
    )
    assert bill_words.crossings(view.tags, own_of(view), reach) == told


def test_crossing_hours_below_one_are_told_more_finely(club: View) -> None:
    for hours, told in ((0.04, "Below 0.04 hours a year"), (1.04, "Below 1 hour a year")):
        crossing = BillCrossing(pair=("keep", "part"), hours=hours, below="keep", above="part")
        view = with_bills(club, crossing, keep=(100.0, 100.0), part=(100.0, 100.0))
        assert bill_words.crossings(view.tags, own_of(view), 100.0)[0].startswith(told)


def test_without_profiles_round_numbers_of_hours_stand_in(club: View) -> None:
    scenario = club.case.scenario
    assert scenario.club is not None
    bare = scenario.model_copy(update={"club": scenario.club.model_copy(update={"profiles": ()})})
    view = replace(club, case=replace(club.case, scenario=bare))
    page = bill_page(view)
    assert page is not None
    assert page.content["bill"]["kinds"] == [
        "12 hours a year", "30 hours a year", "60 hours a year",
    ]  # fmt: skip


def test_the_page_shows_every_kind_of_member_without_script_and_carries_its_caution(
    club: View,
) -> None:
    text = text_of(club)
    for place, _ in enumerate(bill_words.kinds(club.club)):
        for tag in club.tags.values():
            sums = pay_words.monthly(club, tag, place)
            assert sums is not None
            assert f"<td>{club.formats.money(sums.total)}</td>" in text
    assert "Your hours stay on this page." in text
    assert "your accountant, insurer and lender decide" in text


def test_a_club_has_the_bill_and_an_owner_the_costs(club: View, owner: View) -> None:
    assert bill_page(owner) is None
    assert costs_page(club) is None
    for view, file in ((club, "bill.html"), (owner, "costs.html")):
        assert [page.file for page in pages_of(view)][1] == file


@pytest.mark.parametrize("names", [("full",), ("keep",), ("keep", "part"), ALL])
def test_an_option_that_nobody_can_fund_has_no_bill_and_the_page_says_so(
    club: View, names: tuple[str, ...]
) -> None:
    own = own_of(club)
    lines = {each: line for each, line in own.lines.items() if each not in names}
    crossings = tuple(each for each in own.crossings if not set(each.pair) & set(names))
    bare = replace(own, lines=lines, crossings=crossings)
    view = replace(club, insight=replace(club.insight, member_bills=bare))
    page = bill_page(view)
    assert page is not None
    for row in page.content["rows"]:
        assert (row["total"] == "not known") == (row["option"].id in names)
        assert not (row["more"] and "keep" in names)
    assert "no bill" in page.content["unfunded"]
    assert all(view.tags[name].short in page.content["unfunded"] for name in names)
    assert "<h1>What would I pay?</h1>" in text_of(view)
