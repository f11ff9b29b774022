"""The page of an option: its costs and outcomes, its benefits, its changes, in this order."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results.prices import Price
from panelworth.model.case import inputs_of, option_prefix
from panelworth.publishing.charts.bars import bars
from panelworth.publishing.charts.outcomes import axis_of, outcomes_row
from panelworth.publishing.charts.starts import strip
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import _
from panelworth.publishing.site.prose import html_of
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.words import after_words, option_words, pay_words, price_words
from panelworth.publishing.words.after_words import MOST_CHANGES
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, MONEY_LINE
from panelworth.publishing.words.deferred_jobs_words import jobs_summary
from panelworth.publishing.words.price_words import MOST_PRICES, PriceLine, line
from panelworth.publishing.words.sources import input_rows


def option_page(view: View, tag: OptionTag) -> Page:
    """Return the page of one option."""
    option, note = view.case.options[tag.id], view.case.notes.get(tag.id, "")
    price_list = view.figures.prices[tag.id]
    return Page(
        file=tag.href,
        template="option.html",
        title=tag.title,
        nav="",
        door=(
            _("And {option}?", option=tag.short),
            _("its price, outcomes, changes"),
        ),
        description=option.summary or tag.title,
        content={
            "option": tag,
            "summary": option.summary or tag.title,
            "kinds": pay_words.member_kinds(view) if view.club else [],
            "figures": option_words.key_figures(view, tag),
            "warnings": option_words.warnings(view, tag),
            "comes_out": _outcomes(view, tag),
            "gets": option_words.benefits(view, tag),
            "total": price_words.total(view, tag),
            "prices": _prices(view.formats, price_list.prices[:MOST_PRICES]),
            "smaller": price_words.smaller(view.formats, price_list),
            "may_turn_up": price_words.may_turn_up(view, tag),
            "changes": after_words.changes(view, tag)[:MOST_CHANGES],
            "unchanged": after_words.further(view, tag),
            "inputs": _inputs(view, tag),
            "while_open": jobs_summary(view, tag),
            "strip": strip(view, tag),
            "starts": option_words.starts(view.figures.airplane.planners.get(tag.id)),
            "get": _("What we would get") if view.club else _("What you would get"),
            "story": html_of(note) if note else "",
            "money_line": _(MONEY_LINE),
            "airplane_line": _(AIRPLANE_LINE),
        },
    )


def _outcomes(view: View, tag: OptionTag) -> dict[str, Any]:
    """Return the option's outcomes on the shared axis; nothing for the baseline."""
    if tag is view.baseline:
        return {}
    axis = axis_of(view)
    return {
        "axis": axis,
        "baseline": view.baseline,
        "marks": outcomes_row(view, tag, axis),
        "summary": option_words.outcome_texts(view, tag),
    }


def _inputs(view: View, tag: OptionTag) -> str:
    """Return the link to the option's own inputs; without any, to the page of inputs."""
    prefix = option_prefix(tag.id)
    paths = [f"{prefix}{entry.path}" for entry in inputs_of(view.case.options[tag.id])]
    return f"inputs.html#option-{tag.id}" if input_rows(view, paths) else "inputs.html"


def _prices(formats: Formats, prices: Sequence[Price]) -> list[tuple[PriceLine, dict[str, Any]]]:
    """Return the texts, the sum and the bar of each price."""
    return [
        (line(price), {"sum": formats.money(price.likely), "bar": bar})
        for price, bar in zip(prices, bars(prices), strict=True)
    ]
