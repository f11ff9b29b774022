"""Sentences on what members want: shares met, number of ballots, how stable the order is."""

from collections.abc import Mapping, Sequence

from panelworth.engine.results.airplane import (
    CapabilityFigures,
    TippingPoint,
)
from panelworth.engine.results.airplane_sums import chance_first
from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag
from panelworth.publishing.words import level_words
from panelworth.publishing.words.groups import names

NOTHING, ALL = 0.005, 0.995  # shares of all weight that count as nothing and as everything


def title(club: Club | None) -> str:
    """Return the title of the section, for a club or an owner."""
    return _("What members want") if club else _("What is wanted")


def question(club: Club | None) -> str:
    """Return the question of the section."""
    if club:
        return _("Does it give what members asked for?")
    return _("Does it give what you asked for?")


def yes_or_no(*, met: bool) -> str:
    """Say whether a need is met."""
    return _("yes") if met else _("no")


def lead(capability: CapabilityFigures, tags: Sequence[OptionTag]) -> str:
    """Say which option meets most, and how often it still would with other weights."""
    first = [tag for tag in tags if tag.id in capability.first]
    share = max(capability.share.values())
    if len(first) == len(tags):
        return _("All options meet {share} of it.", share=percent(share, 0))
    return ngettext(
        "{options} meets most of it, {share}; were every weight off by up to half, it would still "
        "be first in {futures}.",
        "{options} meet most of it, {share}; were every weight off by up to half, they would still "
        "be first in {futures}.",
        len(first),
    ).format(
        options=names(first), share=percent(share, 0), futures=_draws(chance_first(capability))
    )


def _draws(share: float) -> str:
    return _("{count} draws", count=level_words.of_twenty(share))


def weights(club: Club | None) -> str:
    """Name the details on the weights."""
    if club:
        return _("The ballots, and how firm this order is")
    return _("The weights, and how firm this order is")


def how_weighed(club: Club | None) -> str:
    """Explain when an option meets a need, and what a need weighs."""
    text = N_(
        "An option meets a need when its units, with nothing failed, provide every function the "
        "need takes. What a need weighs is its share of all marks in the list of wishes, or of all "
        "points where wishes are ranked: with n needs the first gets n points, the second one "
        "less, and so on; equal ranks share."
    )
    if club:
        text = N_(
            "An option meets a need when its units, with nothing failed, provide every function "
            "the need takes. What a need weighs is its share of all marks on the ballots, or of "
            "all points where ballots rank: with n needs the first gets n points, the second one "
            "less, and so on; equal ranks share."
        )
    return _(text)


def ballots(case: Case) -> str:
    """Say where the weights come from."""
    count, needs = len(case.ballots), case.needs
    if not count or needs is None:
        return _("Nobody has marked what is wanted, so every need weighs the same.")
    cast = plural(count, "list of wishes", "lists of wishes")
    if case.scenario.club:
        cast = plural(count, "ballot", "ballots")
    if needs.ballots == "approval":
        return _(
            "The weights come from {ballots} without names, which mark what is wanted.",
            ballots=cast,
        )
    return _(
        "The weights come from {ballots} without names, which rank what is wanted.", ballots=cast
    )


def order_stability(tags: Mapping[str, OptionTag], capability: CapabilityFigures) -> list[str]:
    """Say how often the order is the same with other weights, and where the first one changes."""
    return [
        _("The whole order would stay as it is in {draws}.", draws=_draws(capability.order_kept)),
        *(tipping(tags, point) for point in capability.tipping_points if _tips(point)),
        *_never(capability),
    ]


def tipping(tags: Mapping[str, OptionTag], point: TippingPoint) -> str:
    """Say at which weight of one need another option comes first."""
    words = {
        "need": point.need,
        "share": percent(point.tips_at, 0),
        "now": percent(point.weight, 0),
        "option": tags[point.new_first].short if point.new_first else "",
    }
    if (point.tips_at or 0.0) >= point.weight:
        return _("{need}: above {share} of all weight (now {now}) {option} comes first.", **words)
    return _("{need}: below {share} of all weight (now {now}) {option} comes first.", **words)


def _never(capability: CapabilityFigures) -> list[str]:
    needs = [point.need for point in capability.tipping_points if not _tips(point)]
    if not needs:
        return []
    needs_text = joined(needs, "or")
    return [
        _(
            "No weight of {needs} alone, short of all or nothing, changes what comes first.",
            needs=needs_text,
        )
    ]


def _tips(point: TippingPoint) -> bool:
    """Say whether the first option changes at a weight between nothing and everything."""
    return point.tips_at is not None and NOTHING < point.tips_at < ALL
