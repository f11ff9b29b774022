"""What goes on paper before a vote, in sentences: the draft motion, days, what can go wrong.

Facts and a question, worded for the club's members or for one owner; no advice to either.
"""

from panelworth.engine.results_loop import Deadline
from panelworth.publishing import sentences
from panelworth.publishing.formats import day, joined, number, plural
from panelworth.publishing.risk_words import chance, floor_note, turning
from panelworth.publishing.view import OptionTag, View

MOST_TURNINGS = 4
MOTION = (
    "“That the club answer this question with one of these options, and grant for it no more than "
    "the sum beside it:”"
)
DRAFT = (
    "A draft to work on: the club's own rules say how a motion is put and how votes are counted. "
    "Each sum, before sales and credits, is enough in 8 of 10 futures."
)
CHOICE = "One of these options. The sum beside it is enough to pay for it in 8 of 10 futures."
LIKELY = "Likely figures, unless they say otherwise; “What can go wrong” says how sure they are."


def granted(view: View, tag: OptionTag) -> str:
    """Write what to ask for or set aside, so that it is enough in 8 of 10 futures."""
    asked = view.uncertain(tag.id).budget_p80
    return "nothing" if asked < sentences.CLOSE else view.formats.money(asked)


def bill_change(view: View, tag: OptionTag) -> dict[str, str]:
    """Write what members' bills change a month against the baseline; the baseline's bills as such.

    From the least to the most among the kinds of members that the file names; without any, what
    is asked of each member.
    """
    bills, cents = view.option(tag.id).bills, view.formats.cents
    if not bills:
        funded = view.option(tag.id).funded
        asked = sentences.asked_of_members(view, funded) if funded else []
        return {"value": joined(asked) or "nothing more"}
    if tag.id == view.figures.baseline:
        sums = [bill.per_month for bill in bills]
        return {"value": _between(cents(min(sums)), cents(max(sums))), "note": "the bill itself"}
    before = view.option(view.figures.baseline).bills
    changes = [bill.per_month - old.per_month for bill, old in zip(bills, before, strict=True)]
    once = bills[0].assessment
    return {
        "value": _between(_signed(view, min(changes)), _signed(view, max(changes))),
        "note": f"and {cents(once)} once" if once else "",
    }


def _signed(view: View, change: float) -> str:
    text = view.formats.cents(change)
    return f"+{text}" if change > 0 and text != view.formats.cents(0) else text


def _between(least: str, most: str) -> str:
    return least if least == most else f"{least} to {most}"


def can_go_wrong(view: View, tag: OptionTag) -> str:
    """Say in a line how often, and how far, an option turns out badly."""
    found, option = view.uncertain(tag.id), view.case.options[tag.id]
    told = []
    if found.chance_beats_baseline is None:
        told.append(f"{chance(1 - found.chance_best)} that another option leaves more")
    else:
        behind = chance(1 - found.chance_beats_baseline)
        told.append(f"{behind} that it does not come out ahead of “{view.baseline.title}”")
    if found.outlay_quantiles[10] < found.outlay_quantiles[90]:
        high = view.formats.money(found.outlay_quantiles[90])
        told.append(f"1 in 10 that more than {high} is to be paid")
    if found.chance_below_floor is not None:
        told.append(f"{chance(found.chance_below_floor)} that the reserve falls below its floor")
    if option.schedule and not option.schedule.weeks_down.certain:
        gone = "without an airplane" if option.kind == "replace" else "down"
        told.append(f"up to {plural(option.schedule.weeks_down.high, 'week', 'weeks')} {gone}")
    said = "; ".join(told)
    return f"{said[0].upper()}{said[1:]}."


def decided_by_inputs(view: View) -> list[str]:
    """Say which inputs would make another option the best, and at which value."""
    turns = [turn for turn in view.insight.turnings if turn.value is not None]
    said = [turning(view, turn) for turn in turns[:MOST_TURNINGS]]
    if not said and view.insight.turnings:
        said = ["No single input, anywhere in its range, makes another option the best."]
    note = floor_note(view)
    return [*said, note] if note else said


def by_when(view: View) -> list[str]:
    """Say by when to decide: the nearest day on which a price lapses or an order is due."""
    quotes = [each for each in view.loop.deadlines if each.kind == "quote"]
    ahead = [each for each in quotes if not each.past]
    orders = [each for each in view.loop.deadlines if each.kind == "order" and not each.past]
    said = []
    if ahead or orders:
        nearest = min(each.first for each in (*ahead, *orders))
        said.append(f"Up to {day(nearest)} no price lapses and no order day passes.")
    if ahead:
        first = [each for each in ahead if each.first == ahead[0].first]
        said.append(f"Prices lapse after {day(ahead[0].first)}: {_named(view, first)}.")
    if orders:
        days = [f"{day(each.first)}, “{view.tags[each.option].title}”" for each in orders]
        said.append(f"To be ordered by: {'; '.join(days)}.")
    lapsed = [each for each in quotes if each.past]
    if lapsed:
        said.append(f"Lapsed already, ask again before ordering: {_named(view, lapsed)}.")
    return said


def _named(view: View, quotes: list[Deadline]) -> str:
    return joined([f"“{each.name}” ({view.tags[each.option].title})" for each in quotes])


def basis(view: View) -> str:
    """Say in a sentence what chances are counted in."""
    trials = number(view.figures.uncertainty.trials)
    return (
        f"“46 in 100” means 46 of every 100 among {trials} possible futures, drawn from the ranges."
    )
