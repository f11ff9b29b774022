"""Runs commands as a user would, in this process, and says where they break the law.

The law: a folder that `check` accepts is accepted by every other command; nothing ends in a
traceback or takes long; every message names a file; a figure is a number.
"""

import json
import re
import resource
import signal
import time
import traceback
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from click.testing import CliRunner

from panelworth.__main__ import main

LONG = 5.0  # seconds of work for a small folder
LARGER = 3.0  # times that for a folder such as the demos
STUCK = 4.0  # times what is allowed: seconds of work after which a command is ended
ASLEEP = 90.0  # seconds by the clock after which it is, such as one that waits for a FIFO
MUCH = 1500  # megabytes: more is a fault
MOST = 2500  # megabytes: more is not to be had
SUMMARY = re.compile(r"\d+ errors?(, \d+ warnings?)?(; nothing was written)?")
PLACED = re.compile(r"(:\d+)?: (error|warning): ")
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'


class StuckError(BaseException):
    """A command has not ended in time; no `except Exception` takes it."""


@dataclass(frozen=True)
class Fault:
    """One way in which a command broke the law."""

    kind: str
    command: str
    detail: str


@dataclass(frozen=True)
class Run:
    """How a command ended, what it printed, and what was wrong with that."""

    code: int
    out: str
    said: str
    faults: tuple[Fault, ...]


@contextmanager
def limited(work: float) -> Iterator[None]:
    """Raise StuckError in what takes so many seconds of work, or ASLEEP by the clock.

    It is raised again each second, in case one is swallowed.
    """

    def stop(_: int, __: FrameType | None) -> None:
        raise StuckError

    timers = (
        (signal.SIGPROF, signal.ITIMER_PROF, work),
        (signal.SIGALRM, signal.ITIMER_REAL, ASLEEP),
    )
    before = [signal.signal(number, stop) for number, _, _ in timers]
    for _, timer, seconds in timers:
        signal.setitimer(timer, seconds, 1)
    try:
        yield
    finally:
        for (number, timer, _), old in zip(timers, before, strict=True):
            signal.setitimer(timer, 0)
            signal.signal(number, old)


@contextmanager
def limited_memory() -> Iterator[None]:
    """Let this process take so much memory and no more: what asks for more raises MemoryError."""
    soft, hard = resource.getrlimit(resource.RLIMIT_DATA)
    resource.setrlimit(resource.RLIMIT_DATA, (MOST * 2**20, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_DATA, (soft, hard))


def run(arguments: Sequence[str], places: Sequence[Path], times: float = 1.0) -> Run:
    """Run a command; its messages may name files within `places`, it may take so many `times`."""
    command = " ".join(arguments)
    faults = []
    began = time.process_time()
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("default")
        try:
            with limited(STUCK * times * LONG):
                result = CliRunner().invoke(main, list(arguments))
        except StuckError as error:
            return Run(-1, "", "", (Fault("over 5 s", command, f"stuck at {_where(error)}"),))
    took = time.process_time() - began
    if took > times * LONG:
        faults.append(Fault("over 5 s", command, f"{took:.1f} s"))
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        faults.append(
            Fault("traceback", command, f"{result.exception!r:.200} at {_where(result.exception)}")
        )
    faults += [
        Fault("warning", command, f"{each.message} at {each.filename}:{each.lineno}")
        for each in caught
    ]
    faults += [
        Fault("message without a file", command, line[:200])
        for line in unplaced(result.stderr, places)
    ]
    return Run(result.exit_code, result.stdout, result.stderr, tuple(faults))


def _where(error: BaseException) -> str:
    """Name the innermost lines of our own."""
    frames = [
        each for each in traceback.extract_tb(error.__traceback__) if "panelworth" in each.filename
    ]
    ours = frames or traceback.extract_tb(error.__traceback__)
    return " < ".join(f"{Path(each.filename).name}:{each.lineno}" for each in reversed(ours[-2:]))


def unplaced(said: str, places: Sequence[Path]) -> list[str]:
    """Return the lines of messages that begin with no file of these places."""
    return [
        line
        for line in said.splitlines()
        if not SUMMARY.fullmatch(line) and not _placed(line, places)
    ]


def _placed(line: str, places: Sequence[Path]) -> bool:
    return any(line.startswith(str(place)) for place in places) and bool(PLACED.search(line))


def not_numbers(text: str) -> list[str]:
    """Return what a JSON text holds in the place of numbers: NaN, Infinity."""
    found: list[str] = []
    json.loads(text, parse_constant=found.append)
    return found


def most_memory() -> float:
    """Return the most memory this process has held so far, in megabytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
