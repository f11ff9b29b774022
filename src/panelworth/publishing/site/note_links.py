"""Links in notes: dead links are reported with note and line before anything is built.

The files of a scenario decide which pages its site has. Some pages exist only if they have content.
A link to such a page that is missing is removed with a warning; its text stays.
"""

import re
from collections.abc import Collection, Iterator
from html import unescape
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

from panelworth.model.case import Folder
from panelworth.problems import Problem, Severity, did_you_mean
from panelworth.publishing.site.note_bounds import excess_of

ALWAYS = (
    *("index.html", "compare.html", "risk.html", "dates.html", "inputs.html"),
    *("method.html", "handout.html"),
    *("figures.json", "figures.csv", "flows.csv", "workbook.xlsx", "edition.json"),
)
SOMETIMES = ("airplane.html", "details.html", "ledger.html", "calendar.ics")
LINK = re.compile(r'<a (?:[^>]* )?href="(?P<to>[^"]*)"[^>]*>(?P<text>.*?)</a>', re.DOTALL)


class _Links(HTMLParser):
    """Collects where the links of a text lead, and whether it has pictures."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.anchors: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take note of one tag."""
        for name, value in attrs:
            if tag == "a" and name == "href":
                self.links.append(value or "")
            elif name == "id" and value:
                self.anchors.add(value)


def files_of(case: Folder) -> set[str]:
    """Return the pages and files that a scenario's site has or may have: notes can link to them."""
    files = {*ALWAYS, *SOMETIMES, *(f"option-{option_id}.html" for option_id in case.options)}
    files |= {"bill.html", "ballot.html"} if case.scenario.club else {"costs.html"}
    return files


def note_problems(case: Folder) -> list[Problem]:
    """Return problems of notes that are too large, and of dead links."""
    known, problems = files_of(case), []
    for name, text in case.notes.items():
        file = f"{case.folder}/notes/{name}.md"
        if excess := excess_of(text):
            hint = "shorten the note, or put empty lines between its paragraphs"
            problems.append(
                Problem(
                    file=file,
                    line=excess.line,
                    key="",
                    expected=excess.expected,
                    found=excess.found,
                    hint=hint,
                )
            )
        else:
            problems.extend(_dead(file, text, known))
    return problems


def _dead(file: str, text: str, known: Collection[str]) -> Iterator[Problem]:
    page = _read(text)
    for link in dict.fromkeys(page.links):
        if wrong := _wrong_with(link, known, page.anchors):
            expected, hint, severity = wrong
            for line in _lines_of(link, text):
                yield _problem(file, line, expected, link, hint, severity)


def _read(text: str) -> _Links:
    """Find the links of a note. A note without [ and < has none, and is not rendered."""
    if "[" not in text and "<" not in text:
        return _Links("")
    from panelworth.publishing.site.prose import html_of  # noqa: PLC0415

    return _Links(html_of(text))


def _wrong_with(
    link: str, known: Collection[str], anchors: Collection[str]
) -> tuple[str, str, Severity] | None:
    """Return what was expected of a link, what to do, and how bad it is; None if it leads on.

    An anchor of another page is looked at when that is built.
    """
    try:
        target = urlsplit(link)
    except ValueError:
        return "an address", "write it as the browser shows it", "error"
    path, fragment = unquote(target.path), unquote(target.fragment)
    if target.scheme or target.netloc or path in known:
        return None
    if path:
        hint = did_you_mean(link, known, "write such as dates.html, or option-ID.html")
        expected = "a page or file of this scenario's site, or a whole address (https://…)"
        return expected, hint, "error"
    if fragment in anchors:
        return None
    return "the anchor of a heading of this note", "name a page before the #", "warning"


def without_dead_links(html: str, files: Collection[str]) -> str:
    """Remove the links to missing files from a story; their texts stay."""

    def kept(match: re.Match[str]) -> str:
        return match[0] if _target(unescape(match["to"])) in ("", *files) else match["text"]

    return LINK.sub(kept, html)


def as_note_warnings(problem: Problem, case: Folder, folder: str) -> list[Problem]:
    """Return a problem of a page's link as a warning of the note that it stands in, if it does.

    `folder` is that of the scenario's pages within the site. An anchor that is not there is no
    reason not to publish: the link opens the page at its beginning.
    """
    link = problem.found.strip('"')
    for name, text in case.notes.items():
        page = "inputs.html" if name == "scenario" else f"option-{name}.html"
        if problem.file == f"{folder}{page}" and link in _read(text).links:
            file = f"{case.folder}/notes/{name}.md"
            hint = "the link opens the page at its beginning"
            expected = "an anchor of that page"
            lines = [] if link.startswith("#") else _lines_of(link, text)  # told when it was read
            return [_problem(file, line, expected, link, hint, "warning") for line in lines]
    return [problem]


def missing_page_problems(case: Folder, files: Collection[str], folder: str) -> Iterator[Problem]:
    """Warn of links in notes to pages that this site does not have."""
    for name, text in case.notes.items():
        for link in dict.fromkeys(_read(text).links):
            target = _target(link)
            if target and f"{folder}{target}" not in files:
                expected = "a page that this site has"
                hint = "this site has no such page: the link was removed, its text stays"
                for line in _lines_of(link, text):
                    file = f"{case.folder}/notes/{name}.md"
                    yield _problem(file, line, expected, link, hint, "warning")


def _target(link: str) -> str:
    """Return the file of the site that a link leads to; empty where it leads elsewhere."""
    target = urlsplit(link)
    return "" if target.scheme or target.netloc else unquote(target.path)


def _lines_of(link: str, text: str) -> list[int]:
    """Return the lines of a note that contain a link; 0 if it is written in another way."""
    lines = text.split("\n")
    shapes = (f"]({link}", f"](<{link}", f"]: {link}", f'"{link}"', f"'{link}'", link)
    for shape in shapes:
        if numbers := [number for number, line in enumerate(lines, start=1) if shape in line]:
            return numbers
    return [0]


def _problem(
    file: str, line: int, expected: str, link: str, hint: str, severity: Severity = "error"
) -> Problem:
    return Problem(
        file=file,
        line=line,
        key="link",
        expected=expected,
        found=f'"{link}"',
        hint=hint,
        severity=severity,
    )
