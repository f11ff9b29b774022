"""The days ahead and the club's cash: what cannot happen never leads, and no sum looks better."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airplane_views import text_of, view_in
from funded_views import funded, with_funded
from panelworth.engine.deadlines import deadlines
from panelworth.engine.results.editions import Deadline
from panelworth.publishing.charts.reserve import reserve_charts
from panelworth.publishing.pages.dates import dates_page
from panelworth.publishing.view import View
from panelworth.publishing.words import (
    cash_words,
    dates_words,
    level_words,
    milestones,
    reserve_words,
)
from small_cases import refit

NOW = date(2026, 11, 1)


@pytest.fixture(scope="module")
def loop(club: View) -> View:
    """Return the club demo with the days it keeps in mind."""
    return replace(
        club, updates=replace(club.updates, deadlines=deadlines(club.case, club.figures))
    )


def with_days(view: View, *days: Deadline) -> View:
    """Return the view with just these days."""
    return replace(view, updates=replace(view.updates, deadlines=days))


def quote(day: date, option: str = "part") -> Deadline:
    """Return the day on which a price lapses."""
    return Deadline(
        kind="quote", first=day, last=day, option=option, past=day < NOW, name="Display"
    )


def test_a_refused_start_is_told_from_the_first_allowed_one_with_the_reason(loop: View) -> None:
    """The demo's third option is refused on January 18; its first allowed start is October 25."""
    [order] = [
        each
        for each in dates_words.events(loop)
        if each.option.id == "full" and each.text.startswith("Order")
    ]
    assert order.day == date(2027, 9, 13)
    assert order.text == "Order: away October 25 to about December 27."
    assert order.warn == (
        "Cannot start January 18 as planned: too many airplanes would be down (The cruiser, "
        "Annual inspection)."
    )
    assert date(2026, 12, 7) not in {each.day for each in dates_words.events(loop)}


def test_the_days_are_in_order_and_told_once(loop: View) -> None:
    found = [row.day for row in dates_words.rows(loop)]
    assert found == ["Oct 20", "Nov 30", "Jan 11, 2027", "Sep 13, 2027"]
    days = sorted({each.day for each in dates_words.events(loop)})
    assert len(days) == len(found)


def test_what_a_day_brings_to_several_options_alike_is_said_once(club: View) -> None:
    gone = date(2026, 10, 1)
    [row] = dates_words.rows(with_days(club, quote(gone), quote(gone, "full")))
    [told] = row.events
    assert [tag.id for tag in told.options] == ["part", "full"]


@given(st.lists(st.integers(0, 400), max_size=30))
def test_no_list_of_days_is_longer_than_eight(club: View, ahead: list[int]) -> None:
    orders = [
        Deadline(kind="order", first=day, last=day, option=tag.id, past=False)
        for tag in club.tags.values()
        for day in (NOW + timedelta(days=each) for each in ahead)
    ]
    assert len(dates_words.rows(with_days(club, *orders))) <= 8


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (["2026-11-20"], "1 price lapses before the order."),
        (["2026-11-20", "2026-11-20", "2026-11-25", "2026-12-24"],
         "2 prices lapse, 1 more before the order."),
        (["2026-11-30", "2026-12-24"], ""),
    ],
)  # fmt: skip
def test_a_price_has_a_row_only_if_it_lapses_before_the_order(
    club: View, days: list[str], told: str
) -> None:
    """The demo's second option is ordered on November 30, the last day its price may hold."""
    view = with_days(club, *(quote(date.fromisoformat(day)) for day in days))
    assert [each.text for each in dates_words.events(view)] == ([told] if told else [])
    assert dates_words.decide(view) == (
        "Decide by November 30." if not told else "Decide by November 20."
    )


def test_what_has_lapsed_or_is_overdue_is_warned_of(club: View) -> None:
    gone = date(2026, 10, 1)
    item = Deadline(
        kind="inspection", first=gone, last=gone, option="", past=True, name="Transponder test"
    )
    view = with_days(club, quote(gone), item)
    [event] = dates_words.events(view)
    assert event.warn == "Quote lapsed, ask again: Display."
    assert dates_words.overdue(view.updates) == "Overdue: Transponder test."
    assert "Overdue: Transponder test." in text_of(view, "dates.html")


def test_a_folder_without_days_says_so_and_names_no_calendar(tmp_path: Path) -> None:
    text = text_of(view_in(tmp_path, {"refit": refit("cost = 5")}), "dates.html")
    assert "No day is written in the files." in text
    assert "calendar.ics" not in text


def test_an_owner_s_page_speaks_of_no_reserve(owner: View) -> None:
    text = text_of(owner, "dates.html").casefold()
    main = text[text.index("<main") : text.index("</main>")]
    assert not [word for word in ("reserve", "floor", "member", "raise") if word in main]
    assert "loan: €296 a month to 2031." in main


def test_the_lead_counts_the_futures_in_which_the_cash_lasts(club: View) -> None:
    held = [
        20 - level_words.twentieths(club.leading(tag).trials.chance_below_floor or 0.0)
        for tag in club.tags.values()
    ]
    told = cash_words.floor_held(club)
    assert told.startswith(f"In {min(held)} to {max(held)} of 20 futures the cash stays over ")
    assert told.endswith("its $15,000 floor to 2032.")


def test_each_option_has_a_pane_on_one_scale_with_its_figures(club: View, owner: View) -> None:
    panes = reserve_charts(club)
    assert [pane.id for pane in panes] == [f"reserve-{each}" for each in club.tags]
    scales = {
        tuple(layer["encoding"]["y"]["scale"]["domain"])
        for pane in panes
        for layer in pane.spec["layer"]
        if "scale" in layer.get("encoding", {}).get("y", {})
    }
    [(least, most)] = scales
    for pane, tag in zip(panes, club.tags.values(), strict=True):
        trials = club.leading(tag).trials.reserve
        assert trials is not None
        data = max(pane.spec["datasets"].values(), key=len)
        for row, band in zip(data, trials.reserve_by_year, strict=True):
            ends = (row["low"], row["middle"], row["high"])
            assert ends == pytest.approx((band.p10, band.p50, band.p90), abs=0.01)
            assert least < band.p10 <= band.p50 <= band.p90 < most
        assert reserve_words.at_end(club.formats, club.leading(tag).trials.reserve) in str(
            pane.spec
        )
        assert reserve_words.at_end(club.formats, club.leading(tag).trials.reserve) in pane.summary
    assert reserve_charts(owner) == []


def test_a_pane_tells_the_weeks_away_and_the_loan(club: View) -> None:
    told = {
        pane.id: [word for word in ("away 3 weeks", "away 9 weeks", "away 4 weeks", "'loan'")
                  if word in str(pane.spec)]
        for pane in reserve_charts(club)
    }  # fmt: skip
    assert told == {
        "reserve-keep": [],
        "reserve-part": ["away 3 weeks"],
        "reserve-full": ["away 9 weeks", "'loan'"],
        "reserve-replace": ["away 4 weeks", "'loan'"],
    }


def test_a_loan_s_last_payment_follows_the_first_allowed_start(club: View) -> None:
    """60 payments from the month after the order: September 2027, in place of December 2026."""
    assert milestones.loan_ends(club, club.tags["full"]) == date(2032, 9, 30)
    assert milestones.loan_ends(club, club.tags["replace"]) == date(2037, 4, 30)
    assert milestones.loan_ends(club, club.tags["part"]) is None


@given(coverage=st.one_of(st.none(), st.floats(-3.0, 3.0)))
def test_coverage_is_told_where_it_is_low_and_never_better_than_it_is(
    club: View, coverage: float | None
) -> None:
    view = with_funded(club, "replace", lowest_coverage=None)
    view = with_funded(view, "full", lowest_coverage=coverage)
    told = cash_words.coverage(view)
    low = coverage is not None and coverage < 1.0
    assert bool(told) == low
    if low:
        share = float(cash_words.covered(funded(view, "full")).removesuffix("%"))
        assert share == pytest.approx(max(int(max(coverage or 0.0, 0.0) * 100 + 1e-6), 0), abs=1.0)
        assert share <= max((coverage or 0.0) * 100, 0.0) + 1e-6


@given(amount=st.floats(0.02, 5000.0))
def test_a_raise_that_was_worked_out_is_rounded_up(club: View, amount: float) -> None:
    view = with_funded(club, "part", assessment_per_member=amount)
    told = cash_words.paid(view, view.tags["part"])
    whole = float(told.removeprefix("$").removesuffix(" each once.").replace(",", ""))
    assert round(amount, 2) <= whole < round(amount, 2) + 1.0


def test_an_option_that_cannot_be_funded_promises_nothing(club: View) -> None:
    view = with_funded(club, "part", assessment_per_member=None)
    assert cash_words.paid(view, view.tags["part"]) == ("No raise of the kind asked for would do.")


@pytest.mark.parametrize("name", ["club", "owner"])
def test_every_loan_is_in_the_folded_table(name: str, request: pytest.FixtureRequest) -> None:
    view: View = request.getfixturevalue(name)
    rows = {row["option"].id: row["cells"] for row in dates_page(view).content["loans"]}
    borrowing = [key for key in view.tags if view.case.options[key].funding.loan]
    assert list(rows) == borrowing
    for key, cells in rows.items():
        assert view.formats.cents(funded(view, key).loan_payment) in cells
