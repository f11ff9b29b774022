"""What goes on paper before a vote, in words: the draft motion, sums, what the answer hangs on.

Facts and a question, worded for the club's members or for one owner; no advice to either.
"""

from panelworth.publishing import level_words, raise_words, sentences
from panelworth.publishing.formats import day, joined
from panelworth.publishing.language import noted, say, say_counted
from panelworth.publishing.risk_words import floor_note, turning
from panelworth.publishing.view import OptionTag, View

MOST_TURNINGS = 4
MOTION = noted(
    "“That the club answer this question with one of these options, and grant for it no more than "
    "the sum beside it:”"
)
DRAFT = noted(
    "A draft to work on: the club's own rules say how a motion is put and how votes are counted. "
    "Each sum, before sales and credits, is enough in 8 of 10 futures."
)
CHOICE = noted(
    "One of these options. The sum beside it is enough to pay for it in 8 of 10 futures."
)
LIKELY = noted(
    "Likely figures, unless they say otherwise; “What can go wrong” says how sure they are."
)


def granted(view: View, tag: OptionTag) -> str:
    """Write what to ask for or set aside, so that it is enough in 8 of 10 futures."""
    later = level_words.allowed(view, tag)
    return _sum(view, later.budget_p80 if later else view.uncertain(tag.id).budget_p80)


def granted_at(view: View, tag: OptionTag) -> str:
    """Write that sum, and from when the work starts where the plan is refused."""
    told, later = granted(view, tag), level_words.allowed(view, tag)
    return say("{sum}, start on {day}", sum=told, day=day(later.start)) if later else told


def granted_cell(view: View, tag: OptionTag) -> dict[str, str]:
    """Write that sum, beside it what the start as planned would take, where it is refused."""
    told, later = granted(view, tag), level_words.allowed(view, tag)
    planned = _sum(view, view.uncertain(tag.id).budget_p80)
    note = say("as planned, refused: {sum}", sum=planned) if later else ""
    return {"value": told, "note": note}


def _sum(view: View, asked: float) -> str:
    return say("nothing") if asked < sentences.CLOSE else view.formats.money(asked)


def bill_change(view: View, tag: OptionTag) -> dict[str, str]:
    """Write what members' bills change a month against the baseline; the baseline's bills as such.

    From the least to the most among the kinds of members that the file names; without any, what
    is asked of each member.
    """
    bills, cents = level_words.bills(view, tag), view.formats.cents
    if not bills:
        asked = raise_words.raises(view, tag)
        rate = view.case.options[tag.id].after.new("hourly_rate")
        if rate is not None and rate.likely != view.case.scenario.aircraft.hourly_rate.likely:
            asked.append(say("a rate of {sum} an hour", sum=cents(rate.likely)))
        return {"value": joined(asked) or say("nothing more")}
    sums = [bill.per_month for bill in bills if bill.per_month is not None]
    if not sums:
        return {"value": say("unknown"), "note": say("no raise of the kind asked for funds it")}
    if tag.id == view.figures.baseline:
        value = _between(cents(min(sums)), cents(max(sums)))
        return {"value": value, "note": say("the bill itself")}
    before = [each.per_month or 0.0 for each in view.option(view.figures.baseline).bills]
    changes = [now - old for now, old in zip(sums, before, strict=True)]
    once = bills[0].assessment
    return {
        "value": _between(_signed(view, min(changes)), _signed(view, max(changes))),
        "note": say("and {sum} once", sum=raise_words.once(view, tag, once)) if once else "",
    }


def _signed(view: View, change: float) -> str:
    text = view.formats.cents(change)
    return f"+{text}" if change > 0 and text != view.formats.cents(0) else text


def _between(least: str, most: str) -> str:
    return least if least == most else say("{low} to {high}", low=least, high=most)


def decided_by_inputs(view: View) -> list[str]:
    """Say which inputs would make another option the best, and at which value."""
    turns = [turn for turn in view.insight.turnings if turn.value is not None]
    said = [turning(view, turn) for turn in turns[:MOST_TURNINGS]]
    if not said and view.insight.turnings:
        count = len(view.insight.turnings)
        text = say_counted(
            "The range that moves most makes no other option the best, at any value looked at.",
            "None of the {count} ranges that move most, alone, makes another option the best, at "
            "any value looked at.",
            count,
        )
        said = [text.format(count=count)]
    note = floor_note(view)
    return [*said, note] if note else said
