"""Prints how long the main steps take; run by hand: python tests/benchmark.py.

Targets: check 0.25 s, figures 1.2 s, build of both demos from nothing under 8 s, 40 options under
30 s, a row more in the ledger under 2 s in an open preview, 100,000 trials 2.5 times a bare kernel.
Each is the best of some runs, by the clock and by the processor: where much else runs, believe the
second, which adds up what several processes did at once.
"""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from playwright.sync_api import sync_playwright

from browsers import CHROMIUM
from layout_shift import opening
from many_options import club_with
from panelworth import read, templates_folder
from panelworth.__main__ import show_build
from panelworth.engine.airplane.allowed_start import moved_case
from panelworth.engine.uncertainty.simulation import simulate
from panelworth.publishing.site.preview_state import PreviewState

ROOT = Path(__file__).parents[1]
CLUB = ROOT / "scenarios" / "quillmeadow-club"
OPTIONS = 40
ROWS, BLOCK = 15, 1000  # of the bare kernel: rows of money, and trials that fit a cache
ROW = "2026-10-30,part,labour,quote,6900,,,no,shop on our field,Q-77,2026-12-15,,\n"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
OPENED = ("index.html", "compare.html", "risk.html", "option-full.html", "dates.html")


def timed(label: str, *words: str, runs: int = 3) -> None:
    """Run a command of panelworth in a process of its own and print the seconds."""
    command = [sys.executable, "-m", "panelworth", *words]
    seconds, worked = [], []
    for _ in range(runs):
        start, before = time.perf_counter(), os.times()
        subprocess.run(command, check=True, capture_output=True)
        after = os.times()
        seconds.append(time.perf_counter() - start)
        worked.append(
            sum(after[2:4]) - sum(before[2:4])  # of the processes that have ended
        )
    print(f"{label}: {min(seconds):.2f} s, {min(worked):.2f} s of processor")


def many_trials(count: int) -> None:
    """Work out all options of the club in so many trials, and print the work against bare_kernel's.

    Trials are drawn, raises solved and the first allowed start worked out too.
    """
    case, _ = read(CLUB)
    assert case is not None
    moved = moved_case(case)
    simulate(case, moved=moved, trials=2000)
    worked = processor(lambda: simulate(case, moved=moved, trials=count))
    bare = processor(lambda: bare_kernel(count, case.scenario.years * 12, len(case.options)))
    told = f"{worked:.2f} s of processor, {worked / bare:.1f} times a bare kernel's {bare:.2f} s"
    print(f"{count:,} trials of the club, all options: {told}")


def bare_kernel(trials: int, months: int, options: int) -> None:
    """Add up and discount so many rows of money, block by block, and do nothing else."""
    rng = np.random.default_rng(1)
    for first in range(0, trials, BLOCK):
        size = min(BLOCK, trials - first)
        amounts, factors = rng.random((ROWS, size, 1)), rng.random((2, size, months))
        for _ in range(options):
            total, row = np.zeros((size, months)), np.empty((size, months))
            for amount in amounts:
                np.multiply(amount, factors[0], out=row)
                total += row
            total *= factors[1]
            total.sum(axis=1)


def processor(work: Callable[[], object]) -> float:
    """Return the least seconds of processor of three runs."""
    seconds = []
    for _ in range(3):
        start = time.process_time()
        work()
        seconds.append(time.process_time() - start)
    return min(seconds)


def builds(folder: Path) -> None:
    """Build both demos from nothing and again, the club with a row more, and many options."""
    demos, site = str(ROOT / "scenarios"), str(folder / "site")
    timed("both demos from nothing", "build", demos, "--fresh", "--out", site)
    timed("both demos, nothing changed", "build", demos, "--out", site)
    one_row_more(folder)
    club_with(OPTIONS, folder / "many")
    many = str(folder / "many"), "--fresh", "--out", str(folder / "many-site")
    timed(f"{OPTIONS} options from nothing", "build", *many, runs=1)


def one_row_more(folder: Path) -> None:
    """Build the club, add a row to its ledger, build again; the row tells what moved, too."""
    scenario, site = folder / CLUB.name, folder / "club-site"
    shutil.copytree(CLUB, scenario)
    timed("club from nothing", "build", str(scenario), "--fresh", "--out", str(site), runs=1)
    with (scenario / "ledger.csv").open("a") as ledger:
        ledger.write(ROW)
    timed("club, a row more", "build", str(scenario), "--out", str(site), runs=1)
    in_a_preview(scenario, site)


def in_a_preview(scenario: Path, site: Path) -> None:
    """Add rows to a ledger while a preview is open, and print the seconds until each is shown."""
    state, seconds, worked = PreviewState(templates_folder()), [], []
    show_build(state, (scenario,), site, None)
    for number in range(3):
        with (scenario / "ledger.csv").open("a") as ledger:
            ledger.write(ROW.replace("Q-77", f"Q-{number}").replace("6900", f"69{number}5"))
        start, before = time.perf_counter(), time.process_time()
        show_build(state, (scenario,), site, None)
        seconds.append(time.perf_counter() - start)
        worked.append(time.process_time() - before)
    told = f"{min(seconds):.2f} s, {min(worked):.2f} s of processor"
    print(f"club, a row more in an open preview: {told}")


def openings(site: Path) -> None:
    """Open some pages of the club as a reader would; print what moved and when it could be read."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        for name in OPENED:
            for width in (360, 1280):
                found = opening(browser, site / CLUB.name / name, width)
                told = f"layout shift {found.shift:.3f}, largest paint {found.largest:.0f} ms"
                print(f"{name} at {width} px: {told}")
        browser.close()


if __name__ == "__main__":
    timed("help", "--help")
    timed("check of the club", "check", str(CLUB))
    timed("figures of the club", "figures", str(CLUB), "--json")
    with tempfile.TemporaryDirectory() as folder:
        builds(Path(folder))
        openings(Path(folder) / "site")
    many_trials(100_000)
