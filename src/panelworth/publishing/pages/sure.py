"""The certainty of the comparison: outcomes, pairs, the floor, swings, sums to grant."""

from typing import Any

from panelworth.publishing.charts import pairs, swings
from panelworth.publishing.charts.outcomes import axis_of, outcomes_row
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.words import level_words, sure_words
from panelworth.publishing.words.caution_lines import MONEY_LINE
from panelworth.publishing.words.level_words import ENOUGH, FUTURES


def sure_page(view: View) -> Page:
    """Return the page on the certainty of the comparison."""
    axis, watched = axis_of(view), sure_words.watched(view)
    question = _("How sure is this?")
    return Page(
        file="risk.html",
        template="risk.html",
        title=question,
        nav=_("How sure"),
        door=(question, sure_words.promise(view.club)),
        description=_(
            "How sure the figures are, and what decides: {title}", title=view.case.scenario.title
        ),
        content={
            "lead": sure_words.lead(view),
            "key": sure_words.key(view) if view.others else "",
            "axis": axis,
            "baseline": view.baseline,
            "rows": [
                {
                    "marks": outcomes_row(view, tag, axis),
                    "count": level_words.of_twenty(view.leading(tag).ahead_of[view.baseline.id]),
                    "tell": sure_words.ends(view, tag),
                    "warn": sure_words.shown_from(view.leading(tag)),
                }
                for tag in view.others
            ],
            "pairs": [
                {
                    "pair": pair,
                    "verdict": sure_words.verdict(
                        view.leading(pair.left), view.leading(pair.right)
                    ),
                }
                for pair in pairs.pairs(view)
            ],
            "floor": sure_words.floor(view),
            "floors": [_floor(view, tag) for tag in view.tags.values()] if view.club else [],
            "swings": swings.swings(view, watched) if watched else None,
            "swings_key": sure_words.swings_key(view, watched) if watched else "",
            "take_over": sure_words.others_take_over(view, watched) if watched else [],
            "grant": _("What to grant") if view.club else _("What to set aside"),
            "enough": _("Enough in {count} of {all}", count=ENOUGH, all=FUTURES),
            "budgets": [
                {"option": tag, **sure_words.budget(view, tag)} for tag in view.tags.values()
            ],
            "left_out": sure_words.left_out(view.club),
            "caution": _(MONEY_LINE),
        },
    )


def _floor(view: View, tag: OptionTag) -> dict[str, Any]:
    """Return a row on the floor: hollow marks are futures below it, filled marks the others."""
    share = view.leading(tag).chance_below_floor
    count, holds = level_words.of_twenty(share), level_words.count_without(share)
    text = _("{option}: under the floor in {count} futures.", option=tag.short, count=count)
    return {
        "option": tag,
        "count": count,
        "row": pairs.row_of_twenty(tag, holds, tag, text),
        "depth": sure_words.depth(view, tag),
    }
