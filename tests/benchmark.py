"""Prints how long the main steps take; run by hand: python tests/benchmark.py.

Targets: check under 0.4 s, build of both demos under 10 s, 10,000 worlds
under 0.3 s, 100,000 under 3 s.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from panelworth import read
from panelworth.engine.uncertainty import simulate

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


def many_worlds(*counts: int) -> None:
    """Draw and evaluate all options of the club in so many worlds, and print the seconds."""
    case, _ = read(CLUB)
    simulate(case, trials=2000)
    for count in counts:
        start = time.perf_counter()
        simulate(case, trials=count)
        seconds = time.perf_counter() - start
        print(f"{count:,} worlds of the club, all options: {seconds:.2f} s")


if __name__ == "__main__":
    timed("help", "--help")
    timed("check of the club", "check", str(CLUB))
    timed("figures of the club", "figures", str(CLUB), "--json")
    with tempfile.TemporaryDirectory() as folder:
        timed("build of both demos", "build", str(ROOT / "scenarios"), "--out", f"{folder}/site")
    many_worlds(10_000, 100_000)
