"""The first run: what must be known before anything can be said, and the files made of it.

Each question is an input of the model; how it is typed and read follows from its declaration.
What is not asked for is left out, so that its default counts.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from panelworth.model.club import Club
from panelworth.model.option import Item, Option
from panelworth.model.scenario import Aircraft, Scenario
from panelworth.model.schedule import Schedule
from panelworth.model.value import Record
from panelworth.plain_files import ReadFailure, names_in
from panelworth.publishing.desk.disc import Read, ScenarioFiles
from panelworth.publishing.desk.fields import Field, fields_of
from panelworth.publishing.desk.places import SCENARIO_FILE, is_within
from panelworth.publishing.desk.saving import as_text
from panelworth.publishing.desk.toml_values import as_toml
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import N_, _
from panelworth.publishing.starter_folder import Section, commented_file

KEEP_FILE, REFIT_FILE = "options/keep.toml", "options/refit.toml"
TOP = N_(
    "A number may be plain, a range [low, likely, high], or "
    '{ low = 1, likely = 2, high = 3, source = "…" }. Rates and shares are fractions: 5% is 0.05. '
    "What is left out counts as 0."
)
WHO = ("club", "owner")
CHOOSE, MISSING = N_("Choose one of the two."), N_("Please answer this, if only by a guess.")
OTHERWISE = N_("The folder has files now: nothing was written over them.")
YEARS = "10"  # the horizon that the starter folder has too
Kind = Literal["text", "day", "number", "currency", "units"]
Typed = Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question: the input that it asks for, and its words. `of` are those who are asked."""

    name: str
    label: str
    hint: str
    kind: Kind
    file: str
    record: type[Record]
    key: str
    path: tuple[str | int, ...] = ()
    of: tuple[str, ...] = WHO

    @property
    def field(self) -> Field:
        """The field that its declaration makes."""
        return next(one for one in fields_of(self.record, self.path) if one.key == self.key)

    @property
    def problem_key(self) -> str:
        """The key that problems of its value begin with; an item has its name within."""
        steps = [step for step in (*self.path, self.key) if isinstance(step, str)]
        return "items" if self.record is Item else ".".join(steps)


def _scenario(name: str, kind: Kind, label: str, hint: str, key: str = "") -> Question:
    return Question(
        name=name, label=label, hint=hint, kind=kind, file=SCENARIO_FILE, record=Scenario,
        key=key or name,
    )  # fmt: skip


def _aircraft(name: str, label: str, hint: str, *of: str) -> Question:
    return Question(
        name=name, label=label, hint=hint, kind="text" if name == "label" else "number",
        file=SCENARIO_FILE, record=Aircraft, key=name, path=("aircraft",), of=of or WHO,
    )  # fmt: skip


def _club(name: str, label: str, hint: str) -> Question:
    return Question(
        name=name, label=label, hint=hint, kind="number", file=SCENARIO_FILE, record=Club,
        key=name, path=("club",), of=WHO[:1],
    )  # fmt: skip


def _option(
    name: str, kind: Kind, label: str, hint: str, record: type[Record], key: str, *path: str | int
) -> Question:
    return Question(
        name=name, label=label, hint=hint, kind=kind, file=REFIT_FILE, record=record, key=key,
        path=path,
    )  # fmt: skip


GROUPS: tuple[tuple[str, tuple[Question, ...]], ...] = (
    (
        N_("The question"),
        (
            _scenario(
                "question",
                "text",
                N_("What is the question?"),
                N_("Such as: Shall we keep the old panel going, or refit it?"),
            ),
            _aircraft(
                "label", N_("What do you call the airplane?"), N_("Such as: Our blue four-seater")
            ),
            _scenario(
                "as_of",
                "day",
                N_("For which day are the figures?"),
                N_("Usually today. Prices and money are as on this day."),
            ),
            _scenario(
                "currency", "currency", N_("Currency"), N_("Three letters, such as USD, EUR or GBP")
            ),
            _scenario("units", "units", N_("Units"), ""),
        ),
    ),
    (
        N_("The airplane"),
        (
            _aircraft("hours_per_year", N_("Hours flown in a year"), N_("Such as 220")),
            _aircraft(
                "hourly_rate",
                N_("What members pay for an hour"),
                N_("With fuel, such as 124"),
                "club",
            ),
            _aircraft(
                "worth_per_hour",
                N_("What an hour aloft is worth to you"),
                N_("Such as what you would pay to rent one: 150"),
                "owner",
            ),
            _aircraft(
                "fuel_per_hour",
                N_("Fuel burned in an hour"),
                N_("Such as 8.8 gallons, or 33 litres"),
            ),
            _aircraft(
                "fuel_price", N_("Price of fuel"), N_("For one gallon or litre, such as 6.35")
            ),
            _aircraft("value", N_("What the airplane would fetch today"), N_("Such as 88000")),
        ),
    ),
    (
        N_("The club"),
        (
            _club("members", N_("Members"), N_("Such as 38")),
            _club(
                "dues_per_month",
                N_("Dues of a member for a month"),
                N_("Such as 72; 0 without dues"),
            ),
            _club(
                "reserve",
                N_("Money that the club has"),
                N_("On that day, without the fund for the engine, such as 52000"),
            ),
        ),
    ),
    (
        N_("One option"),
        (
            _option(
                "title",
                "text",
                N_("What could be done?"),
                N_("Such as: Refit the panel"),
                Option,
                "title",
            ),
            _option(
                "price",
                "number",
                N_("Its price in all, before tax"),
                N_("Such as 31000"),
                Item,
                "cost",
                "items",
                0,
            ),
            _option(
                "start",
                "day",
                N_("When would the work begin?"),
                N_("A day after that of the figures"),
                Schedule,
                "start",
                "schedule",
            ),
            _option(
                "weeks_down",
                "number",
                N_("For how many weeks is the airplane away?"),
                N_("Such as 6"),
                Schedule,
                "weeks_down",
                "schedule",
            ),
        ),
    ),
)


def begins(files: ScenarioFiles) -> bool:
    """Return whether a folder is missing or empty, so that a scenario can be begun in it."""
    inner = ("options", "notes")
    return not _names(files, "", inner) and not any(_names(files, one) for one in inner)


def _names(files: ScenarioFiles, inner: str, besides: tuple[str, ...] = ()) -> list[str]:
    """Return the names in a folder that count; hidden ones are those of other programs."""
    names = names_in(files.folder / inner)
    if isinstance(names, ReadFailure):
        return [] if names.missing else [inner]
    return [name for name in names if name[:1] != "." and name not in besides]


def questions(who: str) -> list[Question]:
    """Return the questions that a club or an owner is asked."""
    return [one for _heading, group in GROUPS for one in group if who in one.of]


def begin(files: ScenarioFiles, read: Read, typed: Typed) -> dict[str, list[str]]:
    """Write the first files. Returns what is wrong, by question; "" is the form as a whole."""
    who = typed.get("who", "")
    if who not in WHO:
        return {"who": [_(CHOOSE)]}
    values: dict[str, Any] = {}
    wrong: dict[str, list[str]] = {}
    for one in questions(who):
        value, problem = _value(one, typed.get(one.name, "").strip())
        values[one.name] = value
        if problem:
            wrong[one.name] = [problem]
    if wrong:
        return wrong
    changes = {file: text.encode() for file, text in _files(who, values)}
    for found in files.problems(read, changes):
        if found.severity == "error":
            wrong.setdefault(_asked(who, found.file, found.key), []).append(as_text(found))
    if wrong:
        return wrong
    if not begins(files):
        return {"": [_(OTHERWISE)]}
    failed = files.write(changes, dict.fromkeys(changes), _("The first files"))
    return {"": [as_text(failed)]} if failed else {}


def _value(one: Question, text: str) -> tuple[Any, str]:
    """Return the value of an answer, and what is wrong with it."""
    choices = one.field.choices
    if choices and text not in choices:
        return None, _(CHOOSE)
    if not text:
        return None, _(MISSING)
    text = text.upper() if one.kind == "currency" else text
    return one.field.value({"": text, "likely": text}, None)


def _asked(who: str, file: str, key: str) -> str:
    """Return the question whose value a problem is about; "" if it is none."""
    asked = [one for one in questions(who) if one.file == file and is_within(key, one.problem_key)]
    return asked[0].name if asked else ""


def _files(who: str, values: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield the files; scenario.toml last, so that nobody reads a folder without its options."""
    formats = Formats(currency=values["currency"], units=values["units"])
    written = {name: as_toml(value) for name, value in values.items()}
    keep = Section(
        header="",
        record=Option,
        values={"title": as_toml(_("Keep the panel as it is")), "kind": '"keep"'},
    )
    work = as_toml(_("The whole job"))
    refit = (
        Section(header="", record=Option, values={"title": written["title"], "kind": '"retrofit"'}),
        Section(header="[schedule]", record=Schedule, values=_picked(written, Schedule)),
        Section(header="[[items]]", record=Item, values={"name": work, "cost": written["price"]}),
    )
    top = {"title": written["label"], **_picked(written, Scenario)}
    scenario = [
        Section(header="", record=Scenario, values={**top, "baseline": '"keep"', "years": YEARS}),
        Section(header="[aircraft]", record=Aircraft, values=_picked(written, Aircraft)),
        Section(header="[club]", record=Club, values=_picked(written, Club)),
    ]
    own = [one for one in scenario if one.record is not Club or who == WHO[0]]
    yield KEEP_FILE, commented_file([keep], _(TOP), formats, _plain)
    yield REFIT_FILE, commented_file(refit, _(TOP), formats, _plain)
    yield SCENARIO_FILE, commented_file(own, _(TOP), formats, _plain)


def _picked(written: Mapping[str, str], record: type[Record]) -> dict[str, str]:
    """Return the answers that are keys of a record."""
    asked = [one for _heading, group in GROUPS for one in group if one.record is record]
    return {one.key: written[one.name] for one in asked if one.name in written}


def _plain(_record: type[Record], key: str, value: str) -> str:
    return f"{key} = {value}"
