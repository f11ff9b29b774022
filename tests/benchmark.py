"""Prints how long the main steps take; run by hand: python tests/benchmark.py.

Targets: check under 0.4 s, build of both demos under 10 s, 10,000 worlds under 0.3 s.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from panelworth import read
from panelworth.engine.breakeven import present_values
from panelworth.engine.worlds import Worlds, likely_worlds
from panelworth.model.case import inputs_of_case

ROOT = Path(__file__).parents[1]
CLUB = ROOT / "scenarios" / "quillmeadow-club"


def timed(label: str, *words: str) -> None:
    """Run a command of panelworth in a process of its own and print the seconds."""
    command = [sys.executable, "-m", "panelworth", *words]
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        best = min(best, time.perf_counter() - start)
    print(f"{label}: {best:.2f} s")


def many_worlds(count: int) -> None:
    """Evaluate uniform draws of every range, all options, in blocks, and print the seconds."""
    case, _ = read(CLUB)
    rng, likely = np.random.default_rng(1), likely_worlds(case)
    ranges = [each for each in inputs_of_case(case) if not each.quantity.certain]
    start = time.perf_counter()
    for _ in range(0, count, 2000):
        drawn = {e.path: rng.uniform(e.quantity.low, e.quantity.high, 2000) for e in ranges}
        worlds = Worlds(size=2000, values={**likely.values, **drawn})
        for option_id in case.options:
            present_values(case, option_id, worlds)
    seconds = time.perf_counter() - start
    print(f"{count:,} worlds, {len(ranges)} ranges, {len(case.options)} options: {seconds:.2f} s")


if __name__ == "__main__":
    timed("help", "--help")
    timed("check of the club", "check", str(CLUB))
    timed("figures of the club", "figures", str(CLUB), "--json")
    with tempfile.TemporaryDirectory() as folder:
        timed("build of both demos", "build", str(ROOT / "scenarios"), "--out", f"{folder}/site")
    many_worlds(10_000)
