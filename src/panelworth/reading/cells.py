"""Cells as spreadsheets and people write them: sums of money, days, yes and no.

What can be read in two ways is settled by what else is in the file, or not at all: nothing here
guesses.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

YES = ("yes", "y", "true", "t", "1", "x", "✓", "✔")
NO = ("", "no", "n", "false", "f", "0", "-", "–", "—")

LONGEST_SUM = 60  # characters; nobody writes a longer one
SUM = re.compile(  # in a text that has no two spaces in a row
    r"(?P<sign>[-+]?) ?(?P<before>[^\d\s.,'()+-]+\.?)? ?(?P<later>[-+]?) ?"
    r"(?P<digits>[\d.,](?:[\d.,' ]*\d)?) ?(?P<after>[^\d\s.,'()+-]+\.?)?",
    re.ASCII,
)
GROUPED = re.compile(r"\d{1,3}(?:([ '])\d{3})(?:\1\d{3})*(?:([.,])\d+)?", re.ASCII)
BOTH = re.compile(r"\d{1,3}(?:(?:,\d{3})+(\.)\d+|(?:\.\d{3})+(,)\d+)", re.ASCII)
SEVERAL = re.compile(r"\d{1,3}(?:(,\d{3}){2,}|(\.\d{3}){2,})", re.ASCII)
ONE = re.compile(r"\d*([.,])\d+", re.ASCII)
EITHER = re.compile(r"[1-9]\d{0,2}[.,]\d{3}", re.ASCII)
NO_DIGIT = re.compile(r"[^0-9]")
RANK = re.compile(r"[1-9]\d{0,2}", re.ASCII)
UNKNOWN = "?"
USUAL_PLACES = 2  # decimals of most currencies
DecimalMarks = Mapping[str, bool]

SIGNS = {  # ISO 4217 codes that a sign or a short form may stand for
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
    """A sum as written: its digits with their marks, its sign, and the currency it names."""

    digits: str
    negative: bool
    currency: str


def money_in(text: str) -> Money | None:
    """Take a sum apart: "-$1,234.50", "1 234,50 EUR", "(250.00)"; None for what is no sum."""
    plain = " ".join(text.split()).replace("−", "-").replace("’", "'")  # spaces of any kind
    if len(plain) > LONGEST_SUM:
        return None
    bracketed = plain.startswith("(") and plain.endswith(")")
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
    """Return the mark before the decimals where one cell alone tells it; "?" if it may be either.

    Empty where there is no such mark.

    >>> [_decimal_mark(text) for text in ("1,234.50", "1.234.567", "12,5", "1234", "1,234")]
    ['.', ',', ',', '', '?']
    """
    if match := GROUPED.fullmatch(digits):
        return match[2] or ""
    if match := BOTH.fullmatch(digits):
        return match[1] or match[2]
    if match := SEVERAL.fullmatch(digits):
        return "." if match[1] else ","
    if EITHER.fullmatch(digits):
        return UNKNOWN
    match = ONE.fullmatch(digits)
    return match[1] if match else ""


def decimal_marks(sums: Iterable[Money], delimiter: str) -> DecimalMarks:
    """Return what "." and "," before three digits are in a file: True for the decimal mark.

    By its other cells, else by its delimiter; a mark that neither settles is left out. Commas
    between cells leave the point for decimals. Semicolons are used where the comma is taken by
    decimals, so that a point marks thousands; a comma is left open there, for a sum has no three
    decimals.
    """
    marks = {mark for money in sums if (mark := _decimal_mark(money.digits)) in (".", ",")}
    if not marks:
        return {",": {".": True, ",": False}, ";": {".": False}}.get(delimiter, {})
    return {mark: mark in marks for mark in (".", ",")} if len(marks) == 1 else {}


def number_of(money: Money, marks: DecimalMarks, places: int = USUAL_PLACES) -> float | None:
    """Return the number a sum means; None where it can be read in two ways.

    `places` are the decimals of the currency: where it has fewer than three, a single group of
    three after a mark for decimals, such as 17.250, may be 17.25 or 17,250.
    """
    parts = _parts(money, marks)
    if parts is None or (is_group_of_three(money) and places < len(parts[1])):
        return None
    value = float(f"{NO_DIGIT.sub('', parts[0]) or '0'}.{parts[1] or '0'}")
    return -value if money.negative else value


def is_group_of_three(money: Money) -> bool:
    """Say whether a sum has one mark with three digits behind it: thousands or decimals."""
    return _decimal_mark(money.digits) == UNKNOWN


def decimals_of(money: Money, marks: DecimalMarks) -> int:
    """Return how many decimals a sum is written with."""
    parts = _parts(money, marks)
    return len(parts[1]) if parts else 0


def _parts(money: Money, marks: DecimalMarks) -> tuple[str, str] | None:
    """Return what stands before and after the mark for decimals; None if it may be either."""
    mark = _decimal_mark(money.digits)
    if mark == UNKNOWN:
        separator = "," if "," in money.digits else "."
        if separator not in marks:
            return None
        mark = separator if marks[separator] else ""
    whole, _, decimals = money.digits.partition(mark) if mark else (money.digits, "", "")
    return whole, decimals


def is_currency(word: str, currency: str) -> bool:
    """Say whether a sign or code beside a sum may stand for this currency."""
    return word.upper() == currency or currency in SIGNS.get(word.casefold(), "").split()


def names_currency(word: str) -> bool:
    """Say whether a word is the sign or the ISO 4217 code of some currency."""
    return word.casefold() in SIGNS or bool(re.fullmatch(r"[A-Z]{3}", word))


def day_order(cells: Iterable[str]) -> str:
    """Tell whether days of a file come before months: "day", "month", or "" if nothing tells.

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
    """Return the days a cell may mean: one if it is clear, two if not, none if it is no day."""
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
    """Return what a cell says, in common spellings; None where it is neither."""
    word = cell.casefold()
    return True if word in YES else False if word in NO else None
