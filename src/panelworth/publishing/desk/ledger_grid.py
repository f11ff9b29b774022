"""The rows and cells of the ledger as its page shows them, with what is wrong at each cell."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from panelworth.model.ledger import Entry
from panelworth.model.value import declaration_of
from panelworth.problems import Problem
from panelworth.publishing.desk.ledger_choices import WORDS, Choices
from panelworth.publishing.desk.ledger_saving import WAS, LedgerOutcome
from panelworth.publishing.desk.ledger_text import COLUMNS, LedgerText
from panelworth.publishing.desk.saving import as_text
from panelworth.publishing.formats import number, plain
from panelworth.publishing.language import _

DAYS, SUMS = ("date", "expires"), ("amount", "low", "high")
NOT_FINAL = ("", "no")


def columns_of() -> list[dict[str, str]]:
    """Return the columns with their labels and meanings."""
    declared = {key: declaration_of(Entry, key) for key in COLUMNS}
    return [
        {"key": key, "label": _(one["label"]), "meaning": _(one["meaning"])}
        for key, one in declared.items()
    ]


def grid_of(
    ledger: LedgerText,
    shown: Iterable[int],
    outcome: LedgerOutcome,
    problems: Sequence[Problem],
    choices: Choices,
) -> dict[str, Any]:
    """Return the new rows, those of the file, and the lists that cells choose from.

    `shown` are the rows of this page; rows that were typed in are shown on any page.
    """
    typed = [int(row[1:]) for row in outcome.typed if row[0] == "r"]
    numbers = sorted({*shown, *(at for at in typed if at < len(ledger.rows))}, reverse=True)
    days = {cells[key] for cells in map(ledger.cells, ledger.rows) for key in DAYS}
    maker = _Maker(
        ledger=ledger,
        outcome=outcome,
        choices=choices,
        iso=all(map(_is_day, filter(None, days))),
        problems=_by_line(problems),
    )
    new = [row for row in outcome.typed if row[0] == "n"] or ["n0"]
    return {
        "new_rows": [maker.new(row, at) for at, row in enumerate(new)],
        "rows": [maker.row(number) for number in numbers],
        "options": choices.options,
        "items": choices.items,
        "all_items": [
            (text, f"{name} · {title}")
            for option_id, title in choices.options
            for text, name in choices.items[option_id]
        ],
    }


def _by_line(problems: Sequence[Problem]) -> dict[tuple[int, str], list[Problem]]:
    found: dict[tuple[int, str], list[Problem]] = {}
    for problem in problems:
        key = problem.key if problem.key in COLUMNS else ""
        found.setdefault((problem.line, key), []).append(problem)
    return found


@dataclass(frozen=True, kw_only=True)
class _Maker:
    """Makes the rows of a page. `iso` says whether all days of the file are written 2026-10-31."""

    ledger: LedgerText
    outcome: LedgerOutcome
    choices: Choices
    iso: bool
    problems: dict[tuple[int, str], list[Problem]]

    def new(self, row: str, at: int) -> dict[str, Any]:
        """Return a row that is not in the file yet."""
        cells = {**dict.fromkeys(COLUMNS, ""), **self.outcome.typed.get(row, {})}
        name = _("A new row") if not at else _("New row {number}", number=at + 1)
        return {"id": row, "name": name, **self._cells(row, name, cells, 0)}

    def row(self, number: int) -> dict[str, Any]:
        """Return a row of the file, with what was typed into it."""
        row, one = f"r{number}", self.ledger.rows[number]
        cells = {**self.ledger.cells(one), **self.outcome.typed.get(row, {})}
        name = _("Row {line}", line=one.line)
        about = ", ".join(filter(None, (cells["date"], cells["item"], cells["kind"])))
        return {
            "id": row,
            "number": number,
            "line": one.line,
            "name": name,
            "about": about,
            "was": f"{row}.{WAS}",
            "digest": one.digest,
            "may_be_final": cells["kind"].casefold() == "invoice" and cells["final"] in NOT_FINAL,
            **self._cells(row, name, cells, one.line),
        }

    def _cells(self, row: str, name: str, cells: dict[str, str], line: int) -> dict[str, Any]:
        found = self.outcome.now.get(row, {})
        made = [
            {
                "id": f"{row}-{key}",
                "name": f"{row}.{key}",
                "key": key,
                "value": cells[key],
                "kind": self._kind(key, cells[key]),
                "words": self._words(key, cells[key]),
                "list": self._list(key, cells["option"]),
                "now": (found[key] or _("nothing")) if key in found else "",
                "reads": self._reads(row, key, cells[key]),
                **self._reasons(row, key, line),
            }
            for key in COLUMNS
        ]
        return {"cells": made, "reasons": self._reasons(row, "", line), "label": name}

    def _reasons(self, row: str, key: str, line: int) -> dict[str, list[str]]:
        """Return what is wrong with a cell: of what was typed; else of what the file has."""
        wrong = self.outcome.wrong.get((row, key), [])
        known = self.problems.get((line, key), []) if line and not wrong else []
        errors = [as_text(problem) for problem in known if problem.severity == "error"]
        warnings = [as_text(problem) for problem in known if problem.severity != "error"]
        return {"wrong": [*wrong, *errors], "warnings": warnings}

    def _reads(self, row: str, key: str, text: str) -> str:
        """Say how a sum or a day of a pasted row would be read, if it is written otherwise."""
        value = getattr(self.outcome.entries.get(row), key, None)
        if isinstance(value, date):
            return "" if value.isoformat() == text else _("Read as {value}", value=value)
        if isinstance(value, float):
            read = plain(value) if value >= 0 else number(value)
            return "" if read == text else _("Read as {value}", value=read)
        return ""

    def _kind(self, key: str, text: str) -> str:
        """Return how a cell is typed: a text with line ends needs an input that keeps them."""
        if "\n" in text:
            return "lines"
        if key in WORDS:
            return "words"
        if key in DAYS and self.iso and (not text or _is_day(text)):
            return "day"
        return "sum" if key in SUMS else "list" if key in ("option", "item") else "text"

    def _words(self, key: str, text: str) -> list[str]:
        words = list(WORDS.get(key, ()))
        return words if not text or text in words else [*words, text]

    def _list(self, key: str, option: str) -> str:
        """Return the list that a cell chooses from: the items are those of the row's option."""
        if key == "option":
            return "options"
        return f"items-{option}" if option in self.choices.items else "items"


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
