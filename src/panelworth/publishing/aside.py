"""Work done in processes beside this one while it goes on: pictures, and the workbook.

Python works on one thing at a time, and the chart library keeps it to itself while it draws, so
that threads would gain nothing. Run by its path, this module is such a process: it takes what to
do as pickles, one after another, and ends when nobody can ask it any more. Both ends are ours.
"""

import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from contextlib import suppress
from contextvars import copy_context
from importlib import import_module
from threading import local
from typing import Any, BinaryIO, Self, TypeVar

T = TypeVar("T")
MOST = 4  # processes; each holds up to 200 MB


def loaded(*modules: str) -> None:
    """Load modules: asked for early, they are there when the work comes that needs them."""
    for each in modules:
        import_module(each)


class Aside:
    """Takes work: any function of a module, with what it is given; both must pickle."""

    def __init__(self) -> None:
        """Make ready: as many processes as there are processors to spare, but one at least.

        Each begins when it has work, which takes half a second.
        """
        spare = min(MOST, (os.cpu_count() or 1) - 1)
        self._queue = ThreadPoolExecutor(max_workers=max(1, spare))
        self._mine = local()
        self._ended = False
        self._processes: list[subprocess.Popen[bytes]] = []

    def ask(self, work: Callable[..., T], *given: object) -> Future[T]:
        """Have a work done, or, where there can be no process, do it here.

        What is given is taken down at once: whoever asks may go on changing it. A work done here
        speaks the language of whoever asked; in a process it speaks what it is told.
        """
        order = b""
        with suppress(Exception):  # some things cannot be sent
            order = pickle.dumps((work, given))
        return self._queue.submit(copy_context().run, self._done, order, work, given)

    def _done(self, order: bytes, work: Callable[..., T], given: tuple[object, ...]) -> T:
        if order:
            try:
                done, answer = self._answered(order)
            except Exception:  # noqa: BLE001 (whatever it is, that process is of no use any more)
                self._forget()
            else:
                if done:
                    return answer  # type: ignore[no-any-return]
        if self._ended:
            raise CancelledError
        return work(*given)  # where it fails, it fails here

    def _answered(self, order: bytes) -> tuple[bool, Any]:
        if getattr(self._mine, "process", None) is None:
            self._mine.process = self._begun()
        process = self._mine.process
        process.stdin.write(order)
        process.stdin.flush()
        answer: tuple[bool, Any] = pickle.load(process.stdout)  # noqa: S301 (our own process)
        return answer

    def _forget(self) -> None:
        """End a process that gave no answer; the next work begins another."""
        process, self._mine.process = getattr(self._mine, "process", None), None
        if process is not None:
            process.kill()

    def _begun(self) -> subprocess.Popen[bytes]:
        process = subprocess.Popen(  # noqa: S603 (our own program)
            [sys.executable, "-P", __file__],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._processes.append(process)
        if process.stdin is not None:
            process.stdin.write(pickle.dumps(sys.path))
        return process

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        """Take no more work, drop what nobody waits for, and end the processes."""
        self._ended = True
        self._queue.shutdown(cancel_futures=True)
        for process in self._processes:
            with suppress(OSError):
                process.communicate()


def serve(orders: BinaryIO, answers: BinaryIO) -> None:
    """Do what is asked until nothing more is; an answer says whether it could be done."""
    sys.path[:] = pickle.load(orders)  # noqa: S301 (of the process that began this one)
    with suppress(EOFError):
        while True:
            answers.write(_answer(orders))
            answers.flush()


def _answer(orders: BinaryIO) -> bytes:
    work, given = pickle.load(orders)  # noqa: S301 (as above)
    try:
        return pickle.dumps((True, work(*given)))
    except Exception:  # noqa: BLE001 (whoever asked does it again and meets the error itself)
        return pickle.dumps((False, None))


if __name__ == "__main__":
    own = os.dup(sys.stdout.fileno())
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # a print must not come between answers
    serve(sys.stdin.buffer, os.fdopen(own, "wb"))
