"""What other programs show of a link to a page: title, description, address (Open Graph).

Such an address must be absolute, so it is given only if the build has `--address`. It is not
stored for the next build.
"""

import re
from collections.abc import Iterable, Sequence
from urllib.parse import quote, urlsplit
from xml.sax.saxutils import escape

from panelworth.problems import Problem
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View

ENOUGH = 110  # characters of a description from which on no further sentence is added
MOST = 300  # characters of a description
MOST_LETTERS = 200  # of an address: a longer one makes the QR code too fine for paper
SITEMAP = "sitemap.xml"
SITEMAP_RULES = "http://www.sitemaps.org/schemas/sitemap/0.9"


def description_of(page: Page) -> str:
    """Return the first sentences of a page; if it has none, its fixed description."""
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


def share_data(view: View, page: Page, *, folder: str) -> dict[str, str]:
    """Return title, description and address of a page; "" if the site's address is not known."""
    site_title = view.case.scenario.title
    title = page.title if page.title == site_title else f"{page.title} · {site_title}"
    return {
        "title": title,
        "description": description_of(page),
        "url": absolute_address(view.address, f"{folder}{page.file}"),
    }


def front_share_data(address: str, description: str) -> dict[str, str]:
    """Return title, description and address of the front page of several scenarios."""
    return {
        "title": _("What to do about an aging panel"),
        "description": description,
        "url": absolute_address(address, "index.html"),
    }


def absolute_address(address: str, file: str) -> str:
    """Return the address of a file of the site; "" if the site's address is not known.

    A folder's first page has the folder's address.

    >>> absolute_address("https://club.example/panel", "risk.html")
    'https://club.example/panel/risk.html'
    >>> absolute_address("https://club.example/panel/", "index.html")
    'https://club.example/panel/'
    """
    if not address:
        return ""
    path = re.sub(r"(^|/)index\.html$", r"\1", file)
    return f"{address.rstrip('/')}/{quote(path)}"


def sitemap(address: str, files: Iterable[str]) -> str:
    """Return sitemap.xml with every page of the site (sitemaps.org, protocol 0.9)."""
    pages = sorted(name for name in files if name.endswith(".html"))
    addresses = [escape(absolute_address(address, page)) for page in pages]
    rows = "".join(f"<url><loc>{location}</loc></url>\n" for location in addresses)
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    return f'{head}<urlset xmlns="{SITEMAP_RULES}">\n{rows}</urlset>\n'


def address_problems(address: str) -> list[Problem]:
    """Return a problem if an address cannot be a site's, or is too long for the QR code."""
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
    """Return host, path, query and fragment of a web address; None if it is not one."""
    try:
        parts = urlsplit(address)
    except ValueError:
        return None
    plain = address.isprintable() and " " not in address
    if parts.scheme not in ("http", "https") or not parts.hostname or not plain:
        return None
    return parts.hostname, parts.path, parts.query, parts.fragment
