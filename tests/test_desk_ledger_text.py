"""The text of a ledger: a changed row changes alone, whatever wrote the file."""

import csv
import io
from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelworth.publishing.desk.ledger_text import (
    COLUMNS,
    DELIMITERS,
    LedgerText,
    ledger_text,
    pasted_rows,
)

HEAD = "date,option,item,kind,amount,note"
PLAIN = f"{HEAD}\n2026-10-01,full,display,quote,100,first\n\n2026-10-02,full,labour,quote,200,\n"
FILES = {
    "comma": PLAIN.encode(),
    "semicolon": PLAIN.replace(",", ";").encode(),
    "tab": PLAIN.replace(",", "\t").encode(),
    "CRLF": PLAIN.replace("\n", "\r\n").encode(),
    "CR": PLAIN.replace("\n", "\r").encode(),
    "BOM": b"\xef\xbb\xbf" + PLAIN.encode(),
    "no last line end": PLAIN.rstrip("\n").encode(),
    "blanks": PLAIN.replace("\n\n", "\n ,,,,,\n\n").replace("full", "  full ").encode(),
    "short rows": PLAIN.replace(",200,", ",200").replace(",first", "").encode(),
    "quoted": (
        f'{HEAD}\n2026-10-01,"full",display,quote,"100","a, b\nand ""c"""\n'
        "2026-10-02,full,labour,quote,200,\n"
    ).encode(),
    "quoted everywhere": "".join(
        ",".join(f'"{cell}"' for cell in line.split(",")) + "\r\n"
        for line in PLAIN.replace("\n\n", "\n").splitlines()
    ).encode(),
    "blank rows at the end": f"{PLAIN},,,,,\n,,,,,\n".encode(),
}


@dataclass(frozen=True)
class Known:
    """A file, its text, and its rows as csv reads them."""

    content: bytes
    ledger: LedgerText

    @property
    def rows(self) -> list[list[str]]:
        """All rows that are not empty, by the library."""
        return rows_of(self.content)


def rows_of(content: bytes) -> list[list[str]]:
    """Split a file by the standard library."""
    text = content.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    delimiter = max(DELIMITERS, key=text.partition("\n")[0].count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    return [cells for row in rows if any(cells := [cell.strip() for cell in row])]


@pytest.fixture(params=FILES)
def known(request: pytest.FixtureRequest) -> Known:
    """Return each of the files."""
    content = FILES[request.param]
    ledger = ledger_text(content)
    assert ledger is not None
    return Known(content, ledger)


def test_rows_are_those_of_the_standard_library(known: Known) -> None:
    assert known.ledger.heading is not None
    assert [known.ledger.heading.values, *(row.values for row in known.ledger.rows)] == known.rows
    assert known.ledger.with_rows({}) == known.content


def test_a_changed_row_changes_alone(known: Known) -> None:
    for number, row in enumerate(known.ledger.rows):
        after = known.ledger.with_rows({number: {"amount": '1,5; "x"\nnew'}})
        mark, text = known.ledger.mark, known.ledger.text
        assert after.startswith(mark + text[: row.start].encode())
        assert after.endswith(text[row.end :].encode())
        expected = [list(cells) for cells in known.rows]
        expected[number + 1][4] = '1,5; "x"\nnew'
        assert rows_of(after) == expected


def test_a_row_is_added_at_the_end_and_the_rest_stays(known: Known) -> None:
    after = known.ledger.with_rows({}, added=[{"date": "2026-11-01", "note": "ü"}] * 2)
    lines = after.splitlines(keepends=True)
    new = [line for line in lines if "ü".encode() in line]
    assert len(new) == 2
    kept = b"".join(line for line in lines if line not in new)
    last_end = known.ledger.newline.encode()
    assert known.content in (kept, kept.removesuffix(last_end))
    assert rows_of(after) == [*known.rows, *[["2026-11-01", "", "", "", "", "ü"]] * 2]
    assert after.endswith(b"\n") == known.content.endswith(b"\n")


def test_a_row_is_removed_and_the_rest_stays(known: Known) -> None:
    for number, row in enumerate(known.ledger.rows):
        after = known.ledger.with_rows({}, [number])
        gone = known.ledger.text[row.start : row.after].encode()
        before = known.content.replace(gone, b"")
        assert after in (before, before[: -len(known.ledger.newline)])
        assert rows_of(after) == [*known.rows[: number + 1], *known.rows[number + 2 :]]


def test_quotation_marks_follow_the_file() -> None:
    ledger = ledger_text(FILES["quoted everywhere"])
    assert ledger is not None
    after = ledger.with_rows({0: {"amount": "1"}}, added=[{"date": "2026-11-01"}])
    assert b',"quote","1","first"\r\n' in after
    assert after.endswith(b'"2026-11-01","","","","",""\r\n')
    plain = ledger_text(FILES["comma"])
    assert plain is not None
    assert plain.with_rows({0: {"note": "a, b"}}).splitlines()[1].endswith(b',100,"a, b"')


def test_a_column_that_is_missing_is_added_when_it_is_needed() -> None:
    ledger = ledger_text(FILES["comma"])
    assert ledger is not None
    after = ledger.with_rows({1: {"low": "150", "high": ""}}, added=[{"supplier": "x"}])
    assert after.decode().splitlines() == [
        f"{HEAD},low,supplier",
        "2026-10-01,full,display,quote,100,first",
        "",
        "2026-10-02,full,labour,quote,200,,150",
        ",,,,,,,x",
    ]


def test_no_file_becomes_one_with_all_columns() -> None:
    ledger = ledger_text(None)
    assert ledger is not None
    after = ledger.with_rows({}, added=[{"date": "2026-11-01", "note": "n"}])
    assert after.decode() == f"{','.join(COLUMNS)}\n2026-11-01,,,,,,,,,,,,n\n"


@pytest.mark.parametrize(
    "content", [b'date,item\n"2026', b'date,item\n"a"b,c', b"date\n\xff", b'"date,item\nx']
)
def test_what_is_no_table_is_not_guessed_at(content: bytes) -> None:
    assert ledger_text(content) is None


CELLS = st.text(alphabet='ab1,;\t"\n ', max_size=5)


@given(st.lists(st.lists(CELLS, min_size=2, max_size=4), max_size=5), st.sampled_from(DELIMITERS))
def test_every_file_that_the_library_writes_is_read_and_changed(
    rows: list[list[str]], delimiter: str
) -> None:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    writer.writerows([["date", "item", "note"], *rows])
    content = out.getvalue().encode()
    ledger = ledger_text(content)
    assert ledger is not None
    assert ledger.with_rows({}) == content
    assert [row.values for row in ledger.rows] == rows_of(content)[1:]
    for number in range(len(ledger.rows)):
        after = ledger_text(ledger.with_rows({number: {"note": 'x"\n;,'}}))
        assert after is not None
        texts = [after.cells(row) for row in after.rows]
        before = [ledger.cells(row) for row in ledger.rows]
        before[number]["note"] = 'x"\n;,'
        assert texts == before


PASTED = "2026-10-12\tfull\tdisplays\tquote\t1.234,50\n2026-10-13\tfull\t\tpayment\t7\n"


def test_rows_are_pasted_with_and_without_a_heading() -> None:
    plain = pasted_rows(PASTED)
    named = pasted_rows(
        "Kind;AMOUNT;Date;Option;Tax included;Item\nquote;1.234,50;2026-10-12;full;yes;displays\n"
    )
    assert plain is not None
    assert named is not None
    assert [row["amount"] for row in plain] == ["1.234,50", "7"]
    assert plain[1]["item"] == ""
    assert named[0] == {**plain[0], "tax_included": "yes"}
    assert pasted_rows('2026-10-12,full,displays,quote,"1,234.50"')[0]["amount"] == "1,234.50"
    assert pasted_rows('2026-10-12\tfull\t"a ""b""\n+ c"\tquote\t1')[0]["item"] == 'a "b"\n+ c'
    assert pasted_rows("  \n") is None
    assert pasted_rows('a\t"b') is None
