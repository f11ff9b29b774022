"""A ledger in a workbook, .xlsx or .ods: the same entries as from CSV text, or refused."""

import csv
import io
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import pytest

from folder_cases import FOLDER, read_files
from panelworth.model.case import TableFile
from panelworth.model.ledger import Entry
from panelworth.reading.sheet import Sheet, UnreadableSheet
from panelworth.reading.workbook import read_workbook
from small_ledgers import HEAD, KEEP, REFIT, SCENARIO
from spreadsheets import MANIFEST, Content, members_of, ods, ods_of, xlsx, zipped

HEADING = HEAD.split(",")
BOTH = pytest.mark.parametrize("make", [xlsx, ods], ids=["xlsx", "ods"])
Make = Callable[..., bytes]


def row(**cells: Content) -> list[Content]:
    """Return one row: a quote of 1,200 for the display, except for the cells given."""
    usual = {
        "date": date(2026, 10, 12),
        "option": "refit",
        "item": "Display",
        "kind": "quote",
        "amount": 1200.0,
    }
    return [{**usual, **cells}.get(key) for key in HEADING]


def read(
    tmp_path: Path, content: bytes, make: Make = xlsx, currency: str = "USD"
) -> tuple[tuple[Entry, ...] | None, list[str]]:
    """Read a folder with this workbook as its ledger."""
    files = {
        "scenario.toml": SCENARIO.format(currency=currency),
        "options/keep.toml": KEEP,
        "options/refit.toml": REFIT,
        f"ledger.{make.__name__}": content,
    }
    case, said = read_files(tmp_path, files)
    return case.ledger if case else None, said


@BOTH
def test_a_workbook_gives_the_same_entries_as_csv_text(tmp_path: Path, make: Make) -> None:
    rows: list[list[Content]] = [
        list(HEADING),
        row(amount=1200.5, low=1100.0, high=1300.0, expires=date(2026, 12, 31), reference="Q 7"),
        row(kind="invoice", final=True, tax_included=False, reference=4711.0, note="ünder, „way“"),
        row(kind="payment", date=date(2026, 10, 31), amount=0.1 + 0.2, note="two\nlines"),
    ]
    text = io.StringIO()
    csv.writer(text).writerows(
        [cell if not isinstance(cell, float) else f"{cell:.15g}" for cell in cells]
        for cells in rows
    )
    files = {
        "scenario.toml": SCENARIO.format(currency="USD"),
        "options/keep.toml": KEEP,
        "options/refit.toml": REFIT,
        "ledger.csv": text.getvalue(),
    }
    case, said = read_files(tmp_path / "csv", files)
    assert said == []
    assert case is not None
    entries, said = read(tmp_path, make(rows), make)
    assert said == []
    assert entries is not None
    assert [each.model_copy(update={"line": 0}) for each in entries] == [
        each.model_copy(update={"line": 0}) for each in case.ledger
    ]
    assert [each.line for each in entries] == [2, 3, 4]
    assert entries[1].reference == "4711"
    assert entries[2].amount == 0.3


@BOTH
@pytest.mark.parametrize(
    ("amount", "currency"), [(17.25, "USD"), (17250.0, "EUR"), (17.255, "KWD"), (17.255, "USD")]
)
def test_the_decimal_separator_of_a_number_is_never_in_question(
    tmp_path: Path, make: Make, amount: float, currency: str
) -> None:
    entries, said = read(tmp_path, make([HEADING, row(amount=amount)]), make, currency)
    assert said == []
    assert entries is not None
    assert entries[0].amount == amount


@BOTH
def test_numbers_say_nothing_of_the_separators_in_texts(tmp_path: Path, make: Make) -> None:
    rows = [HEADING, row(amount=12.5), row(amount="17.250", kind="payment")]
    _, said = read(tmp_path, make(rows), make)
    assert said == [
        (
            f"ledger.{make.__name__} (sheet Ledger):3: error: amount: expected a number with one "
            'clear meaning, found "17.250"; nothing in the file tells thousands from decimals '
            "here; write it as 1234.50"
        )
    ]


@BOTH
def test_texts_dates_times_and_yes_or_no_are_read_as_in_csv(tmp_path: Path, make: Make) -> None:
    rows = [
        [key.upper() for key in HEADING],
        row(date="31/10/2026", amount="$ 1,234.50", tax_included="yes"),
        row(date=datetime(2026, 10, 30, 14, 5), tax_included=True),  # noqa: DTZ001 (a cell)
    ]
    entries, said = read(tmp_path, make(rows), make)
    assert said == []
    assert entries is not None
    assert [(each.date.day, each.amount, each.tax_included) for each in entries] == [
        (31, 1234.5, True),
        (30, 1200.0, True),
    ]


@BOTH
def test_empty_rows_and_columns_are_passed_over_and_rows_keep_their_number(
    tmp_path: Path, make: Make
) -> None:
    rows = [[None, *HEADING], [None], [None, *row()], [" "], [None, *row(kind="payment")]]
    entries, said = read(tmp_path, make(rows, first=3), make)
    assert said == []
    assert entries is not None
    assert [each.line for each in entries] == [6, 8]


@BOTH
def test_of_a_formula_the_value_counts(tmp_path: Path, make: Make) -> None:
    content = make([HEADING, row(amount="=SUM(1000,200.5)")], values={"=SUM(1000,200.5)": 1200.5})
    entries, said = read(tmp_path, content, make)
    assert said == []
    assert entries is not None
    assert entries[0].amount == 1200.5


@BOTH
@pytest.mark.parametrize("error", ["#REF!", "#DIV/0!", "#N/A", "#NAME?", "#VALUE!", "#NUM!"])
def test_an_error_value_is_refused_in_every_column(tmp_path: Path, make: Make, error: str) -> None:
    rows = [HEADING, row(), row(amount="=A", supplier="=A"), row(item="=A")]
    _, said = read(tmp_path, make(rows, values={"=A": error}), make)
    place = f"ledger.{make.__name__} (sheet Ledger)"
    assert said == [
        f'{place}:{line}: error: {key}: expected a value, found the error value "{error}"; '
        "correct the formula of this cell"
        for line, key in ((3, "amount"), (3, "supplier"), (4, "item"))
    ]


def test_an_error_value_in_csv_text_is_refused_too(tmp_path: Path) -> None:
    text = f"{HEAD}\n2026-10-12,refit,Display,quote,5,,,,#REF!,,,,\n"
    _, said = read_files(tmp_path, {**FOLDER, "ledger.csv": text})
    assert said == [
        (
            'ledger.csv:2: error: supplier: expected a value, found the error value "#REF!"; '
            "correct the formula of this cell"
        )
    ]


@BOTH
def test_messages_name_the_file_the_sheet_and_the_row(tmp_path: Path, make: Make) -> None:
    rows = [HEADING, row(item="displays"), [*row(), "more"], row(amount=2e12), row(date=46000.0)]
    _, said = read(tmp_path, make(rows, name="Our <ledger>" if make is xlsx else "Ours"), make)
    place = "ledger.xlsx (sheet Our <ledger>)" if make is xlsx else "ledger.ods (sheet Ours)"
    assert said == [
        (
            f"{place}:2: error: item: expected an item's ledger key or name, found "
            '"displays"; did you mean "Display"?'
        ),
        (
            f'{place}:3: error: expected as many cells as the first row has, found more: "more"; '
            "empty the cell, or write a heading above it"
        ),
        (
            f"{place}:4: error: amount: expected a number below a million million, "
            'found "2000000000000"'
        ),
        f'{place}:5: error: date: expected a day such as 2026-10-31, found "46000"',
    ]


def test_warnings_and_the_case_name_the_workbook(tmp_path: Path) -> None:
    from panelworth import read as read_case  # noqa: PLC0415 (the name is taken)

    rows = [HEADING, row(date=date(2036, 1, 1)), row(kind="payment", amount=20_000.0)]
    read(tmp_path, xlsx(rows))
    case, problems = read_case(tmp_path / "club")
    assert case is not None
    assert case.ledger_file == TableFile(name="ledger.xlsx", sheet="Ledger")
    assert {(Path(each.file).name, each.sheet, each.line) for each in problems} == {
        ("ledger.xlsx", "Ledger", 2),
        ("ledger.xlsx", "Ledger", 3),
    }


def test_two_ledgers_are_refused(tmp_path: Path) -> None:
    content = xlsx([HEADING, row()])
    case, said = read_files(tmp_path, {**FOLDER, "ledger.xlsx": content, "ledger.ods": content})
    assert case is None
    assert said == [
        (
            "ledger.csv: error: expected one ledger, found ledger.csv and ledger.xlsx and "
            "ledger.ods; keep the one that counts, and move the rest out of the folder"
        )
    ]


@BOTH
def test_an_empty_workbook_is_no_ledger(tmp_path: Path, make: Make) -> None:
    assert read(tmp_path, make([]), make) == ((), [])


def failure_of(content: bytes) -> UnreadableSheet:
    """Return why a workbook is refused."""
    failure = read_workbook(content)
    assert isinstance(failure, UnreadableSheet)
    return failure


def changed(content: bytes, name: str, old: bytes, new: bytes) -> bytes:
    """Return a workbook with another text in one of its parts."""
    members = members_of(content)
    assert old in members[name]
    return zipped({**members, name: members[name].replace(old, new)})


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"date,option,item,kind,amount\n", id="csv"),
        pytest.param(xlsx([HEADING])[:-40], id="cut"),
        pytest.param(zipped({"a.txt": "b"}), id="another zip file"),
        pytest.param(zipped({"xl/workbook.xml": "<workbook>"}), id="broken XML"),
        pytest.param(
            changed(xlsx([HEADING]), "xl/worksheets/sheet1.xml", b'r="A1"', b'r="1A"'), id="place"
        ),
    ],
)
def test_a_broken_file_is_one_clear_error(tmp_path: Path, content: bytes) -> None:
    _, said = read(tmp_path, content)
    assert said == [
        (
            "ledger.xlsx: error: expected a workbook that can be read, found a damaged one, or "
            "another kind of file; save it again as .xlsx or .ods with a spreadsheet program"
        )
    ]


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(504), id="xlsx"),
        pytest.param(
            ods_of(
                "",
                manifest=MANIFEST.format(
                    '<manifest:file-entry manifest:full-path="content.xml">'
                    '<manifest:encryption-data manifest:checksum="x"/></manifest:file-entry>'
                ),
            ),
            id="ods",
        ),
    ],
)
def test_a_password_is_one_clear_error(tmp_path: Path, content: bytes) -> None:
    _, said = read(tmp_path, content)
    assert said == [
        (
            "ledger.xlsx: error: expected a workbook without a password, found one with a "
            "password, or of a format that is no longer used; save it again as .xlsx or .ods, "
            "without a password"
        )
    ]


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    _, said = read(tmp_path, bytes(1_000_001))
    assert said == ["ledger.xlsx: error: expected a file of at most 1 MB, found 1,000,001 bytes"]


def test_a_small_file_that_unpacks_to_a_large_one_is_refused() -> None:
    sheet = {**members_of(xlsx([HEADING])), "xl/worksheets/sheet1.xml": b" " * 31_000_000}
    assert failure_of(zipped(sheet)).expected == "a workbook of at most 30 MB when unpacked"


def test_a_zip_file_that_understates_its_size_is_not_unpacked_further() -> None:
    """The size of a part is stated twice, in its own header and in the directory at the end."""
    size = 20_000_000
    content = zipped({"xl/worksheets/sheet1.xml": b" " * size})
    stated = size.to_bytes(4, "little")
    assert content.count(stated) == 2
    assert failure_of(content.replace(stated, (100).to_bytes(4, "little"))).found.startswith(
        "a damaged one"
    )


def number_cell(attributes: str = "") -> str:
    """Return a cell with a number in an .ods file."""
    return f'<table:table-cell office:value-type="float" office:value="1" {attributes}/>'


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(
            changed(
                xlsx([["a"], ["b"]]),
                "xl/worksheets/sheet1.xml",
                b'<row r="2" spans="1:1"><c r="A2"',
                b'<row r="1048576" spans="1:1"><c r="XFD1048576"',
            ),
            id="a far cell",
        ),
        pytest.param(
            ods_of(
                '<table:table-row table:number-rows-repeated="1000000">'
                + number_cell('table:number-columns-repeated="16384"')
                + "</table:table-row>"
            ),
            id="repeated cells",
        ),
        pytest.param(
            ods_of(
                f"<table:table-row>{number_cell()}</table:table-row>"
                '<table:table-row table:number-rows-repeated="9000000"/>'
                f"<table:table-row>{number_cell()}</table:table-row>"
            ),
            id="a gap of rows",
        ),
    ],
)
def test_cells_far_apart_would_fill_the_memory_and_are_refused(content: bytes) -> None:
    assert failure_of(content).expected == "a sheet whose cells are close together"


@BOTH
def test_many_rows_are_refused_and_other_sheets_are_not_read(make: Make) -> None:
    failure = failure_of(make([["a"]] * 10_001))
    assert (failure.expected, failure.name) == ("at most 10,000 rows", "Ledger")
    assert isinstance(read_workbook(make([["a"]] * 10_000)), Sheet)


@BOTH
def test_control_characters_in_a_cell_are_refused(make: Make) -> None:
    failure = failure_of(make([["a"], ["b\u202ec"]]))
    assert (failure.line, failure.found) == (2, r"\u202e")


def test_a_stated_number_of_texts_reserves_no_memory() -> None:
    """The library would reserve 100 GB, and end the program."""
    content = changed(
        xlsx([["a"]]), "xl/sharedStrings.xml", b'uniqueCount="2"', b'uniqueCount="4294967296"'
    )
    assert isinstance(read_workbook(content), Sheet)


@BOTH
def test_a_long_ledger_is_read_in_two_seconds(tmp_path: Path, make: Make) -> None:
    rows = [
        row(kind="payment", amount=1.0 + number, reference=f"R {number}") for number in range(4500)
    ]
    content = make([HEADING, *rows])
    begin = time.process_time()
    entries, _ = read(tmp_path, content, make)
    assert entries is not None
    assert len(entries) == 4500
    assert time.process_time() - begin < 2.0


def test_a_folder_without_a_workbook_does_not_load_the_library(tmp_path: Path) -> None:
    read_files(tmp_path, FOLDER)
    code = (
        "import sys; from panelworth import read; read(sys.argv[1]); "
        "print('python_calamine' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "club")],
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout == "False\n"
