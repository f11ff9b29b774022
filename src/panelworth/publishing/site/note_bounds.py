"""Limits on the size of a note, because the Markdown library is slow on some large texts.

For each opening bracket the library searches the rest of the paragraph, so that its time grows with
the square of the length. Within these limits the slowest known note takes about a second.
"""

from collections.abc import Iterator
from dataclasses import dataclass

LONGEST = 40_000  # characters of a note, some 15 printed pages
LONGEST_PARAGRAPH = 5_000  # characters between two empty lines
MOST_LINES = 2_000
MOST_MARKS = 300  # of one kind: those that open a link or a tag, or begin a quotation
MARKS = ("[", "<", ">")


@dataclass(frozen=True, kw_only=True)
class Excess:
    """The limit that a note exceeds, what it has, and the line; 0 for the whole note."""

    expected: str
    found: str
    line: int = 0


def excess_of(text: str) -> Excess | None:
    """Return the first limit that a note exceeds; None if it exceeds none."""
    counts = [(len(text), LONGEST, "characters in a note")]
    counts += [(text.count("\n"), MOST_LINES, "lines in a note")]
    counts += [(text.count(mark), MOST_MARKS, f'"{mark}" in a note') for mark in MARKS]
    for count, most, unit in counts:
        if count > most:
            return Excess(expected=f"at most {most:,} {unit}", found=f"{count:,}")
    for line, length in _paragraphs(text):
        if length > LONGEST_PARAGRAPH:
            expected = f"at most {LONGEST_PARAGRAPH:,} characters between two empty lines"
            return Excess(expected=expected, found=f"{length:,}", line=line)
    return None


def _paragraphs(text: str) -> Iterator[tuple[int, int]]:
    """Yield the first line and the length of each group of lines that are not empty."""
    begins, length = 1, 0
    for number, line in enumerate([*text.split("\n"), ""], start=1):  # "" ends the last group
        if line.strip():
            length += len(line) + 1
            continue
        yield begins, length
        begins, length = number + 1, 0
