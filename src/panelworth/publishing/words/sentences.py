"""Sentences that several pages share: payments up front, weeks away, break-evens.

Every function returns finished sentences; none recommends anything.
"""

from panelworth.engine.results.figures import (
    Likely,
    OptionFigures,
)
from panelworth.model.case import Case
from panelworth.model.schedule import Schedule
from panelworth.publishing.formats import NONE, Formats, number, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.words.figure_names import Write
from panelworth.publishing.words.rounding import CLOSE, is_shown

REASONS = {
    "pays at any value": N_("any value from 0 up"),
    "never pays": N_("no value from 0 up"),
    "no effect": N_("makes no difference"),
}
SIDES = {
    "at least": N_("at least {value}"),
    "at most": N_("at most {value}"),
    "": N_("touches at {value}"),
}


def upfront(formats: Formats, likely: Likely) -> str:
    """Say what must be paid up front, and which money comes in."""
    outlay, receipts = formats.money(likely.outlay), formats.money(likely.receipts)
    if not is_shown(likely.outlay):
        if likely.receipts < CLOSE:
            return _("Nothing is paid up front.")
        return _("Nothing is paid up front; sales and credits bring in {back}.", back=receipts)
    if not is_shown(likely.receipts):
        return _("Up front it takes {outlay}.", outlay=outlay)
    if likely.upfront < 0:
        return _(
            "It takes {outlay}; sales and credits bring in {back}.", outlay=outlay, back=receipts
        )
    return _(
        "Up front it takes {sum}: {outlay} to pay, less {back} from sales and credits.",
        sum=formats.money(likely.upfront),
        outlay=outlay,
        back=receipts,
    )


def others_remain(case: Case) -> bool:
    """Say whether another airplane remains while today's is away: in a club or a fleet."""
    fleet = case.fleet
    return case.scenario.club is not None or (fleet is not None and bool(fleet.aircraft))


def weeks(schedule: Schedule) -> str:
    """Write the weeks down with their range."""
    span = schedule.weeks_down
    text = plural(span.likely, "week", "weeks")
    if span.certain:
        return text
    low, high = number(span.low), number(span.high)
    return _("{likely} ({low} to {high})", likely=text, low=low, high=high)


def joined_sentences(*sentences: str) -> str:
    """Join sentences with spaces; empty ones are left out."""
    return " ".join(sentence for sentence in sentences if sentence)


def one_line(text: str) -> str:
    r"""Put a text on one line without control characters, for calendar files.

    Some programs treat a carriage return alone, or another line end of Unicode, as a new line.
    There a user's text could begin a new property.

    >>> one_line("A\r\nBEGIN:VALARM")
    'A BEGIN:VALARM'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def break_even_text(formats: Formats, figures: OptionFigures, key: str, write: Write) -> str:
    """Write a break-even: "at least 88 hours", the reason why there is none, or a dash."""
    why, value = figures.break_even_why.get(key), getattr(figures.break_even, key)
    if why:
        return _(REASONS[why])
    if value is None:
        return NONE
    side = figures.break_even_side[key]
    if key == "resale_recovery" and value > 1.0 and side == "at least":
        return _("no value up to {most}", most=write(formats, 1.0))
    return _(SIDES[side], value=write(formats, value))
