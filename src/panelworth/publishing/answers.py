"""What a member asks of each option: what it costs, what I get, what can go wrong, when it is away.

Each answer is sentences with figures in them, and leads to the page that works them out.
"""

from typing import Any

from panelworth.publishing import sentences
from panelworth.publishing.airplane.failure_words import count_ending
from panelworth.publishing.airplane.parts import OVERVIEW
from panelworth.publishing.formats import percent, signed
from panelworth.publishing.handout_words import can_go_wrong
from panelworth.publishing.ledger_words import lapsed
from panelworth.publishing.view import OptionTag, View

RULE = "IFR"


def answers(view: View, tag: OptionTag) -> list[dict[str, Any]]:
    """Return the questions with their answers and where each is worked out."""
    away = sentences.downtime(view, tag)
    planned = view.figures.airplane.planners
    asked = [
        ("What it costs", tag.href, costs(view, tag)),
        ("What you get", OVERVIEW, gets(view, tag)),
        ("What can go wrong", "risk.html", [can_go_wrong(view, tag)]),
        ("When it is away", "when.html" if tag.id in planned else tag.href, [away]),
    ]
    return [
        {"question": question, "href": href, "facts": [fact for fact in facts if fact]}
        for question, href, facts in asked
        if any(facts)
    ]


def costs(view: View, tag: OptionTag) -> list[str]:
    """Say what is paid up front and by whom, and what comes of it."""
    ahead = []
    if tag.id != view.figures.baseline:
        ahead = [sentences.against_baseline(view, tag), sentences.payback(view, tag)]
    first, asked = sentences.upfront(view, tag), sentences.funding(view, tag)
    return [first, asked, *ahead, lapsed(view, tag)]


def gets(view: View, tag: OptionTag) -> list[str]:
    """Say what of members' needs is met, how many failures end a flight, and what it carries."""
    found, said = view.figures.airplane, []
    if found.capability and tag.id in found.capability.share:
        who = "what members want" if view.club else "what is wanted"
        said.append(f"It has {percent(found.capability.share[tag.id], 0)} of {who}.")
    if tag.id in found.failures:
        said.append(_ending(view, tag))
    weighed = found.weight.get(tag.id)
    if weighed and weighed.full_fuel_payload is not None:
        carried = view.formats.weight(weighed.full_fuel_payload)
        change = signed(view.formats.weight(weighed.full_fuel_payload_change or 0.0))
        more = f" ({change})" if weighed.full_fuel_payload_change else ""
        said.append(f"It carries {carried} of people and bags beside full tanks{more}.")
    return said


def _ending(view: View, tag: OptionTag) -> str:
    """Say how many units end instrument flight by failing alone."""
    figures = view.figures.airplane.failures[tag.id]
    count, whole = count_ending(figures, RULE), len(figures.failures)
    if count is None:
        return f"Not all that {RULE} asks for is there."
    return f"{count} of {whole} units in the panel end {RULE} by failing alone."
