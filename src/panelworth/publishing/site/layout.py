"""Fills the templates: the pages of a scenario, and the front page of several scenarios."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from panelworth.publishing.charts.marks import shape
from panelworth.publishing.formats import day, plural, unbroken
from panelworth.publishing.language import _, current_language, ngettext
from panelworth.publishing.pages.airplane import airplane_pages
from panelworth.publishing.pages.answer import answer_page
from panelworth.publishing.pages.bill import bill_page
from panelworth.publishing.pages.compare import compare_page
from panelworth.publishing.pages.costs import costs_page
from panelworth.publishing.pages.dates import dates_page
from panelworth.publishing.pages.inputs import inputs_page
from panelworth.publishing.pages.method import method_page
from panelworth.publishing.pages.option import option_page
from panelworth.publishing.pages.project import CLOSING, FILE, project_pages
from panelworth.publishing.pages.quotes import quotes_page
from panelworth.publishing.pages.sure import sure_page
from panelworth.publishing.paper.handout import paper_pages
from panelworth.publishing.site.sharing import description_of, front_share_data, share_data
from panelworth.publishing.view import Page, View
from panelworth.publishing.words.caution_lines import FOOT, unfinished
from panelworth.publishing.words.pay_words import member_kinds
from panelworth.publishing.words.project_words import as_voted

AFTER_VOTE = (FILE, CLOSING, "dates.html")  # what follows the project, not the comparison


@dataclass(frozen=True, kw_only=True)
class Layout:
    """The templates, ready to be filled: text is escaped, and a missing string is an error."""

    environment: Environment

    @classmethod
    @cache
    def of(cls, templates: Path) -> "Layout":
        """Return the templates of a folder; jinja2 loads a template again when its file changes."""
        environment = Environment(
            loader=FileSystemLoader(templates),
            autoescape=True,
            undefined=StrictUndefined,  # the default would print a missing string as nothing
            trim_blocks=True,
            lstrip_blocks=True,
            extensions=["jinja2.ext.loopcontrols", "jinja2.ext.i18n"],
        )
        # Without line breaks and indents, so that texts match those of the catalogues.
        environment.policies["ext.i18n.trimmed"] = True
        # The i18n extension adds this method, which is missing in the types of jinja2.
        environment.install_gettext_callables(  # type: ignore[attr-defined]
            _, ngettext, newstyle=True
        )
        environment.globals |= {"_": _, "shape": shape}
        return cls(environment=environment)

    def render(self, template: str, content: dict[str, Any]) -> str:
        """Fill a template with strings and return the page."""
        return unbroken(self.environment.get_template(template).render(content))


def pages_of(view: View) -> list[Page]:
    """Return every page of a scenario, in the order in which they are read."""
    costs, quotes = bill_page(view) or costs_page(view), quotes_page(view)
    return [
        answer_page(view),
        *([costs] if costs else []),
        compare_page(view),
        sure_page(view),
        dates_page(view),
        *(option_page(view, tag) for tag in view.tags.values()),
        *airplane_pages(view),
        *([quotes] if quotes else []),
        *project_pages(view),
        inputs_page(view),
        method_page(view),
        *(paper_pages(view) if view.figures.project is None else []),
    ]


def render_page(layout: Layout, view: View, page: Page, pages: list[Page], *, root: str) -> str:
    """Return the HTML of one page; `pages` are all pages of its scenario.

    `root` is the relative path to the site's root, "" for a single scenario.
    """
    scenario = view.case.scenario
    folder = f"{view.figures.scenario}/" if root else ""
    return layout.render(
        page.template,
        {
            "lang": current_language().tag,
            "root": root,
            "home": "index.html",
            "site_title": scenario.title,
            "site_note": day(scenario.as_of),
            "page_title": page.title,
            "description": description_of(page),
            "share": share_data(view, page, folder=folder),
            "menu": [_link(other, page, other.nav) for other in pages if other.nav],
            "foot_options": list(view.tags.values()),
            "foot": [_link(other, page, other.foot) for other in pages if other.foot],
            "doors": [_door(other) for other in pages if other.nav and other is not page],
            "next": _next(page, pages),
            "later": bool(page.later),
            "members": len(member_kinds(view)),
            "foot_caution": _(FOOT),
            "unfinished": unfinished(view.case),
            "decided": "" if page.file in AFTER_VOTE else as_voted(view),
            "project": FILE,
            "up": "../index.html" if root else "",
            **page.content,
        },
    )


def _link(page: Page, current: Page, label: str) -> dict[str, Any]:
    return {"href": page.file, "label": label, "current": page is current}


def _door(page: Page) -> dict[str, str]:
    return {"href": page.file, "label": page.nav, "note": page.door[1] if page.door else ""}


def _next(page: Page, pages: Sequence[Page]) -> dict[str, str]:
    """Return the link to the next page; the last page links to the first.

    Empty for the first page, which links to all pages, and for a page that is not in this order.
    """
    linked = [candidate for candidate in pages if candidate.door]
    if page not in linked or page is linked[0]:
        return {}
    following = linked[(linked.index(page) + 1) % len(linked)]
    question, note = following.door or ("", "")
    return {"href": following.file, "question": question, "note": _("Next: {what}", what=note)}


def _summary(view: View) -> str:
    options, years = (
        plural(len(view.tags), "option", "options"),
        plural(view.figures.years, "year", "years"),
    )
    as_of = day(view.case.scenario.as_of)
    return _("{options} over {years}, as of {day}", options=options, years=years, day=as_of)


def render_front_page(layout: Layout, views: list[View]) -> str:
    """Return the HTML of the front page of several scenarios."""
    scenarios = [
        {
            "href": f"{view.figures.scenario}/index.html",
            "title": view.case.scenario.title,
            "question": view.case.scenario.question,
            "note": _summary(view),
        }
        for view in views
    ]
    about = _("Comparisons of what can be done about an aging instrument panel")
    return layout.render(
        "scenarios.html",
        {
            "lang": current_language().tag,
            "site_title": _("What to do about an aging panel"),
            "page_title": _("Scenarios"),
            "description": about,
            "share": front_share_data(views[0].address, about),
            "foot_caution": _(FOOT),
            "unfinished": unfinished(*(view.case for view in views)),
            "scenarios": scenarios,
        },
    )
