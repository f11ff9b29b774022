"""How large a note may be: bounds on what the Markdown library takes more than linear time for.

For each bracket that opens it looks through the rest of the paragraph, so that the time grows with
the square of a note. Within these bounds the slowest note known takes about a second.
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
    """What a note has too much of, and on which line it begins."""

    expected: str
    found: str
    line: int = 0


def excess_of(text: str) -> Excess | None:
    """Return the first thing that a note has too much of."""
    counts = [(len(text), LONGEST, "characters in a note")]
    counts += [(text.count("\n"), MOST_LINES, "lines in a note")]
    counts += [(text.count(mark), MOST_MARKS, f'"{mark}" in a note') for mark in MARKS]
    for count, most, what in counts:
        if count > most:
            return Excess(expected=f"at most {most:,} {what}", found=f"{count:,}")
    for line, length in _paragraphs(text):
        if length > LONGEST_PARAGRAPH:
            expected = f"at most {LONGEST_PARAGRAPH:,} characters between two empty lines"
            return Excess(expected=expected, found=f"{length:,}", line=line)
    return None


def _paragraphs(text: str) -> Iterator[tuple[int, int]]:
    """Yield the first line and the length of each stretch of lines that are not empty."""
    begins, length = 1, 0
    for number, line in enumerate([*text.split("\n"), ""], start=1):
        if line.strip():
            length += len(line) + 1
            continue
        yield begins, length
        begins, length = number + 1, 0
