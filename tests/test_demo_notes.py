"""The demos' notes against the demos' own figures: what they tell in numbers is what comes out."""

import re
from collections.abc import Callable

import pytest

from panelworth.engine.deadlines import deadlines
from panelworth.publishing.view import View

Sum = Callable[[View], float]


def _outlay(option: str) -> Sum:
    return lambda view: view.option(option).likely.outlay


def _range(path: str, end: str = "likely") -> Sum:
    return lambda view: float(getattr(view.inputs[path].quantity, end))


def _purchase(view: View) -> float:
    buy = view.case.options["replace"].buy
    assert buy is not None
    return buy.price.likely * (1 + buy.tax.likely)


def _sale(view: View) -> float:
    share = 1 - view.case.scenario.aircraft.selling_cost.likely
    return view.inputs["options.replace.sell.price"].quantity.likely * share


def _club(key: str) -> Sum:
    return lambda view: float(getattr(view.case.scenario.club, key))


def _loan(option: str) -> Sum:
    def amount(view: View) -> float:
        loan = view.case.options[option].funding.loan
        assert loan is not None
        return loan.amount or 0.0

    return amount


# Every sum of money in a note: where it stands, what it is, how far it is from it at most.
CLUB = {
    ("scenario", "$44,500"): (_club("reserve"), 0),
    ("scenario", "$15,000"): (_club("reserve_floor"), 0),
    ("keep", "$2,000"): (_outlay("keep"), 50),
    ("keep", "$2,400"): (_range("aircraft.repairs.per_year"), 0),
    ("keep", "$5,000"): (_range("aircraft.repairs.per_year", "high"), 300),
    ("full", "$56,000"): (_loan("full"), 0),
    ("replace", "$206,000"): (_purchase, 500),
    ("replace", "$223,000"): (_outlay("replace"), 500),
    ("replace", "$80,000"): (_sale, 2500),
    ("replace", "$500"): (lambda view: view.option("replace").bills[0].assessment, 0),
}
OWNER = {
    ("keep", "1,300 euros"): (_range("aircraft.repairs.per_year"), 0),
    ("keep", "3,000"): (_range("aircraft.repairs.per_year", "high"), 0),
    ("newer", "95,000 euros"): (_range("options.newer.buy.price"), 0),
    ("newer", "51,000 euros"): (lambda view: view.option("newer").likely.upfront, 500),
    ("refit", "33,000 euros"): (_outlay("refit"), 500),
    ("refit", "15,000"): (_loan("refit"), 0),
}


@pytest.mark.parametrize("name", ["club", "owner"])
def test_every_sum_in_a_note_is_that_of_the_figures(
    name: str, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    sums = CLUB if name == "club" else OWNER
    found = {
        (note, told)
        for note, text in view.case.notes.items()
        for told in re.findall(r"\$[\d,]*\d|\b\d{1,3}(?:,\d{3})+(?: euros)?", text)
    }
    assert found == set(sums)
    for (note, told), (sum_, away) in sums.items():
        written = float(re.sub(r"[^\d.]", "", told))
        assert abs(sum_(view) - written) <= away, (note, told, sum_(view))


def test_what_the_notes_of_the_club_tell_in_words_follows_from_its_figures(club: View) -> None:
    case, notes = club.case, club.case.notes
    weight = club.figures.airplane.weight["replace"].full_fuel_payload_change
    assert weight is not None
    assert weight < 0
    assert "carries a little less than today's airplane" in notes["replace"]
    fuel = case.options["replace"].after.new("fuel_per_hour")
    assert fuel is not None
    assert fuel.likely > case.scenario.aircraft.fuel_per_hour.likely
    assert "burns a little more fuel" in notes["replace"]
    funded = club.option("part").funded
    assert funded is not None
    assert funded.assessment_per_member
    assert "a small assessment" in notes["part"]
    early = [
        each
        for each in deadlines(case, club.figures)
        if each.kind == "quote" and not each.past and each.order and each.first < each.order
    ]
    assert len(early) == 2
    assert "Two quotes lapse before we would order, and one already has." in notes["scenario"]
    dearer = {job.name: job.later.likely / job.now.likely for job in case.scenario.jobs}
    assert all(1.7 < times < 3 for times in dearer.values())
    assert "each costs about two or three times as much" in notes["keep"]


def test_what_the_notes_of_the_owner_tell_in_words_follows_from_his_figures(owner: View) -> None:
    case, notes = owner.case, owner.case.notes
    airplane = case.replacements["newer"].airplane
    assert airplane is not None
    assert airplane.fuel is not None
    assert airplane.adverse is not None
    aboard = sum(airplane.adverse.most.values())
    room = (airplane.max_weight - airplane.empty_weight - aboard) / airplane.fuel.weight_per_unit
    assert 0.45 < room / airplane.fuel.usable < 0.55
    assert "the tanks may be filled only about halfway" in notes["newer"]
    price, value = owner.option("refit").likely.outlay, case.scenario.aircraft.value.likely
    assert price > value * 2 / 3
    assert "more than two thirds of what the whole airplane would fetch" in notes["refit"]
    loan = case.options["newer"].funding.loan
    assert loan is not None
    assert loan.share is not None
    assert 1 / 3 < loan.share < 0.4
    assert "a little over a third" in notes["newer"]
