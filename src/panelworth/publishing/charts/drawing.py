"""Pictures, drawn beside the build while it works, or taken over from the site being replaced.

A site carries `drawn.json`: of each picture a hash of what it was drawn from, with the versions
of what drew it and its fonts, and a hash of its bytes. A picture is taken over if it was asked for
under the same name with the same hash, and its bytes are still those; else it is drawn. What is
published is the same either way. It guards against accidents, not against somebody who rewrites
both.
"""

import json
from collections.abc import Mapping
from concurrent.futures import Future
from contextlib import suppress
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Self

from panelworth.plain_files import Unread, contents
from panelworth.problems import Problem
from panelworth.publishing.aside import Aside, loaded
from panelworth.publishing.charts import lettering
from panelworth.publishing.charts import rendering as pencil
from panelworth.publishing.site.folder import LARGEST, Files, Kept

INDEX = "drawn.json"
# Asked for while the figures are worked out, so that what comes later finds all of it awake.
WORKBOOK = "panelworth.publishing.workbook.document"
FIRST = '{"data": {"values": []}, "mark": "point"}'
SCHEMA = "panelworth-drawn/1"
# The first number is ours: raise it where the same order is to give another picture.
LIBRARIES = ("altair", "vl-convert-python", "fonttools", "brotli")
DRAWN_WITH = ", ".join(["4", *(f"{each} {version(each)}" for each in LIBRARIES)])


def nothing(_: str) -> bytes | None:
    """Keep no file: everything is drawn."""
    return None


class Pen:
    """Takes orders for pictures by the name of their file."""

    def __init__(self, kept: Kept = nothing, aside: Aside | None = None) -> None:
        """Start drawing; `kept` returns a file of the site being replaced, None if it has none.

        An `aside` that is given outlives the pen.
        """
        self._kept = kept
        self._before = read_index(kept(INDEX))
        self._asked: dict[str, tuple[str, Future[bytes]]] = {}
        self._own = aside is None
        self.aside = aside or Aside()
        self.reused = 0
        self.aside.ask(loaded, WORKBOOK)
        self.aside.ask(pencil.drawn, FIRST)

    def ask(self, name: str, order: str) -> None:
        """Ask for a file; it is drawn meanwhile unless it can be taken over, and once only."""
        source = digest(f"{DRAWN_WITH}, {lettering.edition()}\n{order}".encode())
        if name in self._asked and self._asked[name][0] == source:
            return
        content = self._taken_over(name, source)
        if content is None:
            found = self.aside.ask(pencil.drawn, order)
        else:
            found = Future()
            found.set_result(content)
            self.reused += 1
        self._asked[name] = source, found

    def file(self, name: str) -> bytes:
        """Return one file asked for, once it is drawn."""
        return self._asked[name][1].result()

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

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        """Drop what nobody waits for."""
        if self._own:
            self.aside.__exit__(*error)


def read_index(content: bytes | None) -> Mapping[str, tuple[str, str]]:
    """Return source and content hash by name; nothing of an index that cannot be read."""
    found = _parsed(content) if content else None
    return {} if found is None else found


def _parsed(content: bytes) -> dict[str, tuple[str, str]] | None:
    """Return what an index says, None where it is none of this version's."""
    with suppress(ValueError, KeyError, TypeError, AttributeError, RecursionError):
        index = json.loads(content)
        if index["schema"] == SCHEMA:
            return {
                name: (str(each["from"]), str(each["content"]))
                for name, each in index["files"].items()
            }
    return None


def unfit_index(site: Path) -> list[Problem]:
    """Warn of a site's index of pictures that is there but cannot be read."""
    path = site / INDEX
    content = contents(path, LARGEST)
    if isinstance(content, Unread) and content.missing:
        return []
    if isinstance(content, Unread):
        expected, found = content.expected, content.found
    elif _parsed(content) is None:
        expected, found = f"an index of pictures, {SCHEMA}", "something else"
    else:
        return []
    hint = "all pictures are drawn anew; the next build writes another"
    return [
        Problem(
            file=str(path), key="", expected=expected, found=found, hint=hint, severity="warning"
        )
    ]


def digest(content: bytes) -> str:
    """Return the SHA-256 of bytes."""
    return sha256(content).hexdigest()
