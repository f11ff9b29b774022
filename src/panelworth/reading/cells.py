"""Reads cells as people and spreadsheets write them: sums of money, days, yes and no.

If a cell has two possible meanings, the other cells of the file decide, or it is refused. Nothing
is guessed, because a wrong guess would change a figure by a factor of 1000, or a date by months.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

YES = ("yes", "y", "true", "t", "1", "x", "✓", "✔")
NO = ("", "no", "n", "false", "f", "0", "-", "–", "—")

LONGEST_SUM = 60  # characters; a real sum is shorter
SUM = re.compile(  # for a text without two spaces in a row
    r"(?P<sign>[-+]?) ?(?P<before>[^\d\s.,'()+-]+\.?)? ?(?P<later>[-+]?) ?"
    r"(?P<digits>[\d.,](?:[\d.,' ]*\d)?) ?(?P<after>[^\d\s.,'()+-]+\.?)?",
    re.ASCII,
)
# Notations of a sum, by the separators in it.
GROUPED = re.compile(r"\d{1,3}(?:([ '])\d{3})(?:\1\d{3})*(?:([.,])\d+)?", re.ASCII)
BOTH_SEPARATORS = re.compile(r"\d{1,3}(?:(?:,\d{3})+(\.)\d+|(?:\.\d{3})+(,)\d+)", re.ASCII)
SEVERAL_GROUPS = re.compile(r"\d{1,3}(?:(,\d{3}){2,}|(\.\d{3}){2,})", re.ASCII)
ONE_SEPARATOR = re.compile(r"\d*([.,])\d+", re.ASCII)
ONE_GROUP = re.compile(r"[1-9]\d{0,2}[.,]\d{3}", re.ASCII)
NO_DIGIT = re.compile(r"[^0-9]")
RANK = re.compile(r"[1-9]\d{0,2}", re.ASCII)
UNKNOWN = "?"
USUAL_PLACES = 2  # decimals of most currencies (ISO 4217, minor units)
DecimalMarks = Mapping[str, bool]

# ISO 4217 codes that a sign or an abbreviation can mean. They are not taken from Babel (CLDR), for
# three reasons. It has one sign for each language: "Fr.", "C$", Swedish "kr." and Egyptian "£" are
# missing. It has letters such as K (kwacha) and M (loti), but "14 K" often means 14 thousand. And
# to load all its languages takes half a second. A test compares the table with its English signs.
SIGNS = {
    "$": "USD AUD BBD BMD BND BSD BZD CAD FJD GYD HKD JMD KYD LRD NAD NZD SBD SGD SRD TTD TWD XCD "
    "ARS CLP COP CUP DOP MXN UYU",
    "us$": "USD", "a$": "AUD", "c$": "CAD", "ca$": "CAD", "nz$": "NZD", "r$": "BRL",
    "€": "EUR", "£": "GBP EGP FKP GIP SHP SSP", "¥": "JPY CNY",
    "₹": "INR", "₩": "KRW", "₪": "ILS", "₺": "TRY", "₴": "UAH", "₱": "PHP", "฿": "THB",
    "₫": "VND", "r": "ZAR", "zł": "PLN", "kč": "CZK", "ft": "HUF",
    "kr": "SEK NOK DKK ISK", "kr.": "SEK NOK DKK ISK", "fr": "CHF", "fr.": "CHF", "sfr.": "CHF",
}  # fmt: skip

DAY = re.compile(r"(\d{1,2})([./-]) ?(\d{1,2})\2 ?(\d{4})", re.ASCII)
YEAR_FIRST = re.compile(r"(\d{4})([./])(\d{1,2})\2(\d{1,2})", re.ASCII)
MOST_MONTHS = 12


@dataclass(frozen=True, kw_only=True)
class Money:
    """A sum as written: digits with separators, sign, and currency sign or code."""

    digits: str
    negative: bool
    currency: str


def money_in(text: str) -> Money | None:
    """Split a sum such as "-$1,234.50", "1 234,50 EUR" or "(250.00)"; None if it is not a sum."""
    # Spreadsheets also use no-break spaces, the minus sign U+2212 and the apostrophe U+2019.
    plain = " ".join(text.split()).replace("−", "-").replace("’", "'")
    if len(plain) > LONGEST_SUM:
        return None
    bracketed = plain.startswith("(") and plain.endswith(")")  # accountants' minus
    match = SUM.fullmatch(plain[1:-1].strip() if bracketed else plain)
    if match is None or (match["sign"] and match["later"]) or (match["before"] and match["after"]):
        return None
    digits = match["digits"]
    if not (digits.isdecimal() or GROUPED.fullmatch(digits) or _decimal_mark(digits)):
        return None
    return Money(
        digits=digits,
        negative=bracketed or "-" in (match["sign"], match["later"]),
        currency=match["before"] or match["after"] or "",
    )


def _decimal_mark(digits: str) -> str:
    """Return the decimal separator of a sum; "?" if the cell alone does not decide it.

    Empty if the sum has no decimals.

    >>> [_decimal_mark(text) for text in ("1,234.50", "1.234.567", "12,5", "1234", "1,234")]
    ['.', ',', ',', '', '?']
    """
    if match := GROUPED.fullmatch(digits):
        return match[2] or ""
    if match := BOTH_SEPARATORS.fullmatch(digits):
        return match[1] or match[2]
    if match := SEVERAL_GROUPS.fullmatch(digits):
        return "." if match[1] else ","
    if ONE_GROUP.fullmatch(digits):
        return UNKNOWN
    match = ONE_SEPARATOR.fullmatch(digits)
    return match[1] if match else ""


def decimal_marks(sums: Iterable[Money], delimiter: str) -> DecimalMarks:
    """Return whether "." and "," before three digits are decimal separators in a file.

    The other cells decide, else the delimiter of the file; an undecided separator is left out.
    If commas divide the cells, the point is for decimals. Spreadsheets use semicolons where the
    comma is for decimals, so a point is then for thousands. A comma stays undecided there, since
    a sum has no three decimals.
    """
    marks = {mark for money in sums if (mark := _decimal_mark(money.digits)) in (".", ",")}
    if not marks:
        return {",": {".": True, ",": False}, ";": {".": False}}.get(delimiter, {})
    return {mark: mark in marks for mark in (".", ",")} if len(marks) == 1 else {}


def number_of(money: Money, marks: DecimalMarks, places: int = USUAL_PLACES) -> float | None:
    """Return the number of a sum; None if it has two possible meanings.

    `places` are the decimals of the currency. If it has fewer than three, a single group of three
    digits after a decimal separator, such as 17.250, can mean 17.25 or 17,250.
    """
    parts = _parts(money, marks)
    if parts is None or (is_group_of_three(money) and places < len(parts[1])):
        return None
    value = float(f"{NO_DIGIT.sub('', parts[0]) or '0'}.{parts[1] or '0'}")
    return -value if money.negative else value


def is_group_of_three(money: Money) -> bool:
    """Return whether a sum has one separator and three digits after it: thousands or decimals."""
    return _decimal_mark(money.digits) == UNKNOWN


def decimals_of(money: Money, marks: DecimalMarks) -> int:
    """Return the number of decimals of a sum as written."""
    parts = _parts(money, marks)
    return len(parts[1]) if parts else 0


def _parts(money: Money, marks: DecimalMarks) -> tuple[str, str] | None:
    """Return the digits before and after the decimal separator; None if that is undecided."""
    mark = _decimal_mark(money.digits)
    if mark == UNKNOWN:
        separator = "," if "," in money.digits else "."
        if separator not in marks:
            return None
        mark = separator if marks[separator] else ""
    before, _, after = money.digits.partition(mark) if mark else (money.digits, "", "")
    return before, after


def is_currency(word: str, currency: str) -> bool:
    """Return whether a sign or code next to a sum can mean this currency."""
    return word.upper() == currency or currency in SIGNS.get(word.casefold(), "").split()


def names_currency(word: str) -> bool:
    """Return whether a word is the sign of a currency or looks like an ISO 4217 code."""
    return word.casefold() in SIGNS or bool(re.fullmatch(r"[A-Z]{3}", word))


def day_order(cells: Iterable[str]) -> str:
    """Return what comes first in the dates of a file: "day", "month", or "" if undecided.

    A first number above 12 is a day; a second one above 12 is a day too.
    """
    orders = set()
    for cell in cells:
        if match := DAY.fullmatch(cell):
            first, second = int(match[1]), int(match[3])
            orders |= {"day"} if first > MOST_MONTHS else set()
            orders |= {"month"} if second > MOST_MONTHS else set()
    return orders.pop() if len(orders) == 1 else ""


def days_in(cell: str, order: str) -> list[date]:
    """Return the days a cell can mean: one if it is clear, two if not, none if it is not a day."""
    try:
        return [date.fromisoformat(cell)]
    except ValueError:
        pass
    if match := YEAR_FIRST.fullmatch(cell):
        return _days((match[1], match[3], match[4]))
    match = DAY.fullmatch(cell)
    if match is None:
        return []
    by_day, by_month = (match[4], match[3], match[1]), (match[4], match[1], match[3])
    wanted = {"day": [by_day], "month": [by_month]}.get(order, [by_month, by_day])
    return sorted({day for parts in wanted for day in _days(parts)})


def _days(parts: tuple[str, str, str]) -> list[date]:
    try:
        return [date(*map(int, parts))]
    except ValueError:
        return []


def yes_or_no(cell: str) -> bool | None:
    """Return the answer in a cell, in common spellings; None if it is neither yes nor no."""
    word = cell.casefold()
    return True if word in YES else False if word in NO else None
