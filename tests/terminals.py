"""Programs started as a terminal starts them, and coroutines, wherever the tests themselves run."""

import asyncio
import signal
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def as_in_a_terminal() -> None:
    """Let Ctrl-C reach a program: what runs in the background has it switched off."""
    signal.signal(signal.SIGINT, signal.default_int_handler)


def awaited(coroutine: Coroutine[Any, Any, Any]) -> Any:  # noqa: ANN401 (what it returns)
    """Run a coroutine in a thread of its own: a browser's tests keep a loop running in theirs."""
    with ThreadPoolExecutor(max_workers=1) as thread:
        return thread.submit(asyncio.run, coroutine).result()
