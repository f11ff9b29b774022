"""ledger.csv, row by row: words and numbers to entries, with every bad cell named."""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from pydantic import ValidationError

from panelworth.model.ledger import KINDS, Entry
from panelworth.model.option import Option
from panelworth.model.value import LARGEST
from panelworth.problems import Collector, Problem, did_you_mean, listed
from panelworth.reading.tables import read_rows

FILE = "ledger.csv"
COLUMNS = tuple(key for key in Entry.model_fields if key != "line")
REQUIRED = ("date", "option", "item", "kind")
YES_NO = {"": False, "no": False, "false": False, "0": False, "yes": True, "true": True, "1": True}
NUMBER = re.compile(r"-?(\d+|\d{1,3}(,\d{3})+)(\.\d+)?")


def read_ledger(
    text: str, options: Mapping[str, Option], ids: list[str], found: Collector
) -> tuple[Entry, ...]:
    """Read all rows; a row with a problem is left out and the problem noted.

    `ids` names every option file; rows of one that could not be read are not matched.
    """
    try:
        heading, rows = read_rows(text)
    except Exception as error:  # noqa: BLE001 (csv.Error and its kin: whatever the text holds)
        found.add(_at(1, "", "a table of comma-separated cells", str(error)))
        return ()
    strangers = [key for key in heading if key not in COLUMNS]
    absent = [key for key in REQUIRED if key not in heading]
    for key in strangers:
        hint = did_you_mean(key, COLUMNS, f"known: {', '.join(COLUMNS)}")
        found.add(_at(1, key, "a column that is known", f'"{key}"', hint))
    for key in absent:
        found.add(_at(1, key, "this column to be there", "nothing", "add it to the first row"))
    twice = sorted({key for key in heading if heading.count(key) > 1} - set(strangers))
    for key in twice:
        found.add(_at(1, key, "each column once", f'"{key}" twice', "take one of them out"))
    if strangers or absent or twice:
        return ()
    entries = []
    for line, row in rows:
        wrong = list(_problems(line, row, options, ids))
        found.problems += wrong
        if not wrong and (entry := _entry(line, row, found)):
            entries.append(entry)
    return tuple(entries)


def _entry(line: int, row: dict[str, str], found: Collector) -> Entry | None:
    values: dict[str, Any] = {key: row.get(key, "") for key in COLUMNS}
    for key in ("amount", "low", "high"):
        values[key] = _number(values[key])
    for key in ("date", "expires"):
        values[key] = date.fromisoformat(values[key]) if values[key] else None
    for key in ("tax_included", "final"):
        values[key] = YES_NO[values[key].casefold()]
    try:
        return Entry(line=line, **values)
    except ValidationError as error:
        for detail in error.errors():
            found.add(_at(line, str(detail["loc"][0]), detail["msg"], str(detail["input"])))
        return None


def _number(text: str) -> float | None:
    return float(text.replace(",", "")) if text else None


def _problems(
    line: int, row: dict[str, str], options: Mapping[str, Option], ids: list[str]
) -> Iterator[Problem]:
    yield from _cells(line, row)
    yield from _sums(line, row)
    if row["option"] in options:
        yield from _matches(line, row, options[row["option"]])
    elif row["option"] not in ids:
        hint = did_you_mean(row["option"], ids, f"there is {listed(ids)}")
        yield _at(line, "option", "the id of an option", f'"{row["option"]}"', hint)


def _cells(line: int, row: dict[str, str]) -> Iterator[Problem]:
    if row[""]:
        hint = "put text with commas in quotation marks"
        yield _at(line, "", "as many cells as the first row has", f'more: "{row[""]}"', hint)
    for key in ("amount", "low", "high"):
        text = row.get(key, "")
        if text and not NUMBER.fullmatch(text):
            hint = "write 1234.50, without a currency sign"
            yield _at(line, key, "a number", f'"{text}"', hint)
        elif abs(_number(text) or 0.0) > LARGEST:
            yield _at(line, key, "a number below a million million", f'"{text}"')
    for key in ("date", "expires"):
        text = row.get(key, "")
        if (text or key == "date") and not _is_day(text):
            yield _at(line, key, "a day such as 2026-10-31", f'"{text}"')
    for key in ("tax_included", "final"):
        text = row.get(key, "")
        if text.casefold() not in YES_NO:
            yield _at(line, key, '"yes" or "no"', f'"{text}"')
    if row["kind"] not in KINDS:
        yield _at(line, "kind", listed(KINDS), f'"{row["kind"]}"', did_you_mean(row["kind"], KINDS))


def _sums(line: int, row: dict[str, str]) -> Iterator[Problem]:
    low, high = bool(row.get("low")), bool(row.get("high"))
    if not row.get("amount"):
        yield _at(line, "amount", "a sum", "nothing", "write the likely sum in this column")
    elif low != high:
        yield _at(line, "low", "low and high together, or neither", "one of them")
    elif low and all(NUMBER.fullmatch(row[key]) for key in ("low", "amount", "high")):
        parts = [_number(row[key]) or 0.0 for key in ("low", "amount", "high")]
        if not parts[0] <= parts[1] <= parts[2]:
            written = ", ".join(f"{part:g}" for part in parts)
            yield _at(line, "low", "low ≤ amount ≤ high", written)


def _matches(line: int, row: dict[str, str], option: Option) -> Iterator[Problem]:
    names = [name for item in option.items for name in (item.ledger, item.name) if name]
    if row["kind"] in ("quote", "change", "estimate", "invoice", "payment"):
        names += [credit.name for credit in option.credits]
    if row["item"] not in names:
        hint = did_you_mean(row["item"], names, f"there is {listed(names)}")
        yield _at(line, "item", "an item's ledger key or name", f'"{row["item"]}"', hint)


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _at(line: int, key: str, expected: str, found: str, hint: str = "") -> Problem:
    return Problem(file=FILE, line=line, key=key, expected=expected, found=found, hint=hint)
