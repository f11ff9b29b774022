"""Draws what it is asked for, line by line: JSON in, JSON out; runs in a process of its own.

The chart library keeps the interpreter to itself while it draws, so a thread would gain nothing.
Run by its path, it needs nothing of this package, and ends when nobody can ask it any more.
"""

import json
import re
import sys
from typing import TextIO

import vl_convert

BUNDLE = "bundle"
CLIP = re.compile(r"\bclip\d+\b")


def drawn(order: str) -> str:
    """Return the picture (SVG) of a Vega-Lite specification in JSON, or the chart library."""
    if order == BUNDLE:
        script: str = vl_convert.javascript_bundle()  # type: ignore[call-arg]
        return script
    return renumbered(vl_convert.vegalite_to_svg(order))


def renumbered(svg: str) -> str:
    """Give clip paths numbers from 1; Vega counts on from picture to picture in one process."""
    names = dict.fromkeys(CLIP.findall(svg))
    order = {name: f"clip{number}" for number, name in enumerate(names, start=1)}
    return CLIP.sub(lambda found: order[found.group()], svg)


def serve(orders: TextIO, answers: TextIO) -> None:
    """Answer each line until there are no more."""
    for line in orders:
        answers.write(f"{json.dumps(drawn(json.loads(line)))}\n")
        answers.flush()


if __name__ == "__main__":
    serve(sys.stdin, sys.stdout)
