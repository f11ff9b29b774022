"""What a net benefit is made of: its parts, which add up to it."""

from panelworth.publishing.language import noted, say
from panelworth.publishing.sentences import CLOSE
from panelworth.publishing.view import OptionTag, View

PARTS = {
    "hours": noted("What the hours flown are worth"),
    "members": noted("What newcomers pay"),
    "running": noted("Running costs"),
    "airplane_value": noted("The airplane's value at the end"),
    "project": noted("The project, less sales and credits"),
    "loan": noted("What borrowing costs"),
}
WHOLE = noted("Net benefit")


def made_of_rows(view: View) -> list[tuple[str, list[str]]]:
    """Return the parts of each option's likely net benefit, as planned, and their sum.

    Parts that are nothing for every option are left out.
    """
    shown = [key for key in PARTS if any(_part(view, tag, key) for tag in view.others)]
    rows = [
        (say(PARTS[key]), [view.formats.change(_part(view, tag, key)) for tag in view.others])
        for key in shown
    ]
    totals = [view.option(tag.id).likely.net_benefit for tag in view.others]
    return [*rows, (say(WHOLE), [view.formats.change(total) for total in totals])] if rows else []


def _part(view: View, tag: OptionTag, key: str) -> float:
    value: float = getattr(view.option(tag.id).likely.parts, key)
    return value if abs(value) >= CLOSE else 0.0
