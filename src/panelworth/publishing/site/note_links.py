"""Checks the links in notes: dead links are reported with file and line before the build.

The files of a scenario decide which pages its site has, and some pages exist only if they have
content. A link to such a page is removed with a warning if the page is missing; its text stays.
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
    "method.html",
    *("figures.json", "figures.csv", "flows.csv", "workbook.xlsx", "edition.json"),
)
SOMETIMES = ("airplane.html", "details.html", "ledger.html", "calendar.ics")
LINK = re.compile(r'<a (?:[^>]* )?href="(?P<to>[^"]*)"[^>]*>(?P<text>.*?)</a>', re.DOTALL)


class _Links(HTMLParser):
    """Collects the targets of the links in a text, and the anchors that the text has."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.anchors: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Collect the link or the anchor of one tag."""
        for name, value in attrs:
            if tag == "a" and name == "href":
                self.links.append(value or "")
            elif name == "id" and value:
                self.anchors.add(value)


def files_of(case: Folder) -> set[str]:
    """Return the files that a scenario's site has or may have, to which notes can link."""
    files = {*ALWAYS, *SOMETIMES, *(f"option-{option_id}.html" for option_id in case.options)}
    files |= {"bill.html"} if case.scenario.club else {"costs.html"}
    if case.scenario.decision is not None:
        return files | {"project.html", "closing.html"}
    return files | ({"handout.html", "ballot.html"} if case.scenario.club else {"handout.html"})


def note_problems(case: Folder) -> list[Problem]:
    """Return the problems of notes: notes that are too large, and dead links."""
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
        if fault := _fault_of(link, known, page.anchors):
            expected, hint, severity = fault
            for line in _lines_of(link, text):
                yield _problem(file, line, expected, link, hint, severity)


def _read(text: str) -> _Links:
    """Return the links and anchors of a note.

    A note without [ and < has no links, and is not rendered: rendering is slow.
    """
    if "[" not in text and "<" not in text:
        return _Links("")
    from panelworth.publishing.site.prose import html_of  # noqa: PLC0415

    return _Links(html_of(text))


def _fault_of(
    link: str, known: Collection[str], anchors: Collection[str]
) -> tuple[str, str, Severity] | None:
    """Return what was expected of a link, a hint and the severity; None if the link is sound.

    Anchors of other pages are checked later, when those pages are built.
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
    """Remove the links to missing files from a rendered note; their texts stay."""

    def replacement(match: re.Match[str]) -> str:
        return match[0] if _target(unescape(match["to"])) in ("", *files) else match["text"]

    return LINK.sub(replacement, html)


def as_note_warnings(problem: Problem, case: Folder, folder: str) -> list[Problem]:
    """Return a problem of a page's link as warnings about the note that contains the link.

    If no note contains it, the problem is returned unchanged. `folder` is the folder of the
    scenario's pages within the site. A missing anchor is only a warning, because the link then
    opens the page at its beginning.
    """
    link = problem.found.strip('"')
    for name, text in case.notes.items():
        page = "inputs.html" if name == "scenario" else f"option-{name}.html"
        if problem.file == f"{folder}{page}" and link in _read(text).links:
            file = f"{case.folder}/notes/{name}.md"
            hint = "the link opens the page at its beginning"
            expected = "an anchor of that page"
            # `note_problems` has reported the anchors within the note already.
            lines = [] if link.startswith("#") else _lines_of(link, text)
            return [_problem(file, line, expected, link, hint, "warning") for line in lines]
    return [problem]


def missing_page_problems(case: Folder, files: Collection[str], folder: str) -> Iterator[Problem]:
    """Yield a warning for each link in a note to a page that this site does not have."""
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
    """Return the file of the site that a link leads to; "" for a link to another site."""
    target = urlsplit(link)
    return "" if target.scheme or target.netloc else unquote(target.path)


def _lines_of(link: str, text: str) -> list[int]:
    """Return the numbers of the lines that contain a link; [0] if none can be determined.

    The spelling of Markdown and HTML links comes first, so that the same words in plain text are
    not taken for the link.
    """
    lines = text.split("\n")
    spellings = (f"]({link}", f"](<{link}", f"]: {link}", f'"{link}"', f"'{link}'", link)
    for spelling in spellings:
        if numbers := [number for number, line in enumerate(lines, start=1) if spelling in line]:
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
