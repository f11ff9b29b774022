"""What is wanted, in sentences: shares met, how many ballots, how firm the order is."""

from collections.abc import Sequence

from panelworth.engine.results_airplane import CapabilityFigures, TippingPoint
from panelworth.publishing.formats import joined, percent, plural, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.risk_words import chance
from panelworth.publishing.view import OptionTag, View

EDGE = 0.005  # weights nearer than this to all or nothing


def title(view: View) -> str:
    """Name the page for a club or an owner."""
    return say("What members want") if view.club else say("What is wanted")


def question(view: View) -> str:
    """Ask what the page answers."""
    if view.club:
        return say("Which option gives members what they want?")
    return say("Does it do what I want?")


def yes(*, met: bool) -> str:
    """Say whether a need is met."""
    return say("yes") if met else say("no")


def lead(view: View, found: CapabilityFigures, tags: Sequence[OptionTag]) -> list[str]:
    """Say how much of what is wanted each option gives, and what weighs most."""
    ranked = sorted(tags, key=lambda tag: -found.share[tag.id])
    told = joined(
        [
            say("“{option}” gives {share}", option=tag.title, share=percent(found.share[tag.id], 0))
            for tag in ranked
        ]
    )
    top = max(found.weights, key=lambda need: found.weights[need])
    weight = percent(found.weights[top], 0)
    return [
        say("Of what members want, {shares}.", shares=told)
        if view.club
        else say("Of what is wanted, {shares}.", shares=told),
        say("What weighs most is “{need}”, with {share} of all weight.", need=top, share=weight),
    ]


def ballots(view: View) -> str:
    """Say what the weights rest on."""
    count, needs = len(view.case.ballots), view.case.needs
    if not count or needs is None:
        return say("No ballots are there, so every need weighs the same.")
    cast = plural(count, "ballot", "ballots")
    if needs.ballots == "approval":
        return say(
            "The weights come from {ballots} without names, which mark what is wanted.",
            ballots=cast,
        )
    return say(
        "The weights come from {ballots} without names, which rank what is wanted.", ballots=cast
    )


def firm(view: View, found: CapabilityFigures, tags: Sequence[OptionTag]) -> list[str]:
    """Say how often each option comes first when weights move, and where the first changes."""
    firsts = sorted(tags, key=lambda tag: -found.chance_first[tag.id])
    told = [f"{quoted(tag.title)} {chance(found.chance_first[tag.id])}" for tag in firsts]
    return [
        say(
            "If every weight were off by up to half, first would come {chances}; the whole order "
            "would stay as it is in {kept}.",
            chances=joined(told),
            kept=chance(found.order_kept),
        ),
        *(tipping(view, point) for point in found.tipping_points if _tips(point)),
        *_never(found),
    ]


def tipping(view: View, point: TippingPoint) -> str:
    """Say at which weight of one need another option comes first."""
    told = {
        "need": point.need,
        "share": percent(point.tips_at, 0),
        "now": percent(point.weight, 0),
        "option": view.tags[point.new_first].title if point.new_first else "",
    }
    if (point.tips_at or 0.0) >= point.weight:
        return say(
            "{need}: above {share} of all weight (now {now}) “{option}” comes first.", **told
        )
    return say("{need}: below {share} of all weight (now {now}) “{option}” comes first.", **told)


def _never(found: CapabilityFigures) -> list[str]:
    names = [quoted(point.need) for point in found.tipping_points if not _tips(point)]
    if not names:
        return []
    which = joined(names, noted("or"))
    return [
        say(
            "No weight of {needs} alone, short of all or nothing, changes what comes first.",
            needs=which,
        )
    ]


def _tips(point: TippingPoint) -> bool:
    """Say whether the first changes before a need weighs all or nothing."""
    return point.tips_at is not None and EDGE < point.tips_at < 1 - EDGE
