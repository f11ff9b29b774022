"""Publishing: gather every page, check every link, write to a fresh folder, swap it in.

The only module that writes to disc. A build that fails leaves the published site as it was.
"""

import shutil
import tempfile
from collections.abc import Callable, Mapping
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

from panelworth.problems import Problem
from panelworth.publishing import charts
from panelworth.publishing.documents import figures_csv, figures_json, flows_csv
from panelworth.publishing.layout import Layout, front_of, laid_out, pages_of
from panelworth.publishing.view import View
from panelworth.publishing.workbook.document import workbook_of

Files = dict[str, bytes]
Progress = Callable[[str], None]
MARKER = ".panelworth"
MARKER_TEXT = "This folder is written by panelworth; each build replaces it whole.\n"


def publish_views(
    views: list[View], out: Path, *, templates: Path, progress: Progress
) -> list[Problem]:
    """Publish scenarios as one site; return what kept it from being published."""
    if problem := _foreign(out):
        return [problem]
    files = gather(views, templates=templates, progress=progress)
    progress("checking links")
    problems = broken_links(files)
    if not problems:
        progress("writing")
        _swap(files, out)
    return problems


def gather(views: list[View], *, templates: Path, progress: Progress) -> Files:
    """Make every file of the site in memory: one scenario at the root, several in folders."""
    layout = Layout.of(templates)
    files = {MARKER: MARKER_TEXT.encode(), **_assets(templates)}
    several = len(views) > 1
    for view in views:
        progress(f"drawing {view.figures.scenario}")
        folder = f"{view.figures.scenario}/" if several else ""
        made = _scenario_files(layout, view, root="../" if several else "")
        files.update({f"{folder}{name}": content for name, content in made.items()})
    if several:
        files["index.html"] = front_of(layout, views).encode()
    return files


def _scenario_files(layout: Layout, view: View, *, root: str) -> Files:
    files: Files = {}
    pages = pages_of(view)
    for page in pages:
        files[page.file] = laid_out(layout, view, page, pages, root=root).encode()
        for chart in page.content.get("charts", ()):
            picture = charts.still(chart)
            files[chart.svg] = picture.encode()
            files[chart.svg_dark] = charts.darkened(picture).encode()
    files["figures.json"] = figures_json(view.figures).encode()
    files["figures.csv"] = figures_csv(view).encode()
    files["flows.csv"] = flows_csv(view).encode()
    files["workbook.xlsx"] = workbook_of(view)
    return files


def _assets(templates: Path) -> Files:
    folder = templates / "assets"
    files = {f"assets/{path.name}": path.read_bytes() for path in sorted(folder.iterdir())}
    return {**files, "assets/vega.js": charts.bundle().encode()}


class _Links(HTMLParser):
    """Collects what a page links to and the anchors it offers."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[tuple[int, str]] = []
        self.anchors: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take note of one tag's links and its id."""
        del tag
        for name, value in attrs:
            if name in ("href", "src") and value:
                self.links.append((self.getpos()[0], value))
            elif name == "id" and value:
                self.anchors.add(value)


def broken_links(files: Mapping[str, bytes]) -> list[Problem]:
    """Return a problem for each link within the site that leads nowhere."""
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
                hint = "mend the link in the note or the option it comes from"
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
    """Return the site path a link leads to, "" where it climbs out of the site."""
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


def _foreign(out: Path) -> Problem | None:
    """Refuse to replace a folder that no build of ours has made."""
    if not out.exists() or (out.is_dir() and (not any(out.iterdir()) or (out / MARKER).is_file())):
        return None
    return Problem(
        file=str(out),
        key="--out",
        expected="a new or empty folder, or one that panelworth has written",
        found="other files",
        hint="name another folder, or empty this one yourself",
    )


def _swap(files: Mapping[str, bytes], out: Path) -> None:
    """Write everything beside the site, then exchange the two folders."""
    out.parent.mkdir(parents=True, exist_ok=True)
    fresh = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    old = fresh.with_name(f"{fresh.name}-old")
    try:
        for name, content in files.items():
            path = fresh / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        fresh.chmod(0o755)
        if out.exists():
            out.rename(old)
        fresh.rename(out)
    except BaseException:
        if old.exists() and not out.exists():
            old.rename(out)
        raise
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
        shutil.rmtree(old, ignore_errors=True)
