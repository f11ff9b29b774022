"""A scenario folder as one frozen record, and each of its numeric inputs by its path.

There are two types. `WrittenCase` is the folder as written in its files: `reading` makes it and
editions keep it. `Case` has the current prices from its ledger: the engine and the pages use it.
With one type for both, a price could be replaced twice, or not at all.
"""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Any, TypeVar, get_origin

from pydantic import BaseModel

from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.ledger import Entry, LedgerStatus
from panelworth.model.needs import Ballot, Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Aircraft, Job, Scenario
from panelworth.model.squawk import Squawk
from panelworth.model.value import Quantity, Record, declaration_of

R = TypeVar("R", bound=Record)
EQUIPMENT = "equipment."  # the prefix of the paths of an airplane's equipment


@dataclass(frozen=True, kw_only=True)
class SourceLine:
    """The file and line of a key in the user's folder."""

    file: str
    line: int


@dataclass(frozen=True, kw_only=True)
class TableFile:
    """The file that a table was read from; `sheet` is the name of its sheet in a workbook."""

    name: str
    sheet: str = ""


@dataclass(frozen=True, kw_only=True)
class Folder:
    """The content of a scenario folder: what both kinds of case have in common.

    `folder` is its path as the user wrote it, for messages only.
    `placeholders` are values of a new folder that the user has not replaced yet.
    """

    name: str
    scenario: Scenario
    options: Mapping[str, Option]
    folder: str = field(default="", compare=False)
    ledger: tuple[Entry, ...] = ()
    squawk_file: TableFile = field(default=TableFile(name="squawks.csv"), compare=False)
    ledger_file: TableFile = field(default=TableFile(name="ledger.csv"), compare=False)
    equipment: Equipment | None = None
    fleet: Fleet | None = None
    replacements: Mapping[str, Equipment] = field(default_factory=dict)
    squawks: tuple[Squawk, ...] = ()
    needs: Needs | None = None
    ballots: tuple[Ballot, ...] = ()
    notes: Mapping[str, str] = field(default_factory=dict)
    source_lines: Mapping[str, SourceLine] = field(default_factory=dict)
    placeholders: Mapping[str, SourceLine] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Set the path of every quantity: it may have that of another case or option."""
        options = {
            option_id: with_paths(self.options[option_id], option_prefix(option_id))
            for option_id in self.options
        }
        # A frozen dataclass can set its own fields only in this way.
        replacements = {
            option_id: with_paths(equipment, f"{option_prefix(option_id)}{EQUIPMENT}")
            for option_id, equipment in self.replacements.items()
        }
        if self.equipment is not None:
            object.__setattr__(self, "equipment", with_paths(self.equipment, EQUIPMENT))
        object.__setattr__(self, "replacements", replacements)
        object.__setattr__(self, "scenario", with_paths(self.scenario))
        object.__setattr__(self, "options", options)

    @cached_property
    def inputs(self) -> tuple["Input", ...]:
        """Every money and time input of the folder, scenario first, then option by option."""
        return tuple(self._inputs())

    def _inputs(self) -> Iterator["Input"]:
        yield from inputs_of(self.scenario)
        if self.equipment is not None:
            yield from _failures_of(self.equipment, EQUIPMENT)
        for option_id, option in self.options.items():
            prefix = option_prefix(option_id)
            yield from inputs_of(option, prefix)
            if option_id in self.replacements:
                yield from _failures_of(self.replacements[option_id], f"{prefix}{EQUIPMENT}")

    def failure_inputs(self, option_id: str = "") -> list["Input"]:
        """Return how units fail: today's, or those that an option installs or buys."""
        prefix = option_prefix(option_id) if option_id else ""
        lists = (f"{prefix}{EQUIPMENT}units[", f"{prefix}installs[")
        return [
            given
            for given in self.inputs
            if given.path.startswith(lists if option_id else lists[:1]) and ".fails." in given.path
        ]

    def shared(self) -> dict[str, Any]:
        """Return the fields that both kinds of case have, by name."""
        return {entry.name: getattr(self, entry.name) for entry in fields(Folder)}

    def source_line_of(self, path: str) -> SourceLine:
        """Return file and line of a path, or of the nearest table around it; "" and 0 if none."""
        while path and path not in self.source_lines:
            path = path.rpartition(".")[0]
        return self.source_lines.get(path, SourceLine(file="", line=0))

    def path_in_file(self, path: str) -> str:
        """Return a path as it is written in its own file, without the prefix of the option."""
        for option_id in self.options:
            path = path.removeprefix(option_prefix(option_id))
        return path.removeprefix("equipment.")

    @cached_property
    def airplanes(self) -> Mapping[str, tuple[Aircraft, ...]]:
        """Each option's airplane: today's, then as it is from the month after the finish."""
        today = self.scenario.aircraft
        return {
            option_id: (today, option.after.applied_to(today))
            for option_id, option in self.options.items()
        }

    @cached_property
    def roots(self) -> Mapping[str, str]:
        """The path of the input whose draw each linked range takes, by the path of that range."""
        return roots_of(self.inputs)


@dataclass(frozen=True, kw_only=True)
class WrittenCase(Folder):
    """A scenario folder as written in its files: prices are those of the option files."""


@dataclass(frozen=True, kw_only=True)
class Case(Folder):
    """A scenario folder with the current prices of its ledger, for the engine and the pages.

    `options` have current prices, `written_options` the prices of their files.
    `equipment` has rates of failures from the log, `written_equipment` only those of its file.
    `ledger_statuses` have invoices, credits and payments, by the path of the item.
    `job_prices` are current prices of included jobs that have ledger rows, by path.
    `delays` are months by which options start later than written, by option id.
    """

    written_options: Mapping[str, Option]
    written_equipment: Equipment | None = None
    ledger_statuses: Mapping[str, LedgerStatus] = field(default_factory=dict)
    job_prices: Mapping[str, Quantity] = field(default_factory=dict)
    delays: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Set the path of every quantity."""
        super().__post_init__()
        prices = {path: price.at(path) for path, price in self.job_prices.items()}
        object.__setattr__(self, "job_prices", prices)

    @property
    def written(self) -> WrittenCase:
        """The case as written in its files."""
        written = {"options": self.written_options, "equipment": self.written_equipment}
        return WrittenCase(**{**self.shared(), **written})

    def _inputs(self) -> Iterator["Input"]:
        """Yield all inputs, at the end those of included jobs with a price from the ledger."""
        yield from super()._inputs()
        declaration = declaration_of(Job, "now")
        for path, price in self.job_prices.items():
            yield Input(
                path=path,
                quantity=price,
                section=Job.heading,
                label=declaration["label"],
                unit=declaration["unit"],
                meaning=declaration["meaning"],
                least=declaration["low"],
                most=declaration["high"],
            )

    def ledger_statuses_of(self, option_id: str) -> list[LedgerStatus]:
        """Return the ledger status of an option's items, jobs, purchase and sale, in file order."""
        prefix = option_prefix(option_id)
        return [status for path, status in self.ledger_statuses.items() if path.startswith(prefix)]

    def statuses_besides_items(self, option_id: str) -> list[LedgerStatus]:
        """Return the ledger status of an option's small jobs, its purchase and its sale."""
        kinds = (".items", ".credits")
        return [
            status
            for status in self.ledger_statuses_of(option_id)
            if not status.path.partition("[")[0].endswith(kinds)
        ]

    @property
    def paid(self) -> float:
        """Payments up to as_of with tax. The stated reserve is taken to have paid them already."""
        statuses = self.ledger_statuses.values()
        return math.fsum(status.paid for status in statuses if not status.comes_in)

    @property
    def received(self) -> float:
        """Money received up to as_of. The stated reserve is taken to include it."""
        statuses = self.ledger_statuses.values()
        return math.fsum(status.paid for status in statuses if status.comes_in)


def roots_of(inputs: Iterable["Input"]) -> dict[str, str]:
    """Return the path whose draw each linked range takes, by the path of that range.

    A chain of `like` is followed to its root. A range whose `like` names a certain or a missing
    input is a root itself. So is a range in a circle, which `check` refuses.
    """
    ranges = {input_.path: input_.quantity for input_ in inputs if not input_.quantity.certain}
    roots = {}
    for path in ranges:
        root, visited = path, {path}
        while (followed := ranges[root].like) in ranges and followed not in visited:
            root = followed
            visited.add(root)
        if root != path:
            roots[path] = root
    return roots


@dataclass(frozen=True, kw_only=True)
class Input:
    """One number that a user wrote or left at its default: path, value and declaration.

    `least` and `most` are its bounds, which searches for break-even values keep to.
    """

    path: str
    quantity: Quantity
    section: str
    label: str
    unit: str
    meaning: str
    least: float
    most: float


def inputs_of(record: Record, prefix: str = "", *, of: str = "") -> Iterator[Input]:
    """Yield every quantity in a record.

    Paths have the names of list entries, not their numbers: a new entry must not move the random
    streams of those after it.

    >>> from panelworth.model.scenario import Rates
    >>> [input_.path for input_ in inputs_of(Rates(), "rates.")]
    ['rates.discount', 'rates.inflation']
    """
    for key in type(record).model_fields:
        value = getattr(record, key)
        if isinstance(value, Quantity):
            declaration = declaration_of(type(record), key)
            name = getattr(record, "name", of)
            section = f"{record.heading}: {name}" if name else record.heading
            words = {key: declaration[key] for key in ("label", "unit", "meaning")}
            bounds = {"least": declaration["low"], "most": declaration["high"]}
            yield Input(path=f"{prefix}{key}", quantity=value, section=section, **words, **bounds)
        elif isinstance(value, Record):
            yield from inputs_of(value, f"{prefix}{key}.", of=getattr(record, "name", of))
        elif isinstance(value, tuple):
            for entry in value:
                if isinstance(entry, Record) and hasattr(entry, "name"):
                    yield from inputs_of(entry, f"{prefix}{key}[{entry.name}].")


def _failures_of(equipment: Equipment, prefix: str) -> Iterator["Input"]:
    """Yield how the units of an airplane fail; their weights and currents move no money."""
    for unit in equipment.units:
        if unit.fails is not None:
            yield from inputs_of(unit.fails, f"{prefix}units[{unit.name}].fails.", of=unit.name)


def with_paths(record: R, prefix: str = "") -> R:
    """Return a record with the path set in each of its quantities, inner tables included."""
    changed: dict[str, object] = {}
    for key in type(record).model_fields:
        value = getattr(record, key)
        new = _with_path(value, f"{prefix}{key}")
        if new is not value:
            changed[key] = new
    if not changed:
        return record
    copied = record.model_copy()
    copied.__dict__.update(changed)  # model_copy(update=…) would mark defaults as written
    return copied


def _with_path(value: object, path: str) -> object:
    """Return a value with its path, or the same object if nothing changes: most have none."""
    if isinstance(value, Quantity):
        return value.at(path)
    if isinstance(value, Record):
        return with_paths(value, f"{path}.")
    if isinstance(value, tuple) and any(hasattr(entry, "name") for entry in value):
        entries = tuple(with_paths(entry, f"{path}[{entry.name}].") for entry in value)
        same = all(new is old for new, old in zip(entries, value, strict=True))
        return value if same else entries
    return value


def option_prefix(option_id: str) -> str:
    """Return the prefix of the paths of an option's inputs."""
    return f"options.{option_id}."


def affects(path: str, option_id: str) -> bool:
    """Return whether an input can change an option: those of the scenario and its own can.

    >>> affects("aircraft.value", "keep"), affects("options.full.buy.price", "keep")
    (True, False)
    """
    return not path.startswith("options.") or path.startswith(option_prefix(option_id))


def record_classes(record: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """Yield a record's class and the classes of its inner tables, for glossary and schema."""
    yield record
    for field_info in record.model_fields.values():
        for kind in _classes(field_info.annotation):
            yield from record_classes(kind)


def record_headers(record: type[BaseModel], above: str = "") -> Iterator[tuple[type[Record], str]]:
    """Yield the class of each inner table with its header in TOML: "[club]", "[[items]]"."""
    for key, declared in record.model_fields.items():
        path = f"{above}{declared.alias or key}"
        for kind in _classes(declared.annotation):
            yield kind, f"[[{path}]]" if _is_list(declared.annotation) else f"[{path}]"
            yield from record_headers(kind, f"{path}.")


def _is_list(annotation: object) -> bool:
    inner = getattr(annotation, "__args__", ())
    return get_origin(annotation) is tuple or any(map(_is_list, inner))


def _classes(annotation: object) -> Iterator[type[Record]]:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from _classes(inner)
