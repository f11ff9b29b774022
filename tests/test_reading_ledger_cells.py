"""A ledger's sums, currencies, days, yes and no, as people write them: read right, or refused."""

import re
from datetime import date
from pathlib import Path

import pytest
from babel.numbers import get_currency_symbol
from hypothesis import given
from hypothesis import strategies as st

from panelworth.reading import cells
from small_ledgers import entries, read, row, table

ONE_WAY = (
    '2: error: amount: expected a number with one clear meaning, found "{}"; '
    "nothing in the file tells thousands from decimals here; write it as 1234.50"
)


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("1234", 1234.0),
        ("1234.50", 1234.5),
        ("1234,50", 1234.5),
        ("1,234.50", 1234.5),
        ("1.234,50", 1234.5),
        ("1 234,50", 1234.5),
        ("1 234", 1234.0),
        ("1\u00a0234,50", 1234.5),
        ("1\u202f234.50", 1234.5),
        ("1'234.50", 1234.5),
        ("1’234’567", 1234567.0),
        ("1,234,567", 1234567.0),
        ("1.234.567", 1234567.0),
        ("12.5", 12.5),
        (",50", 0.5),
        ("$1,234.50", 1234.5),
        ("$ 1234", 1234.0),
        ("US$ 1234", 1234.0),
        ("USD 1234", 1234.0),
        ("1234 usd", 1234.0),
        ("1234$", 1234.0),
        ("+1234", 1234.0),
        ("1 234 567,89", 1234567.89),
    ],
)
def test_a_sum_that_reads_in_one_way_is_read(tmp_path: Path, text: str, amount: float) -> None:
    assert [each.amount for each in entries(tmp_path, table(row(amount=text)))] == [amount]


@pytest.mark.parametrize("text", ["-250.50", "(250.50)", "−250.50", "-$250.50", "$-250.50"])
def test_a_minus_is_told_however_it_is_written(tmp_path: Path, text: str) -> None:
    rows = [row(), row(date="2026-10-13", kind="change", amount=text)]
    assert entries(tmp_path, table(*rows))[1].amount == -250.5


@pytest.mark.parametrize(
    ("text", "delimiter", "other", "amount"),
    [
        ("1,234", ";", "99.50", 1234.0),  # another cell settles it before the delimiter does
        ("1.234", ",", "99,5", 1234.0),
        ("1.234", "\t", "2.345.678", 1234.0),
        ("1,234", "\t", "1 234.5", 1234.0),
    ],
)
def test_three_digits_after_a_mark_are_settled_by_the_rest_of_the_file(
    tmp_path: Path, text: str, delimiter: str, other: str, amount: float
) -> None:
    rows = [row(delimiter, amount=text)]
    rows += [row(delimiter, item="Display", amount=other)] if other else []
    assert entries(tmp_path, table(*rows, delimiter=delimiter))[0].amount == amount


@pytest.mark.parametrize(
    ("text", "delimiter", "number"),
    [("1,234", ",", 1234.0), ("1.234", ";", 1234.0)],  # the mark is not the one for decimals
)
def test_thousands_that_the_delimiter_alone_tells_are_asked_about_once(
    tmp_path: Path, text: str, delimiter: str, number: float
) -> None:
    rows = [row(delimiter, amount=text), row(delimiter, item="Display", amount="12" + text)]
    case, said = read(tmp_path, table(*rows, delimiter=delimiter))
    assert case is not None
    assert [each.amount for each in case.ledger] == [number, 120000.0 + number]
    assert said == [
        (
            f'2: warning: amount: expected sums with one clear meaning, found "{text}", which '
            "counts as 1234, and 1 more like it; if that is right, write it without the mark: 1234"
        )
    ]


@pytest.mark.parametrize(
    ("text", "delimiter", "other"),
    [
        ("17.250", ",", ""),  # commas between cells: the point is for decimals, but for three?
        ("17.250", ",", "99.50"),
        ("17,250", ",", "99,5"),
        ("17.250", ";", "99.50"),
        ("17.250", "\t", "99.50"),
    ],
)
def test_a_lone_group_of_three_behind_the_mark_for_decimals_is_refused(
    tmp_path: Path, text: str, delimiter: str, other: str
) -> None:
    rows = [row(delimiter, amount=text)]
    rows += [row(delimiter, item="Display", amount=other)] if other else []
    _, said = read(tmp_path, table(*rows, delimiter=delimiter))
    assert said == [
        (
            f'2: error: amount: expected a number with one clear meaning, found "{text}"; '
            "write 17250 or 17.25: USD has at most 2 decimals"
        )
    ]


def test_a_currency_of_three_decimals_has_them(tmp_path: Path) -> None:
    """ISO 4217: the Kuwaiti dinar has 3 decimals, the yen none, the dollar 2."""
    rows = table(row(amount="17.250"), row(item="Display", amount="1234.567"))
    assert [each.amount for each in entries(tmp_path, rows, "KWD")] == [17.25, 1234.567]


@pytest.mark.parametrize(
    ("text", "currency", "places"),
    [("1234.567", "USD", 2), ("0.500", "USD", 2), ("12.5", "JPY", 0), ("1.2345", "KWD", 3)],
)
def test_more_decimals_than_the_currency_has_are_asked_about(
    tmp_path: Path, text: str, currency: str, places: int
) -> None:
    case, said = read(tmp_path, table(row(amount=text)), currency)
    assert case is not None
    assert [each.amount for each in case.ledger] == [float(text)]
    assert said == [
        (
            f"2: warning: amount: expected at most {places} decimals in {currency}, "
            f'found "{text}"; it counts as {float(text):g}; look for a mark in the wrong place'
        )
    ]


@pytest.mark.parametrize(
    ("text", "delimiter", "others"),
    [
        ("1,234", "\t", []),
        ("1.234", "\t", []),
        ("1,234", ";", []),
        ("1,234", ",", ["99.5", "99,5"]),
    ],
)
def test_a_sum_that_nothing_settles_is_refused(
    tmp_path: Path, text: str, delimiter: str, others: list[str]
) -> None:
    rows = [row(delimiter, amount=each) for each in [text, *others]]
    _, said = read(tmp_path, table(*rows, delimiter=delimiter))
    assert said == [ONE_WAY.format(text)]


@pytest.mark.parametrize(
    "text", ["1,23,456", "1.2.3", "12.", "5 lots", "1e5", "--5", "50%", "1,234.5.6", "$5$", "nan"]
)
def test_what_is_no_sum_is_refused(tmp_path: Path, text: str) -> None:
    _, said = read(tmp_path, table(row(amount=text)))
    assert said == [f'2: error: amount: expected a number, found "{text}"; write it as 1234.50']


@pytest.mark.parametrize(
    ("text", "currency"),
    [("€500", "EUR"), ("500 €", "EUR"), ("£500", "GBP"), ("CHF 500", "CHF"), ("Fr. 500", "CHF"),
     ("500 kr", "SEK"), ("$500", "CAD"), ("R$ 500", "BRL"), ("500 zł", "PLN")],
)  # fmt: skip
def test_signs_and_codes_of_the_scenario_s_currency_are_passed_over(
    tmp_path: Path, text: str, currency: str
) -> None:
    assert entries(tmp_path, table(row(amount=text)), currency)[0].amount == 500.0


@pytest.mark.parametrize("text", ["€500", "500 EUR", "£ 500", "CHF 500", "CA$500"])
def test_a_sum_in_another_currency_is_refused(tmp_path: Path, text: str) -> None:
    _, said = read(tmp_path, table(row(amount=text)))
    assert said == [
        (
            f'2: error: amount: expected a sum in USD, found "{text}"; '
            "convert it, and say so in the note"
        )
    ]


def test_signs_stand_for_the_currencies_that_unicode_s_locale_data_gives_them() -> None:
    """Unicode CLDR (by babel) has $, €, £, ¥, ₹ and the like for these codes, in English."""
    for code in ("USD", "EUR", "GBP", "JPY", "INR", "KRW", "ILS", "VND", "PHP", "CAD", "BRL"):
        assert cells.is_currency(get_currency_symbol(code, locale="en"), code), code


@pytest.mark.parametrize(
    ("text", "other", "day"),
    [
        ("2026-10-12", "", date(2026, 10, 12)),
        ("2026/10/12", "", date(2026, 10, 12)),
        ("2026.10.12", "", date(2026, 10, 12)),
        ("31/10/2026", "", date(2026, 10, 31)),
        ("10/31/2026", "", date(2026, 10, 31)),
        ("5.5.2026", "", date(2026, 5, 5)),
        ("3/4/2026", "31/10/2026", date(2026, 4, 3)),
        ("3/4/2026", "10/31/2026", date(2026, 3, 4)),
        ("03.04.2026", "31.10.2026", date(2026, 4, 3)),
        ("3. 4. 2026", "31.10.2026", date(2026, 4, 3)),
        ("03-04-2026", "31-10-2026", date(2026, 4, 3)),
    ],
)
def test_days_are_read_in_the_order_that_the_file_shows(
    tmp_path: Path, text: str, other: str, day: date
) -> None:
    rows = [row(date=text), *([row(date="2026-10-12", expires=other)] if other else [])]
    assert entries(tmp_path, table(*rows))[0].date == day


@pytest.mark.parametrize("others", [[], ["31/10/2026", "10/31/2026"], ["2026-10-31"]])
def test_a_day_that_nothing_settles_is_refused(tmp_path: Path, others: list[str]) -> None:
    _, said = read(tmp_path, table(row(date="3/4/2026"), *(row(date=each) for each in others)))
    assert said == [
        (
            '2: error: date: expected a day with one clear meaning, found "3/4/2026"; '
            "write 2026-03-04 or 2026-04-03: no date in the file tells day from month"
        )
    ]


@pytest.mark.parametrize(
    "text", ["12 October", "31/31/2026", "30/2/2026", "10/31/26", "2026-13-01"]
)
def test_what_is_no_day_is_refused(tmp_path: Path, text: str) -> None:
    _, said = read(tmp_path, table(row(date=text)))
    assert said == [f'2: error: date: expected a day such as 2026-10-31, found "{text}"']


@pytest.mark.parametrize(
    ("text", "meant"),
    [("yes", True), ("Y", True), ("TRUE", True), ("x", True), ("1", True), ("✓", True),
     ("no", False), ("N", False), ("False", False), ("0", False), ("", False), ("-", False)],
)  # fmt: skip
def test_yes_and_no_are_told_in_common_spellings(tmp_path: Path, text: str, meant: bool) -> None:  # noqa: FBT001
    (found,) = entries(tmp_path, table(row(kind="invoice", tax_included=text, final=text)))
    assert (found.tax_included, found.final) == (meant, meant)


MONEY = st.integers(0, 10**9).map(lambda cents: cents / 100)


@given(amount=MONEY, group=st.sampled_from([",", ".", " ", "'", ""]), comma=st.booleans())
def test_every_sum_to_the_cent_is_read_back_however_it_is_grouped(
    amount: float,
    group: str,
    comma: bool,  # noqa: FBT001
) -> None:
    if group == (mark := "," if comma else "."):
        group = "." if comma else ","
    plain = f"{amount:,.2f}"
    text = re.sub(r"[,.]", lambda found: group if found.group() == "," else mark, plain)
    money = cells.money_in(text)
    assert money is not None
    assert cells.number_of(money, {}) == pytest.approx(amount, abs=1e-9)
