"""Builds all files of a site in memory, checks the links, and publishes the site."""

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

from rcssmin import cssmin
from rjsmin import jsmin

from panelworth.model.edition import BEFORE, LAST
from panelworth.problems import Problem
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.rendering import rendered
from panelworth.publishing.language import using_language
from panelworth.publishing.site.calendar_file import calendar_ics
from panelworth.publishing.site.csv_files import figures_csv, flows_csv
from panelworth.publishing.site.folder import (
    MARKER,
    MARKER_TEXT,
    Files,
    Progress,
    foreign_folder_problem,
    replace_site,
)
from panelworth.publishing.site.json_files import edition_json, figures_json
from panelworth.publishing.site.layout import Layout, pages_of, render_front_page, render_page
from panelworth.publishing.site.note_links import (
    ALWAYS,
    as_note_warnings,
    missing_page_problems,
    without_dead_links,
)
from panelworth.publishing.site.sharing import SITEMAP, sitemap
from panelworth.publishing.site.site_archive import ARCHIVE, archive_of
from panelworth.publishing.view import Page, View
from panelworth.publishing.workbook.document import workbook_of

PICTURE = re.compile(r'<svg data-picture="(?P<file>[^"]+)"></svg>')
STYLE = "style"  # the folder whose files are joined into one stylesheet
MINIFIERS: dict[str, Callable[[str], str]] = {".css": cssmin, ".js": jsmin}


def publish_views(
    views: list[View], out: Path, *, templates: Path, progress: Progress
) -> list[Problem]:
    """Publish scenarios as one site. Returns the problems; empty on success.

    If one of them is an error, nothing is written and the existing site is unchanged.
    """
    if problem := foreign_folder_problem(out):
        return [problem]
    files = build_files(views, templates=templates, progress=progress)
    progress("checking links")
    problems = link_problems(views, files)
    if not any(problem.severity == "error" for problem in problems):
        progress("writing")
        replace_site(files, out)
    return problems


def build_files(views: list[View], *, templates: Path, progress: Progress) -> Files:
    """Build every file in memory: a single scenario at the root, several in a folder each."""
    layout = Layout.of(templates)
    files = {MARKER: MARKER_TEXT.encode(), **assets(templates)}
    several = len(views) > 1
    for view in views:
        progress(f"making the pages of {view.figures.scenario}")
        folder = f"{view.figures.scenario}/" if several else ""
        with using_language(view.language):
            scenario_files = _scenario_files(layout, view, folder)
        files |= {f"{folder}{name}": content for name, content in scenario_files.items()}
    if several:
        with using_language(views[0].language):
            files["index.html"] = render_front_page(layout, views).encode()
    if address := views[0].address:
        files[SITEMAP] = sitemap(address, files).encode()
    return {**files, ARCHIVE: archive_of(files)}


def _scenario_files(layout: Layout, view: View, folder: str) -> Files:
    """Build the files of a scenario; `folder` is its folder within the site, "" at the root."""
    with charts.without_validation():
        pages = pages_of(view)
        pictures = {
            chart.svg: rendered(charts.full_specification(chart))
            for page in pages
            for chart in page.content.get("charts", ())
        }
    # Known only now: some pages exist only if they have content.
    existing = {*(page.file for page in pages), *ALWAYS}
    existing |= {"calendar.ics"} if view.updates.deadlines else set()
    pages = [_without_dead_links(page, existing) for page in pages]
    files = {name: svg.encode() for name, svg in pictures.items()}
    for page in pages:
        html = render_page(layout, view, page, pages, root="../" if folder else "")
        files[page.file] = _with_pictures(html, pictures).encode()
        files |= {name: text.encode() for name, text in page.later.items()}
    files["figures.json"] = figures_json(view.figures).encode()
    files["figures.csv"] = figures_csv(view).encode()
    files["flows.csv"] = flows_csv(view).encode()
    files["workbook.xlsx"] = workbook_of(view)
    files[LAST] = edition_json(view).encode()
    if view.updates.before is not None:
        files[BEFORE] = view.updates.before
    if view.updates.deadlines:
        files["calendar.ics"] = calendar_ics(view)
    return files


def _with_pictures(html: str, pictures: Mapping[str, str]) -> str:
    """Replace the placeholders of a page by its pictures."""

    def picture(place: re.Match[str]) -> str:
        file = place["file"]
        return charts.for_page(PurePosixPath(file).stem, pictures[file])

    return PICTURE.sub(picture, html)


def _without_dead_links(page: Page, existing: Collection[str]) -> Page:
    """Remove the links to missing pages from a page's note."""
    story = page.content.get("story")
    if not story:
        return page
    return replace(page, content={**page.content, "story": without_dead_links(story, existing)})


def assets(templates: Path) -> Files:
    """Return the minified stylesheets and scripts, and the fonts.

    Stylesheets are joined into one file, in the order of their names, to save requests.
    """
    paths = sorted(path for path in (templates / "assets").rglob("*") if path.is_file())
    styles = [path for path in paths if path.parent.name == STYLE]
    others = [path for path in paths if path.parent.name != STYLE]
    return {
        **{path.relative_to(templates).as_posix(): _minified(path) for path in others},
        f"assets/{STYLE}.css": b"".join(_minified(path) for path in styles),
    }


def _minified(path: Path) -> bytes:
    content = path.read_bytes()
    if path.suffix not in MINIFIERS:
        return content
    return f"{MINIFIERS[path.suffix](content.decode())}\n".encode()


class _Links(HTMLParser):
    """Collects the links of a page with their lines, and its anchors."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[tuple[int, str]] = []
        self.anchors: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Collect the links and the id of one tag."""
        del tag  # any tag may have an id
        for name, value in attrs:
            if name in ("href", "src", "data-script") and value:
                self.links.append((self.getpos()[0], value))
            elif name == "data-later" and value:
                self.links += [(self.getpos()[0], link) for link in value.split()]
            elif name == "id" and value:
                self.anchors.add(value)


def link_problems(views: list[View], files: Files) -> list[Problem]:
    """Return a problem for each dead link; for a link in a note with the note's file and line."""
    folders = {f"{view.case.name}/" if len(views) > 1 else "": view.case for view in views}
    problems = [
        problem
        for folder, case in folders.items()
        for problem in missing_page_problems(case, files, folder)
    ]
    for problem in broken_links(files):
        folder = f"{problem.file.partition('/')[0]}/" if len(views) > 1 else ""
        case = folders.get(folder)
        problems.extend(as_note_warnings(problem, case, folder) if case else [problem])
    return problems


def broken_links(files: Mapping[str, bytes]) -> list[Problem]:
    """Return a problem for each dead link within the site; links to other sites are not checked."""
    pages = {name: _read(text.decode()) for name, text in files.items() if name.endswith(".html")}
    problems = []
    for name, page in pages.items():
        for line, link in page.links:
            target = urlsplit(link)
            if target.scheme or target.netloc:
                continue
            path = _resolved(name, unquote(target.path))
            known = path in files
            anchored = not target.fragment or path not in pages
            if not known or not (anchored or target.fragment in pages[path].anchors):
                hint = "correct the link in the text that contains it"
                problems.append(
                    Problem(
                        file=name,
                        line=line,
                        key="link",
                        expected="a page or file of the site",
                        found=f'"{link}"',
                        hint=hint,
                    )
                )
    return problems


def _read(text: str) -> _Links:
    page = _Links()
    page.feed(text)
    return page


def _resolved(page: str, link: str) -> str:
    """Return the path within the site that a link leads to; "" if it leads out of the site."""
    if not link:
        return page
    parts: list[str] = []
    for part in (PurePosixPath(page).parent / link).parts:
        if part == "..":
            if not parts:
                return ""
            parts.pop()
        else:
            parts.append(part)
    return "/".join(parts)
