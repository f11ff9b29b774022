"""What is wrong with a user's files, as values: collected, sorted, worded in one place.

Nothing here prints or raises; the command line decides what to do with the list.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Literal

Severity = Literal["error", "warning"]


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One thing wrong: where (file, line, key), what was expected and found, what to do."""

    file: str
    key: str
    expected: str
    found: str
    hint: str = ""
    line: int = 0
    severity: Severity = "error"


@dataclass
class Collector:
    """Gathers problems while files are read, so that all of them are shown at once."""

    problems: list[Problem] = field(default_factory=list)

    def add(self, problem: Problem) -> None:
        """Take note of one problem."""
        self.problems.append(problem)

    @property
    def failed(self) -> bool:
        """True once any problem is an error; warnings alone stop nothing."""
        return any(problem.severity == "error" for problem in self.problems)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known spelling closest to `word`, or an empty string if none is close.

    >>> nearest("hourly_rat", ["hourly_rate", "value"])
    'hourly_rate'
    """
    choices = {choice.casefold(): choice for choice in known}
    close = get_close_matches(word.casefold(), choices, n=1, cutoff=0.6)
    return choices[close[0]] if close else ""


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """Word the hint for a name that is not known; `otherwise` when nothing is close."""
    guess = nearest(word, known)
    return f'did you mean "{guess}"?' if guess else otherwise


def listed(words: Iterable[str]) -> str:
    """Join names as a person would read them out: "a, b or c"."""
    *most, last = [f'"{word}"' for word in words] or ["nothing"]
    return f"{', '.join(most)} or {last}" if most else last


def render(problem: Problem) -> str:
    """Word one problem: place, severity, key, expected, found, what to do.

    >>> print(render(Problem(file="a.toml", line=3, key="years", expected="a whole number",
    ...                      found='"ten"', hint="write years = 10")))
    a.toml:3: error: years: expected a whole number, found "ten"; write years = 10
    """
    place = f"{problem.file}:{problem.line}" if problem.line else problem.file
    key = f"{problem.key}: " if problem.key else ""
    hint = f"; {problem.hint}" if problem.hint else ""
    said = f"expected {problem.expected}, found {problem.found}{hint}"
    return f"{place}: {problem.severity}: {key}{said}"


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Sort by file, then line, then key, so that a reader walks each file once; drop repeats."""
    return sorted(set(problems), key=lambda p: (p.file, p.line, p.key, p.expected, p.found))


def unknown_name(file: str, key: str, expected: str, found: str, known: Sequence[str]) -> Problem:
    """Make the problem of a name that is not known, with the nearest spelling."""
    hint = did_you_mean(found, known, f"such as {', '.join(known[:4])}")
    return Problem(file=file, key=key, expected=expected, found=f'"{found}"', hint=hint)
