"""Problems with a user's files, as values: they are collected, sorted and worded here.

Nothing here prints or raises. The command line decides what to do with the list.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import islice
from typing import Literal

FORBIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)
Severity = Literal["error", "warning"]
LONGEST_WORD = 100  # characters; a longer word is not a misspelt name, and slow to compare
MOST_NAMES = 500  # names that a word is compared with, since each comparison takes time
MOST_PROBLEMS = 100  # problems of one kind in one file; nobody reads more
LONGEST_PARTS = {"key": 120, "expected": 500, "found": 200, "hint": 500}  # characters in a message


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One problem: where it is (file, line, key), what was expected and found, what to do.

    In a workbook `sheet` is the name of the sheet and `line` the number of the row.
    """

    file: str
    key: str
    expected: str
    found: str
    hint: str = ""
    line: int = 0
    severity: Severity = "error"
    sheet: str = ""
    # The id of an option without a file that this place names; `merged` reads it.
    missing: str = field(default="", compare=False)

    @property
    def place(self) -> str:
        """The file, the sheet and the line: "ledger.xlsx (sheet Ledger):7"."""
        sheet = f" (sheet {self.sheet})" if self.sheet else ""
        return f"{self.file}{sheet}{f':{self.line}' if self.line else ''}"


@dataclass
class Collector:
    """Gathers problems while files are read, so that all of them are shown at once."""

    problems: list[Problem] = field(default_factory=list)

    def add(self, problem: Problem) -> None:
        """Add one problem."""
        self.problems.append(problem)

    @property
    def failed(self) -> bool:
        """Whether any problem is an error; warnings alone stop nothing."""
        return any(problem.severity == "error" for problem in self.problems)


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known name most similar to `word`, or an empty string if none is similar.

    0.6 is the default cutoff of difflib: about six letters of ten are the same.

    >>> nearest("hourly_rat", ["hourly_rate", "value"])
    'hourly_rate'
    """
    if len(word) > LONGEST_WORD:
        return ""
    short = (choice for choice in known if len(choice) <= LONGEST_WORD)
    choices = {choice.casefold(): choice for choice in islice(short, MOST_NAMES)}
    close = get_close_matches(word.casefold(), choices, n=1, cutoff=0.6)
    return choices[close[0]] if close else ""


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """Return the hint for an unknown name; `otherwise` if no known name is similar."""
    guess = nearest(word, known)
    return f'did you mean "{guess}"?' if guess else otherwise


def listed(words: Iterable[str]) -> str:
    """Join quoted names into a phrase: "a", "b" or "c"."""
    *most, last = [f'"{word}"' for word in words] or ["nothing"]
    return f"{', '.join(most)} or {last}" if most else last


def render(problem: Problem) -> str:
    """Write one problem in one line: place, severity, key, expected, found, what to do.

    Characters that cannot be printed are shown as escapes, so that no file can control a terminal.
    Very long parts are cut.

    >>> print(render(Problem(file="a.toml", line=3, key="years", expected="a whole number",
    ...                      found='"ten"', hint="write years = 10")))
    a.toml:3: error: years: expected a whole number, found "ten"; write years = 10
    """
    key, expected, found, hint = (
        _cut(visible(getattr(problem, part)), most) for part, most in LONGEST_PARTS.items()
    )
    message = f"expected {expected}, found {found}{f'; {hint}' if hint else ''}"
    return f"{visible(problem.place)}: {problem.severity}: {f'{key}: ' if key else ''}{message}"


def visible(text: str) -> str:
    r"""Show characters that cannot be printed as escapes: control and text-direction characters.

    >>> visible("a\x1b[31m\u202eb")
    'a\\x1b[31m\\u202eb'
    """
    if text.isprintable():
        return text
    return "".join(
        character if character.isprintable() else _escape(character) for character in text
    )


def forbidden_character(text: str) -> str:
    r"""Return the first character that no text of a page, a table or a workbook may hold.

    These are control characters except tab and line end, characters that change the direction of
    writing, and what XML 1.0 (section 2.2, Char) excludes. Returned as an escape; empty if none.

    >>> forbidden_character("a\x07b"), forbidden_character("Grüße, 5 €\n")
    ('\\x07', '')
    """
    match = FORBIDDEN.search(text)
    return visible(match[0]) if match else ""


def _escape(character: str) -> str:
    return character.encode("unicode_escape").decode()


def _cut(text: str, most: int) -> str:
    """Shorten a long text; a quoted text keeps its closing quotation mark."""
    if len(text) <= most:
        return text
    end = '…"' if text.startswith('"') else "…"
    return f"{text[: most - len(end)]}{end}"


def too_many(file: str, line: int, what: str = "mistakes") -> Problem:
    """Make the problem that a file has more mistakes than are listed."""
    expected, hint = f"fewer {what}", "correct these first; the rest was not checked"
    found = f"more than {MOST_PROBLEMS}"
    return Problem(file=file, line=line, key="", expected=expected, found=found, hint=hint)


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Sort by file, line and key, in the order in which a user corrects them; remove duplicates."""
    return sorted(set(problems), key=lambda p: (p.file, p.line, p.key, p.expected, p.found))


def merged(problems: Sequence[Problem], folder: str) -> list[Problem]:
    """Put the problems that follow from one missing option file into one message.

    A deleted file is named by several others, each with a problem of its own. A name that is
    missing in one file alone is more likely misspelt: there the problems stay as they are.
    """
    places: dict[str, list[Problem]] = {}
    for problem in problems:
        if problem.missing:
            places.setdefault(problem.missing, []).append(problem)
    deleted = {
        option_id: found
        for option_id, found in places.items()
        if len({problem.file for problem in found}) > 1
    }
    rest = [problem for problem in problems if problem.missing not in deleted]
    news = [_deleted(option_id, found, folder) for option_id, found in deleted.items()]
    return in_order([*rest, *news])


def _deleted(option_id: str, found: Sequence[Problem], folder: str) -> Problem:
    """Make the one problem of a missing option file, with every place that names the option."""
    lines: dict[str, list[str]] = {}
    for problem in found:
        numbers = lines.setdefault(problem.file.removeprefix(f"{folder}/"), [])
        numbers += [str(problem.line)] if problem.line else []
    names = ", ".join(f"{file}:{','.join(numbers)}".rstrip(":") for file, numbers in lines.items())
    return Problem(
        file=f"{folder}/options/{option_id}.toml",
        key="",
        expected=f"the file of an option that is named in {names}",
        found="no such file",
        hint="put it back, or change these places",
        severity="error" if any(each.severity == "error" for each in found) else "warning",
    )


def unknown_name(file: str, key: str, expected: str, found: str, known: Sequence[str]) -> Problem:
    """Make the problem of an unknown name, with the nearest spelling."""
    hint = did_you_mean(found, known, f"such as {', '.join(known[:4])}")
    return Problem(file=file, key=key, expected=expected, found=f'"{found}"', hint=hint)
