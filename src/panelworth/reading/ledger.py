"""Makes entries of the rows of a ledger, and reports every bad cell.

The problems have no file: `folder` knows which of the files in `unread_files.LEDGERS` it is.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from panelworth.model.bounds import LARGEST
from panelworth.model.ledger import KINDS, Entry
from panelworth.model.option import Option
from panelworth.problems import (
    MOST_PROBLEMS,
    Collector,
    Problem,
    did_you_mean,
    listed,
    too_many,
)
from panelworth.reading import cells
from panelworth.reading.ledger_names import LedgerNames, changes_without_quote
from panelworth.reading.sheet import Sheet, SheetRow, UnreadableSheet
from panelworth.reading.sheet_cells import (
    CellFormats,
    day_problems,
    formats_of,
    heading_problems,
    number_in,
    row_shape_problems,
    sheet_problem,
    written_sum,
)

COLUMNS = tuple(key for key in Entry.model_fields if key != "line")
REQUIRED = ("date", "option", "item", "kind")
SUMS, DAYS, ANSWERS = ("amount", "low", "high"), ("date", "expires"), ("tax_included", "final")
RANGED = ("estimate", "quote")  # kinds of rows that can have low and high


def read_ledger(
    sheet: Sheet | UnreadableSheet, names: LedgerNames, currency: str, collector: Collector
) -> tuple[Entry, ...]:
    """Read all rows and collect the problems; a row with an error is left out."""
    if isinstance(sheet, UnreadableSheet):
        collector.add(sheet_problem(sheet.line, "", sheet.expected, sheet.found, sheet.hint))
        return ()
    problems = list(heading_problems(sheet, COLUMNS, REQUIRED))
    collector.problems += problems
    if problems:
        return ()
    formats = formats_of(sheet, SUMS, DAYS, currency)
    collector.problems += _separator_warning(sheet, formats)
    entries, bad_rows = [], 0
    for row in sheet.rows:
        problems = list(_row_problems(row, sheet, formats, names))
        collector.problems += problems
        if any(problem.severity == "error" for problem in problems):
            bad_rows += 1
        elif entry := _entry(row, formats, collector):
            entries.append(entry)
        if bad_rows == MOST_PROBLEMS:
            collector.add(too_many("", row.line, "rows with mistakes"))
            break
    if not bad_rows:  # a change may belong to a quote in a row that was left out
        collector.problems += _problems_across_rows(entries, names.options)
    return tuple(entries)


def _entry(row: SheetRow, formats: CellFormats, collector: Collector) -> Entry | None:
    """Make the entry of a row whose cells are right by themselves; None if it has an error."""
    values: dict[str, Any] = {key: row.cells.get(key, "") for key in COLUMNS}
    values["kind"] = values["kind"].casefold()
    for key in SUMS:
        values[key] = number_in(row, key, formats)
    for key in DAYS:
        values[key] = next(iter(cells.days_in(values[key], formats.day_order)), None)
    for key in ANSWERS:
        values[key] = cells.yes_or_no(values[key])
    try:
        return Entry(line=row.line, **values)
    except ValidationError as error:
        for detail in error.errors():
            wording = {"expected": detail["msg"], "found": str(detail["input"]), "hint": ""}
            wording |= detail.get("ctx", {}) if detail["type"] == "refused" else {}
            key = str(detail["loc"][0])
            collector.add(
                sheet_problem(row.line, key, wording["expected"], wording["found"], wording["hint"])
            )
        return None


def _separator_warning(sheet: Sheet, formats: CellFormats) -> Iterator[Problem]:
    """Warn once of sums such as 17,250 whose separator only the delimiter of the file decides."""
    if formats.marks_from_cells:
        return
    unclear = []  # sums that would have another value in a file with another delimiter
    for row in sheet.rows:
        for key in SUMS:
            money = written_sum(row, key)
            if money and cells.is_group_of_three(money):
                number = cells.number_of(money, formats.marks, formats.places)
                unclear += [] if number is None else [(row, key, number)]
    if unclear:
        row, key, number = unclear[0]
        more = f", and {len(unclear) - 1} more like it" if len(unclear) > 1 else ""
        found = f'"{row.cells[key]}", which counts as {number:g}{more}'
        hint = f"if that is right, write it without the mark: {number:g}"
        yield sheet_problem(row.line, key, "sums with one clear meaning", found, hint, "warning")


def _row_problems(
    row: SheetRow, sheet: Sheet, formats: CellFormats, names: LedgerNames
) -> Iterator[Problem]:
    line = row.line
    yield from row_shape_problems(row, sheet)
    if row.errors:  # nothing else can be said of such a row: a formula may change any cell
        return
    for key in SUMS:
        yield from _sum_problems(row, key, formats)
    for key in DAYS:
        yield from day_problems(line, key, row.cells.get(key, ""), formats)
    for key in ANSWERS:
        if cells.yes_or_no(row.cells.get(key, "")) is None:
            yield sheet_problem(line, key, '"yes" or "no"', f'"{row.cells[key]}"')
    kind = row.cells["kind"]
    if kind.casefold() not in KINDS:
        yield sheet_problem(line, "kind", listed(KINDS), f'"{kind}"', did_you_mean(kind, KINDS))
    yield from _range_problems(row, formats)
    yield from _sign_problems(row, formats)
    yield from names.problems(line, row.cells["option"], row.cells["item"], kind.casefold())


def _sum_problems(row: SheetRow, key: str, formats: CellFormats) -> Iterator[Problem]:
    """Yield the first problem of a cell with a sum, since each check needs the ones before it."""
    line, text = row.line, row.cells.get(key, "")
    if key in row.numbers:
        if abs(row.numbers[key]) > LARGEST:
            yield sheet_problem(line, key, "a number below a million million", f'"{text}"')
        return
    money, quoted = cells.money_in(text), f'"{text}"'
    sign = money.currency if money else ""
    # Without scenario.toml the currency is unknown, so any currency is accepted.
    fits = not sign or not formats.currency or cells.is_currency(sign, formats.currency)
    if money is None or not (fits or cells.names_currency(sign)):
        if text:
            yield sheet_problem(line, key, "a number", quoted, "write it as 1234.50")
    elif not fits:
        hint = "convert it, and say so in the note"
        yield sheet_problem(line, key, f"a sum in {formats.currency}", quoted, hint)
    elif (number := cells.number_of(money, formats.marks, formats.places)) is None:
        yield sheet_problem(
            line, key, "a number with one clear meaning", quoted, _ambiguous_hint(money, formats)
        )
    elif abs(number) > LARGEST:
        yield sheet_problem(line, key, "a number below a million million", quoted)
    elif cells.decimals_of(money, formats.marks) > formats.places:
        expected = f"at most {formats.places} decimals in {formats.currency or 'a sum'}"
        hint = f"it counts as {number:g}; look for a mark in the wrong place"
        yield sheet_problem(line, key, expected, quoted, hint, "warning")


def _ambiguous_hint(money: cells.Money, formats: CellFormats) -> str:
    """Return what to write instead of a sum that can mean 17.25 or 17250."""
    if not cells.decimals_of(money, formats.marks):
        return "nothing in the file tells thousands from decimals here; write it as 1234.50"
    thousands = cells.NO_DIGIT.sub("", money.digits)
    decimals = f"{float(thousands) / 1000:.{formats.places}f}"
    what = formats.currency or "a sum"
    return f"write {thousands} or {decimals}: {what} has at most {formats.places} decimals"


def _range_problems(row: SheetRow, formats: CellFormats) -> Iterator[Problem]:
    """Refuse a row without an amount, and a range that is incomplete or not in order."""
    line, (amount, low, high) = row.line, (row.cells.get(key, "") for key in SUMS)
    numbers = [number_in(row, key, formats) for key in ("low", "amount", "high")]
    if not amount:
        yield sheet_problem(
            line, "amount", "a sum", "nothing", "write the likely sum in this column"
        )
    elif bool(low) != bool(high):
        yield sheet_problem(line, "low", "low and high together, or neither", "one of them")
    elif None not in numbers and sorted(numbers, key=float) != numbers:  # type: ignore[arg-type]
        found = ", ".join(f"{part:g}" for part in numbers)
        yield sheet_problem(line, "low", "low ≤ amount ≤ high", found)


def _sign_problems(row: SheetRow, formats: CellFormats) -> Iterator[Problem]:
    """Refuse a minus that would reverse the meaning of a row."""
    kind = row.cells["kind"].casefold()
    for key in SUMS if kind in RANGED else ("amount",) if kind == "credit" else ():
        number = number_in(row, key, formats)
        if number is not None and number < 0.0:
            hint = "a credit is taken off: write it without a minus" if kind == "credit" else ""
            yield sheet_problem(
                row.line, key, "a number of at least 0", f'"{row.cells[key]}"', hint
            )


def _problems_across_rows(entries: list[Entry], options: Mapping[str, Option]) -> Iterator[Problem]:
    """Warn of cells without effect, and refuse changes without a quote, which need all rows."""
    for entry in entries:
        if entry.low is not None and entry.kind not in RANGED:
            hint = "its amount alone counts; write a quote or an estimate for a range"
            yield _warning_at(
                entry, "low", "no range here", f"one on a row of kind {entry.kind}", hint
            )
        if entry.final and entry.kind != "invoice":
            found = f"yes on a row of kind {entry.kind}"
            yield _warning_at(
                entry, "final", "yes on an invoice alone", found, "it has no effect here"
            )
        if entry.final and not entry.item:
            hint = 'name them, joined by " + ", if only some are meant'
            yield _warning_at(
                entry,
                "item",
                "the names of the final items",
                "nothing, which means all items",
                hint,
            )
    yield from changes_without_quote(entries, options)


def _warning_at(entry: Entry, key: str, expected: str, found: str, hint: str) -> Problem:
    return sheet_problem(entry.line, key, expected, found, hint, "warning")
