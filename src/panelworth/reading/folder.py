"""A scenario folder: which files it holds, each read once, all problems gathered.

Reads nothing outside the folder, neither through ".." nor through a link.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from panelworth.model.case import Case, Place, option_prefix
from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.names import folded
from panelworth.model.needs import Ballot, Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.problems import Collector, Problem, Severity, did_you_mean, in_order, nearest
from panelworth.reading.airframe import check_airframe
from panelworth.reading.checks import check_baseline, check_case
from panelworth.reading.ledger import FILE as LEDGER
from panelworth.reading.ledger import read_ledger
from panelworth.reading.marks import check_thousands, is_placeholder, placeholders
from panelworth.reading.needs import FILE as BALLOTS
from panelworth.reading.needs import check_needs, read_ballots
from panelworth.reading.records import R, read_record
from panelworth.reading.tables import Table, read_table, read_text

FILES = ("scenario.toml", LEDGER, "equipment.toml", "fleet.toml", "needs.toml", BALLOTS)
FOLDERS = ("options", "notes")
TAKEN = tuple(name.partition(".")[0] for name in FILES)
OPTION_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
UNITS = ".equipment"


def read_case(folder: Path) -> tuple[Case | None, list[Problem]]:
    """Read a scenario folder: the case, or None, and every problem in the order of the files."""
    reader = _Reader(folder=folder)
    case = reader.read() if reader.there() else None
    problems = [replace(each, file=f"{folder}/{each.file}") for each in reader.found.problems]
    return None if reader.found.failed else case, in_order(problems)


@dataclass
class _Reader:
    """The files of one folder while they are being read."""

    folder: Path
    found: Collector = field(default_factory=Collector)
    tables: dict[str, Table] = field(default_factory=dict)
    ids: list[str] = field(default_factory=list)  # of all option files, well-formed or not
    untold: dict[str, Place] = field(default_factory=dict)  # notes that are placeholders

    def there(self) -> bool:
        """Say whether there is a scenario at all; if not, what was looked for."""
        if (self.folder / FILES[0]).is_file():
            return True
        what = "no such folder" if not self.folder.is_dir() else "none"
        hint = "name the folder that holds scenario.toml"
        self._add(FILES[0], "a scenario folder with this file", what, hint)
        return False

    def read(self) -> Case | None:
        """Read every file, then look at the whole."""
        scenario = self._record("scenario", FILES[0], Scenario)
        options = dict(self._options())
        equipment = self._record("equipment", "equipment.toml", Equipment)
        fleet = self._record("fleet", "fleet.toml", Fleet)
        needs = self._record("needs", "needs.toml", Needs)
        ballots = self._ballots(needs)
        replacements = dict(self._replacements(options))
        notes = dict(self._notes())
        ledger_text = self._text(LEDGER)
        self._strangers()
        currency = scenario.currency if scenario else ""
        ledger = (
            read_ledger(ledger_text, options, self.ids, currency, self.found) if ledger_text else ()
        )
        if "scenario" in self.tables:
            self.found.problems += check_baseline(self.tables["scenario"], self.ids)
        if scenario is None:
            return None
        case = Case(
            name=self.folder.resolve().name,
            scenario=scenario,
            options=_baseline_first(options, scenario.baseline),
            ledger=ledger,
            equipment=equipment,
            fleet=fleet,
            replacements=replacements,
            needs=needs,
            ballots=ballots,
            notes=notes,
            places=dict(self._places(options)),
            placeholders=dict(self._placeholders()),
        )
        self.found.problems += check_thousands(self.tables, options, currency)
        self.found.problems += check_case(case, self.tables)
        if equipment or "equipment" not in self.tables:
            self.found.problems += check_airframe(case, self.tables)
            self.found.problems += check_needs(case, self.tables)
        return case

    def _options(self) -> Iterator[tuple[str, Option]]:
        for path in self._inside("options", "*.toml"):
            if path.stem.endswith(UNITS):
                continue
            if not OPTION_ID.fullmatch(path.stem):
                expected = "a file name of letters, digits, - and _"
                self._add(f"options/{path.name}", expected, f'"{path.stem}"', "rename the file")
                continue
            if path.stem in TAKEN:
                file, expected = f"options/{path.name}", "a file name that means nothing else"
                self._add(file, expected, f'"{path.stem}"', "rename the file")
                continue
            if not self._told_apart(path):
                continue
            self.ids.append(path.stem)
            if option := self._record(path.stem, f"options/{path.name}", Option):
                yield path.stem, option

    def _told_apart(self, path: Path) -> bool:
        """Refuse a file that some disks, and people, take for another one."""
        same = [each for each in self.ids if folded(each) == folded(path.stem)]
        for each in same:
            expected = f'a file name that differs from "{each}.toml" in more than capitals'
            self._add(f"options/{path.name}", expected, f'"{path.name}"', "rename one of the two")
        return not same

    def _replacements(self, options: dict[str, Option]) -> Iterator[tuple[str, Equipment]]:
        for path in self._inside("options", f"*{UNITS}.toml"):
            option_id = path.stem.removesuffix(UNITS)
            file = f"options/{path.name}"
            own = self._record(path.stem, file, Equipment)
            if option_id not in self.ids:
                hint = did_you_mean(option_id, self.ids, "rename the file")
                self._add(file, "the id of an option before .equipment", option_id, hint)
            elif option_id not in options:
                continue
            elif options[option_id].kind != "replace":
                expected = 'an option with kind = "replace"'
                self._add(file, expected, f'kind = "{options[option_id].kind}"')
            elif own:
                yield option_id, own

    def _ballots(self, needs: Needs | None) -> tuple[Ballot, ...]:
        text = self._text(BALLOTS)
        if text and needs:
            return read_ballots(text, needs, self.found)
        if text and "needs" not in self.tables and not (self.folder / "needs.toml").exists():
            self._add(BALLOTS, "needs.toml beside it", "no such file", "say what the needs take")
        return ()

    def _notes(self) -> Iterator[tuple[str, str]]:
        known = ["scenario", *self.ids]
        for path in self._inside("notes", "*.md"):
            text = self._text(f"notes/{path.name}")
            if path.stem not in known:
                hint = did_you_mean(path.stem, known, "rename the file")
                expected = 'a note named for an option, or "scenario"'
                self._add(f"notes/{path.name}", expected, path.stem, hint, warning=True)
            elif text is not None and is_placeholder(text):
                self.untold[f"notes.{path.stem}"] = Place(file=f"notes/{path.name}", line=1)
            elif text is not None:
                yield path.stem, text

    def _places(self, options: dict[str, Option]) -> Iterator[tuple[str, Place]]:
        prefixes = {"scenario": "", "equipment": "equipment."}
        for option_id in options:
            prefixes[option_id] = option_prefix(option_id)
            prefixes[f"{option_id}{UNITS}"] = option_prefix(option_id) + "equipment."
        for table_id in prefixes.keys() & self.tables.keys():
            table, prefix = self.tables[table_id], prefixes[table_id]
            for path, line in table.lines.items():
                yield prefix + table.name(path), Place(file=table.file, line=line)

    def _placeholders(self) -> Iterator[tuple[str, Place]]:
        for table_id, table in self.tables.items():
            for path in placeholders(table):
                place = Place(file=table.file, line=table.line(path))
                yield f"{table_id}:{table.name(path)}", place
        yield from self.untold.items()

    def _strangers(self) -> None:
        """Point out a misspelt file: left unread in silence it would change every figure."""
        for path in sorted(self.folder.iterdir()):
            known = FOLDERS if path.is_dir() else FILES
            guess = nearest(path.name, known)
            if path.name not in known and guess and not (self.folder / guess).exists():
                expected = "a file that is known here"
                self._add(path.name, expected, path.name, f'did you mean "{guess}"?', warning=True)

    def _inside(self, folder: str, pattern: str) -> list[Path]:
        where = self.folder / folder
        return sorted(where.glob(pattern)) if where.is_dir() else []

    def _record(self, table_id: str, file: str, kind: type[R]) -> R | None:
        path = self.folder / file
        if not self._may_read(path, file):
            return None
        table = read_table(path, file, self.found)
        if table is None:
            return None
        self.tables[table_id] = table
        return read_record(table, kind, self.found)

    def _text(self, file: str) -> str | None:
        path = self.folder / file
        return read_text(path, file, self.found) if self._may_read(path, file) else None

    def _may_read(self, path: Path, file: str) -> bool:
        if not path.exists() and not path.is_symlink():
            return False
        try:
            inside = path.resolve().is_relative_to(self.folder.resolve())
        except RuntimeError:  # a link that leads round in a circle
            self._add(file, "a file that can be read", "a link that leads to itself")
            return False
        if inside and (path.is_file() or path.is_dir()):
            return True
        if inside:
            self._add(file, "a file that can be read", "something that is no file")
            return False
        hint = "copy the file into the folder"
        self._add(file, "a file inside the scenario folder", "a link that leads out of it", hint)
        return False

    def _add(
        self, file: str, expected: str, found: str, hint: str = "", *, warning: bool = False
    ) -> None:
        severity: Severity = "warning" if warning else "error"
        self.found.add(
            Problem(file=file, key="", expected=expected, found=found, hint=hint, severity=severity)
        )


def _baseline_first(options: dict[str, Option], baseline: str) -> dict[str, Option]:
    order = sorted(options, key=lambda option_id: (option_id != baseline, option_id))
    return {option_id: options[option_id] for option_id in order}
