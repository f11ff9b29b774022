"""What a link to a page shows in other programs: title, description, address.

The address must be absolute, so it is given only if the build has `--address`. It is not kept for
the next build.
"""

import re
from collections.abc import Iterable, Sequence
from urllib.parse import quote, urlsplit
from xml.sax.saxutils import escape

from panelworth.problems import Problem
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View

ENOUGH = 110  # characters: with so many said, no further sentence is added
MOST = 300
MOST_LETTERS = 200  # more makes the handout's code too fine for paper
SITEMAP = "sitemap.xml"
SITEMAP_RULES = "http://www.sitemaps.org/schemas/sitemap/0.9"


def description_of(page: Page) -> str:
    """Return a page's first sentences: enough to know what it says.

    A page without sentences is described by what it is about.
    """
    sentences = _sentences(page)
    if not sentences:
        return page.description
    text = sentences[0]
    for sentence in sentences[1:]:
        if len(text) >= ENOUGH or len(text) + 1 + len(sentence) > MOST:
            break
        text = f"{text} {sentence}"
    return text


def _sentences(page: Page) -> Sequence[str]:
    lead = page.content.get("lead", ())
    sentences = [lead] if isinstance(lead, str) else list(lead)
    question = page.content.get("question", "") if page.file == "index.html" else ""
    return [str(sentence) for sentence in (question, *sentences) if sentence]


def shared(view: View, page: Page, *, folder: str) -> dict[str, str]:
    """Return what a page is shared with; its address only where the site's own is known."""
    whole = view.case.scenario.title
    title = page.title if page.title == whole else f"{page.title} · {whole}"
    return {
        "title": title,
        "description": description_of(page),
        "url": absolute(view.address, f"{folder}{page.file}"),
    }


def front_shared(address: str, description: str) -> dict[str, str]:
    """Return what the page in front of several scenarios is shared with."""
    return {
        "title": _("What to do about an aging panel"),
        "description": description,
        "url": absolute(address, "index.html"),
    }


def absolute(address: str, file: str) -> str:
    """Return where a file of the site will stand, "" where the site's own address is not known.

    A folder's first page has the folder's address.

    >>> absolute("https://club.example/panel", "risk.html")
    'https://club.example/panel/risk.html'
    >>> absolute("https://club.example/panel/", "index.html")
    'https://club.example/panel/'
    """
    if not address:
        return ""
    path = re.sub(r"(^|/)index\.html$", r"\1", file)
    return f"{address.rstrip('/')}/{quote(path)}"


def sitemap(address: str, files: Iterable[str]) -> str:
    """List every page of the site, by the protocol of sitemaps.org, version 0.9."""
    pages = sorted(name for name in files if name.endswith(".html"))
    rows = "".join(f"<url><loc>{escape(absolute(address, page))}</loc></url>\n" for page in pages)
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    return f'{head}<urlset xmlns="{SITEMAP_RULES}">\n{rows}</urlset>\n'


def address_problems(address: str) -> list[Problem]:
    """Refuse what no site can stand at, or what is too long for a code on paper."""
    parts = _split(address)
    if not address or (parts and not (parts[2] or parts[3]) and len(address) <= MOST_LETTERS):
        return []
    problem = Problem(
        file="build",
        key="--address",
        expected="the address of the site's folder, such as https://club.example/panel",
        found=f'"{address}"',
        hint="begin with https:// or http://, leave out what follows ? or #, keep it short",
    )
    return [problem]


def _split(address: str) -> tuple[str, str, str, str] | None:
    """Return host, path, query and fragment of a web address; None where it is none."""
    try:
        parts = urlsplit(address)
    except ValueError:
        return None
    plain = address.isprintable() and " " not in address
    if parts.scheme not in ("http", "https") or not parts.hostname or not plain:
        return None
    return parts.hostname, parts.path, parts.query, parts.fragment
