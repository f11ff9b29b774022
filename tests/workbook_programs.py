"""A workbook in a spreadsheet engine and the same scenario in our engine, to compare the two.

`Recalculated` calculates a workbook with ironcalc, an independent open-source spreadsheet engine;
`figures_of` asks our engine for the same figures, named as the workbook names its cells.
"""

import io
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path
from typing import Any

import ironcalc
from pydantic import BaseModel
from xlsxwriter.utility import xl_cell_to_rowcol

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.funding.funding_plan import bills, funded_figures
from panelworth.engine.results.trials import Solved
from panelworth.engine.returns.comparison import equal_cash_charges, likely_figures
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.model.ledger import LedgerStatus, Sums
from panelworth.model.value import Quantity, exactly
from panelworth.publishing.workbook.book import serial
from panelworth.publishing.workbook.input_rows import MONTH_NAMES
from panelworth.publishing.workbook.names import name_of

MONEY, RATE = 1e-5, 1e-6  # of a unit; far within the cent that anyone would see
RATES = ("irr", "mirr", "adjusted_irr", "savings_to_investment", "lowest_coverage")
FIXED = (
    "cost_per_mile",
    "without_growth",
    "solve_month",
    "solve_once",
)  # written as values, no formula
STEP = re.compile(r"(\w+)(?:\[([^]]*)\])?(?:\.(.*))?$")
Value = float | str | date


class Recalculated:
    """A workbook opened, changed and recalculated, as in a spreadsheet program.

    `solved` are the raises, by option, that were solved in the trials: inputs of the workbook.
    """

    def __init__(self, file: Path, solved: Mapping[str, Solved | None]) -> None:
        """Open a workbook and calculate it."""
        self.solved = solved
        self.model = ironcalc.load_from_xlsx(str(file), "en", "UTC")
        self.sheet_titles = [sheet["name"] for sheet in self.model.get_worksheets_properties()]
        self.places: dict[str, tuple[int, int, int]] = {}
        for defined in self.model.get_defined_name_list():
            sheet, _, cell = defined["formula"].rpartition("!")
            if ":" not in cell:
                row, column = xl_cell_to_rowcol(cell.replace("$", ""))
                place = (self.sheet_titles.index(sheet.strip("'")), row + 1, column + 1)
                self.places[defined["name"]] = place
        self.model.evaluate()

    def __getitem__(self, path: str) -> float | str:
        """Return what the cell of a path shows; a truth value as a number."""
        value = self.model.get_cell_value(*self.places[name_of(path)])
        return value if isinstance(value, str) else float(value or 0.0)

    def has(self, path: str) -> bool:
        """Say whether any cell is named after a path."""
        return name_of(path) in self.places

    def write(self, path: str, value: Value) -> None:
        """Write another value into an input's cell."""
        place = self.places[name_of(path)]
        if isinstance(value, str):
            self.model.update_cell_with_text(*place, value)
        else:
            number = serial(value) if isinstance(value, date) else value
            self.model.update_cell_with_number(*place, float(number))

    def recalculate(self) -> None:
        """Recalculate every formula."""
        self.model.evaluate()

    def column(self, title: str, heading: str) -> list[Any]:
        """Return the months of a column of a sheet, by its heading."""
        sheet, row, column = self.sheet_titles.index(title), 4, 1
        while self.model.get_cell_value(sheet, row, column) != heading:
            assert not self.model.is_empty_cell(sheet, row, column), heading
            column += 1
        values = []
        while not self.model.is_empty_cell(sheet, row + 1, column):
            row += 1
            values.append(self.model.get_cell_value(sheet, row, column))
        return values


def formulas(workbook: bytes) -> Iterator[tuple[str, str | None]]:
    """Yield each formula of a workbook with the value it is written with."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as file:
        for name in file.namelist():
            if name.startswith("xl/worksheets/sheet"):
                text = file.read(name).decode()
                cell = r"<c [^>]*><f>([^<]*)</f>(?:<v>([^<]*)</v>)?"
                yield from ((match[1], match[2]) for match in re.finditer(cell, text))


def values_as_written(workbook: bytes) -> Iterator[tuple[int, str, str, str]]:
    """Yield each formula's sheet, counted from 0, its cell, itself and the value beside it."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as file:
        count = sum(name.startswith("xl/worksheets/sheet") for name in file.namelist())
        for sheet in range(count):
            text = file.read(f"xl/worksheets/sheet{sheet + 1}.xml").decode()
            cell = r'<c r="([A-Z]+\d+)"[^>]*><f>([^<]*)</f><v>([^<]*)</v>'
            yield from ((sheet, *match.groups()) for match in re.finditer(cell, text))


def changed(case: Case, path: str, value: Value) -> Case:
    """Return the case with another likely value at an input's path, or in the ledger's account."""
    item, _, key = path.rpartition(".")
    if path in case.job_prices:
        return replace(case, job_prices={**case.job_prices, path: exactly(float(value))})
    if key in ("paid", "invoiced", "credit"):
        stated = value if key == "paid" else Sums(before_tax=float(value))
        status = replace(case.ledger_statuses.get(item, LedgerStatus(path=item)), **{key: stated})
        return replace(case, ledger_statuses={**case.ledger_statuses, item: status})
    if path.startswith("options."):
        _, option_id, rest = path.split(".", 2)
        option = _changed(case.options[option_id], rest, value)
        return replace(case, options={**case.options, option_id: option})
    return replace(case, scenario=_changed(case.scenario, path, value))


def _changed(record: BaseModel, path: str, value: Value) -> Any:  # noqa: ANN401 (the same record)
    step = STEP.match(path)
    assert step, path
    key, name, rest = step.groups()
    current = getattr(record, key)
    if rest is None and name is not None:
        weights = [
            value if month == name else weight
            for month, weight in zip(MONTH_NAMES, current, strict=True)
        ]
        return record.model_copy(update={key: tuple(weights)})
    if rest is None:
        value = value == "yes" if key == "resale" else value
        fits = exactly(float(value)) if isinstance(current, Quantity) else value
        return record.model_copy(update={key: fits})
    if name is None:
        return record.model_copy(update={key: _changed(current, rest, value)})
    entries = tuple(
        _changed(entry, rest, value) if entry.name == name else entry for entry in current
    )
    assert entries != current, f"{path} changes nothing"
    return record.model_copy(update={key: entries})


def flows_by_option(case: Case) -> dict[str, Flows]:
    """Return every option's likely flows."""
    trials = likely_trial(case)
    return {option_id: flows_of(case, option_id, trials) for option_id in case.options}


def figures_of(case: Case, solved: Mapping[str, Solved | None]) -> Iterator[tuple[str, Any]]:
    """Yield our engine's likely figures by the paths that the workbook's cells are named after.

    `solved` are the solved raises, by option.
    """
    flows = flows_by_option(case)
    baseline = flows[case.scenario.baseline]
    for option_id, mine in flows.items():
        path = f"options.{option_id}"
        likely = likely_figures(mine, baseline, without_growth=0.0)
        funded, _ = funded_figures(case, mine, solved.get(option_id))
        groups: dict[str, Any] = {
            "likely": likely,
            "likely.parts": likely.parts,
            "to_be_whole": equal_cash_charges(mine, baseline),
        }
        if funded:
            groups["funded"] = funded
        for group, record in groups.items():
            for key, value in asdict(record).items():
                if key not in (*FIXED, "parts"):
                    yield f"{path}.{group}.{key}", value
        for bill in bills(case, mine, funded):
            yield f"{path}.bills[{bill.name}].per_month", bill.per_month


def differences(book: Recalculated, case: Case) -> dict[str, tuple[Any, Any]]:
    """Return the figures in which workbook and engine differ: money by 1e-5, rates by 1e-6."""
    return {
        path: (book[path], value)
        for path, value in figures_of(case, book.solved)
        if book.has(path) and not _alike(path, book[path], value)
    }


def _alike(path: str, shown: float | str, value: Any) -> bool:  # noqa: ANN401 (figures vary)
    if path.endswith(".irr"):
        value = value[0] if len(value) == 1 else None
    if value is None or isinstance(shown, str):
        return value is None and isinstance(shown, str)
    close = RATE * max(1.0, abs(value)) if path.endswith(RATES) else MONEY
    return abs(shown - value) <= close
