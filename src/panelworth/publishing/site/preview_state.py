"""What a preview shows: one build of the site in memory, or the problems of its files.

Each page gets a script that reloads it after a new build. To ask for the number of the build, the
page's content security policy allows requests to this server and to no other.
"""

from dataclasses import dataclass, field
from pathlib import Path

from panelworth.problems import Problem, render
from panelworth.publishing.formats import plural
from panelworth.publishing.language import _
from panelworth.publishing.site.files import assets
from panelworth.publishing.site.folder import Files
from panelworth.publishing.site.layout import Layout

BUILD, SCRIPT = "preview/build", "preview/preview.js"
NO_REQUESTS, OWN_REQUESTS = b"connect-src 'none'", b"connect-src 'self'"
END = b"</body>"


@dataclass(frozen=True, kw_only=True)
class PreviewBuild:
    """One build: its number and its files.

    `problems` is the page that is shown in the place of every page; empty if there are no problems.
    """

    build: int = 0
    files: Files = field(default_factory=dict)
    problems: bytes = b""


class PreviewState:
    """What the preview shows now.

    The whole build is replaced in one assignment, so that no request gets parts of two builds.
    """

    def __init__(self, templates: Path) -> None:
        self.templates = templates
        self.shown = PreviewBuild()

    def show(self, files: Files) -> None:
        """Show the files of a site."""
        self._replace(files, b"")

    def show_problems(self, problems: list[Problem]) -> None:
        """Show the problems in the place of every page."""
        self._replace(assets(self.templates), problems_page(problems, self.templates))

    def show_beginning(self) -> None:
        """Show, in the place of every page, that there is no scenario yet."""
        self._replace(assets(self.templates), beginning_page(self.templates))

    def _replace(self, files: Files, problems: bytes) -> None:
        script = {SCRIPT: (self.templates / "preview.js").read_bytes()}
        build = self.shown.build + 1
        self.shown = PreviewBuild(build=build, files={**files, **script}, problems=problems)


def file_at(path: str, shown: PreviewBuild) -> tuple[str, bytes] | None:
    """Return the name and the content of the file at a path; None if there is none."""
    name = f"{path}index.html" if not path or path.endswith("/") else path
    is_page = name.endswith(".html")
    content = shown.problems if is_page and shown.problems else shown.files.get(name)
    if content is None:
        return None
    return name, with_script(content, shown.build) if is_page else content


def with_script(page: bytes, build: int) -> bytes:
    """Add the script that reloads a page, and allow the page to ask this server for the build."""
    script = f'<script src="/{SCRIPT}?build={build}" defer></script>\n'.encode()
    before, _, after = page.replace(NO_REQUESTS, OWN_REQUESTS, 1).rpartition(END)
    return before + script + END + after


def problems_page(problems: list[Problem], templates: Path) -> bytes:
    """Return the page that is shown while the scenario's files have problems."""
    count = sum(problem.severity == "error" for problem in problems)
    errors = plural(count, "error", "errors")
    lead = _("{errors} to correct. Save the file, and this page reloads.", errors=errors)
    heading = _("The files cannot be shown yet")
    return _notice(templates, heading, lead, [render(problem) for problem in problems])


def beginning_page(templates: Path) -> bytes:
    """Return the page that is shown before a scenario is begun; it reloads after the first one."""
    lead = _("It appears here once its figures are worked out: about ten seconds after the form.")
    return _notice(templates, _("The first page"), lead, [])


def _notice(templates: Path, heading: str, lead: str, lines: list[str]) -> bytes:
    content = {
        "root": "/",
        "site_title": _("Preview"),
        "page_title": heading,
        "heading": heading,
        "lead": lead,
        "lines": lines,
    }
    return Layout.of(templates).render("problems.html", content).encode()
