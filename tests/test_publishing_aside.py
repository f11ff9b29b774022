"""Work beside the build: done in other processes, with the same result as here."""

import math
import os
import signal
import time
from concurrent.futures import CancelledError
from decimal import Decimal
from functools import partial
from pathlib import Path

import pytest

from panelworth.publishing import aside
from panelworth.publishing.aside import Aside, loaded


def test_work_is_done_in_another_process_and_answers_as_here() -> None:
    with Aside() as beside:
        assert beside.ask(os.getpid).result() != os.getpid()
        assert beside.ask(math.sqrt, 2.0).result() == math.sqrt(2.0)
        assert beside.ask(Decimal, "1.10").result() == Decimal("1.10")


def test_several_may_work_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A named pipe opens only once somebody reads and somebody writes, however long it takes."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    monkeypatch.setattr(aside.os, "cpu_count", lambda: 3)
    with Aside() as beside:
        read = beside.ask(pipe.read_text)
        assert beside.ask(pipe.write_text, "met").result() == 3
        assert read.result() == "met"


def test_what_is_printed_there_comes_between_no_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aside.os, "cpu_count", lambda: 1)
    with Aside() as beside:
        other = beside.ask(os.getpid).result()
        printed = beside.ask(partial(print, "a word on the way", flush=True))
        assert printed.result() is None
        assert beside.ask(os.getpid).result() == other != os.getpid()


def test_an_error_meets_whoever_asked() -> None:
    with Aside() as beside:
        failed = beside.ask(int, "twelve")
        with pytest.raises(ValueError, match="twelve"):
            failed.result()
        assert beside.ask(int, "12").result() == 12


def test_what_is_given_is_taken_down_when_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aside.os, "cpu_count", lambda: 1)
    with Aside() as beside:
        numbers = [3, 1, 2]
        beside.ask(time.sleep, 0.2)
        asked = beside.ask(sorted, numbers)
        numbers.append(0)
        assert asked.result() == [1, 2, 3]


def test_what_cannot_be_sent_is_done_here() -> None:
    with Aside() as beside:
        assert beside.ask(lambda: os.getpid()).result() == os.getpid()  # noqa: PLW0108
        assert beside.ask(math.floor, 1.5).result() == 1


def test_where_its_process_is_gone_work_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aside.os, "cpu_count", lambda: 1)
    with Aside() as beside:
        first = beside.ask(os.getpid).result()
        os.kill(first, signal.SIGKILL)
        assert beside.ask(os.getpid).result() == os.getpid()
        assert beside.ask(os.getpid).result() not in (first, os.getpid())  # another has begun


def test_nothing_is_begun_here_once_it_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its process is killed between the end of taking work and that of the work itself."""
    monkeypatch.setattr(aside.os, "cpu_count", lambda: 1)
    with Aside() as beside:
        process = beside.ask(os.getpid).result()
        slept = beside.ask(time.sleep, 600.0)
        while not slept.running():
            time.sleep(0.01)
        shutdown = beside._queue.shutdown

        def killed_first(**given: bool) -> None:
            os.kill(process, signal.SIGKILL)
            shutdown(**given)

        monkeypatch.setattr(beside._queue, "shutdown", killed_first)
    with pytest.raises(CancelledError):
        slept.result()


def test_where_there_can_be_no_process_it_is_done_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aside.sys, "executable", "/nowhere/python")
    with Aside() as beside:
        assert beside.ask(os.getpid).result() == os.getpid()
        beside.ask(loaded, "json").result()
