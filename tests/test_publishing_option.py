"""An option's own page: what it costs, how it may come out, what it gives, what it changes."""

import math
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from airplane_views import text_of, worked_out
from panelworth.publishing.charts.bars import bars
from panelworth.publishing.charts.outcomes import WIDTH
from panelworth.publishing.charts.starts import strip
from panelworth.publishing.pages.option import option_page
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import (
    after_words,
    grant_words,
    level_words,
    option_words,
    pay_words,
    price_words,
)
from small_cases import case_in, refit


def every_option(*views: View) -> list[tuple[View, OptionTag]]:
    """Return each option with its view."""
    return [(view, tag) for view in views for tag in view.tags.values()]


def test_bars_add_up_to_the_outlay_the_largest_first(club: View, owner: View) -> None:
    """What stands on the page and what is summed up below it are all that is paid, tax in."""
    for view, tag in every_option(club, owner):
        prices = view.figures.prices[tag.id].prices
        outlay = view.option(tag.id).likely.outlay
        assert math.fsum(each.likely for each in prices) == pytest.approx(outlay)
        sums = [each.likely for each in prices]
        assert sums == sorted(sums, reverse=True)
        shown = option_page(view, tag).content["prices"]
        written = [view.formats.money(each.likely) for each in prices[: price_words.MOST_PRICES]]
        assert [drawn["sum"] for _, drawn in shown] == written


def test_every_bar_and_its_range_stay_within_one_scale(club: View) -> None:
    for tag in club.tags.values():
        drawn = bars(club.figures.prices[tag.id].prices)
        assert max(each.high for each in drawn) == WIDTH
        assert all(0 <= each.low <= each.length <= each.high for each in drawn)
    assert bars([]) == []


def test_a_price_says_in_a_word_what_it_stands_on(club: View) -> None:
    found = {each.name: price_words.line(each) for each in club.figures.prices["part"].prices}
    told = {name: price.status for name, price in found.items()}
    assert told["GPS navigator with approach approval"] == "lapsed"
    assert told["Work at the home shop"] == "quoted"
    assert told["Panel survey"] == "paid"
    assert told["Harness and blank plates"] == "guess"
    assert told["Approval papers and weighing"] == ""  # its source is in the option file
    assert [name for name, price in found.items() if price.lapsed] == [
        "GPS navigator with approach approval"
    ]


def test_what_is_left_out_of_the_list_is_counted_and_summed(club: View) -> None:
    price_list = club.figures.prices["full"]
    rest = price_list.prices[price_words.MOST_PRICES :]
    sum_ = club.formats.money(math.fsum(each.likely for each in rest))
    assert price_words.smaller(club.formats, price_list) == f"and {len(rest)} smaller ones: {sum_}"
    short = replace(price_list, prices=price_list.prices[:2])
    assert price_words.smaller(club.formats, short) == ""


def test_sums_before_and_after_what_comes_in_add_up(club: View, owner: View) -> None:
    for view, tag in every_option(club, owner):
        told = price_words.total(view, tag)
        sums = [int(each.replace(",", "")) for each in re.findall(r"[$€]([\d,]+)", told)]
        if len(sums) == 3:
            outlay, back, left = sums
            assert outlay - back == left


def test_each_kind_of_member_has_its_own_figures(club: View) -> None:
    kinds = pay_words.member_kinds(club)
    for tag in club.tags.values():
        figures = {each.label: each.values for each in option_words.key_figures(club, tag)}
        assert len(figures["A month"]) == len(kinds)
    page = text_of(club, "option-part.html")
    assert page.count("data-pays=") == 2


def test_the_sum_to_grant_is_enough_for_the_budget_and_not_finer_than_it_is_sure(
    club: View,
) -> None:
    for tag in club.tags.values():
        later = club.leading(tag).allowed_start
        asked = later.budget_p80 if later else club.uncertain(tag.id).budget_p80
        told = float(
            re.sub(r"[^\d]", "", grant_words.enough(club.formats, club.leading(tag).trials))
        )
        assert asked <= told <= asked * 1.02


def test_an_owner_is_told_a_year_and_up_front_and_nothing_of_members(owner: View) -> None:
    for tag in owner.tags.values():
        labels = [each.label for each in option_words.key_figures(owner, tag)]
        assert labels[:2] == ["A year", "Up front"]
        content = {**option_page(owner, tag).content, "story": ""}
        assert "member" not in str(content).casefold()


def test_a_start_that_is_refused_leads_to_the_first_allowed_one(club: View) -> None:
    tag = club.tags["full"]
    later = club.leading(tag).allowed_start
    assert later is not None
    (told,) = option_words.warnings(club, tag)
    assert told == (
        "Cannot start on January 18, 2027 as planned: too many airplanes would be down (The "
        "cruiser, Annual inspection). First allowed start: October 25, 2027; what it "
        "brings and takes of members is from then."
    )
    assert later.start == "2027-10-25"
    count = level_words.count_ahead(club.leading(tag), club.leading(club.baseline))
    assert f"in {count} of 20" in option_words.outcome_texts(club, tag)["count"]
    # The break-even is worked out for the plan alone.
    assert "for the project" not in option_words.outcome_texts(club, tag)["rest"]


def test_lapsed_quotes_are_named_with_their_share_of_the_bill(club: View, owner: View) -> None:
    part = club.tags["part"]
    (told,) = option_words.warnings(club, part)
    assert told == (
        "Quote lapsed: GPS navigator with approach approval (October 20). That is 39% of the "
        "bill: ask again."
    )
    keep = owner.tags["keep"]
    assert option_words.warnings(owner, keep) == []


def test_where_it_stops_being_ahead_is_a_price_of_the_project(club: View) -> None:
    """The likely view is ahead by some 9,000; the project may cost that more, no further."""
    tag = club.tags["part"]
    told = option_words.outcome_texts(club, tag)["rest"]
    even = club.option("part").break_even.project
    assert even is not None
    sum_ = float(re.sub(r"[^\d]", "", told.split("up to ")[1].split(" for")[0]))
    assert sum_ == pytest.approx(even, rel=0.01)
    assert sum_ > club.option("part").likely.project


def test_level_options_are_called_so_and_the_baseline_is_not_compared(club: View) -> None:
    for tag in club.others:
        rest = option_words.outcome_texts(club, tag)["rest"]
        assert rest.startswith("Too close to call.") == level_words.level(
            club.leading(tag), club.leading(club.baseline)
        )
    assert option_page(club, club.baseline).content["comes_out"] == {}


def test_wishes_that_are_met_and_not_are_named_with_their_share(club: View) -> None:
    told = dict(option_words.benefits(club, club.tags["part"]))
    assert told["51% of what members asked for"].startswith("A horizon with its own battery; ")
    assert told["Not"].startswith("Engine watched for us; ")
    assert told["Not"].endswith("; 2 more")
    assert told["Single failures that would end a flight in cloud"] == "15; with Keep 16"
    assert told["Useful load"] == "900.5 lb, +18.5 lb against today"


def test_changes_begin_with_what_is_looked_up_most_and_the_rest_is_counted(club: View) -> None:
    found = after_words.changes(club, club.tags["part"])
    first = found[0]
    assert (first.label, first.period) == ("Hours lost to groundings", "a year")
    assert (first.today, first.after) == ("15", "8")
    gone = next(each for each in found if each.after == "gone")
    assert (gone.label, gone.today) == ("Vacuum pump and gyro upkeep", "$700")
    left = len(found) - after_words.MOST_CHANGES
    assert after_words.further(club, club.tags["part"]) == f"and {left} more"
    assert after_words.further(club, club.tags["keep"]) == ""


def test_the_strip_has_a_gap_wherever_a_start_is_refused(club: View, owner: View) -> None:
    """Counted anew in weeks: allowed Mondays are as many as the drawn widths hold."""
    for key, planner in club.figures.airplane.planners.items():
        drawn = strip(club, club.tags[key])
        assert drawn is not None
        week = WIDTH / len(planner.weeks)
        allowed = sum(not each.refusals for each in planner.weeks)
        width = math.fsum(each for _, each in drawn.stretches)
        assert width == pytest.approx(allowed * week, abs=0.1 * len(drawn.stretches))
        first = date.fromisoformat(planner.weeks[0].start)
        days = (date.fromisoformat(planner.planned.start) - first).days
        assert drawn.planned == pytest.approx(days / 7 * week, abs=0.1)
    assert strip(club, club.tags["keep"]) is None
    assert strip(owner, owner.tags["refit"]) is None  # no fleet file: a sentence instead
    assert option_words.starts(owner.figures.airplane.planners["refit"]).startswith("Least lost")


def test_a_strip_on_which_nothing_is_allowed_says_so(club: View) -> None:
    planner = club.figures.airplane.planners["full"]
    weeks = tuple(replace(week, refusals=planner.planned.refusals) for week in planner.weeks)
    planners = {"full": replace(planner, weeks=weeks, best_by_cost=())}
    airplane = replace(club.figures.airplane, planners=planners)
    view = replace(club, figures=replace(club.figures, airplane=airplane))
    drawn = strip(view, view.tags["full"])
    assert drawn is not None
    assert drawn.stretches == ()
    assert drawn.text == "Refit all: every start is refused."


def test_a_folder_of_the_least_possible_has_a_page_for_each_option(tmp_path: Path) -> None:
    """No club, no airplane, no ledger, no notes, no schedule, no range."""
    view = worked_out(case_in(tmp_path, {"refit": refit("cost = 4000")}))
    text = text_of(view, "option-refit.html")
    assert "$4,000" in text
    assert "<details" not in text
    keep = text_of(view, "option-keep.html")
    assert "Nothing is paid up front." in keep


def test_the_user_s_note_is_folded_and_its_inputs_are_linked(club: View) -> None:
    text = text_of(club, "option-part.html")
    assert "<summary>Notes on Refit part</summary>" in text
    assert 'href="inputs.html#option-part"' in text
    assert 'id="option-part"' in text_of(club, "inputs.html")
