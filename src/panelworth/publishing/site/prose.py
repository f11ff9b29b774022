"""Renders a user's Markdown and removes everything that could run a script or load a file."""

import re

import nh3
from markdown import markdown
from markupsafe import Markup

from panelworth.publishing.language import _

TAGS = {
    "p", "br", "hr", "h2", "h3", "h4", "ul", "ol", "li", "strong", "em", "code", "pre",
    "blockquote", "a", "table", "thead", "tbody", "tr", "th", "td",
}  # fmt: skip
ATTRIBUTES = {
    "a": {"href", "title"},
    "h2": {"id"},
    "h3": {"id"},
    "h4": {"id"},
    "th": {"align"},
    "td": {"align"},
}
SCHEMES = {"http", "https", "mailto"}
HEADING = re.compile(r"^(?=#{1,5} )", re.MULTILINE)
ALIGNED = re.compile(r'<(t[hd]) align="(left|right|center)">')
SCROLLING = Markup('<div class="scroll" role="group" aria-label="{name}" tabindex="0">')


def html_of(text: str) -> str:
    """Render Markdown as HTML with the tags and attributes of TAGS and ATTRIBUTES only.

    Headings become one level lower, since the page's title is the only h1. A wide table scrolls on
    a phone. Alignment becomes a class: the pages' content security policy forbids inline styles.
    """
    settings = {"tables": {"use_align_attribute": True}}
    lowered = HEADING.sub("#", text)  # one more # in front of those that are there
    rendered = markdown(
        lowered, extensions=["tables", "toc", "sane_lists"], extension_configs=settings
    )
    # After rendering, not before: Markdown itself lets HTML through.
    cleaned = nh3.clean(
        rendered, tags=TAGS, attributes=ATTRIBUTES, url_schemes=SCHEMES, link_rel="noopener"
    )
    aligned = ALIGNED.sub(r'<\1 class="align-\2">', cleaned)
    scrolling = SCROLLING.format(name=_("Table of the notes"))
    wrapped = aligned.replace("<table>", f'{scrolling}<table class="ledger">')
    return wrapped.replace("</table>", "</table></div>")
