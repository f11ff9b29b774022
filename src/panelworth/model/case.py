"""A whole scenario folder as one frozen record, and every numeric input of it by its path.

There are two types: `WrittenCase`, as the files have it, which `reading` makes and editions keep;
and `Case`, whose options carry the current prices of its ledger.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Any, TypeVar

from pydantic import BaseModel

from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.ledger import Entry, LedgerStatus
from panelworth.model.needs import Ballot, Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Aircraft, Job, Scenario
from panelworth.model.value import Quantity, Record, about

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, kw_only=True)
class SourceLine:
    """Where a key stands in the user's files."""

    file: str
    line: int


@dataclass(frozen=True, kw_only=True)
class Folder:
    """What a scenario folder says, whether or not the prices of its ledger are in its options.

    `folder` is the path by which the user named it, for messages alone.
    `placeholders` are the values of a new folder that nobody has replaced yet.
    """

    name: str
    scenario: Scenario
    options: Mapping[str, Option]
    folder: str = field(default="", compare=False)
    ledger: tuple[Entry, ...] = ()
    equipment: Equipment | None = None
    fleet: Fleet | None = None
    replacements: Mapping[str, Equipment] = field(default_factory=dict)
    needs: Needs | None = None
    ballots: tuple[Ballot, ...] = ()
    notes: Mapping[str, str] = field(default_factory=dict)
    source_lines: Mapping[str, SourceLine] = field(default_factory=dict)
    placeholders: Mapping[str, SourceLine] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Tell every quantity its path: a quantity may come from another case or option."""
        options = {
            option_id: with_paths(self.options[option_id], option_prefix(option_id))
            for option_id in self.options
        }
        object.__setattr__(self, "scenario", with_paths(self.scenario))
        object.__setattr__(self, "options", options)

    @cached_property
    def inputs(self) -> tuple["Input", ...]:
        """Every money and time input of the folder, scenario first, then option by option."""
        return tuple(self._inputs())

    def _inputs(self) -> Iterator["Input"]:
        yield from inputs_of(self.scenario)
        for option_id, option in self.options.items():
            yield from inputs_of(option, option_prefix(option_id))

    def shared(self) -> dict[str, Any]:
        """Return what a case has both as written and settled, by name."""
        return {entry.name: getattr(self, entry.name) for entry in fields(Folder)}

    def source_line_of(self, path: str) -> SourceLine:
        """Return where a path stands, or the nearest table around it; "" and 0 if nowhere."""
        while path and path not in self.source_lines:
            path = path.rpartition(".")[0]
        return self.source_lines.get(path, SourceLine(file="", line=0))

    def in_its_file(self, path: str) -> str:
        """Return a path as the file has it in which it stands."""
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
        """The path of the input that each following range takes its draw from, by its own path."""
        return roots_of(self.inputs)


@dataclass(frozen=True, kw_only=True)
class WrittenCase(Folder):
    """A scenario folder as its files have it: every price is that of the option's own file."""


@dataclass(frozen=True, kw_only=True)
class Case(Folder):
    """A scenario folder with its ledger settled: what the engine and the pages take.

    `options` carry the current prices of their items, `written_options` are those of the files.
    `ledger_statuses` are the rest of what the ledger says, by path.
    `job_prices` are those of included jobs that have rows, by the path of the input.
    `delays` are months by which options start later than their prices were given for, by id.
    """

    written_options: Mapping[str, Option]
    ledger_statuses: Mapping[str, LedgerStatus] = field(default_factory=dict)
    job_prices: Mapping[str, Quantity] = field(default_factory=dict)
    delays: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Tell every quantity its path."""
        super().__post_init__()
        prices = {path: price.at(path) for path, price in self.job_prices.items()}
        object.__setattr__(self, "job_prices", prices)

    @property
    def written(self) -> WrittenCase:
        """The case as its files have it."""
        return WrittenCase(**{**self.shared(), "options": self.written_options})

    def _inputs(self) -> Iterator["Input"]:
        """Yield, last, the prices that the ledger sets for included jobs: one option's own each."""
        yield from super()._inputs()
        declaration = about(Job, "now")
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
        """Return what the ledger makes of an option's things, in the order of its file."""
        prefix = option_prefix(option_id)
        return [status for path, status in self.ledger_statuses.items() if path.startswith(prefix)]

    def besides_items(self, option_id: str) -> list[LedgerStatus]:
        """Return what the ledger makes of an option's small jobs, its purchase and its sale."""
        kinds = (".items", ".credits")
        ledger_statuses = self.ledger_statuses_of(option_id)
        return [
            status
            for status in ledger_statuses
            if not status.path.partition("[")[0].endswith(kinds)
        ]

    @property
    def paid(self) -> float:
        """What the ledger says was paid up to as_of, tax in: it is taken as out of the reserve."""
        return sum(status.paid for status in self.ledger_statuses.values() if not status.comes_in)

    @property
    def received(self) -> float:
        """What came in up to as_of by the ledger: it is taken as in the reserve already."""
        return sum(status.paid for status in self.ledger_statuses.values() if status.comes_in)


def roots_of(inputs: Iterable["Input"]) -> dict[str, str]:
    """Return for each range that follows another the path of the one whose draw it takes.

    Chains are followed to their root. A range that names a certain input, or one that is not
    there, is a root itself; so is one in a circle, which a folder must not have.
    """
    ranges = {given.path: given.quantity for given in inputs if not given.quantity.certain}
    roots = {}
    for path in ranges:
        root, seen = path, {path}
        while (followed := ranges[root].like) in ranges and followed not in seen:
            root = followed
            seen.add(root)
        if root != path:
            roots[path] = root
    return roots


@dataclass(frozen=True, kw_only=True)
class Input:
    """One number a user wrote or left at its default: its path, value and declaration.

    `least` and `most` are the bounds of what a user may write there.
    """

    path: str
    quantity: Quantity
    section: str
    label: str
    unit: str
    meaning: str
    least: float
    most: float


def inputs_of(record: Record, prefix: str = "") -> Iterator[Input]:
    """Walk a record and yield every quantity in it, by names and never by position.

    >>> from panelworth.model.scenario import Rates
    >>> [each.path for each in inputs_of(Rates(), "rates.")]
    ['rates.discount', 'rates.inflation']
    """
    for key in type(record).model_fields:
        value = getattr(record, key)
        if isinstance(value, Quantity):
            declaration = about(type(record), key)
            name = getattr(record, "name", "")
            section = f"{record.heading}: {name}" if name else record.heading
            words = {key: declaration[key] for key in ("label", "unit", "meaning")}
            bounds = {"least": declaration["low"], "most": declaration["high"]}
            yield Input(path=f"{prefix}{key}", quantity=value, section=section, **words, **bounds)
        elif isinstance(value, Record):
            yield from inputs_of(value, f"{prefix}{key}.")
        elif isinstance(value, tuple):
            for entry in value:
                if isinstance(entry, Record) and hasattr(entry, "name"):
                    yield from inputs_of(entry, f"{prefix}{key}[{entry.name}].")


def with_paths(record: R, prefix: str = "") -> R:
    """Return a record whose quantities know their paths, those of the tables within it too."""
    changed: dict[str, object] = {}
    for key in type(record).model_fields:
        value = getattr(record, key)
        new = _placed(value, f"{prefix}{key}")
        if new is not value:
            changed[key] = new
    if not changed:
        return record
    copied = record.model_copy()
    copied.__dict__.update(changed)  # not model_copy(update=…): a default stays a default
    return copied


def _placed(value: object, path: str) -> object:
    if isinstance(value, Quantity):
        return value.at(path)
    if isinstance(value, Record):
        return with_paths(value, f"{path}.")
    if isinstance(value, tuple) and any(hasattr(entry, "name") for entry in value):
        placed = tuple(with_paths(entry, f"{path}[{entry.name}].") for entry in value)
        same = all(new is old for new, old in zip(placed, value, strict=True))
        return value if same else placed
    return value


def option_prefix(option_id: str) -> str:
    """Return how the paths of an option's inputs begin."""
    return f"options.{option_id}."


def affects(path: str, option_id: str) -> bool:
    """Say whether an input may move an option: the scenario's do, and its own.

    >>> affects("aircraft.value", "keep"), affects("options.full.buy.price", "keep")
    (True, False)
    """
    return not path.startswith("options.") or path.startswith(option_prefix(option_id))


def records(record: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """Yield a record's class and those of the tables within it, for glossary and schema."""
    yield record
    for field_info in record.model_fields.values():
        for kind in _classes(field_info.annotation):
            yield from records(kind)


def _classes(annotation: object) -> Iterator[type[Record]]:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from _classes(inner)
