"""An owner's costs: a year, an hour, up front, and the cost of an hour by hours flown."""

from panelworth.publishing.charts.hours import hours_chart
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View
from panelworth.publishing.words import costs_words
from panelworth.publishing.words.caution_lines import MONEY_LINE
from panelworth.publishing.words.warning_words import notes, still_as_planned


def costs_page(view: View) -> Page | None:
    """Return the page on an owner's costs; None for a club, which has the page on bills."""
    if view.club:
        return None
    return Page(
        file="costs.html",
        template="costs.html",
        title=_("What it costs"),
        nav=_("What it costs"),
        door=(_("What does it cost?"), _("A year, an hour, up front")),
        description=_(
            "What each option costs a year and an hour: {title}", title=view.case.scenario.title
        ),
        content={
            "lead": costs_words.lead(view),
            "options": list(view.tags.values()),
            "figures": costs_words.cost_rows(view),
            "warns": notes(view),
            "note": still_as_planned(view),
            "charts": [hours_chart(view)],
            "caution": _(MONEY_LINE),
        },
    )
