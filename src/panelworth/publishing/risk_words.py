"""Chances, ranges and turning points in words: never a number without its basis."""

from panelworth.engine.results import Spread, Turning
from panelworth.publishing.formats import about, number, percent
from panelworth.publishing.sources import input_name
from panelworth.publishing.view import OptionTag, View

FEW, ALL = 0.005, 0.995  # below and above these a chance is worded, not counted


def chance(share: float | None, error: float | None = None) -> str:
    """Write a chance as "46 in 100", with what drawing leaves open where that shows.

    >>> chance(0.4567), chance(0.0), chance(0.999)
    ('46 in 100', 'under 1 in 100', 'over 99 in 100')
    """
    if share is None:
        return "—"
    if share < FEW:
        return "under 1 in 100"
    if share > ALL:
        return "over 99 in 100"
    open_ = f", give or take {about(200 * error)}" if error and error >= FEW else ""
    return f"{share * 100:.0f} in 100{open_}"


def below(view: View, spread: Spread | None) -> str:
    """Say below what a cost stays in 8 of 10 futures; nothing where it does not vary."""
    if spread is None or spread.p10 == spread.p90:
        return ""
    return f"8 in 10 below {view.formats.money(spread.p80)}"


def middle(view: View, spread: Spread) -> str:
    """Say between what a difference lies in 8 of 10 futures."""
    if spread.p10 == spread.p90:
        return ""
    low, high = view.formats.change(spread.p10), view.formats.change(spread.p90)
    return f"8 in 10 from {low} to {high}"


def basis(view: View) -> str:
    """Say what chances rest on."""
    trials = number(view.figures.uncertainty.trials)
    return (
        f"{trials} possible futures were drawn from the ranges, the same for every option. "
        "“46 in 100” means that it happens in 46 of every 100 of them; it says nothing about "
        "what no range covers."
    )


def lead(view: View) -> list[str]:
    """Say first which option is best how often, and what to ask members for."""
    ranked = sorted(view.tags.values(), key=lambda tag: -view.uncertain(tag.id).chance_best)
    best = ranked[0]
    said = [
        f"“{best.title}” leaves most in {chance(view.uncertain(best.id).chance_best)} futures"
        + "".join(
            f", “{tag.title}” in {chance(view.uncertain(tag.id).chance_best)}" for tag in ranked[1:]
        )
        + "."
    ]
    for tag in view.others:
        found = view.uncertain(tag.id)
        better = chance(found.chance_beats_baseline)
        said.append(f"“{tag.title}” comes out ahead of “{view.baseline.title}” in {better}.")
    return said


def budget(view: View, tag: OptionTag) -> str:
    """Say what to ask for or set aside, and how likely the sum of likely prices is enough."""
    found, money = view.uncertain(tag.id), view.formats.money
    if found.outlay_quantiles[0] == found.outlay_quantiles[-1]:
        return f"{money(found.budget_p80)} is to be paid, and no range bears on it."
    enough = chance(found.chance_likely_enough)
    ask = "Ask the members for" if view.club else "Set aside"
    return (
        f"{ask} {money(found.budget_p80)}: that is enough in 8 of 10 futures. "
        f"The sum of likely prices, {money(found.likely_outlay)}, is enough in {enough}."
    )


def turning(view: View, turn: Turning) -> str:
    """Say at which value of an input another option becomes the best."""
    each = view.inputs[turn.input]
    name, write = owned_name(view, turn.input), view.formats.measure
    best = view.tags[turn.best].title
    if turn.value is None or turn.then is None:
        span = f"{write(turn.least, each.unit)} and {write(turn.most, each.unit)}"
        return f"{name}: “{best}” stays the best at any value between {span}."
    side = "above" if turn.value > turn.likely else "below"
    return (
        f"{name}: {side} {write(turn.value, each.unit)} (likely {write(turn.likely, each.unit)}) "
        f"“{view.tags[turn.then].title}” takes over from “{best}”."
    )


def owned_name(view: View, path: str) -> str:
    """Name an input with the option it belongs to."""
    name = input_name(view.inputs[path])
    owner = next((tag for tag in view.tags.values() if path.startswith(f"options.{tag.id}.")), None)
    return f"{name}, “{owner.title}”" if owner else name


def decided_by(view: View, tag: OptionTag) -> str:
    """Say which ranges decide most of the spread of an option's difference to the baseline."""
    found = view.uncertain(tag.id)
    told = [
        f"{owned_name(view, share.input)} {percent(share.share, 0)}"
        for share in found.shares[:3]
        if share.share >= 0.01  # noqa: PLR2004 (smaller shares are noise)
    ]
    if not told:
        return ""
    return f"What weighs most in how it spreads: {'; '.join(told)}."


def floor_note(view: View) -> str:
    """Say why a solved raise leaves the floor at risk."""
    if not view.club or not any(each.funding.solve for each in view.case.options.values()):
        return ""
    return (
        "A raise that was worked out to hold the reserve's floor just holds it in the likely view, "
        "so in about half of all futures, or more where costs lean upward, the reserve dips below "
        "at some time. Ask for more if the floor must hold."
    )
