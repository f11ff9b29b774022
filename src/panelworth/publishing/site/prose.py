"""A user's Markdown, rendered and then cleaned: nothing in a note can run or reach outside."""

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
    """Render Markdown and keep only tags that say something.

    Headings go one level down, since the page's title is the first; wide tables scroll on a
    phone; alignment becomes a class, for the pages' policy forbids styles within.
    """
    extensions = {"tables": {"use_align_attribute": True}}
    lowered = HEADING.sub("#", text)
    rendered = markdown(
        lowered, extensions=["tables", "toc", "sane_lists"], extension_configs=extensions
    )
    cleaned = nh3.clean(
        rendered, tags=TAGS, attributes=ATTRIBUTES, url_schemes=SCHEMES, link_rel="noopener"
    )
    aligned = ALIGNED.sub(r'<\1 class="align-\2">', cleaned)
    scrolling = SCROLLING.format(name=_("Table of the notes"))
    opened = aligned.replace("<table>", f'{scrolling}<table class="ledger">')
    return opened.replace("</table>", "</table></div>")
