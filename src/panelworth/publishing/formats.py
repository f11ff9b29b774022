"""Numbers and dates as text, in the form of the locale."""

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Literal

from babel import Locale, dates, numbers
from babel.lists import format_list
from babel.numbers import get_currency_symbol, get_decimal_symbol, get_group_symbol

from panelworth.model.scenario import MONTHS, Scenario
from panelworth.model.value import Quantity
from panelworth.publishing.language import N_, _, current_language, ngettext

MOST_DIGITS = 1e15  # from here up a float has no exact cents: written as a power of ten
POWER = "0.###E0"
RESIDUE = 6  # decimals that are kept: smaller floating-point errors must not change a rounding
MINUS = "\N{MINUS SIGN}"
UNITS = {
    "us": {"fuel": "gal", "weight": "lb", "arm": "in"},
    "metric": {"fuel": "L", "weight": "kg", "arm": "mm"},
}
NEVER = N_("never")
NONE = "—"
WHOLE_AND_CENTS = re.compile(r"[#,]*0(\.0+)?")
JOINER = "\N{WORD JOINER}"
NO_BREAK = "\N{NO-BREAK SPACE}"
PERCENT = re.compile(r"(?<=\s)([\d.,]+) (?=%)")
CURRENCY_SIGNS = "$\u00a2-\u00a5\u20a0-\u20cf"  # the dollar, Latin-1's, Unicode's block of them
SIGNED_SUM = re.compile(rf"(?<![>\"])([+{MINUS}])(?=[{CURRENCY_SIGNS}]\s?\d)")
# Cached, since many pages have the same numbers and days, and Babel is slow.
format_currency = lru_cache(1 << 16)(numbers.format_currency)
format_decimal = lru_cache(1 << 16)(numbers.format_decimal)
format_date = lru_cache(1 << 12)(dates.format_date)
format_skeleton = lru_cache(1 << 12)(dates.format_skeleton)
WHOLE_FROM = 100.0  # units of money: solved values from here up are written without cents


@dataclass(frozen=True, kw_only=True)
class Formats:
    """How one scenario writes money and measures."""

    currency: str
    units: str

    def money(self, amount: float | None) -> str:
        """Write whole units of money: "$31,400", with a true minus sign."""
        if amount is None:
            return NONE
        return self._signed(amount, "0")

    def cents(self, amount: float | None) -> str:
        """Write money with cents: "$9.52"."""
        return NONE if amount is None else self._signed(amount, "0.00")

    def change(self, amount: float) -> str:
        """Write a difference with its sign: "+$9,300"."""
        text = self.money(amount)
        return text if text.startswith((MINUS, NONE)) or text == self.money(0) else f"+{text}"

    @property
    def symbol(self) -> str:
        """The currency's sign for axis titles."""
        return get_currency_symbol(self.currency, locale=current_language().locale)

    def quantity(self, quantity: Quantity, unit: str) -> str:
        """Write an input with its range: "$14,200 ($13,200 to $17,500)"."""
        likely = self.measure(quantity.likely, unit)
        if quantity.certain:
            return likely
        low, high = self.measure(quantity.low, unit), self.measure(quantity.high, unit)
        return _("{likely} ({low} to {high})", likely=likely, low=low, high=high)

    def measure(self, value: float, unit: str) -> str:
        """Write a number in the declared unit of its input."""
        if unit.startswith("money"):
            return self.money(value) if float(value).is_integer() else self.cents(value)
        if unit.startswith("share"):
            return percent(value)
        return number(value)

    def rate(self, value: float) -> str:
        """Write a price for a month or an hour with cents; without decimals if it is whole."""
        return self.measure(round(value, 2), "money")

    def worked_out(self, value: float, unit: str) -> str:
        """Write a solved value; sums of `WHOLE_FROM` and more without cents."""
        if unit.startswith("money") and abs(value) >= WHOLE_FROM:
            return self.money(value)
        return self.measure(value, unit)

    def weight(self, value: float | None) -> str:
        """Write a weight to the tenth: "594.5 lb"."""
        return NONE if value is None else f"{tenths(value)} {UNITS[self.units]['weight']}"

    def arm(self, value: float | None) -> str:
        """Write an arm to a hundredth of an inch or a millimetre: "99.63 in"."""
        if value is None:
            return NONE
        text = number(value) if self.units == "us" else _written(value, "#,##0")
        return f"{text} {UNITS[self.units]['arm']}"

    def fuel(self, value: float) -> str:
        """Write an amount of fuel: "48 gal"."""
        return f"{tenths(value)} {UNITS[self.units]['fuel']}"

    def arm_margin(self, value: float | None) -> str:
        """Write the distance of a CG from a limit, rounded down (`floored`): "−0.01 in"."""
        digits = 2 if self.units == "us" else 0
        return NONE if value is None else self.arm(floored(value, digits))

    def weight_margin(self, value: float) -> str:
        """Write a remaining or allowed weight, rounded down (`floored`): "32 lb"."""
        return self.weight(floored(value, 1))

    def unit(self, unit: str) -> str:
        """Write a declared unit: "fuel an hour" becomes "gal an hour"."""
        return _(unit_text(unit), money=self.currency, **UNITS[self.units])

    @property
    def writing(self) -> dict[str, str]:
        """The text before and after a sum, and the separators, for scripts that write money."""
        before, _, after = _money_pattern("0").rpartition("0")
        symbol, marks = self.symbol, number_marks()
        return {
            "before": before.partition("#")[0].replace("¤", symbol),
            "after": after.replace("¤", symbol),
            **marks,
        }

    def _signed(self, amount: float, decimals: str) -> str:
        if not math.isfinite(amount):
            return NONE
        text = self._money(round(abs(amount), RESIDUE), decimals)
        return f"{MINUS}{text}" if amount < 0 and text != self._money(0.0, decimals) else text

    def _money(self, amount: float, decimals: str) -> str:
        pattern, locale = _money_pattern(decimals), current_language().locale
        if amount >= MOST_DIGITS:
            pattern = WHOLE_AND_CENTS.sub(POWER, pattern)
        return format_currency(amount, self.currency, pattern, locale=locale, currency_digits=False)


def _money_pattern(decimals: str) -> str:
    """Return the locale's pattern of money with these decimals: "¤#,##0", "#,##0.00 ¤"."""
    standard: str = Locale.parse(current_language().locale).currency_formats["standard"].pattern
    return standard.replace("0.00", decimals)


def number_marks() -> dict[str, str]:
    """Return the locale's separators of thousands and of decimals."""
    locale = current_language().locale
    return {"group": get_group_symbol(locale), "decimal": get_decimal_symbol(locale)}


def unit_text(unit: str) -> str:
    """Return a declared unit as a text with placeholders, ready to be translated.

    >>> unit_text("money an hour"), unit_text("money a unit of fuel")
    ('{money} an hour', '{money} a {fuel}')
    """
    return re.sub(r"\b(?:unit of )?(money|fuel|weight|arm)\b", r"{\1}", unit)


def formats_of(scenario: Scenario) -> Formats:
    """Return how a scenario's figures are written."""
    return Formats(currency=scenario.currency, units=scenario.units)


def number(value: float) -> str:
    """Write a plain number with at most two decimals: "1,250", "8.8"."""
    return _written(value, "#,##0.##")


def floored(value: float, digits: int) -> float:
    """Round down, for margins: none looks larger than it is, and a negative one stays negative.

    >>> floored(0.869, 2), floored(-0.001, 2), floored(0.3 - 0.1, 1), floored(0.001, 2)
    (0.86, -0.01, 0.2, 0.0)
    """
    size: float = 10.0**digits
    steps = math.floor(round(value * size, RESIDUE))
    return (min(steps, -1) if value < 0 else steps) / size


def ceiled(value: float, digits: int) -> float:
    """Round up, for amounts that must be added or carried: none looks smaller than it is.

    >>> ceiled(0.861, 2), ceiled(0.001, 2)
    (0.87, 0.01)
    """
    return -floored(-value, digits)


def plain(value: float) -> str:
    """Write a number of 0 or more as users type it: "1250", "8.8", in German "8,8"."""
    text: str = format_decimal(value, "0.######", locale=current_language().locale)
    return text


def tenths(value: float) -> str:
    """Write a number with at most one decimal: "34.8", "1,518"."""
    return _written(value, "#,##0.#")


def fixed(value: float, digits: int) -> str:
    """Write a number with exactly these decimals, without separators of thousands: "7.00"."""
    return _written(value, "0." + "0" * digits if digits else "0")


def _written(value: float, pattern: str) -> str:
    """Write a number by a pattern; "—" if it is not finite, a power of ten if very large."""
    if not math.isfinite(value):
        return NONE
    locale = current_language().locale
    if abs(value) >= MOST_DIGITS:
        pattern = POWER
    text = format_decimal(abs(value), pattern, locale=locale)
    return f"{MINUS}{text}" if value < 0 and text != format_decimal(0, pattern, locale) else text


def amps(value: float | None) -> str:
    """Write a current: "34.8 A"."""
    return NONE if value is None else f"{tenths(value)} A"


def signed(text: str) -> str:
    """Add the plus sign to the text of a change; 0 has no sign.

    >>> signed("9.1 lb"), signed("0 lb")
    ('+9.1 lb', '0 lb')
    """
    plain = text.startswith((MINUS, NONE)) or text.partition(" ")[0] == "0"
    return text if plain else f"+{text}"


def unbroken(html: str) -> str:
    """Prevent a line break between a sign and its sum, and before a percent sign.

    Unicode allows a line break between a sign and a currency symbol (Standard Annex 14, class PR,
    rules LB 25 and 31), so a word joiner is put between them. Sums at the start of an element or of
    a script's text get none: they are in cells of tables, and a spreadsheet would not read a copied
    sum with a joiner as a number.

    >>> unbroken("<td>+€12</td><p>From −€774 to +€3,509") == (
    ...     "<td>+€12</td><p>From −\u2060€774 to +\u2060€3,509"
    ... )
    True
    >>> unbroken("<p>meets 95 %</p>") == "<p>meets 95\N{NO-BREAK SPACE}%</p>"
    True
    """
    return PERCENT.sub(rf"\1{NO_BREAK}", SIGNED_SUM.sub(rf"\1{JOINER}", html))


def about(value: float) -> str:
    """Write a count of hours or people: whole from 10 up, else with one decimal.

    >>> about(27.4), about(3.46)
    ('27', '3.5')
    """
    return _written(value, "#,##0" if abs(value) >= 10 else "#,##0.#")  # noqa: PLR2004


def percent(share: float | None, digits: int = 2) -> str:
    """Write a share as a percentage with at most `digits` decimals: "5.5%", in German "5,5 %"."""
    if share is None:
        return NONE
    places = "#,##0." + "#" * digits if digits else "#,##0"
    return _written(share, _percent_pattern().replace("#,##0", places))


def percent_sign() -> str:
    """Return what the locale writes after a percentage: "%", or a space and the sign."""
    return _percent_pattern().replace("#,##0", "")


def _percent_pattern() -> str:
    pattern: str = Locale.parse(current_language().locale).percent_formats[None].pattern
    return pattern


def plural(count: float, one: str, many: str) -> str:
    """Write a count with its noun in the current language: "1 month", "3 months"."""
    text = about(count)
    return f"{text} {ngettext(one, many, counted_as(count, text))}"


def interval(months: int | None, days: int | None) -> str:
    """Write an interval of a recurring item: "24 calendar months", "30 days"."""
    if days is not None:
        return plural(days, "day", "days")
    return plural(months or 0, "calendar month", "calendar months")


def counted_as(count: float, text: str) -> int:
    """Return the whole number whose plural form fits a count that is written as `text`.

    The form must fit the written number: 1.04 is written "1", which needs the singular.

    >>> [counted_as(count, about(count)) for count in (0.98, 1.04, 1.5, 0.5, 27.4)]
    [1, 1, 2, 0, 27]
    """
    if not math.isfinite(count):
        return 2
    return 1 if text == "1" else max(2, round(count)) if count > 1 else 0


def duration(months: int | None) -> str:
    """Write months as years and months; "never" for None.

    >>> duration(97), duration(12), duration(0), duration(None)
    ('8 years 1 month', '1 year', 'at once', 'never')
    """
    if months is None:
        return _(NEVER)
    years, rest = divmod(months, MONTHS)
    parts = [plural(years, "year", "years")] if years else []
    parts += [plural(rest, "month", "months")] if rest else []
    return " ".join(parts) or _("at once")


def day(iso: str | date) -> str:
    """Write a date: "January 18, 2027"."""
    when = date.fromisoformat(iso) if isinstance(iso, str) else iso
    return format_date(when, "long", locale=current_language().locale)


def near_day(when: date, as_of: date) -> str:
    """Write a date, without its year if that is the year of as_of: "October 12".

    >>> near_day(date(2026, 10, 12), date(2026, 11, 1))
    'October 12'
    >>> near_day(date(2027, 1, 31), date(2026, 11, 1))
    'January 31, 2027'
    """
    if when.year != as_of.year:
        return day(when)
    return format_skeleton("MMMMd", when, locale=current_language().locale)


def short_day(when: date, as_of: date) -> str:
    """Write a short date, with its year only if that is not the year of as_of: "Jan 31, 2027".

    >>> short_day(date(2026, 10, 12), date(2026, 11, 1))
    'Oct 12'
    """
    skeleton = "MMMd" if when.year == as_of.year else "yMMMd"
    return format_skeleton(skeleton, when, locale=current_language().locale)


def month(as_of: date, index: int) -> str:
    """Write the month with this index: "January 2027"."""
    years, month_of_year = divmod(as_of.month - 1 + index, MONTHS)
    first = date(as_of.year + years, month_of_year + 1, 1)
    return format_skeleton("yMMMM", first, locale=current_language().locale)


def month_after_years(as_of: date, years: int) -> str:
    """Write the month that is this many years after a day: "January 2037"."""
    return month(as_of, MONTHS * years)


def year_after(as_of: date, years: int) -> int:
    """Return the calendar year that is this many years after a day."""
    return as_of.year + years


def plotted(values: Iterable[float | None]) -> list[float | None]:
    """Round numbers for a chart to cents, since more is not visible on a screen."""
    return [
        round(value, 2) if value is not None and math.isfinite(value) else None for value in values
    ]


def capitalized(text: str) -> str:
    """Return a text with its first letter in upper case."""
    return text[:1].upper() + text[1:]


def quoted(name: str) -> str:
    """Write a name in quotation marks.

    >>> quoted("Keep nursing it")
    '“Keep nursing it”'
    """
    return _("“{name}”", name=name)


def joined(words: Sequence[str], style: Literal["standard", "or"] = "standard") -> str:
    """Join words to a list in a sentence: "a, b, and c", in Ireland "a, b and c".

    >>> joined(["a", "b", "c"]), joined(["a", "b"], "or")
    ('a, b, and c', 'a or b')
    """
    text: str = format_list(list(words), style=style, locale=current_language().locale)
    return text
