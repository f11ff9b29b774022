"""What is wanted, in sentences: shares met, how many ballots, how firm the order is."""

from collections.abc import Sequence

from panelworth.engine.results_airplane import CapabilityFigures, TippingPoint
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.risk_words import chance
from panelworth.publishing.view import OptionTag, View

EDGE = 0.005  # weights nearer than this to all or nothing


def title(view: View) -> str:
    """Name the page for a club or an owner."""
    return "What members want" if view.club else "What is wanted"


def question(view: View) -> str:
    """Ask what the page answers."""
    return "Which option gives members what they want?" if view.club else "Does it do what I want?"


def lead(view: View, found: CapabilityFigures, tags: Sequence[OptionTag]) -> list[str]:
    """Say how much of what is wanted each option gives, and what weighs most."""
    ranked = sorted(tags, key=lambda tag: -found.share[tag.id])
    told = [f"“{tag.title}” gives {percent(found.share[tag.id], 0)}" for tag in ranked]
    top = max(found.weights, key=lambda need: found.weights[need])
    who = "members want" if view.club else "is wanted"
    return [
        f"Of what {who}, {joined(told)}.",
        f"What weighs most is “{top}”, with {percent(found.weights[top], 0)} of all weight.",
    ]


def ballots(view: View) -> str:
    """Say what the weights rest on."""
    count, needs = len(view.case.ballots), view.case.needs
    if not count or needs is None:
        return "No ballots are there, so every need weighs the same."
    kind = "mark" if needs.ballots == "approval" else "rank"
    cast = plural(count, "ballot", "ballots")
    return f"The weights come from {cast} without names, which {kind} what is wanted."


def firm(view: View, found: CapabilityFigures, tags: Sequence[OptionTag]) -> list[str]:
    """Say how often each option comes first when weights move, and where the first changes."""
    firsts = sorted(tags, key=lambda tag: -found.chance_first[tag.id])
    told = [f"“{tag.title}” {chance(found.chance_first[tag.id])}" for tag in firsts]
    return [
        (
            f"If every weight were off by up to half, first would come {joined(told)}; the whole "
            f"order would stay as it is in {chance(found.order_kept)}."
        ),
        *(tipping(view, point) for point in found.tipping_points if _tips(point)),
        *_never(found),
    ]


def tipping(view: View, point: TippingPoint) -> str:
    """Say at which weight of one need another option comes first."""
    then = view.tags[point.new_first].title if point.new_first else ""
    side = "above" if (point.tips_at or 0.0) >= point.weight else "below"
    now = percent(point.weight, 0)
    return (
        f"{point.need}: {side} {percent(point.tips_at, 0)} of all weight (now {now}) “{then}” "
        "comes first."
    )


def _never(found: CapabilityFigures) -> list[str]:
    names = [f"“{point.need}”" for point in found.tipping_points if not _tips(point)]
    if not names:
        return []
    which = joined(names, "or")
    return [f"No weight of {which} alone, short of all or nothing, changes what comes first."]


def _tips(point: TippingPoint) -> bool:
    """Say whether the first changes before a need weighs all or nothing."""
    return point.tips_at is not None and EDGE < point.tips_at < 1 - EDGE
