"""The handout and the ballot sheet as PDFs: the pages' own templates, laid out on paper.

Needs the Pango library, which no Python package brings along; without it there is a problem to
tell, not a traceback. Nothing is asked of any network, and the same page gives the same bytes.
"""

import io
import re
import warnings
from collections.abc import Mapping
from contextlib import redirect_stdout
from pathlib import Path, PurePosixPath
from types import ModuleType
from typing import Any
from urllib.parse import urljoin

from panelworth.problems import Problem
from panelworth.publishing import charts, pencil
from panelworth.publishing.handout_page import ballot_page, handout_page
from panelworth.publishing.layout import Layout, laid_out
from panelworth.publishing.view import View

NOWHERE = "https://site.invalid/"  # a name that no server has (RFC 2606)
MARK = re.compile(r'option-(\d)"><svg class="mark"')
LINK = re.compile(r'(<a\b[^>]*?) href="[^"]*"')
KINDS = {".css": "text/css", ".svg": "image/svg+xml", ".woff2": "font/woff2"}
PAPERS = {"letter": "letter", "a4": "A4"}
HINT = (
    "install it (Debian, Ubuntu: apt-get install libpango-1.0-0 libpangoft2-1.0-0 "
    "libharfbuzz-subset0), or print the page of the built site from a browser"
)


def paper_pdf(
    view: View, layout: Layout, loaded: Mapping[str, bytes], paper: str, *, ballot: bool = False
) -> bytes | Problem:
    """Lay the handout, or the ballot sheet, out on letter or A4; a problem where Pango is missing.

    Links lead into the published site where its address is known, and nowhere otherwise.
    """
    if ballot and view.club is None:
        expected, found = "a club, whose members vote", "a single owner"
        hint = "leave --ballot out: an owner's handout says what there is to choose"
        return Problem(file="handout", key="--ballot", expected=expected, found=found, hint=hint)
    weasyprint = _weasyprint()
    if weasyprint is None:
        expected, found = "the Pango library, which lays out the text", "none that can be loaded"
        return Problem(file="handout", key="", expected=expected, found=found, hint=HINT)
    page = ballot_page(view) if ballot else handout_page(view)
    base = f"{view.home.rstrip('/')}/" if view.home else NOWHERE
    files = {**loaded} | {
        chart.svg_paper: pencil.drawn(charts.paper_order(chart))
        for chart in page.content.get("pictures", ())
    }
    fetcher = _fetcher(weasyprint, {urljoin(base, name): each for name, each in files.items()})
    sheet = weasyprint.CSS(string=f"@page {{ size: {PAPERS[paper]} }}")
    text = _coloured(laid_out(layout, view, page, [page], root=""))
    text = text if view.home else LINK.sub(r"\1", text)
    document = weasyprint.HTML(string=text, base_url=base, url_fetcher=fetcher)
    made: bytes = document.write_pdf(stylesheets=[sheet], pdf_tags=True)
    return made


def unfit_name(out: Path) -> list[Problem]:
    """Refuse to write a PDF over anything that is none."""
    if out.suffix.casefold() == ".pdf" and not out.is_dir():
        return []
    expected, hint = "the name of a PDF file", "name one that ends in .pdf"
    return [Problem(file=str(out), key="--out", expected=expected, found=f'"{out}"', hint=hint)]


def _coloured(text: str) -> str:
    """Write each option's colour on its mark: drawings within a page see no stylesheet here."""
    colours = charts.LIGHT["options"]
    return MARK.sub(lambda found: f'{found[0]} fill="{colours[int(found[1]) - 1]}"', text)


def _weasyprint() -> ModuleType | None:
    """Load the layout engine; it prints a page of advice of its own where a library is missing."""
    try:
        with redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about libraries that later versions will ask for
            import weasyprint  # noqa: PLC0415

            engine: ModuleType = weasyprint
    except OSError:
        return None
    return engine


def _fetcher(weasyprint: ModuleType, files: Mapping[str, bytes]) -> Any:  # noqa: ANN401
    """Return what hands out files from memory and data addresses, and nothing else."""
    urls = weasyprint.urls

    class FromMemory(urls.URLFetcher):  # type: ignore[misc,name-defined]
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> Any:  # noqa: ANN401
            if url.startswith("data:"):
                return super().fetch(url, headers)
            kind = KINDS[PurePosixPath(url).suffix]
            return urls.URLFetcherResponse(url, files[url], {"Content-Type": kind})

    return FromMemory()
