"""A ledger's rows as spreadsheets write them, and the item each is for: read right, or refused."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder_cases import FOLDER, read_files, written
from panelworth.problems import Collector, render
from panelworth.reading.folder import read_case
from panelworth.reading.ledger import read_ledger
from panelworth.reading.ledger_names import ledger_names_of
from panelworth.reading.sheet import read_sheet
from small_ledgers import HEAD, KEEP, REFIT, SCENARIO, entries, read, row, table
from strategies import write_folder


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
            'text after its end: "closed""',
        ),
        ([row(note='"a "" mark"'), row(note='"a "b" c"')], 3, 'text after its end: "b" c""'),
    ],
)
def test_an_open_quotation_mark_is_told_where_it_begins(
    tmp_path: Path, rows: list[str], line: int, found: str
) -> None:
    _, said = read(tmp_path, table(*rows))
    assert said == [
        (
            f"{line}: error: expected a closing quotation mark for the cell that begins here, "
            f'found {found}; add the missing ", and write a " within quoted text twice'
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
        row(kind="quote", date="2026-10-13", final="yes"),
        row(kind="invoice", date="2026-10-14", low="1", high="1300"),
        row(item="screens", kind="quote", date="2026-10-14"),
        row(item="Display", kind="change", date="2026-10-15", low="1000", high="1300"),
    ]
    case, said = read(tmp_path, table(*rows))
    assert case is not None
    assert said == [
        (
            "2: warning: final: expected yes on an invoice alone, found yes on a row of kind "
            "quote; it has no effect here"
        ),
        (
            "3: warning: low: expected no range here, found one on a row of kind invoice; "
            "its amount alone counts; write a quote or an estimate for a range"
        ),
        (
            "5: warning: low: expected no range here, found one on a row of kind change; "
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


@given(text=st.text("\",;\t\n\r .-/'$€%12345670abdix", max_size=120), head=st.booleans())
def test_no_text_makes_the_reading_fail(text: str, head: bool) -> None:  # noqa: FBT001
    found = Collector()
    ledger = f"{HEAD}\n{row()}\n{text}" if head else text
    read_ledger(read_sheet(ledger), ledger_names_of({}, ["refit"], None), "USD", found)
    assert all(each.line for each in found.problems)


def test_a_ledger_may_be_written_with_semicolons(tmp_path: Path) -> None:
    comma, _ = read_files(tmp_path, FOLDER)
    files = {**FOLDER, "ledger.csv": FOLDER["ledger.csv"].replace(",", ";")}
    case, said = read_files(tmp_path, files)
    assert said == []
    assert comma is not None
    assert case is not None
    assert case.ledger == comma.ledger


def test_a_ledger_cell_may_be_quoted_and_its_thousands_marked(tmp_path: Path) -> None:
    files = written("ledger.csv", ",14000,", ',"14,000.00",')
    case, said = read_files(tmp_path, files)
    assert said == []
    assert case is not None
    assert case.ledger[0].amount == 14000.0


def test_empty_rows_of_a_ledger_are_passed_over_and_counted(tmp_path: Path) -> None:
    head, row = FOLDER["ledger.csv"].splitlines(keepends=True)
    files = {**FOLDER, "ledger.csv": f"{head}\n,,,,,,,,,\n{row.replace('quote', 'quot')}"}
    _, said = read_files(tmp_path, files)
    assert [line.partition(" ")[0] for line in said] == ["ledger.csv:4:"]


def test_every_bad_cell_of_a_row_is_told(tmp_path: Path) -> None:
    head = FOLDER["ledger.csv"].splitlines()[0]
    files = {**FOLDER, "ledger.csv": f"{head}\nsoon,refit,radio,bill,much,1,,maybe,later,so\n"}
    _, said = read_files(tmp_path, files)
    keys = ["amount", "date", "expires", "final", "item", "kind", "low", "tax_included"]
    assert [line.split(": ")[2] for line in said] == keys
