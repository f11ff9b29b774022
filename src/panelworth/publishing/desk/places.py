"""The addresses of forms: which table, list or entry of which file an address means.

An address is built from the model: `scenario/aircraft/fixed/2` is the second fixed cost of
scenario.toml, `options/full/items/new` a new item of options/full.toml. An address that the model
does not have means nothing, so no part of it is ever taken as a path on the disc.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal, get_origin

from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Record
from panelworth.publishing.desk.disc import OPTION, OPTION_ID
from panelworth.publishing.desk.fields import Field, fields_of, heading, record_of, type_of
from panelworth.publishing.desk.toml_positions import KeyPath, value_at
from panelworth.publishing.language import _

SCENARIO_FILE, SCENARIO, OPTIONS = "scenario.toml", "scenario", "options"
NEW = "new"


@dataclass(frozen=True, kw_only=True)
class Place:
    """A table, a list of tables, or an entry of such a list, in a file.

    `file_place` is the first part of its address. The path of a new entry ends with its list.
    `optional` is a table that may be missing.
    """

    file: str
    file_place: str
    record: type[Record]
    path: KeyPath = ()
    kind: Literal["table", "list", "entry", "new"] = "table"
    label: str = ""
    optional: bool = False

    @property
    def address(self) -> str:
        """The address within the scenario's desk."""
        steps = [str(step + 1) if isinstance(step, int) else step for step in self.path]
        return "/".join([self.file_place, *steps, *([NEW] if self.kind == "new" else [])])

    @property
    def fields(self) -> list[Field]:
        """The fields of its form."""
        return list(fields_of(self.record, self.path))

    def entry(self, number: int) -> "Place":
        """Return the place of an entry of this list."""
        return self._at(number, self.record, "entry", self.label)

    def new(self) -> "Place":
        """Return the place of a new entry of this list."""
        return replace(self, kind="new")

    def inner(self) -> Iterator["Place"]:
        """Yield the lists and tables within, each with a form of its own."""
        if self.kind in ("table", "entry"):
            yield from _inner(self, self.record, self.path)

    def step(self, key: str) -> "Place | None":
        """Return the place within that a step of an address means; None if there is none."""
        if self.kind == "list":
            if key == NEW:
                return self.new()
            return (
                self.entry(int(key) - 1) if key.isascii() and key.isdigit() and int(key) else None
            )
        if self.kind == "new":
            return None
        return next((place for place in self.steps() if place.path[-1] == key), None)

    def steps(self) -> Iterator["Place"]:
        """Yield the tables and lists that the record itself has."""
        for key, declared in self.record.model_fields.items():
            kind, optional = type_of(declared.annotation)
            if record := record_of(kind):
                how: Literal["table", "list"] = "list" if get_origin(kind) is tuple else "table"
                label = heading(record, self.record, key)
                yield self._at(declared.alias or key, record, how, label, optional=optional)

    def _at(
        self,
        step: str | int,
        record: type[Record],
        kind: Literal["table", "list", "entry"],
        label: str,
        *,
        optional: bool = False,
    ) -> "Place":
        return Place(
            file=self.file,
            file_place=self.file_place,
            record=record,
            path=(*self.path, step),
            kind=kind,
            label=label,
            optional=optional,
        )


def _inner(place: Place, record: type[Record], path: KeyPath) -> Iterator[Place]:
    """Yield what has a form of its own, also within the tables that are parts of this form.

    At the top of scenario.toml every table has its own form: they are the parts of a scenario.
    """
    for step in replace(place, record=record, path=path).steps():
        if step.kind == "list" or step.optional or not place.path:
            yield step
        else:
            yield from _inner(place, step.record, step.path)


def place_at(address: str, options: list[str]) -> Place | None:
    """Return what an address means in a scenario with these options; None if it means nothing."""
    first, *steps = address.split("/")
    place: Place | None = None
    if first == SCENARIO:
        place = scenario_place()
    elif first == OPTIONS and steps and steps[0] in options and OPTION_ID.fullmatch(steps[0]):
        place = option_place(steps.pop(0))
    for step in steps:
        place = place.step(step) if place else None
    return place


def scenario_place() -> Place:
    """Return the place of scenario.toml: the question."""
    label = _(Scenario.heading)
    return Place(file=SCENARIO_FILE, file_place=SCENARIO, record=Scenario, label=label)


def option_place(option_id: str) -> Place:
    """Return the place of an option."""
    return Place(
        file=OPTION.format(option_id),
        file_place=f"{OPTIONS}/{option_id}",
        record=Option,
        label=option_id,
    )


def name_of(data: object, path: KeyPath) -> str:
    """Write a path as problems name it: entries of lists by name, or by number without one."""
    text = ""
    for depth, step in enumerate(path):
        if isinstance(step, int):
            entry = value_at(data, path[: depth + 1])
            name = entry.get("name") if isinstance(entry, dict) else None
            text = f"{text}[{name if isinstance(name, str) else step + 1}]"
        else:
            text = f"{text}.{step}" if text else step
    return text


def is_within(key: str, name: str) -> bool:
    """Return whether a problem's key is this name or is within it."""
    return key == name or not name or key.startswith((f"{name}.", f"{name}["))


def place_of(file: str, key: str, data: object) -> Place | None:
    """Return the form that has the key of a problem; None for a file without forms."""
    options, _slash, name = file.partition("/")
    option_id = name.removesuffix(".toml")
    if file == SCENARIO_FILE:
        place = scenario_place()
    elif options == OPTIONS and OPTION_ID.fullmatch(option_id):
        place = option_place(option_id)
    else:
        return None
    while True:
        within = next((one for one in _existing(place, data) if _has(one, key, data)), None)
        if within is None:
            return place
        place = within


def _existing(place: Place, data: object) -> Iterator[Place]:
    if place.kind == "list":
        entries = value_at(data, place.path)
        count = len(entries) if isinstance(entries, list) else 0
        yield from (place.entry(number) for number in range(count))
    else:
        yield from place.inner()


def _has(place: Place, key: str, data: object) -> bool:
    return is_within(key, name_of(data, place.path))
