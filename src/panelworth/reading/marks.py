"""Checks of TOML files that need their text: marks of placeholders, and sums such as 17.250.

The values alone do not show them: a parser drops comments, and reads 17.250 as 17.25. In a new
folder a placeholder is marked by `source = "placeholder"` in its table, or by a comment
"# placeholder" at the end of its line.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from babel.numbers import get_currency_precision

from panelworth.model.case import record_classes
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import declaration_of
from panelworth.problems import Problem
from panelworth.reading.cells import USUAL_PLACES
from panelworth.reading.checks import problem_at
from panelworth.reading.tables import KeyPath, TomlTable

PLACEHOLDER = "placeholder"
COMMENT = re.compile(rf"#\s*{PLACEHOLDER}\s*$", re.IGNORECASE)
NOTE = re.compile(rf"\s*<!--\s*{PLACEHOLDER}\s*-->", re.IGNORECASE)
# A number with exactly three digits after its point. 0.250 is not one: thousands never begin so.
GROUP_OF_THREE = re.compile(r"(?<![\w.])[-+]?[1-9]\d{0,2}\.\d{3}(?![\w.])", re.ASCII)
# Units of sums of money. Prices of fuel are left out: they often have three decimals.
SUMS = ("money", "money a year", "money a month", "money an hour")
ENDS = ("low", "likely", "high")


def placeholders(table: TomlTable) -> Iterator[KeyPath]:
    """Yield the path of each value marked as a placeholder, once."""
    if PLACEHOLDER not in table.text.casefold():
        return
    lines = enumerate(table.text.splitlines(), start=1)
    commented = {number for number, text in lines if COMMENT.search(text)}
    for path, line in table.lines.items():
        if line in commented:
            commented.discard(line)  # only the first path: later ones are entries of its value
            yield path
        elif path and path[-1] == "source" and table.value(path) == PLACEHOLDER:
            yield path[:-1]


def is_placeholder(note: str) -> bool:
    """Return whether a note is still that of a new folder: an HTML comment at its start says so."""
    return NOTE.match(note) is not None


def check_thousands(
    tables: Mapping[str, TomlTable], options: Iterable[str], currency: str
) -> Iterator[Problem]:
    """Yield a warning for each sum of money such as 17.250, which TOML reads as 17.25.

    Currencies with three decimals (ISO 4217, such as KWD) have no such warning.
    """
    if get_currency_precision(currency) > USUAL_PLACES:
        return
    for table_id in ("scenario", *options):
        table = tables.get(table_id)
        if table is None or not GROUP_OF_THREE.search(table.text):
            continue
        texts = table.text.splitlines()
        for path, line in table.lines.items():
            value = table.value(path)
            if isinstance(value, float) and _key(path) in _money_keys():
                for text in GROUP_OF_THREE.findall(texts[line - 1]):
                    if float(text) == value:
                        yield _ambiguous_sum(table, path, text)


def _ambiguous_sum(table: TomlTable, path: KeyPath, text: str) -> Problem:
    expected, found = "a sum with one clear meaning", f"{text}, which counts as {float(text):g}"
    hint = f"if thousands are meant, write {text.replace('.', '')}; else {float(text):.2f}"
    return problem_at(table, path, expected, found, hint, "warning")


def _key(path: KeyPath) -> str:
    """Return the input's key: the last one in a path, but not low, likely or high."""
    names = [step for step in path if isinstance(step, str) and step not in ENDS]
    return names[-1] if names else ""


@cache
def _money_keys() -> frozenset[str]:
    """Return the keys of all inputs that are sums of money, from their declared units."""
    return frozenset(
        key
        for root in (Scenario, Option)
        for record in record_classes(root)
        for key in record.model_fields
        if declaration_of(record, key)["unit"] in SUMS
    )
