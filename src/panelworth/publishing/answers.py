"""What a member asks of each option: what it costs, what I get, what can go wrong, when it is away.

Each answer is sentences with figures in them, and leads to the page that works them out.
"""

from typing import Any

from panelworth.publishing import sentences
from panelworth.publishing.airplane.failure_words import count_ending
from panelworth.publishing.airplane.parts import OVERVIEW
from panelworth.publishing.airplane.when_words import planned_refused
from panelworth.publishing.deciding_words import can_go_wrong
from panelworth.publishing.formats import percent, signed
from panelworth.publishing.language import noted, say, say_counted
from panelworth.publishing.ledger_words import already_paid, lapsed
from panelworth.publishing.view import OptionTag, View

RULE = "IFR"


def answers(view: View, tag: OptionTag) -> list[dict[str, Any]]:
    """Return the questions with their answers and where each is worked out."""
    away = [each for each in (sentences.downtime(view, tag), planned_refused(view, tag)) if each]
    planned = view.figures.airplane.planners
    asked = [
        (say("What it costs"), tag.href, costs(view, tag)),
        (say("What you get"), OVERVIEW, gets(view, tag)),
        (say("What can go wrong"), "risk.html", [can_go_wrong(view, tag)]),
        (say("When it is away"), "dates.html" if tag.id in planned else tag.href, away),
    ]
    return [
        {"question": question, "href": href, "facts": [fact for fact in facts if fact]}
        for question, href, facts in asked
        if any(facts)
    ]


def costs(view: View, tag: OptionTag) -> list[str]:
    """Say what is paid up front, how, and by whom."""
    first = sentences.joined_sentences(sentences.upfront(view, tag), already_paid(view, tag))
    return [first, sentences.funding_in_short(view, tag), lapsed(view, tag)]


def gets(view: View, tag: OptionTag) -> list[str]:
    """Say what of members' needs is met, how many failures end a flight, and what it carries."""
    found, said = view.figures.airplane, []
    if found.capability and tag.id in found.capability.share:
        has = noted("It has {share} of what is wanted.")
        if view.club:
            has = noted("It has {share} of what members want.")
        said.append(say(has, share=percent(found.capability.share[tag.id], 0)))
    if tag.id in found.failures:
        said.append(_ending(view, tag))
    weighed = found.weight.get(tag.id)
    if weighed and weighed.full_fuel_payload is not None:
        carries = noted("It carries {weight} of people and bags beside full tanks.")
        if weighed.full_fuel_payload_change:
            carries = noted("It carries {weight} of people and bags beside full tanks ({change}).")
        weight = view.formats.weight(weighed.full_fuel_payload)
        change = signed(view.formats.weight(weighed.full_fuel_payload_change))
        said.append(say(carries, weight=weight, change=change))
    return said


def _ending(view: View, tag: OptionTag) -> str:
    """Say how many units take something listed for instrument flight by failing alone."""
    figures = view.figures.airplane.failures[tag.id]
    count, whole = count_ending(figures, RULE), len(figures.failures)
    if count is None:
        return say("Not all that IFR asks for is there.")
    return say_counted(
        "{count} of {whole} units alone takes something that 91.205 lists for IFR.",
        "{count} of {whole} units alone take something that 91.205 lists for IFR.",
        count,
    ).format(count=count, whole=whole)
