"""The parts of a net benefit, which add up to it."""

from panelworth.engine.results.figures import (
    OptionFigures,
)
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import is_shown

PARTS = {
    "hours": N_("What the hours flown are worth"),
    "members": N_("What newcomers pay"),
    "running": N_("Running costs"),
    "airplane_value": N_("The airplane's value at the end"),
    "project": N_("The project, less sales and credits"),
    "loan": N_("What borrowing costs"),
}
WHOLE = N_("Net benefit")


def made_of_rows(view: View) -> list[tuple[str, list[str]]]:
    """Return the parts of each option's likely net benefit, as planned, and their sum.

    Parts that are 0 for every option are left out.
    """
    shown = [key for key in PARTS if any(_part(view.option(tag.id), key) for tag in view.others)]
    rows = [
        (
            _(PARTS[key]),
            [view.formats.change(_part(view.option(tag.id), key)) for tag in view.others],
        )
        for key in shown
    ]
    totals = [view.option(tag.id).likely.net_benefit for tag in view.others]
    return [*rows, (_(WHOLE), [view.formats.change(total) for total in totals])] if rows else []


def _part(option: OptionFigures, key: str) -> float:
    value: float = getattr(option.likely.parts, key)
    return value if is_shown(value) else 0.0
