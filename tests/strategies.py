"""Small scenario folders for property tests: what a club or an owner could write, and valid.

A folder is a dict from file name to what is in it: tables (easy to change in a test), text or
bytes. `write_folder` puts one on disc; tables become TOML on the way.
"""

from collections.abc import Mapping
from copy import deepcopy
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import tomli_w
from hypothesis import strategies as st

from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case
from panelworth.problems import render
from panelworth.reading.folder import read_case

Folder = dict[str, Any]

AS_OF = date(2026, 11, 15)
FIXED = ("Hangar", "Annual inspection")
RECURRING = ("Transponder test", "Locator battery")
JOBS = ("Static hoses", "Brittle wiring")
GROUPS = ("equipment", "labour", "certification", "materials", "travel", "training", "other")
MOMENTS = ("order", "start", "finish")


def write_folder(folder: Path, files: Mapping[str, Any]) -> Path:
    """Write tables, text or bytes to their places in a folder and return the folder."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        written = tomli_w.dumps(content) if isinstance(content, dict) else content
        path.write_bytes(written.encode() if isinstance(written, str) else written)
    return folder


def as_text(folder: Folder) -> dict[str, str]:
    """Turn a folder's tables into the TOML text a user would have."""
    return {name: tomli_w.dumps(tables) for name, tables in folder.items()}


def case_of(folder: Mapping[str, Any]) -> Case:
    """Read a folder that must be in order; what is wrong with it is the failure's message."""
    with TemporaryDirectory() as place:
        written, problems = read_case(write_folder(Path(place) / "folder", folder))
    assert written is not None, "\n".join(map(render, problems))
    return settled(written)


def changed(folder: Folder, file: str, path: tuple[str | int, ...], value: object) -> Folder:
    """Return the folder with another value at one key; tables on the way are made."""
    copy = deepcopy(folder)
    here = copy[file]
    for step in path[:-1]:
        here = here.setdefault(step, {}) if isinstance(here, dict) else here[step]
    here[path[-1]] = value
    return copy


def money(most: int) -> st.SearchStrategy[float]:
    """Make a sum in whole cents."""
    return st.integers(0, most * 100).map(lambda amount: amount / 100)


@st.composite
def quantities(draw: st.DrawFn, values: st.SearchStrategy[float]) -> Any:  # noqa: ANN401
    """Write a number plain, as a range in brackets, or as a table with a shape."""
    shape = draw(st.sampled_from(["", "", "list", "pert", "triangular", "uniform"]))
    if not shape:
        return draw(values)
    low, likely, high = sorted((draw(values), draw(values), draw(values)))
    if shape == "list":
        return [low, likely, high]
    return {"low": low, "likely": likely, "high": high, "shape": shape, "source": "a guess"}


def sums(most: int) -> st.SearchStrategy[Any]:
    """Write a sum of money that may be a range."""
    return quantities(money(most))


def shares(most: float = 1.0) -> st.SearchStrategy[Any]:
    """Write a share that may be a range."""
    return quantities(st.integers(0, int(most * 1000)).map(lambda part: part / 1000))


def rates(least: float = -0.1, most: float = 0.2) -> st.SearchStrategy[Any]:
    """Write a rate a year that may be a range."""
    whole = st.integers(int(least * 1000), int(most * 1000))
    return quantities(whole.map(lambda part: part / 1000))


def counts(least: int, most: int) -> st.SearchStrategy[Any]:
    """Write a whole number that may be a range."""
    return quantities(st.integers(least, most).map(float))


def days(first: int, last: int) -> st.SearchStrategy[date]:
    """Pick a day, counted from as_of."""
    return st.integers(first, last).map(lambda number: AS_OF + timedelta(days=number))


def lines(
    names: tuple[str, ...],
    perhaps: Mapping[str, st.SearchStrategy[Any]] | None = None,
    **keys: st.SearchStrategy[Any],
) -> st.SearchStrategy[list[Any]]:
    """Write a list of named entries, each name at most once; keys in `perhaps` may be left out."""
    entry = st.fixed_dictionaries(keys, optional=dict(perhaps or {}))
    chosen = st.lists(st.sampled_from(names), unique=True, max_size=len(names))
    pairs = st.tuples(chosen, st.lists(entry, min_size=len(names), max_size=len(names)))
    return pairs.map(
        lambda both: [{"name": name, **rest} for name, rest in zip(*both, strict=False)]
    )


SEASONS = st.lists(st.integers(0, 9), min_size=12, max_size=12).filter(any)
HOURLY = {
    "hourly_rate": sums(200),
    "fuel_per_hour": quantities(st.integers(0, 400).map(lambda tenth: tenth / 10)),
    "fuel_price": sums(9),
    "oil_per_hour": sums(4),
    "engine_reserve_per_hour": sums(30),
    "other_per_hour": sums(30),
}
INSURANCE = {
    "agreed_value": sums(120_000),
    "hull_rate": shares(0.03),
    "liability_per_year": sums(1500),
}
REPAIRS = {"per_year": sums(5000), "growth": rates()}
ENDING = {"for_months": st.integers(1, 40)}


def recurring() -> st.SearchStrategy[list[Any]]:
    """Write what falls due by the calendar, by months or by days, done lately or long ago."""
    by_months = st.fixed_dictionaries({"every_months": st.integers(1, 30)})
    by_days = st.fixed_dictionaries({"every_days": st.integers(1, 400)})
    intervals = st.one_of(by_months, by_days)
    entries = lines(RECURRING, cost=sums(900), interval=intervals, last_done=days(-900, 30))
    return entries.map(lambda found: [each.pop("interval") | each for each in found])


def aircraft() -> st.SearchStrategy[dict[str, Any]]:
    """Write today's airplane; most keys may be left out."""
    always = {"hours_per_year": counts(0, 300), "value": sums(90_000)}
    perhaps = {
        **HOURLY,
        "worth_per_hour": sums(250),
        "hours_lost_per_year": counts(0, 40),
        "season": SEASONS,
        "value_change": rates(),
        "value_tax": shares(0.02),
        "selling_cost": shares(0.2),
        "resale_recovery": shares(),
        "recovery_fade": shares(0.3),
        "fixed": lines(FIXED, ENDING, per_year=sums(5000)),
        "recurring": recurring(),
        "insurance": st.fixed_dictionaries({}, optional=INSURANCE),
        "repairs": st.fixed_dictionaries({}, optional=REPAIRS),
    }
    return st.fixed_dictionaries(always, optional=perhaps)


def clubs() -> st.SearchStrategy[dict[str, Any]]:
    """Write a club with at least one member."""
    always = {"members": st.integers(6, 60), "dues_per_month": sums(120)}
    perhaps = {
        "joining_fee": sums(800),
        "reserve": money(60_000),
        "reserve_floor": money(20_000),
        "floor_years": st.integers(1, 3),
        "other_net_per_year": quantities(st.integers(-30_000, 30_000).map(float)),
        "moved_share": shares(),
        "profiles": lines(("Flies now and then",), hours_per_year=st.integers(0, 100)),
    }
    return st.fixed_dictionaries(always, optional=perhaps)


def scenarios(*, club: bool) -> st.SearchStrategy[dict[str, Any]]:
    """Write scenario.toml with a horizon of one to three years."""
    always: dict[str, st.SearchStrategy[Any]] = {
        "title": st.just("What to do about the panel"),
        "question": st.just("Shall we refit the panel?"),
        "as_of": st.just(AS_OF),
        "currency": st.sampled_from(["USD", "EUR"]),
        "baseline": st.just("keep"),
        "years": st.integers(1, 3),
        "rates": st.fixed_dictionaries(
            {"discount": rates(0.0), "inflation": rates()},
            optional={"fuel_inflation": rates(), "equipment_inflation": rates()},
        ),
        "aircraft": aircraft(),
        "jobs": lines(JOBS, now=sums(900), later=sums(3000), chance_per_year=shares()),
        "uncertainty": st.fixed_dictionaries(
            {"trials": st.just(200), "seed": st.integers(0, 99), "correlation": st.just(0.3)}
        ),
    }
    folder = st.fixed_dictionaries({**always, "club": clubs()} if club else always)
    return folder.map(within_horizon if club else uncharged)


def within_horizon(scenario: dict[str, Any]) -> dict[str, Any]:
    """Return a club's scenario whose floor is held for no more years than it has."""
    club = scenario["club"]
    years = {key: min(club[key], scenario["years"]) for key in ("floor_years",) if key in club}
    return {**scenario, "club": {**club, **years}}


def uncharged(scenario: dict[str, Any]) -> dict[str, Any]:
    """Return an owner's scenario: nobody is charged for the airplane's hours."""
    airplane = scenario["aircraft"].items()
    return {**scenario, "aircraft": {key: it for key, it in airplane if key != "hourly_rate"}}


@st.composite
def items(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Write up to three things to buy or do, by price or by hours."""
    names = draw(st.lists(st.sampled_from(["Display", "Radio", "Shop work"]), unique=True))
    return [{"name": name, **draw(one_item())} for name in names]


def one_item() -> st.SearchStrategy[dict[str, Any]]:
    """Write an item without its name."""
    perhaps = {
        "group": st.sampled_from(GROUPS),
        "tax": shares(0.2),
        "when": st.sampled_from(MOMENTS),
        "resale": st.booleans(),
        "member_hours": st.integers(0, 80),
    }
    priced = st.fixed_dictionaries({"cost": sums(20_000)}, optional=perhaps)
    worked = st.fixed_dictionaries({"hours": counts(0, 90), "rate": sums(120)}, optional=perhaps)
    return st.one_of(priced, worked)


def credits_in() -> st.SearchStrategy[list[Any]]:
    """Write money that comes in."""
    return lines(("Old units sold", "A grant"), amount=sums(4000), when=st.sampled_from(MOMENTS))


@st.composite
def schedules(draw: st.DrawFn) -> dict[str, Any]:
    """Write a schedule that is over, even at its latest, within the first year."""
    order = draw(days(0, 60))
    start = order + timedelta(days=draw(st.integers(20, 90)))
    weeks = quantities(st.integers(0, 40).map(lambda quarter: quarter / 4))
    schedule = {"order": order, "start": start, "weeks_down": draw(weeks)}
    return schedule | ({"lead_weeks": draw(weeks)} if draw(st.booleans()) else {})


@st.composite
def afters(draw: st.DrawFn, scenario: dict[str, Any], *, scheduled: bool) -> dict[str, Any]:
    """Write what changes after the finish; names are those of the scenario."""
    today = scenario["aircraft"]
    perhaps = {
        **HOURLY,
        "hours_per_year": counts(0, 300),
        "hours_lost_per_year": counts(0, 40),
        "hours_per_year_change": counts(-40, 60),
        "season": SEASONS,
        "value_change": rates(),
        "value_tax": shares(0.02),
        "selling_cost": shares(0.2),
        "resale_recovery": shares(),
        "recovery_fade": shares(0.3),
        "insurance": st.fixed_dictionaries({}, optional=INSURANCE),
        "repairs": st.fixed_dictionaries({}, optional=REPAIRS),
        "added_fixed": lines(("Data",), ENDING, per_year=sums(900)),
        "recurring": recurring(),
    }
    if "club" not in scenario:
        del perhaps["hourly_rate"]
    after = draw(st.fixed_dictionaries({}, optional=perhaps))
    for key, named, allowed in (
        ("dropped_fixed", "fixed", True),
        ("recurring_done", "recurring", scheduled),
    ):
        names = [entry["name"] for entry in today.get(named, [])]
        if names and allowed and draw(st.booleans()):
            after[key] = draw(st.lists(st.sampled_from(names), unique=True))
    return after


@st.composite
def fundings(draw: st.DrawFn, years: int, *, scheduled: bool) -> dict[str, Any]:
    """Write how it is paid: given raises, one that is solved, a loan by amount or by share."""
    raises = {
        "assessment": ("assessment_per_member", money(900)),
        "dues": ("dues_increase", money(40)),
        "hourly_rate": ("hourly_rate_increase", money(30)),
    }
    solve = draw(st.sampled_from([None, *raises]))
    given = {key: values for kind, (key, values) in raises.items() if kind != solve}
    given["raise_years"] = st.integers(1, years)
    if solve:
        given["solve_chance"] = st.sampled_from([0.02, 0.5, 0.9, 0.99])
    funding = draw(st.fixed_dictionaries({}, optional=given)) | ({"solve": solve} if solve else {})
    if draw(st.booleans()):
        apr = st.integers(0, 150).map(lambda part: part / 1000)
        terms: dict[str, Any] = {"apr": apr, "months": st.integers(1, 60)}
        terms |= draw(
            st.sampled_from([{"amount": money(20_000)}, {"share": st.sampled_from([0.25, 1.0])}])
        )
        when = {"when": st.sampled_from(MOMENTS)} if scheduled else {}
        funding["loan"] = draw(st.fixed_dictionaries(terms, optional=when))
    return funding


@st.composite
def options(draw: st.DrawFn, kind: str, scenario: dict[str, Any]) -> dict[str, Any]:
    """Write an option of a kind that goes with the scenario."""
    scheduled = kind != "keep"
    option: dict[str, Any] = {"title": f"To {kind} it", "kind": kind, "items": draw(items())}
    option["credits"] = draw(credits_in())
    option["after"] = draw(afters(scenario, scheduled=scheduled))
    if scheduled:
        option["schedule"] = draw(schedules())
    jobs = [job["name"] for job in scenario["jobs"]]
    if kind == "retrofit" and jobs:
        option["jobs"] = draw(st.lists(st.sampled_from(jobs), unique=True))
    if kind == "replace":
        if draw(st.booleans()):
            price = {"price": sums(90_000), "when": st.just("finish")}
            option["sell"] = draw(st.fixed_dictionaries({}, optional=price))
        else:
            traded = {"name": "Old airplane traded in", "amount": draw(sums(90_000))}
            option["credits"] = [*option["credits"], {**traded, "trade_in": True}]
        option["buy"] = draw(
            st.fixed_dictionaries({"price": sums(120_000)}, optional={"tax": shares(0.1)})
        )
    if "club" in scenario:
        option["members"] = {
            "joined": draw(counts(-5, 8)),
            "over_months": draw(st.integers(0, 14)),
        }
        option["funding"] = draw(fundings(scenario["years"], scheduled=scheduled))
    return option


@st.composite
def following(draw: st.DrawFn, option_id: str, option: dict[str, Any]) -> None:
    """Let ranges of an option's prices move with another's: today's airplane's, or one before."""
    ahead = [None, "aircraft.value", "aircraft.hours_per_year"]
    for item in option["items"]:
        cost = item.get("cost")
        if isinstance(cost, dict):
            like = draw(st.sampled_from(ahead))
            cost |= {"like": like} if like else {}
            ahead.append(f"options.{option_id}.items[{item['name']}].cost")


@st.composite
def folders(draw: st.DrawFn, *, club: bool | None = None) -> Folder:
    """Make a valid folder: keep as the baseline, beside it a retrofit, a replacement or both."""
    has_club = draw(st.booleans()) if club is None else club
    scenario = draw(scenarios(club=has_club))
    kinds = draw(st.sampled_from([["retrofit"], ["replace"], ["retrofit", "replace"]]))
    folder: Folder = {"scenario.toml": scenario}
    for kind in ("keep", *kinds):
        folder[f"options/{kind}.toml"] = option = draw(options(kind, scenario))
        draw(following(kind, option))
    return folder
