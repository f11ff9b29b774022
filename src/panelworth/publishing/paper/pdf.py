"""The handout and the ballot sheet as PDFs: the pages' own templates, laid out on paper.

Needs the Pango library, which no Python package contains; without it the functions return a
problem. Nothing is loaded from a network, and the same page gives the same bytes.
"""

import io
import re
import warnings
from collections.abc import Mapping
from contextlib import redirect_stdout
from pathlib import Path, PurePosixPath
from types import ModuleType
from typing import Any
from urllib.parse import quote, urljoin

from panelworth.problems import Problem
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.fonts import FAMILY, paper_fonts
from panelworth.publishing.paper.handout import ballot_page, handout_page
from panelworth.publishing.site.layout import Layout, render_page
from panelworth.publishing.view import View

NO_SITE = "https://site.invalid/"  # a name that no server has (RFC 2606)
MARK = re.compile(
    r'option-(?P<number>\d)"><svg class="mark" viewBox="(?P<box>[^"]*)"[^>]*>(?P<path>.*?)</svg>'
)
PICTURE = re.compile(
    r'<svg class="picture option-(?P<number>\d)"(?P<head>[^>]*)>(?P<body>.*?)</svg>', re.DOTALL
)
LABEL = re.compile(r'aria-label="([^"]*)"')
WORDS = re.compile(r">([^<>]+)<")
# The style rules of the pages' pictures, with the colours for paper.
LOOK = (
    ".ahead,.bar{{fill:{option}}}.behind,.even{{fill:none;stroke:{option};stroke-width:1.4}}"
    ".base{{stroke:{rule}}}.tick{{stroke:{line}}}.zero,.whisker{{stroke:{ink};stroke-width:1.5}}"
    ".band{{fill:{option};opacity:.25}}.middle{{fill:none;stroke:{option};stroke-width:2}}"
    ".whisker,.dashed{{fill:none}}.dashed{{stroke:{ink};stroke-dasharray:4 3}}"
)
LINK = re.compile(r'(<a\b[^>]*?) href="[^"]*"')
KINDS = {".css": "text/css", ".svg": "image/svg+xml", ".ttf": "font/ttf"}
PAPERS = {"letter": "letter", "a4": "A4"}
HINT = (
    "install it (Debian, Ubuntu: apt-get install libpango-1.0-0 libpangoft2-1.0-0 "
    "libharfbuzz-subset0), or print the page of the built site from a browser"
)


def paper_pdf(
    view: View, layout: Layout, styles: Mapping[str, bytes], paper: str, *, ballot: bool = False
) -> bytes | Problem:
    """Return the handout or the ballot on letter or A4; a problem if Pango is missing.

    Links lead to the published site; without its address they are removed.
    """
    if ballot and view.club is None:
        expected, found = "a club, whose members vote on a ballot", "a single owner"
        hint, file = "leave --ballot out", f"{view.case.folder}/scenario.toml"
        return Problem(file=file, key="club", expected=expected, found=found, hint=hint)
    weasyprint = _weasyprint()
    if weasyprint is None:
        expected, found = "the Pango library, which lays out the text", "none that can be loaded"
        return Problem(file="handout", key="", expected=expected, found=found, hint=HINT)
    page = ballot_page(view) if ballot else handout_page(view)
    base = f"{view.home.rstrip('/')}/" if view.home else NO_SITE
    files = {**styles, **paper_fonts()}
    fetcher = _fetcher(
        weasyprint, {urljoin(base, name): content for name, content in files.items()}
    )
    sheet = weasyprint.CSS(string=f"@page {{ size: {PAPERS[paper]} }}")
    text = _decorated(render_page(layout, view, page, [page], root=""))
    text = text if view.home else LINK.sub(r"\1", text)
    document = weasyprint.HTML(string=text, base_url=base, url_fetcher=fetcher)
    # Tags make the PDF readable for screen readers (ISO 32000-1, 14.8).
    pdf: bytes = document.write_pdf(stylesheets=[sheet], pdf_tags=True)
    return pdf


def file_name_problems(out: Path) -> list[Problem]:
    """Return a problem if the PDF would overwrite a file that is not a PDF."""
    if out.suffix.casefold() == ".pdf" and not out.is_dir():
        return []
    expected, hint = "the name of a PDF file", "name one that ends in .pdf"
    return [Problem(file=str(out), key="--out", expected=expected, found=f'"{out}"', hint=hint)]


def _decorated(text: str) -> str:
    """Turn each option's mark into a background in its colour, and pictures into images.

    Tagged PDF requires a text for every figure. A mark adds nothing to the name beside it, and a
    background is not a figure but decoration (an "artifact", ISO 32000-1, 14.8.2.2).
    """
    return PICTURE.sub(_image, MARK.sub(_background, text))


def _background(mark: re.Match[str]) -> str:
    number, box, path = mark["number"], mark["box"], mark["path"]
    colour = charts.option_colour(int(number))
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" fill="{colour}">'
    picture = quote(f"{head}{path}</svg>")
    style = f"display: inline-block; background: url(data:image/svg+xml,{picture}) no-repeat"
    return f'option-{number}"><span class="mark" style="{style}"></span>'


def _image(match: re.Match[str]) -> str:
    """Return a picture as an image with its own colours, since no style sheet applies within it.

    Its alternative text is its label, or else the text in it.
    """
    head, body = match["head"], match["body"]
    label = LABEL.search(head)
    text = label[1] if label else " ".join(word.strip() for word in WORDS.findall(body))
    look = LOOK.format(
        option=charts.option_colour(int(match["number"])),
        **{key: charts.COLOURS[key] for key in ("ink", "rule", "line")},
    )
    letters = f'font-family="{FAMILY}" font-size="12px" fill="{charts.COLOURS["soft"]}"'
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" {letters}{head}><style>{look}</style>{body}</svg>'
    )
    return f'<img class="picture" src="data:image/svg+xml,{quote(svg)}" alt="{text}">'


def _weasyprint() -> ModuleType | None:
    """Load weasyprint without the advice that it prints; None if a library is missing."""
    try:
        with redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about libraries that later versions will require
            import weasyprint  # noqa: PLC0415

            engine: ModuleType = weasyprint
    except OSError:
        return None
    return engine


def _fetcher(weasyprint: ModuleType, files: Mapping[str, bytes]) -> Any:  # noqa: ANN401
    """Return a fetcher that serves files from memory and data addresses only."""
    urls = weasyprint.urls

    class FromMemory(urls.URLFetcher):  # type: ignore[misc,name-defined]
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> Any:  # noqa: ANN401
            if url.startswith("data:"):
                return super().fetch(url, headers)
            kind = KINDS[PurePosixPath(url).suffix]
            return urls.URLFetcherResponse(url, files[url], {"Content-Type": kind})

    return FromMemory()
