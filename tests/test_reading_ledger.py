"""Ledgers as spreadsheets and people write them: read right, or refused in whole words."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from babel.numbers import get_currency_symbol
from hypothesis import given
from hypothesis import strategies as st

from panelworth.model.case import Case
from panelworth.model.ledger import Entry
from panelworth.problems import Collector, render
from panelworth.reading import cells
from panelworth.reading.folder import read_case
from panelworth.reading.ledger import read_ledger
from strategies import write_folder

HEAD = "date,option,item,kind,amount,low,high,tax_included,supplier,reference,expires,final,note"
SCENARIO = """
title = "A panel"
question = "Shall we?"
as_of = 2026-11-01
currency = "{currency}"
baseline = "keep"
years = 2
[aircraft]
label = "A"
hours_per_year = 100
"""
REFIT = """
title = "Refit"
kind = "retrofit"
[[items]]
name = "Display"
cost = 14200
ledger = "screens"
[[items]]
name = "Work"
cost = 900
[[credits]]
name = "Old gyro sold"
amount = 300
"""
KEEP = 'title = "Keep"\nkind = "keep"\n'
ONE_WAY = (
    '2: error: amount: expected a number that reads in one way, found "{}"; '
    "nothing in the file tells thousands from decimals here; write it as 1234.50"
)


def read(tmp_path: Path, ledger: str, currency: str = "USD") -> tuple[Case | None, list[str]]:
    """Read a folder with this ledger; problems as they are shown, without the folder's place."""
    files: dict[str, Any] = {
        "scenario.toml": SCENARIO.format(currency=currency),
        "options/keep.toml": KEEP,
        "options/refit.toml": REFIT,
        "ledger.csv": ledger,
    }
    folder = write_folder(tmp_path / "club", files)
    case, problems = read_case(folder)
    return case, [render(each).removeprefix(f"{folder}/ledger.csv:") for each in problems]


def entries(tmp_path: Path, ledger: str, currency: str = "USD") -> tuple[Entry, ...]:
    """Read a ledger that has nothing wrong."""
    case, said = read(tmp_path, ledger, currency)
    assert said == []
    assert case is not None
    return case.ledger


def row(delimiter: str = ",", **given: str) -> str:
    """Write one row under HEAD; cells with the delimiter in them are quoted."""
    usual = {"date": "2026-10-12", "option": "refit", "item": "Work", "kind": "quote"}
    told = {**usual, "amount": "1200", **given}
    found = [told.get(key, "") for key in HEAD.split(",")]
    return delimiter.join(f'"{cell}"' if delimiter in cell else cell for cell in found)


def table(*rows: str, delimiter: str = ",") -> str:
    """Write a ledger of rows."""
    return "\n".join([HEAD.replace(",", delimiter), *rows]) + "\n"


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_any_delimiter_line_end_and_byte_order_mark_give_the_same_rows(
    tmp_path: Path, delimiter: str, end: str, mark: str
) -> None:
    text = table(row(delimiter, note="by telephone, twice"), delimiter=delimiter)
    folder = write_folder(
        tmp_path / "club",
        {
            "scenario.toml": SCENARIO.format(currency="USD"),
            "options/keep.toml": KEEP,
            "options/refit.toml": REFIT,
        },
    )
    (folder / "ledger.csv").write_bytes((mark + text.replace("\n", end)).encode())
    case, problems = read_case(folder)
    assert problems == []
    assert case is not None
    assert [(each.line, each.amount, each.note) for each in case.ledger] == [
        (2, 1200.0, "by telephone, twice")
    ]


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
        ("0,500", 0.5),
        ("1234.567", 1234.567),
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
        ("1,234", ",", "", 1234.0),  # commas between cells: the point is for decimals
        ("1.234", ",", "", 1.234),
        ("1.234", ";", "", 1234.0),  # semicolons: the comma is
        ("1,234", ";", "99.50", 1234.0),  # another cell settles it before the delimiter does
        ("1.234", ";", "99.50", 1.234),
        ("1,234", ",", "99,5", 1.234),
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
            '2: error: date: expected a day that reads in one way, found "3/4/2026"; '
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


def test_headings_and_kinds_may_be_in_any_case_and_with_spaces(tmp_path: Path) -> None:
    heading = " Date ,Option,ITEM,Kind,Amount, Low,HIGH,Tax  Included,Supplier,Reference,Expires,"
    text = f"{heading}Final,Note\n{row(kind='Quote', tax_included='yes')}\n"
    (found,) = entries(tmp_path, text)
    assert (found.kind, found.tax_included) == ("quote", True)


def test_empty_columns_and_rows_around_the_table_are_passed_over(tmp_path: Path) -> None:
    text = f",,\n\n{HEAD},,\n{row()},,\n,,,,\n{row(item='Display')}\n{',' * 14}\n\n\n"
    assert [each.line for each in entries(tmp_path, text)] == [4, 6]


def test_a_cell_outside_every_column_is_told(tmp_path: Path) -> None:
    _, said = read(tmp_path, f"{HEAD},\n{row()},,half,done\n")
    assert said == [
        (
            '2: error: expected as many cells as the first row has, found more: "half, done"; '
            "put text with commas in quotation marks"
        )
    ]


def test_rows_are_told_by_the_line_they_begin_on(tmp_path: Path) -> None:
    text = table(row(note='"two\nlines"'), row(item="Works"))
    _, said = read(tmp_path, text.replace('""', '"'))
    assert said == [
        (
            '4: error: item: expected an item\'s ledger key or name, found "Works"; '
            'did you mean "Work"?'
        )
    ]


@pytest.mark.parametrize(
    ("rows", "line", "found"),
    [
        ([row(), row(note='"left open'), row()], 3, "the end of the file"),
        ([row(note='"left open'), row(), row()], 2, "the end of the file"),
        (
            [row(note='"left open'), row(), row(note='"closed"')],
            2,
            'text behind its end: "closed""',
        ),
        ([row(note='"a "" mark"'), row(note='"a "b" c"')], 3, 'text behind its end: "b" c""'),
    ],
)
def test_an_open_quotation_mark_is_told_where_it_begins(
    tmp_path: Path, rows: list[str], line: int, found: str
) -> None:
    _, said = read(tmp_path, table(*rows))
    assert said == [
        (
            f"{line}: error: expected the cell in quotation marks that begins here to end before "
            f'the next one, found {found}; add the missing ", and write a " within quoted '
            "text twice"
        )
    ]


def test_a_row_that_matches_no_item_is_told_with_the_nearest_name(tmp_path: Path) -> None:
    rows = [row(item="screen"), row(item="old gyro", kind="invoice"), row(item="xyz")]
    _, said = read(tmp_path, table(*rows))
    expected = "error: item: expected an item's ledger key or name"
    assert said == [
        f'2: {expected}, found "screen"; did you mean "screens"?',
        f'3: {expected}, found "old gyro"; did you mean "Old gyro sold"?',
        f'4: {expected}, found "xyz"; there is "screens", "Display", "Work" or "Old gyro sold"',
    ]


def test_what_has_no_effect_is_warned_of(tmp_path: Path) -> None:
    rows = [
        row(kind="change"),
        row(kind="quote", date="2026-10-13", final="yes"),
        row(kind="invoice", date="2026-10-14", low="1", high="1300"),
        row(item="screens", kind="quote", date="2026-10-14"),
        row(item="Display", kind="change", date="2026-10-15", low="1000", high="1300"),
    ]
    case, said = read(tmp_path, table(*rows))
    assert case is not None
    assert said == [
        (
            "2: warning: kind: expected a quote for the item before its change, found none; "
            "a change adds to the quote before it; alone it has no effect"
        ),
        (
            "3: warning: final: expected yes on an invoice alone, found yes on a row of kind "
            "quote; it has no effect here"
        ),
        (
            "4: warning: low: expected no range here, found one on a row of kind invoice; "
            "its amount alone counts; write a quote or an estimate for a range"
        ),
        (
            "6: warning: low: expected no range here, found one on a row of kind change; "
            "its amount alone counts; write a quote or an estimate for a range"
        ),
    ]


def test_a_minus_that_would_turn_a_paper_round_is_refused(tmp_path: Path) -> None:
    rows = [row(kind="credit", amount="-50"), row(amount="-50"), row(low="-1", high="2000")]
    _, said = read(tmp_path, table(*rows))
    assert said == [
        (
            '2: error: amount: expected a number of at least 0, found "-50"; '
            "a credit is taken off: write it without a minus"
        ),
        '3: error: amount: expected a number of at least 0, found "-50"',
        '4: error: low: expected a number of at least 0, found "-1"',
    ]


def test_a_name_of_both_an_item_and_money_in_is_told(tmp_path: Path) -> None:
    folder = write_folder(
        tmp_path / "club",
        {
            "scenario.toml": SCENARIO.format(currency="USD"),
            "options/keep.toml": KEEP,
            "options/refit.toml": REFIT.replace("Old gyro sold", "Work"),
            "ledger.csv": table(row(), row(kind="credit")),
        },
    )
    _, problems = read_case(folder)
    assert [render(each).removeprefix(f"{folder}/") for each in problems] == [
        (
            "ledger.csv:2: error: item: expected either an item or an entry of [[credits]], "
            'found "Work", which is both; give the item a ledger key of its own in the option '
            "file, and use it here"
        )
    ]


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


@given(text=st.text("\",;\t\n\r .-/'$€%12345670abdix", max_size=120), head=st.booleans())
def test_no_text_makes_the_reading_fail(text: str, head: bool) -> None:  # noqa: FBT001
    found = Collector()
    ledger = f"{HEAD}\n{row()}\n{text}" if head else text
    read_ledger(ledger, {}, ["refit"], "USD", found)
    assert all(render(each).startswith("ledger.csv:") for each in found.problems)
