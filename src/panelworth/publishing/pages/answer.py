"""The first page: the question, a picture with a row for each option, and the answer."""

from panelworth.publishing.charts.outcomes import axis_of, outcomes_row
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View
from panelworth.publishing.words import pay_words, row_words, warning_words
from panelworth.publishing.words.answer_words import heads
from panelworth.publishing.words.caution_lines import MONEY_LINE


def answer_page(view: View) -> Page:
    """Return the page that a member reads in five minutes before the vote."""
    scenario = view.case.scenario
    axis = axis_of(view)
    return Page(
        file="index.html",
        template="answer.html",
        title=scenario.title,
        nav=_("Answer"),
        description=scenario.question or scenario.title,
        door=(_("What is the answer?"), _("All options on one page")),
        content={
            "question": scenario.question or _("Which option?"),
            "axis": axis,
            "baseline": view.baseline,
            "rows": [
                {
                    "option": tag,
                    "pays": pay_words.pays(view, tag),
                    "marks": outcomes_row(view, tag, axis) if tag is not view.baseline else None,
                    "tell": row_words.outcome_texts(view, tag),
                    "warn": warning_words.obstacles(view, tag),
                }
                for tag in view.tags.values()
            ],
            "kinds": pay_words.member_kinds(view) if view.club else [],
            "basis": row_words.basis(view),
            "heads": heads(view),
            "caution": _(MONEY_LINE),
        },
    )
