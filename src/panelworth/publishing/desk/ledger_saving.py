"""What a sent ledger does: rows are changed, added and removed once they are checked on a copy.

The rules are those of the other forms: what is wrong in itself is shown at its cell and not
written, problems elsewhere do not prevent writing, and a file that changed is not overwritten.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from panelworth.model.ledger import Entry
from panelworth.problems import Problem
from panelworth.publishing.desk.disc import Read, ScenarioFiles, fingerprint
from panelworth.publishing.desk.frame import LEDGER_FILE
from panelworth.publishing.desk.ledger_text import COLUMNS, LedgerText, ledger_text
from panelworth.publishing.desk.saving import as_text
from panelworth.publishing.language import N_, _, ngettext

FILE = LEDGER_FILE
WORKBOOKS = ("ledger.xlsx", "ledger.ods")
NOTATION = ("amount", "low", "high", "date", "expires")  # one cell can make others unclear
# The name of an input: r12.amount is a cell of a row of the file, n0.amount one of a new row.
ROW = re.compile(r"([rn])(0|[1-9][0-9]{0,5})")
WAS = "was"  # r12.was has the digest of the row as the form shows it
CHANGED = N_(
    "{file} changed after this page was made. Nothing was written. What you typed is still here; "
    "where the file says something else now, that is shown below the cell."
)
GONE = N_("A row that you had here is not in the file any more: {cells}.")
UNREADABLE = N_("{file} cannot be read as a table: correct it in a text editor first.")
EMPTY = N_("This row is empty: remove it, or write into it.")
ELSEWHERE = N_("With this, row {line} would be unclear: {text}")
ReadEntries = Callable[[Path], Sequence[Entry]]
Rows = dict[str, dict[str, str]]  # cells by the id of the row


@dataclass(kw_only=True)
class LedgerOutcome:
    """What became of a sent ledger.

    `wrong` has the reasons by row and column: ("r12", "amount"); ("", "") is the ledger as a
    whole. `typed` has what was typed by row as the file is now, `now` what the file has there,
    `entries` how pasted rows would be read.
    """

    wrong: dict[tuple[str, str], list[str]] = field(default_factory=dict)
    typed: Rows = field(default_factory=dict)
    now: Rows = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)
    saved: str = ""  # what was done

    def add(self, row: str, key: str, text: str) -> None:
        """Add a reason, once."""
        if text not in self.wrong.setdefault((row, key), []):
            self.wrong[row, key].append(text)


def _typed_rows(form: Mapping[str, str]) -> Rows:
    """Return what was typed, by row: those of the file, then the new ones that are not empty."""
    rows: Rows = {}
    for name, value in form.items():
        row, _dot, key = name.partition(".")
        if key in COLUMNS and ROW.fullmatch(row):
            rows.setdefault(row, {})[key] = value.replace("\r\n", "\n").strip()
    return {row: cells for row, cells in rows.items() if row[0] == "r" or any(cells.values())}


def typed_ledger(files: ScenarioFiles, form: Mapping[str, str]) -> LedgerOutcome:
    """Return what was typed, by row as the file is now; with the reason if it cannot be saved."""
    content = files.content(FILE)
    return _typed(content, ledger_text(content), form)


def _typed(
    content: bytes | None, ledger: LedgerText | None, form: Mapping[str, str]
) -> LedgerOutcome:
    outcome = LedgerOutcome(typed=_typed_rows(form))
    if ledger is None:
        outcome.add("", "", _(UNREADABLE, file=FILE))
    elif form.get("fingerprint") != fingerprint(content):
        _put_in_place(outcome, ledger, form)
    return outcome


def save_ledger(
    files: ScenarioFiles, read: Read, form: Mapping[str, str], removed: Sequence[int] = ()
) -> LedgerOutcome:
    """Write the rows that differ from those of the file, and the new ones."""
    content = files.content(FILE)
    ledger = ledger_text(content)
    outcome = _typed(content, ledger, form)
    if outcome.wrong or ledger is None:
        return outcome
    changed, new = _edits(outcome, ledger, set(removed))
    if outcome.wrong:
        return outcome
    gone = sorted({number for number in removed if number < len(ledger.rows)})
    if not changed and not new and not gone:
        outcome.saved = "same"
        return outcome
    after = ledger.with_rows(changed, gone, list(new.values()))
    kept = [f"r{number}" for number in range(len(ledger.rows)) if number not in gone]
    edited = {f"r{number}": set(cells) for number, cells in changed.items()}
    edited |= {row: set(COLUMNS) for row in new}
    if edited:
        check = _Check(outcome=outcome, edited=edited)
        known, problems = files.problems(read), files.problems(read, {FILE: after})
        check.add(known, problems, after, [*kept, *new])
    if not outcome.wrong:
        label = _label(len(changed), len(new), len(gone))
        problem = files.write({FILE: after}, {FILE: content}, label)
        if problem:
            outcome.add("", "", as_text(problem))
        else:
            outcome.saved = "saved" if changed else "added" if new else "removed"
    return outcome


def check_rows(
    files: ScenarioFiles, read: Read, entries: ReadEntries, outcome: LedgerOutcome
) -> None:
    """Add how new rows would be read, and what is wrong with them; they are not written yet."""
    ledger = ledger_text(files.content(FILE))
    new = {row: cells for row, cells in outcome.typed.items() if row[0] == "n"}
    if ledger is not None and new:
        after = ledger.with_rows({}, (), list(new.values()))
        rows = [f"r{number}" for number in range(len(ledger.rows))]
        check = _Check(outcome=outcome, edited={row: set(COLUMNS) for row in new})
        check.add(files.problems(read), files.problems(read, {FILE: after}), after, [*rows, *new])
        right = [row for row in new if row not in {row for row, _key in outcome.wrong}]
        after = ledger.with_rows({}, (), [new[row] for row in right])
        whole = ledger_text(after) or ledger
        lines = {one.line: row for one, row in zip(whole.rows, [*rows, *right], strict=True)}
        read_as = files.on_copy(entries, {FILE: after})
        outcome.entries = {lines[entry.line]: entry for entry in read_as if entry.line in lines}


def _edits(
    outcome: LedgerOutcome, ledger: LedgerText, removed: set[int]
) -> tuple[dict[int, dict[str, str]], Rows]:
    """Return the cells that were changed, by number of row, and the new rows."""
    changed, new = {}, {}
    for row, typed in outcome.typed.items():
        number = int(row[1:])
        if row[0] == "n":
            new[row] = typed
        elif number < len(ledger.rows) and number not in removed:
            cells = ledger.cells(ledger.rows[number])
            edits = {key: text for key, text in typed.items() if text != cells[key]}
            if edits and not any({**cells, **edits}.values()):
                outcome.add(row, "", _(EMPTY))
            if edits:
                changed[number] = edits
    return changed, new


@dataclass(frozen=True, kw_only=True)
class _Check:
    """The check of rows on a copy: `edited` has the columns that were edited, by row."""

    outcome: LedgerOutcome
    edited: Mapping[str, set[str]]

    def add(
        self,
        known: Sequence[Problem],
        problems: Sequence[Problem],
        content: bytes,
        rows: Sequence[str],
    ) -> None:
        """Add the errors of edited rows, and of others whose cells these rows make unclear.

        `known` are the problems without the edits, `rows` the ids of all rows with them.
        """
        after = ledger_text(content)
        numbers = {row.line: at for at, row in enumerate(after.rows)} if after else {}
        before = {_same_problem(problem) for problem in known}
        all_checked = not any(problem.file == FILE and not problem.key for problem in known)
        for problem in problems:
            if problem.file != FILE or problem.severity != "error":
                continue
            row = rows[numbers[problem.line]] if problem.line in numbers else ""
            key = problem.key if problem.key in COLUMNS else ""
            is_new = _same_problem(problem) not in before
            if row in self.edited:
                if is_new or key in self.edited[row]:
                    self.outcome.add(row, key, as_text(problem))
            elif is_new and not row:
                self.outcome.add("", "", as_text(problem))
            elif is_new and key in NOTATION and all_checked:
                text = _(ELSEWHERE, line=problem.line, text=as_text(problem))
                self.outcome.add("", "", text)


def _same_problem(problem: Problem) -> tuple[str, str, str]:
    """Return what makes a problem of the ledger the same one after lines have moved."""
    return problem.key, problem.expected, problem.found


def _put_in_place(outcome: LedgerOutcome, ledger: LedgerText, form: Mapping[str, str]) -> None:
    """Move what was typed to where its rows are now; say what the file has instead."""
    outcome.add("", "", _(CHANGED, file=FILE))
    places: dict[str, list[int]] = {}
    for number, one in enumerate(ledger.rows):
        places.setdefault(one.digest, []).append(number)
    found: Rows = {}
    lost: Rows = {}
    for row, cells in outcome.typed.items():
        same = places.get(form.get(f"{row}.{WAS}", ""), [])
        if row[0] == "n":
            found[row] = cells
        elif same:
            found[f"r{same.pop(0)}"] = cells
        else:
            lost[row] = cells
    for row, cells in lost.items():
        if row in found or int(row[1:]) >= len(ledger.rows):
            outcome.add("", "", _(GONE, cells=", ".join(filter(None, cells.values()))))
        else:
            found[row] = cells
            now = ledger.cells(ledger.rows[int(row[1:])])
            differs = {key: now[key] for key in cells if now[key] != cells[key]}
            outcome.now[row] = differs
    outcome.typed = found


def _label(changed: int, added: int, removed: int) -> str:
    """Name a change of the ledger."""
    parts = [
        ngettext("{n} row changed", "{n} rows changed", changed).format(n=changed),
        ngettext("{n} row added", "{n} rows added", added).format(n=added),
        ngettext("{n} row removed", "{n} rows removed", removed).format(n=removed),
    ]
    counted = zip(parts, (changed, added, removed), strict=True)
    return _("Ledger: {what}", what=", ".join(text for text, count in counted if count))
