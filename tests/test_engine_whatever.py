"""Whatever a folder in order says, every figure comes out, and is a number."""

import math
from dataclasses import asdict, replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from changed_cases import numbers_in
from laws import law
from panelworth.engine.evaluate import evaluate
from panelworth.engine.insight import insight_of
from panelworth.model.case import Case
from strategies import AS_OF, Folder, case_of, changed, folders

TRIALS = 100


def come_out(case: Case) -> None:
    """Work out all figures and hold them to be numbers."""
    figures = evaluate(case, trials=TRIALS)
    insight = insight_of(case, figures)
    for each in (figures, insight):
        assert all(map(math.isfinite, numbers_in(asdict(each))))


def at_least(folder: Folder, key: str, value: object) -> Folder:
    """Return the folder with another value at a key of scenario.toml."""
    return changed(folder, "scenario.toml", tuple(key.split(".")), value)


@law(24)
@given(folders(), st.sampled_from([1, 2, 40]))
def test_any_folder_in_order_has_all_its_figures(folder: Folder, years: int) -> None:
    lasting = at_least(folder, "years", years)
    for tables in lasting.values():
        for table, key in (("club", "floor_years"), ("funding", "raise_years")):
            if key in tables.get(table, {}):
                tables[table][key] = min(tables[table][key], years)
    come_out(case_of(lasting))


EDGES: dict[str, dict[str, Any]] = {
    "no hours": {"aircraft.hours_per_year": 0},
    "all hours lost": {"aircraft.hours_per_year": 50, "aircraft.hours_lost_per_year": 50},
    "an airplane worth nothing": {"aircraft.value": 0},
    "no money rates": {"rates": {"discount": 0.0, "inflation": 0.0}},
    "prices that fall": {"rates": {"discount": 0.0, "inflation": -0.2}},
    "rates as high as they may be": {"rates": {"discount": 1.0, "inflation": 1.0}},
    "flown in one month alone": {"aircraft.season": [0] * 6 + [1] + [0] * 5},
    "the smallest number of trials": {"uncertainty": {"trials": 100}},
}


@pytest.mark.parametrize("edge", EDGES)
@law(6, fewest=2)
@given(folder=folders())
def test_a_folder_at_an_edge_has_all_its_figures(edge: str, folder: Folder) -> None:
    for key, value in EDGES[edge].items():
        folder = at_least(folder, key, value)
    come_out(case_of(folder))


@pytest.mark.parametrize("weeks", [0, 0.001, 4, [0, 0, 0], [0, 0, 30]])
@law(5, fewest=2)
@given(folder=folders())
def test_a_start_on_the_first_day_has_all_its_figures(weeks: object, folder: Folder) -> None:
    for name in [
        each for each in folder if each in ("options/retrofit.toml", "options/replace.toml")
    ]:
        schedule = {"start": AS_OF, "order": AS_OF, "weeks_down": weeks}
        folder = changed(folder, name, ("schedule",), schedule)
    come_out(case_of(folder))


@pytest.mark.parametrize("members", [1, 2])
@law(6, fewest=2)
@given(folder=folders(club=True))
def test_a_club_that_all_members_leave_has_all_its_figures(members: int, folder: Folder) -> None:
    folder = at_least(folder, "club.members", members)
    for name in [each for each in folder if each.startswith("options/")]:
        folder = changed(folder, name, ("members",), {"joined": -members, "over_months": 0})
    come_out(case_of(folder))


def test_nothing_but_what_must_be_written_is_enough() -> None:
    keep = {"title": "Keep", "kind": "keep"}
    scenario = {
        "title": "A panel",
        "question": "Shall we?",
        "as_of": date(2026, 11, 30),
        "currency": "USD",
        "baseline": "keep",
        "years": 1,
        "aircraft": {"hours_per_year": 0, "value": 0},
    }
    come_out(case_of({"scenario.toml": scenario, "options/keep.toml": keep}))


@law(3, fewest=1)
@given(folder=folders())
def test_twelve_options_have_all_their_figures(folder: Folder) -> None:
    name = next(each for each in folder if each.startswith("options/re"))
    more = {f"options/more-{number}.toml": folder[name] for number in range(12 - 2)}
    case = case_of({**folder, **more})
    come_out(replace(case, name="twelve"))
