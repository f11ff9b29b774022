"""Pictures, drawn beside the build while it works, or taken over from the site being replaced.

A site carries `drawn.json`: of each picture a hash of what it was drawn from, with the versions
of what drew it, and a hash of its bytes. A picture is taken over if it was asked for under the
same name with the same hash, and its bytes are still those; else it is drawn. What is published
is the same either way. It guards against accidents, not against somebody who rewrites both.
"""

import json
import subprocess
import sys
from base64 import b64decode
from collections.abc import Callable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from hashlib import sha256
from importlib.metadata import version
from types import TracebackType
from typing import Self

import altair as alt

from panelworth.publishing import pencil

Files = dict[str, bytes]
Kept = Callable[[str], bytes | None]
INDEX = "drawn.json"
LIBRARY = "assets/vega.js"
SCHEMA = "panelworth-drawn/1"
# The first number is ours: raise it where the same order is to give another picture.
DRAWN_WITH = f"1, altair {alt.__version__}, vl-convert {version('vl-convert-python')}"


def nothing(_: str) -> bytes | None:
    """Keep no file: everything is drawn."""
    return None


class Pen:
    """Takes orders by the name of their file; the chart library is the first."""

    def __init__(self, kept: Kept = nothing) -> None:
        """Start drawing; `kept` returns a file of the site being replaced, None if it has none."""
        self._kept = kept
        self._before = read_index(kept(INDEX))
        self._queue = ThreadPoolExecutor(max_workers=1)
        self._asked: dict[str, tuple[str, Future[bytes]]] = {}
        self._process: subprocess.Popen[str] | None = None
        self.reused = 0
        self.ask(LIBRARY, pencil.BUNDLE)

    def ask(self, name: str, order: str) -> None:
        """Ask for a file; it is drawn meanwhile unless it can be taken over."""
        source = digest(f"{DRAWN_WITH}\n{order}".encode())
        content = self._taken_over(name, source)
        if content is None:
            found = self._queue.submit(self._drawn, order)
        else:
            found = Future()
            found.set_result(content)
            self.reused += 1
        self._asked[name] = source, found

    def files(self) -> Files:
        """Return everything asked for, once it is drawn, and the index of it."""
        made = {name: found.result() for name, (_, found) in self._asked.items()}
        index = {
            name: {"from": self._asked[name][0], "content": digest(content)}
            for name, content in made.items()
        }
        text = json.dumps({"schema": SCHEMA, "files": index}, indent=0, sort_keys=True)
        return {**made, INDEX: f"{text}\n".encode()}

    def _taken_over(self, name: str, source: str) -> bytes | None:
        before = self._before.get(name)
        if before is None or before[0] != source:
            return None
        content = self._kept(name)
        return None if content is None or digest(content) != before[1] else content

    def _drawn(self, order: str) -> bytes:
        """Have the process draw; where there can be none, draw here."""
        with suppress(OSError, ValueError, TypeError):
            return self._answered(order)
        return pencil.drawn(order)

    def _answered(self, order: str) -> bytes:
        if self._process is None:
            self._process = subprocess.Popen(  # noqa: S603 (our own program)
                [sys.executable, pencil.__file__],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                encoding="utf-8",
            )
        process = self._process
        if process.stdin is None or process.stdout is None:
            raise OSError
        process.stdin.write(f"{json.dumps(order)}\n")
        process.stdin.flush()
        answer = process.stdout.readline()
        if not answer.endswith("\n"):  # it ended over this order
            raise OSError
        return b64decode(answer)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        """Take no more orders, drop those that nobody waits for, and end the process."""
        self._queue.shutdown(cancel_futures=True)
        if self._process is not None:
            with suppress(OSError):
                self._process.communicate()


def read_index(content: bytes | None) -> Mapping[str, tuple[str, str]]:
    """Return source and content hash by name; nothing of an index that cannot be read."""
    with suppress(ValueError, KeyError, TypeError, AttributeError):
        index = json.loads(content or b"")
        if index["schema"] == SCHEMA:
            return {
                name: (str(each["from"]), str(each["content"]))
                for name, each in index["files"].items()
            }
    return {}


def digest(content: bytes) -> str:
    """Return the SHA-256 of bytes."""
    return sha256(content).hexdigest()
