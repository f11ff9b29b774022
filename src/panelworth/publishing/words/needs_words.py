"""What is wanted, in sentences: shares met, how many ballots, how firm the order is."""

import math
from collections.abc import Sequence

from panelworth.engine.results.airplane import CapabilityFigures, TippingPoint
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.groups import names

EDGE = 0.005  # weights nearer than this to all or nothing


def title(view: View) -> str:
    """Name what is told for a club or an owner."""
    return _("What members want") if view.club else _("What is wanted")


def question(view: View) -> str:
    """Ask what the section answers."""
    if view.club:
        return _("Does it give what members asked for?")
    return _("Does it give what I asked for?")


def yes(*, met: bool) -> str:
    """Say whether a need is met."""
    return _("yes") if met else _("no")


def lead(found: CapabilityFigures, tags: Sequence[OptionTag]) -> str:
    """Say which option meets most, and how often it still would if needs weighed otherwise."""
    first = [tag for tag in tags if tag.id in found.first]
    share = max(found.share.values())
    if len(first) == len(tags):
        return _("All options meet {share} of it.", share=percent(share, 0))
    chance = math.fsum(found.chance_first[tag.id] for tag in first)
    return ngettext(
        "{options} meets most of it, {share}; were every weight off by up to half, it would still "
        "be first in {futures}.",
        "{options} meet most of it, {share}; were every weight off by up to half, they would still "
        "be first in {futures}.",
        len(first),
    ).format(options=names(first), share=percent(share, 0), futures=_draws(chance))


def _draws(share: float) -> str:
    return _("{count} draws", count=level_words.of_twenty(share))


def ballots(view: View) -> str:
    """Say what the weights rest on."""
    count, needs = len(view.case.ballots), view.case.needs
    if not count or needs is None:
        return _("No ballots are there, so every need weighs the same.")
    cast = plural(count, "ballot", "ballots")
    if needs.ballots == "approval":
        return _(
            "The weights come from {ballots} without names, which mark what is wanted.",
            ballots=cast,
        )
    return _(
        "The weights come from {ballots} without names, which rank what is wanted.", ballots=cast
    )


def firm(view: View, found: CapabilityFigures) -> list[str]:
    """Say how often the whole order stays when weights move, and where the first changes."""
    return [
        _("The whole order would stay as it is in {draws}.", draws=_draws(found.order_kept)),
        *(tipping(view, point) for point in found.tipping_points if _tips(point)),
        *_never(found),
    ]


def tipping(view: View, point: TippingPoint) -> str:
    """Say at which weight of one need another option comes first."""
    told = {
        "need": point.need,
        "share": percent(point.tips_at, 0),
        "now": percent(point.weight, 0),
        "option": view.tags[point.new_first].short if point.new_first else "",
    }
    if (point.tips_at or 0.0) >= point.weight:
        return _("{need}: above {share} of all weight (now {now}) {option} comes first.", **told)
    return _("{need}: below {share} of all weight (now {now}) {option} comes first.", **told)


def _never(found: CapabilityFigures) -> list[str]:
    needs = [point.need for point in found.tipping_points if not _tips(point)]
    if not needs:
        return []
    which = joined(needs, N_("or"))
    return [
        _(
            "No weight of {needs} alone, short of all or nothing, changes what comes first.",
            needs=which,
        )
    ]


def _tips(point: TippingPoint) -> bool:
    """Say whether the first changes before a need weighs all or nothing."""
    return point.tips_at is not None and EDGE < point.tips_at < 1 - EDGE
