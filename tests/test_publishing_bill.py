"""My own bill: each sentence and cell against the engine's figure it tells."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from panelworth import templates_folder
from panelworth.engine.results_members import BillCrossing, BillLine, OwnBills
from panelworth.publishing import bill_words, level_words
from panelworth.publishing.bill_page import bill_page
from panelworth.publishing.layout import Layout, laid_out, pages_of
from panelworth.publishing.view import View


def own_of(view: View) -> OwnBills:
    """Return the view's own bills, which a club has."""
    assert view.insight.own_bills is not None
    return view.insight.own_bills


def told(view: View, hours: float | None, below: str, above: str) -> list[str]:
    """Word one crossing of keep and part, the latter under a shorter title."""
    tags = {**view.tags, "part": replace(view.tags["part"], title="Refit part")}
    found = BillCrossing(pair=("keep", "part"), hours=hours, below=below, above=above)
    return bill_words.crossings(replace(view, tags=tags), [found])


def test_the_tables_show_the_bills_of_the_profiles(club: View) -> None:
    own = own_of(club)
    for place, kind in enumerate(bill_words.kinds(club)):
        for tag in club.tags.values():
            bill = level_words.bills(club, tag)[place]
            today = club.option(club.figures.baseline).bills[place].per_month
            cells = bill_words.cells(club, own, tag, kind.hours)
            cents = club.formats.cents
            assert cells["month"] == cents(bill.per_month)
            assert cells["once"] == (cents(bill.assessment) if bill.assessment else "—")
            assert cells["hour"] == cents(bill.per_month * 12 / kind.hours)
            if tag.id != club.figures.baseline:
                assert cells["gap"].lstrip("+−") == cents(abs(bill.per_month - today))
                assert cells["year"].lstrip("+−") == cents(abs(bill.per_month - today) * 12)


def test_a_difference_has_its_sign_and_none_where_there_is_none(club: View) -> None:
    lines = {
        option_id: BillLine(
            dues=d, hourly_rate=0.0, per_month=(d, d), in_all=(0.0, 0.0), assessment=0.0
        )
        for option_id, d in (("keep", 80.0), ("part", 80.0), ("full", 92.5), ("replace", 70.0))
    }
    own = OwnBills(hours=(0.0, 8760.0), lines=lines, crossings=())
    gaps = {each: bill_words.cells(club, own, club.tags[each], 10.0)["gap"] for each in lines}
    assert gaps == {"keep": "—", "part": "$0.00", "full": "+$12.50", "replace": "−$10.00"}


def test_who_does_not_fly_pays_no_sum_an_hour(club: View) -> None:
    cells = bill_words.cells(club, own_of(club), club.tags["keep"], 0.0)
    assert (cells["month"], cells["hour"]) == ("$74.00", "—")


def test_the_break_even_is_told_with_its_sides(club: View) -> None:
    said = told(club, 41.26, "keep", "part")
    assert said == [
        "Below 41.3 hours a year “Keep nursing it” is cheaper for me, above that “Refit part”."
    ]


def test_break_even_hours_below_one_are_told_more_finely(club: View) -> None:
    assert told(club, 0.04, "keep", "part")[0].startswith("Below 0.04 hours a year")
    assert told(club, 1.04, "keep", "part")[0].startswith("Below 1 hour a year")


def test_never_and_the_same_are_answers(club: View) -> None:
    never = "however much I fly: the two never break even."
    assert told(club, None, "part", "part") == [
        f"“Refit part” is cheaper for me than “Keep nursing it” {never}"
    ]
    assert told(club, None, "", "") == [
        "“Keep nursing it” and “Refit part” bill the same at any number of hours."
    ]


def test_the_first_sentence_tells_the_least_and_the_most(club: View) -> None:
    said = bill_words.lead(club, own_of(club), bill_words.kinds(club)[0])[0]
    bills = sorted(club.option(each).bills[0].per_month for each in club.tags)
    assert "14 hours a year (“Flies once a month”)" in said
    assert said.index(club.formats.cents(bills[0])) < said.index(club.formats.cents(bills[-1]))


def test_without_profiles_round_numbers_of_hours_stand_in(club: View) -> None:
    scenario = club.case.scenario
    assert scenario.club is not None
    bare = scenario.model_copy(update={"club": scenario.club.model_copy(update={"profiles": ()})})
    view = replace(club, case=replace(club.case, scenario=bare))
    assert [bill_words.caption(kind) for kind in bill_words.kinds(view)] == [
        "12 hours a year", "30 hours a year", "60 hours a year",
    ]  # fmt: skip
    assert bill_page(view) is not None


def test_the_page_says_that_nothing_is_stored_or_sent_and_whom_to_ask(club: View) -> None:
    pages = pages_of(club)
    page = next(each for each in pages if each.file == "bill.html")
    text = laid_out(Layout.of(templates_folder()), club, page, pages, root="")
    assert "it is stored nowhere and sent to nobody" in text
    assert "Whoever you send that address to sees it." in text
    assert "ask your accountant, insurer and lender first" in text


def test_an_owner_has_no_such_page(owner: View) -> None:
    assert bill_page(owner) is None


def unfundable(view: View, *names: str) -> View:
    """Return the view with options that no raise can fund, as the engine tells it: no line."""
    own = own_of(view)
    lines = {each: line for each, line in own.lines.items() if each not in names}
    crossings = tuple(each for each in own.crossings if not set(each.pair) & set(names))
    bare = replace(own, lines=lines, crossings=crossings)
    return replace(view, insight=replace(view.insight, own_bills=bare))


@pytest.mark.parametrize(
    "names", [("full",), ("keep",), ("keep", "part"), ("keep", "part", "full", "replace")]
)
def test_an_option_that_nobody_can_fund_has_no_bill_and_the_page_says_so(
    club: View, names: tuple[str, ...]
) -> None:
    view = unfundable(club, *names)
    page = bill_page(view)
    assert page is not None
    for row in page.content["bill"]["rows"]:
        texts = dict(row["cells"])
        assert (texts["month"] == "—") == (row["option"].id in names)
        if "keep" in names:
            assert texts["gap"] == texts["year"] == "—"
    said = " ".join(page.content["lead"])
    assert "no bill" in said
    assert all(view.tags[name].title in said for name in names)
    assert len(page.content["charts"]) == (len(names) < len(view.tags))


@given(hours=st.floats(0.0, 8760.0))
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_all_that_is_asked_for_is_the_raise_times_its_time(club: View, hours: float) -> None:
    """Without discounting: once + 12 a year of dues + hours of the rate, each while it runs."""
    scenario, own = club.case.scenario, own_of(club)
    for tag in club.tags.values():
        funded, terms = level_words.funded(club, tag), club.case.options[tag.id].funding
        assert funded is not None
        dues = funded.dues_increase * 12 * terms.years_of("dues", scenario)
        rate = funded.hourly_rate_increase * hours * terms.years_of("hourly_rate", scenario)
        whole = funded.assessment_per_member + dues + rate
        told = bill_words.cells(club, own, tag, hours)["in_all"]
        whole_told = club.formats.cents(whole)
        assert told in {whole_told, "—"}
        assert (told == "—") == (not any(own.lines[tag.id].in_all))
