"""Reads a scenario folder: each file once, and all problems together.

Nothing outside the folder is read, neither through ".." nor through a link: a site publishes notes,
so that a link in somebody else's folder could publish any file of this machine.
"""

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path

from panelworth.model.case import SourceLine, TableFile, WrittenCase, option_prefix
from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.ledger import Entry
from panelworth.model.names import folded
from panelworth.model.needs import Ballot, Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.squawk import Squawk
from panelworth.plain_files import ReadFailure, is_there, names_in
from panelworth.problems import MOST_PROBLEMS, Collector, Problem, Severity, did_you_mean, in_order
from panelworth.reading.airframe import check_airframe
from panelworth.reading.checks import OPTION_ID, check_baseline, check_case
from panelworth.reading.decision import check_decision
from panelworth.reading.ledger import read_ledger
from panelworth.reading.ledger_names import ledger_names_of
from panelworth.reading.marks import check_thousands, is_placeholder, placeholders
from panelworth.reading.needs import FILE as BALLOTS
from panelworth.reading.needs import check_needs, read_ballots
from panelworth.reading.records import R, read_record
from panelworth.reading.sheet import Sheet, UnreadableSheet
from panelworth.reading.sheet_files import read_sheet_file
from panelworth.reading.squawks import check_failures, read_squawks
from panelworth.reading.tables import TomlTable, read_table, read_text
from panelworth.reading.unread_files import (
    FILES,
    FOLDERS,
    IGNORED,
    LEDGERS,
    SQUAWKS,
    misnamed_folder,
    unread_files,
)

NO_SQUAWKS = TableFile(name=SQUAWKS[0])
NO_LEDGER = TableFile(name=LEDGERS[0])  # the file that a new folder has
SCENARIO_FOLDER = "a scenario folder with this file"
RESERVED_IDS = tuple(name.partition(".")[0] for name in FILES)
EQUIPMENT_SUFFIX = ".equipment"  # options/<id>.equipment.toml has the units of another airplane


def read_case(folder: Path) -> tuple[WrittenCase | None, list[Problem]]:
    """Read a scenario folder: the case, or None, and every problem in the order of the files."""
    reader = _Reader(folder=folder)
    case = reader.read() if reader.has_scenario() else None
    problems = [
        replace(problem, file=f"{folder}/{problem.file}" if problem.file else str(folder))
        for problem in reader.collector.problems
    ]
    return None if reader.collector.failed else case, in_order(problems)


def inner_scenarios(folder: Path) -> list[Path]:
    """Return the scenario folders directly within a folder; none within a scenario folder.

    A folder that cannot be opened may be a scenario too. It is returned with the others, so that
    reading it reports the problem.
    """
    names = names_in(folder)
    if isinstance(names, ReadFailure) or FILES[0] in names:
        return []
    listed = [(folder / name, names_in(folder / name)) for name in names if name[:1] != "."]
    scenarios = [path for path, names in listed if _is_scenario(names)]
    no_permission = [path for path, names in listed if _lacks_permission(names)]
    return sorted([*scenarios, *no_permission]) if scenarios else []


def _is_scenario(names: tuple[str, ...] | ReadFailure) -> bool:
    return not isinstance(names, ReadFailure) and FILES[0] in names


def _lacks_permission(names: tuple[str, ...] | ReadFailure) -> bool:
    return isinstance(names, ReadFailure) and bool(names.hint)  # only permissions have a hint


@dataclass
class _Reader:
    """The files of one folder while they are being read."""

    folder: Path
    collector: Collector = field(default_factory=Collector)
    tables: dict[str, TomlTable] = field(default_factory=dict)
    ids: list[str] = field(default_factory=list)  # of all option files, well-formed or not
    placeholder_notes: dict[str, SourceLine] = field(default_factory=dict)  # see is_placeholder
    listing: dict[str, tuple[str, ...]] = field(default_factory=dict)  # see unread_files
    unreadable: set[str] = field(default_factory=set)  # files that are there but could not be read
    ledger_file: TableFile = NO_LEDGER
    squawk_file: TableFile = NO_SQUAWKS

    def has_scenario(self) -> bool:
        """Return whether there is a scenario.toml; if not, add the problem."""
        names = names_in(self.folder)
        if isinstance(names, ReadFailure):
            self._add_unlisted(names)
            return False
        self.listing[""] = names
        if FILES[0] in names:
            return True
        other = next((name for name in names if name.casefold() == FILES[0]), "")
        hint = f"rename {other}" if other else "name the folder that holds scenario.toml"
        self._add(FILES[0], SCENARIO_FOLDER, other or "none", hint)
        return False

    def _add_unlisted(self, failure: ReadFailure) -> None:
        """Add the problem of a folder that is missing or cannot be read."""
        hint = "name the folder that holds scenario.toml"
        if failure.missing:
            self._add(FILES[0], SCENARIO_FOLDER, "no such folder", hint)
        else:
            self._add("", failure.expected, failure.found, failure.hint or hint)

    def read(self) -> WrittenCase | None:
        """Read every file, then check the folder as a whole."""
        scenario = self._record("scenario", FILES[0], Scenario)
        equipment = self._record("equipment", "equipment.toml", Equipment)
        fleet = self._record("fleet", "fleet.toml", Fleet)
        needs = self._record("needs", "needs.toml", Needs)
        if not self._list_folders():
            return None  # without these files, unknown names would be reported in all others
        options = dict(self._options())
        ballots = self._ballots(needs)
        replacements = dict(self._replacements(options))
        notes = dict(self._notes())
        self.collector.problems += unread_files(self.listing)
        ledger = self._ledger(options, scenario)
        squawks = self._squawks(equipment, scenario)
        if "scenario" in self.tables:
            self.collector.problems += check_baseline(self.tables["scenario"], self.ids)
        if scenario is None:
            return None
        case = WrittenCase(
            folder=str(self.folder),
            name=self.folder.resolve().name,
            scenario=scenario,
            options=_baseline_first(options, scenario.baseline),
            ledger=ledger,
            ledger_file=self.ledger_file,
            squawks=squawks,
            squawk_file=self.squawk_file,
            equipment=equipment,
            fleet=fleet,
            replacements=replacements,
            needs=needs,
            ballots=ballots,
            notes=notes,
            source_lines=dict(self._source_lines(options)),
            placeholders=dict(self._placeholders()),
        )
        self.collector.problems += check_thousands(self.tables, options, case.scenario.currency)
        self._check(case)
        return case

    def _check(self, case: WrittenCase) -> None:
        """Check the whole folder. Names that an unreadable file may define are not reported."""
        self.collector.problems += islice(check_case(case, self.tables), MOST_PROBLEMS)
        if not any(file.startswith("options/") for file in self.unreadable):
            self.collector.problems += check_decision(case, self.tables)
        if "equipment.toml" not in self.unreadable:
            self.collector.problems += islice(check_airframe(case, self.tables), MOST_PROBLEMS)
            self.collector.problems += islice(check_failures(case, self.tables), MOST_PROBLEMS)
            if not any(file.startswith("options/") for file in self.unreadable):
                self.collector.problems += islice(check_needs(case, self.tables), MOST_PROBLEMS)

    def _list_folders(self) -> bool:
        """List the inner folders; False if one cannot be read."""
        listed = True
        if misnamed := misnamed_folder(self.listing[""], "options"):
            self._add(misnamed, "a folder named options", f'"{misnamed}"', "rename it")
            listed = False
        for name in FOLDERS:
            names = names_in(self.folder / name) if name in self.listing[""] else ()
            if isinstance(names, ReadFailure):
                self._add(name, names.expected, names.found, names.hint)
                listed = False
            else:
                self.listing[name] = names
        return listed

    def _ledger(self, options: dict[str, Option], scenario: Scenario | None) -> tuple[Entry, ...]:
        file, sheet = self._sheet(LEDGERS, "one ledger")
        if sheet is None:
            return ()
        self.ledger_file = file
        names, found = ledger_names_of(options, self.ids, scenario), Collector()
        entries = read_ledger(sheet, names, scenario.currency if scenario else "", found)
        self._add_of_sheet(file, found)
        return entries

    def _squawks(
        self, equipment: Equipment | None, scenario: Scenario | None
    ) -> tuple[Squawk, ...]:
        """Read the log of failures; without its first day nobody knows what it leaves out."""
        file, sheet = self._sheet(SQUAWKS, "one log of squawks")
        if sheet is None or "equipment.toml" in self.unreadable:
            return ()
        self.squawk_file = file
        if equipment is None or equipment.airplane is None or not equipment.airplane.squawks_since:
            hint = "write it under [airplane] in equipment.toml: the day on which the log begins"
            self._add(file.name, "squawks_since", "none", hint)
            return ()
        names, found = [unit.name for unit in equipment.units], Collector()
        squawks = read_squawks(sheet, names, scenario.currency if scenario else "", found)
        self._add_of_sheet(file, found)
        return squawks

    def _sheet(
        self, names: Sequence[str], one: str
    ) -> tuple[TableFile, Sheet | UnreadableSheet | None]:
        """Read the table that is there; of two, nobody knows which one counts."""
        files = [name for name in names if name in self.listing[""]]
        if len(files) > 1:
            hint = "keep the one that counts, and move the rest out of the folder"
            self._add(files[0], one, " and ".join(files), hint)
        if len(files) != 1 or not self._may_read(self.folder / files[0], files[0]):
            return TableFile(name=names[0]), None
        sheet = read_sheet_file(self.folder / files[0], files[0], self.collector)
        return TableFile(name=files[0], sheet=sheet.name if sheet else ""), sheet

    def _add_of_sheet(self, file: TableFile, found: Collector) -> None:
        self.collector.problems += [
            replace(problem, file=file.name, sheet=file.sheet) for problem in found.problems
        ]

    def _options(self) -> Iterator[tuple[str, Option]]:
        """Yield each option that could be read, with its id: the name of its file.

        Ids are parts of web addresses and file names of the site. So they have few characters, and
        must differ in more than capitals, which some file systems ignore.
        """
        for stem in self._stems("options", ".toml"):
            if stem.endswith(EQUIPMENT_SUFFIX):
                continue
            file, expected, hint = f"options/{stem}.toml", "", "rename the file"
            name = stem
            if not OPTION_ID.fullmatch(stem):
                expected = "a file name of letters, digits, - and _"
            elif stem in RESERVED_IDS:
                expected = "a file name that has no other meaning"
            elif same := next(
                (option_id for option_id in self.ids if folded(option_id) == folded(stem)), ""
            ):
                expected = f'a file name that differs from "{same}.toml" in more than capitals'
                name, hint = f"{stem}.toml", "rename one of the two"
            self.ids.append(stem)  # a wrong name is known too, so that it is not reported twice
            if expected:
                self._add(file, expected, f'"{name}"', hint)
                self.unreadable.add(file)
            elif option := self._record(stem, file, Option):
                yield stem, option

    def _replacements(self, options: dict[str, Option]) -> Iterator[tuple[str, Equipment]]:
        for option_id in self._stems("options", f"{EQUIPMENT_SUFFIX}.toml"):
            file = f"options/{option_id}{EQUIPMENT_SUFFIX}.toml"
            equipment = self._record(f"{option_id}{EQUIPMENT_SUFFIX}", file, Equipment)
            if option_id not in self.ids:
                otherwise = f"put options/{option_id}.toml back, or rename this file"
                hint = did_you_mean(option_id, self.ids, otherwise)
                expected = "the id of an option before .equipment"
                self._add(file, expected, option_id, hint, missing=option_id)
            elif option_id not in options:
                continue
            elif not options[option_id].replaces_airplane:
                expected = 'an option with kind = "replace"'
                self._add(file, expected, f'kind = "{options[option_id].kind}"')
            elif equipment:
                yield option_id, equipment

    def _ballots(self, needs: Needs | None) -> tuple[Ballot, ...]:
        text = self._text(BALLOTS)
        if text and needs:
            return read_ballots(text, needs, self.collector)
        if text and "needs.toml" not in self.listing[""]:
            self._add(
                BALLOTS, "needs.toml in the same folder", "no such file", "say what the needs take"
            )
        return ()

    def _notes(self) -> Iterator[tuple[str, str]]:
        known = ["scenario", *self.ids]
        for stem in self._stems("notes", ".md"):
            file = f"notes/{stem}.md"
            text = self._text(file)
            if stem not in known:
                otherwise = f"put options/{stem}.toml back, or rename the note"
                hint = did_you_mean(stem, known, otherwise)
                expected = 'a note named for an option, or "scenario"'
                self._add(file, expected, stem, hint, warning=True, missing=stem)
            elif text is not None and is_placeholder(text):
                self.placeholder_notes[f"notes.{stem}"] = SourceLine(file=file, line=1)
            elif text is not None:
                yield stem, text

    def _source_lines(self, options: dict[str, Option]) -> Iterator[tuple[str, SourceLine]]:
        """Yield the file and line of every key, by its path in the whole folder."""
        prefixes = {"scenario": "", "equipment": "equipment."}
        for option_id in options:
            prefixes[option_id] = option_prefix(option_id)
            prefixes[f"{option_id}{EQUIPMENT_SUFFIX}"] = option_prefix(option_id) + "equipment."
        for table_id in prefixes.keys() & self.tables.keys():
            table, prefix = self.tables[table_id], prefixes[table_id]
            for path, line in table.lines.items():
                yield prefix + table.name(path), SourceLine(file=table.file, line=line)

    def _placeholders(self) -> Iterator[tuple[str, SourceLine]]:
        for table_id, table in self.tables.items():
            for path in placeholders(table):
                place = SourceLine(file=table.file, line=table.line(path))
                yield f"{table_id}:{table.name(path)}", place
        yield from self.placeholder_notes.items()

    def _stems(self, folder: str, end: str) -> list[str]:
        """Return the names with this ending in a folder, without it; editors' files are ignored."""
        names = [name for name in self.listing[folder] if not IGNORED.fullmatch(name)]
        return [name.removesuffix(end) for name in names if name.endswith(end)]

    def _record(self, table_id: str, file: str, kind: type[R]) -> R | None:
        """Read a TOML file; None if there is none or if it has an error, which is then added."""
        path = self.folder / file
        if not is_there(path):
            return None
        table = read_table(path, file, self.collector) if self._may_read(path, file) else None
        record = None
        if table is not None:
            self.tables[table_id] = table
            record = read_record(table, kind, self.collector)
        if record is None:
            self.unreadable.add(file)
        return record

    def _text(self, file: str) -> str | None:
        path = self.folder / file
        if is_there(path) and self._may_read(path, file):
            return read_text(path, file, self.collector)
        return None

    def _may_read(self, path: Path, file: str) -> bool:
        """Return whether a file is inside the folder, links followed."""
        if Path(os.path.realpath(path)).is_relative_to(os.path.realpath(self.folder)):
            return True
        hint = "copy the file into the folder"
        self._add(file, "a file inside the scenario folder", "a link that leads out of it", hint)
        return False

    def _add(
        self,
        file: str,
        expected: str,
        found: str,
        hint: str = "",
        *,
        warning: bool = False,
        missing: str = "",
    ) -> None:
        problem = Problem(file=file, key="", expected=expected, found=found, hint=hint)
        severity: Severity = "warning" if warning else "error"
        self.collector.add(replace(problem, severity=severity, missing=missing))


def _baseline_first(options: dict[str, Option], baseline: str) -> dict[str, Option]:
    order = sorted(options, key=lambda option_id: (option_id != baseline, option_id))
    return {option_id: options[option_id] for option_id in order}
