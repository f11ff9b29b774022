"""Natural mistakes are asked about, word for word, and sound folders are left in peace.

The mistakes are those of cases/mistakes.toml; the thresholds are those of plausible/limits.py.
"""

import shutil
import subprocess
import sys
import time
import tomllib
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from folder_cases import CASES
from panelworth import evaluate, read
from panelworth.__main__ import main
from panelworth.plausible.ledger import warnings_of as ledger_warnings
from panelworth.plausible.warning import likely_outlay
from panelworth.problems import render

ROOT = Path(__file__).parents[1]
CLUB, OWNER = ROOT / "scenarios" / "quillmeadow-club", ROOT / "scenarios" / "brackenholt-owner"
GOLDEN = sorted(path.parent for path in (ROOT / "tests" / "golden").glob("*/scenario.toml"))
SOUND = sorted((CASES / "sound").iterdir())
MISTAKES = tomllib.loads((CASES / "mistakes.toml").read_text(encoding="utf-8"))["mistake"]
TOLD = {  # each warning of a sound folder, and why it stands there
    # The demo shows what the planner says of a start that it refuses.
    CLUB: [
        (
            "options/full.toml:11: warning: schedule.start: expected a start that is allowed, "
            "found 2027-01-18 for full: too many aircraft down with The cruiser: Annual "
            "inspection, 2027-03-01 to 2027-03-19; the first allowed one, tried every 7 days, is "
            "2027-10-25"
        )
    ],
    # Its options take every key of today's airplane over, or change it, for the tests of inputs.
    CASES / "rich": [  # its work has started: whether the planned start is allowed is past
        (
            "options/newer.toml:16: warning: after.insurance.agreed_value: expected the agreed "
            "value of the airplane that is bought for 190,000, found today's 80,000, which goes "
            "on; write the new policy's agreed_value under after.insurance"
        ),
    ],
}


def said_of(folder: Path) -> list[str]:
    """Read a folder; problems as they are shown, without the folder's place."""
    _, problems = read(folder)
    lines = [render(problem) for problem in problems]
    return [line.removeprefix(f"{folder}/").replace(str(folder), ".") for line in lines]


def spoilt(tmp_path: Path, mistake: dict[str, Any]) -> Path:
    """Copy a sound folder with one text of one file written differently."""
    folder = tmp_path / "spoilt"
    shutil.copytree(CASES / "sound" / mistake["folder"], folder)
    if "without" in mistake:
        (folder / mistake["without"]).unlink()
    path = folder / mistake["file"]
    text = path.read_text(encoding="utf-8")
    assert mistake["written"] in text
    path.write_text(text.replace(mistake["written"], mistake["instead"], 1), encoding="utf-8")
    return folder


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake["what"])
def test_each_natural_mistake_is_asked_about(tmp_path: Path, mistake: dict[str, Any]) -> None:
    said = said_of(spoilt(tmp_path, mistake))
    assert said
    assert said == mistake["said"]


@pytest.mark.parametrize(
    "folder",
    [CLUB, OWNER, *GOLDEN, *SOUND, CASES / "folder", CASES / "rich"],
    ids=lambda folder: folder.name,
)
def test_a_sound_folder_is_left_in_peace(folder: Path) -> None:
    assert said_of(folder) == TOLD.get(folder, [])


@pytest.mark.parametrize("folder", [CLUB, OWNER, *GOLDEN, *SOUND, CASES / "rich"])
def test_a_loan_is_held_against_the_outlay_that_the_engine_works_out(folder: Path) -> None:
    case, _ = read(folder)
    assert case is not None
    figures = evaluate(case, trials=100)
    for option_id, option in figures.options.items():
        assert likely_outlay(case, option_id) == pytest.approx(option.likely.outlay, abs=1e-6)


def test_the_check_says_what_payments_mean_for_the_reserve(tmp_path: Path) -> None:
    folder = tmp_path / "club"
    shutil.copytree(CASES / "sound" / "club", folder)
    out = CliRunner().invoke(main, ["check", str(folder)]).stdout
    paid = "$2,100.00 of payments up to 2026-11-20 are taken as already out of the reserve"
    assert out == f"{folder}: in order, 3 options; {paid}\n"
    with (folder / "ledger.csv").open("a", encoding="utf-8") as ledger:
        ledger.write("2026-10-28,refit,Old units sold,payment,400,,,,a dealer,cash,,,\n")
        ledger.write("2026-12-28,refit,Display,payment,900,,,,the shop,check 13,,,later\n")
    out = CliRunner().invoke(main, ["check", str(folder)]).stdout
    received = "$400.00 received up to 2026-11-20 is taken as already in the reserve"
    assert out == f"{folder}: in order, 3 options; {paid}; {received}\n"


def test_an_owner_has_no_reserve_to_be_told_about() -> None:
    out = CliRunner().invoke(main, ["check", str(OWNER)]).stdout
    assert out == f"{OWNER}: in order, 3 options\n"


def test_checking_loads_no_library_of_arrays() -> None:
    code = (
        "import sys; from panelworth import read; read(sys.argv[1]); "
        "print([name for name in ('numpy', 'scipy', 'pandas', 'altair') if name in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(CLUB)], capture_output=True, text=True, check=True
    )
    assert run.stdout == "[]\n"


def test_a_long_ledger_is_looked_through_once(tmp_path: Path) -> None:
    """8,000 rows, none like another: twice the rows take about twice as long, not four times."""
    folder = tmp_path / "club"
    shutil.copytree(CASES / "sound" / "club", folder)
    times = []
    for count in (4000, 8000):
        rows = [
            f"2026-10-25,refit,Shop work,invoice,{n}.5,,,no,shop {n},R 8,,,\n" for n in range(count)
        ]
        head = (
            "date,option,item,kind,amount,low,high,tax_included,supplier,reference,expires,final,"
        )
        (folder / "ledger.csv").write_text(f"{head}note\n{''.join(rows)}", encoding="utf-8")
        case, _ = read(folder)
        assert case is not None
        began = time.process_time()
        assert all("sum near" in problem.expected for problem in ledger_warnings(case))
        times.append(time.process_time() - began)
    assert times[1] < 3 * times[0] + 0.05
