"""Chances, ranges and turning points in words: never a number without its basis."""

from panelworth.engine.results import Spread, Turning
from panelworth.publishing.formats import NONE, about, number, percent, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.sentences import solved_raise
from panelworth.publishing.sources import input_name
from panelworth.publishing.view import OptionTag, View

FEW, ALL = 0.005, 0.995  # below and above these a chance is worded, not counted


def chance(share: float | None, error: float | None = None) -> str:
    """Write a chance as "46 in 100", with what drawing leaves open where that shows.

    >>> chance(0.4567), chance(0.0), chance(0.999)
    ('46 in 100', 'under 1 in 100', 'over 99 in 100')
    """
    if share is None:
        return NONE
    if share < FEW:
        return say("under 1 in 100")
    if share > ALL:
        return say("over 99 in 100")
    count = f"{share * 100:.0f}"
    if error and error >= FEW:
        return say("{count} in 100, give or take {error}", count=count, error=about(200 * error))
    return say("{count} in 100", count=count)


def below(view: View, spread: Spread | None) -> str:
    """Say below what a cost stays in 8 of 10 futures; nothing where it does not vary."""
    if spread is None or spread.p10 == spread.p90:
        return ""
    return say("8 in 10 below {sum}", sum=view.formats.money(spread.p80))


def middle(view: View, spread: Spread) -> str:
    """Say between what a difference lies in 8 of 10 futures."""
    if spread.p10 == spread.p90:
        return ""
    low, high = view.formats.change(spread.p10), view.formats.change(spread.p90)
    return say("8 in 10 from {low} to {high}", low=low, high=high)


def basis(view: View) -> str:
    """Say what chances rest on."""
    return say(
        "{trials} possible futures were drawn from the ranges, the same for every option. "
        "“46 in 100” means that it happens in 46 of every 100 of them; it says nothing about "
        "what no range covers.",
        trials=number(view.figures.uncertainty.trials),
    )


def lead(view: View) -> list[str]:
    """Say first which option is best how often, and what to ask members for."""
    ranked = sorted(view.tags.values(), key=lambda tag: -view.uncertain(tag.id).chance_best)
    best, *rest = [(tag.title, chance(view.uncertain(tag.id).chance_best)) for tag in ranked]
    first = say(
        "The chance to leave most, among {trials} possible futures: “{option}” {chance}",
        trials=number(view.figures.uncertainty.trials),
        option=best[0],
        chance=best[1],
    )
    told = [first, *(f"{quoted(title)} {often}" for title, often in rest)]
    ahead = [
        say(
            "“{option}” comes out ahead of “{baseline}”: {chance}.",
            option=tag.title,
            baseline=view.baseline.title,
            chance=chance(view.uncertain(tag.id).chance_beats_baseline),
        )
        for tag in view.others
    ]
    return [f"{', '.join(told)}.", *ahead]


def on_average(view: View) -> str:
    """Set each option's likely figure against the baseline beside its mean over the worlds drawn.

    Nothing where no option's two figures read differently.
    """
    change, pairs = view.formats.change, []
    for tag in view.others:
        likely = change(view.option(tag.id).likely.net_benefit)
        mean = change(view.uncertain(tag.id).range.net_benefit.mean)
        pairs.append((tag.title, likely, mean))
    if all(likely == mean for _, likely, mean in pairs):
        return ""
    told = [
        say("“{option}” {likely} and {mean}", option=title, likely=likely, mean=mean)
        for title, likely, mean in pairs
    ]
    return say(
        "Against “{baseline}”, in the likely view and on average over {trials} possible futures: "
        "{options}.",
        baseline=view.baseline.title,
        trials=number(view.figures.uncertainty.trials),
        options="; ".join(told),
    )


def budget_title(view: View) -> str:
    """Name what to ask for or set aside."""
    return say("What to ask the members to grant") if view.club else say("What to set aside")


def budget(view: View, tag: OptionTag) -> str:
    """Say what to ask for or set aside, and how likely the sum of likely prices is enough."""
    found, money = view.uncertain(tag.id), view.formats.money
    if found.outlay_quantiles[0] == found.outlay_quantiles[-1]:
        return say("{sum} is to be paid, and no range bears on it.", sum=money(found.budget_p80))
    ask = noted(
        "Set aside {sum}: that is enough in 8 of 10 futures. The chance that the sum of likely "
        "prices, {likely}, is enough: {chance}."
    )
    if view.club:
        ask = noted(
            "Ask the members to grant {sum}, before sales and credits: that is enough in 8 of 10 "
            "futures. The chance that the sum of likely prices, {likely}, is enough: {chance}."
        )
    enough = chance(found.chance_likely_enough)
    return say(ask, sum=money(found.budget_p80), likely=money(found.likely_outlay), chance=enough)


def turning(view: View, turn: Turning) -> str:
    """Say at which value of an input another option becomes the best."""
    each = view.inputs[turn.input]
    name, write = owned_name(view, turn.input), view.formats.measure
    best = view.tags[turn.best].title
    if turn.value is None or turn.then is None:
        return say(
            "{input}: “{best}” stays the best at any value between {least} and {most}.",
            input=name,
            best=best,
            least=write(turn.least, each.unit),
            most=write(turn.most, each.unit),
        )
    takes = noted("{input}: below {value} (likely {likely}) “{then}” takes over from “{best}”.")
    if turn.value > turn.likely:
        takes = noted("{input}: above {value} (likely {likely}) “{then}” takes over from “{best}”.")
    return say(
        takes,
        input=name,
        value=write(turn.value, each.unit),
        likely=write(turn.likely, each.unit),
        then=view.tags[turn.then].title,
        best=best,
    )


def owned_name(view: View, path: str) -> str:
    """Name an input with the option it belongs to."""
    name = input_name(view.inputs[path])
    owner = next((tag for tag in view.tags.values() if path.startswith(f"options.{tag.id}.")), None)
    return f"{name}, {quoted(owner.title)}" if owner else name


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
    return say("What weighs most in how it spreads: {inputs}.", inputs="; ".join(told))


def floor_note(view: View) -> str:
    """Say how often the reserve falls below its floor with a raise that was worked out to hold it.

    Nothing where no raise is needed, none can hold the floor, or it holds in every world.
    """
    often = {
        tag.title: view.uncertain(tag.id).chance_below_floor or 0.0
        for tag in view.tags.values()
        if solved_raise(view, tag)
    }
    if not often or max(often.values()) < FEW:
        return ""
    told = [f"{quoted(title)} {chance(share)}" for title, share in often.items()]
    return say(
        "A raise that was worked out just holds the reserve's floor in the likely view. Over the "
        "possible futures the chance that the reserve still falls below it at some time is: "
        "{chances}. Ask for more if the floor must hold.",
        chances=", ".join(told),
    )
