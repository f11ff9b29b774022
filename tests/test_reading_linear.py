"""Reading takes time in proportion to what is read: twice the input, about twice the time."""

import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from folder_cases import FOLDER
from panelworth import read
from panelworth.reading import cells
from panelworth.reading.tables import LARGEST_FILE
from panelworth.reading.vote import read_votes
from strategies import write_folder

HEAD = "date,option,item,kind,amount\n"
KEEP = FOLDER["options/keep.toml"]
AIRPLANE = FOLDER["equipment.toml"]
NEEDS = '[[needs]]\nname = "A"\nfunctions = ["x"]\n'
SECONDS = 8.0  # for a file of the largest size, on a machine that does other things too


def filled(before: str, piece: str, after: str = "") -> Callable[[int], str]:
    """Return what makes a text of about a size: a piece over and over."""
    return lambda size: before + piece * (size // len(piece)) + after


def numbered(before: str, piece: str, after: str = "") -> Callable[[int], str]:
    """Return the same with the number of each piece in it."""
    return lambda size: (
        before + "".join(piece.format(n=n) for n in range(size // len(piece))) + after
    )


TEXTS: dict[str, tuple[str, Callable[[int], str]]] = {
    "rows": ("ledger.csv", numbered(HEAD, "2026-10-12,refit,Display,payment,{n}\n")),
    "rows of unknown items": ("ledger.csv", numbered(HEAD, "2026-10-12,refit,Disp{n},quote,5\n")),
    "columns": ("ledger.csv", filled("", "a,")),
    "columns and rows": ("ledger.csv", lambda size: "a," * (size // 4) + "\nx" * (size // 4)),
    "quotation marks": ("ledger.csv", filled(HEAD, '"')),
    "a cell without end": ("ledger.csv", filled(f'{HEAD}"', "a,\n")),
    "spaces": ("ledger.csv", filled("", " ")),
    "dashes": ("ledger.csv", filled("", "- _")),
    "ballots": ("ballots.csv", filled("A\n", "x\n")),
    "digits on a ballot": ("ballots.csv", filled("A\n", "1")),
    "unknown keys": ("options/keep.toml", numbered(KEEP, "titel{n} = 1\n")),
    "items": ("options/keep.toml", numbered(KEEP, '[[items]]\nname = "{n}"\n')),
    "items without names": ("options/keep.toml", filled(KEEP, '[[items]]\nnam = "a"\n')),
    "names of no jobs": ("options/keep.toml", numbered(f"{KEEP}jobs = [", '"{n}",', "]")),
    "lists within lists": ("options/keep.toml", filled(f"{KEEP}x = ", "[")),
    "tables within tables": ("options/keep.toml", filled(f"{KEEP}x = ", "{a = ")),
    "a dotted key": ("options/keep.toml", filled(KEEP, "a.", "a = 1")),
    "a quoted dotted key": ("options/keep.toml", filled(KEEP, '"".', "a = 1")),
    "a bare key": ("options/keep.toml", filled(KEEP, "a")),
    "points": ("options/keep.toml", filled("", ".")),
    "open quotations": ("options/keep.toml", numbered(KEEP, "a{n} = 'x\n")),
    "a number": ("options/keep.toml", filled(f"{KEEP}x = ", "1")),
    "spaces before a value": ("options/keep.toml", filled(f"{KEEP}x =", " ", "$")),
    "a text": ("options/keep.toml", filled('kind = "keep"\ntitle = "', "a", '"')),
    "units": ("equipment.toml", numbered(AIRPLANE, '[[units]]\nname = "{n}"\nneeds = ["x"]\n')),
    "alternatives": (
        "equipment.toml",
        numbered(f'{AIRPLANE}[[units]]\nneeds = ["', "{n} | ", '"]'),
    ),
    "aircraft": ("fleet.toml", numbered("", '[[aircraft]]\nname = "{n}"\n')),
    "needs": ("needs.toml", numbered("", '[[needs]]\nname = "{n}"\nfunctions = ["x"]\n')),
    "brackets in a note": ("notes/keep.md", filled("", "[")),
    "links in a note": ("notes/keep.md", numbered("", "[a](b{n}.html)\n\n")),
    "lines in a note": ("notes/keep.md", filled("", "a\n")),
}


def seconds(work: Callable[[], object]) -> float:
    """Return the processor's time for a work."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def reading(name: str, text: str) -> float:
    """Return the time to read a folder with this file in it."""
    extra = {"needs.toml": NEEDS} if name == "ballots.csv" else {}
    with TemporaryDirectory() as place:
        folder = write_folder(Path(place) / "club", {**FOLDER, **extra, name: text})
        return seconds(lambda: read(folder))


@pytest.mark.parametrize("what", TEXTS)
def test_a_file_of_the_largest_size_is_read_soon(what: str) -> None:
    """Anything that grows with the square of a megabyte would take minutes."""
    name, text = TEXTS[what]
    assert reading(name, text(LARGEST_FILE - 10_000)) < SECONDS


SUMS = ["-{}x", "-{}1{}x", "${}-{}", "1{}x", "({}1", "1,{}", "{}1.x"]
FILLINGS = [" ", "1", ",", ".", "'", "-", "$", "1,", "1 ", "\u00a0", "a", "1.000"]


@pytest.mark.parametrize("sum_", SUMS)
@pytest.mark.parametrize("filling", FILLINGS)
def test_a_sum_of_any_length_is_looked_at_once(sum_: str, filling: str) -> None:
    """Three runs of spaces side by side in a pattern once took 40 s for 2,000 spaces."""
    text = sum_.replace("{}", filling * 50_000)
    assert seconds(lambda: cells.money_in(text)) < 1.0
    assert seconds(lambda: cells.days_in(text, "")) < 1.0
    assert seconds(lambda: cells.yes_or_no(text)) < 1.0


@pytest.mark.parametrize("row", ["x,\n", ",2\n", "2,1\n", "maybe,\n", "1" * 5000 + ",\n"])
def test_votes_without_end_are_read_soon(tmp_path: Path, row: str) -> None:
    path = tmp_path / "vote.csv"
    path.write_text("A,B\n" + row * (900_000 // len(row)))
    assert seconds(lambda: read_votes([path], None)) < SECONDS


def test_twice_the_rows_take_about_twice_the_time() -> None:
    name, text = TEXTS["rows"]
    few, many = (min(reading(name, text(size)) for _ in range(3)) for size in (60_000, 120_000))
    assert many < 3.5 * few
