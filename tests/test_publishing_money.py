"""The money page: what it says of raises, the floor, loans and members follows the figures."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from funded_views import funded, with_funded
from panelworth.publishing import (
    bill_words,
    level_words,
    raise_words,
    reserve_words,
    sentences,
)
from panelworth.publishing.front_page import bill_lines
from panelworth.publishing.money_page import money_page, raise_rows
from panelworth.publishing.reserve_chart import reserve_charts
from panelworth.publishing.view import View
from small_cases import CLUB, case_in, refit

AGAIN = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
RAISES = {
    "full": "dues_increase",
    "part": "assessment_per_member",
    "replace": "hourly_rate_increase",
}


def said(view: View, option_id: str) -> str:
    """Return all that is said of what an option asks for."""
    return " ".join(reserve_words.asked(view, view.tags[option_id]))


@AGAIN
@given(amount=st.floats(0.01, 5000.0), option_id=st.sampled_from(list(RAISES)))
def test_a_solved_raise_is_rounded_up_to_whole_money(
    club: View, amount: float, option_id: str
) -> None:
    view = with_funded(club, option_id, **{RAISES[option_id]: amount})
    [told] = [each for each in raise_words.raises(view, view.tags[option_id]) if "more" in each
              or "each" in each][-1:]  # fmt: skip
    solved = raise_words.up(view, amount)
    assert any(solved in each for each in raise_words.raises(view, view.tags[option_id])), told
    whole = float(solved.replace("$", "").replace(",", ""))
    assert round(amount, 2) <= whole < round(amount, 2) + 1.0


@pytest.mark.parametrize(
    ("chance", "told"),
    [(0.8, "16 of 20"), (0.95, "19 of 20"), (0.99, "99 of 100"), (0.875, "87.5 %")],
)
def test_the_chance_beside_a_solved_raise_is_what_was_asked_for(
    club: View, chance: float, told: str
) -> None:
    option = club.case.options["full"]
    terms = option.funding.model_copy(update={"solve_chance": chance})
    options = {**club.case.options, "full": option.model_copy(update={"funding": terms})}
    view = replace(club, case=replace(club.case, options=options))
    text = said(view, "full")
    assert f"Asked for: the reserve holds its floor of $15,000 in {told}" in text
    assert "not a finding" in text


@pytest.mark.parametrize("option_id", RAISES)
def test_an_option_that_cannot_be_funded_promises_nothing(club: View, option_id: str) -> None:
    nothing = {RAISES[option_id]: None, "solve_month": None, "solve_once": None}
    text = said(with_funded(club, option_id, **nothing), option_id)
    assert text.count("No ") >= 1
    assert "nobody's bill is known" in text
    assert "not a finding" not in text


def test_a_payment_once_stands_beside_a_raise_by_month_or_hour_only(club: View) -> None:
    for option_id in RAISES:
        once = funded(club, option_id).solve_once
        told = reserve_words.once(club, club.tags[option_id])
        assert ("paid once in" in told) == (option_id != "part")
        assert not told or raise_words.up(club, once or 0.0) in told


@AGAIN
@given(likely=st.one_of(st.none(), st.floats(0.0, 60.0)))
def test_what_the_likely_view_asks_is_told_with_what_it_costs(
    club: View, likely: float | None
) -> None:
    """Less than what the trials ask holds the floor less often; as much or more does not."""
    amount = funded(club, "full").dues_increase
    text = said(with_funded(club, "full", solve_likely=likely), "full")
    less = likely is not None and likely < (amount or 0.0) - 0.005
    assert ("more often than was asked for" in text) == less


@AGAIN
@given(share=st.floats(0.0, 1.0))
def test_a_share_of_futures_is_never_told_as_none_or_all_unless_it_is(share: float) -> None:
    told = reserve_words.of_hundred(share)
    assert (told == "0 of 100") == (share == 0.0)
    assert (told == "100 of 100") == (share == 1.0)


def test_the_floor_after_the_years_asked_for_is_told_by_year(club: View) -> None:
    for tag in club.tags.values():
        trials = level_words.drawn(club, tag).reserve
        assert trials is not None
        by_year = trials.chance_below_floor_by_year
        told = reserve_words.breaks(club, tag)
        assert reserve_words.of_hundred(by_year[club.case.scenario.floor_years - 1]) in told
        assert reserve_words.of_hundred(by_year[-1]) in told
        assert ("nothing is asked" in told) == bool(raise_words.solved_kind(club, tag))


def test_no_raise_beside_a_solved_one(club: View) -> None:
    content = money_page(club).content
    assert content["whole"] == []  # every other option's raise is worked out
    assert all(set(row[1:]) == {"—"} for row in raise_rows(club, club.others))


@pytest.mark.parametrize("option_id", ["full", "replace"])
def test_a_loan_s_cost_and_coverage_are_told_never_better_than_they_are(
    club: View, option_id: str
) -> None:
    option, paid_for = club.option(option_id), funded(club, option_id)
    told = reserve_words.borrowing(club, club.tags[option_id])
    assert f"costs {club.formats.money(-option.likely.loan_npv)}" in told
    times = re.search(r"payments (\S+) times", told)
    assert times
    coverage = paid_for.lowest_coverage or 0.0
    assert coverage - 0.01 < float(times[1].replace("−", "-")) <= coverage
    assert f"In year {paid_for.lowest_coverage_year} " in told
    assert "the lender decides" in told


@pytest.mark.parametrize(
    ("joined", "change", "warned"),
    [("-2", "0", True), ("-2", "-30", False), ("0", "0", False), ("[-3, 0, 2]", "0", False)],
)
def test_members_who_leave_without_their_hours_are_warned_of(
    tmp_path: Path, joined: str, change: str, *, warned: bool
) -> None:
    from panelworth import evaluate  # noqa: PLC0415
    from panelworth.publishing.view import view_of  # noqa: PLC0415

    rest = f"[after]\nhours_per_year_change = {change}\n[members]\njoined = {joined}\n"
    case = case_in(tmp_path, {"refit": refit("cost = 5", rest=rest)}, rest=CLUB)
    view = view_of(case, evaluate(case))
    assert bool(level_words.cautions(view, view.tags["refit"])) == warned


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
    for pane, option_id in zip(panes, club.tags, strict=True):
        trials = level_words.drawn(club, club.tags[option_id]).reserve
        assert trials is not None
        for row, band in zip(pane.rows, trials.reserve_by_year, strict=True):
            money = club.formats.money
            assert row[1:4] == [money(band.p10), money(band.p50), money(band.p90)]
            assert least < band.p10 <= band.p50 <= band.p90 < most
    assert reserve_charts(owner) == []


def test_a_pane_tells_the_project_the_loan_and_the_end_of_the_raise(club: View) -> None:
    texts = {pane.id: str(pane.spec) for pane in reserve_charts(club)}
    told = {key: {word for word in ("project", "'loan'", "raise ends") if word in text}
            for key, text in texts.items()}  # fmt: skip
    assert told == {
        "reserve-keep": set(),
        "reserve-part": {"project"},
        "reserve-full": {"project", "'loan'", "raise ends"},
        "reserve-replace": {"project", "'loan'", "raise ends"},
    }


def test_money_is_told_from_the_first_allowed_start_with_the_plan_beside_it(club: View) -> None:
    """The refused plan's raise never leads, on any page that tells what members pay."""
    tag, day = club.tags["full"], "October 25, 2027"
    planned, later = club.option("full").funded, club.option("full").allowed_start
    assert planned is not None
    assert later is not None
    assert later.funded is not None
    first, then = (
        raise_words.up(club, each.dues_increase or 0.0) for each in (later.funded, planned)
    )
    assert first != then
    on_bill = " ".join(reserve_words.raise_on_a_bill(club, tag))
    for told in (said(club, "full"), sentences.funding(club, tag), on_bill):
        assert told.index(f"{first} a month more in dues") < told.index(f"{then} a month more")
        assert f"from {day}, the first start that is allowed; as planned, which is refused" in told
    assert raise_words.as_planned(club, club.tags["part"]) == ""
    for bill, line in zip(later.bills, bill_lines(club, tag), strict=True):
        assert f"{club.formats.cents(bill.per_month)} a month" in line
    own = club.insight.own_bills
    assert own is not None
    kinds = bill_words.kinds(club)
    for bill, kind in zip(later.bills, kinds, strict=True):
        assert bill_words.bill_at(own, "full", kind.hours) == pytest.approx(bill.per_month)
    pane = next(each for each in reserve_charts(club) if each.id == "reserve-full")
    assert f"Counted from {day}" in pane.summary
    assert f"The project runs from {day}" in pane.summary


def test_a_payment_once_names_the_raise_it_replaces(club: View) -> None:
    told = {each: reserve_words.once(club, club.tags[each]) for each in RAISES}
    assert told["full"].startswith("In place of the raise in dues, ")
    assert told["replace"].startswith("In place of the raise an hour, ")
    assert told["replace"].endswith("It comes on top of the $500 that is asked for once.")
    assert told["part"] == ""
