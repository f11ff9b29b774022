"""Chances, ranges and turning points in words: never a number without its basis."""

from panelworth.engine.results import Turning
from panelworth.engine.results_trials import Spread
from panelworth.publishing import level_words, raise_words
from panelworth.publishing.formats import NONE, about, day, plural, quoted
from panelworth.publishing.language import noted, say
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


def middle(view: View, spread: Spread) -> str:
    """Say between what a difference lies in 8 of 10 futures."""
    if spread.p10 == spread.p90:
        return ""
    low, high = view.formats.change(spread.p10), view.formats.change(spread.p90)
    return say("8 in 10 from {low} to {high}", low=low, high=high)


def gap_cell(view: View, tag: OptionTag, *, brief: bool = False) -> dict[str, str]:
    """Write an option's net benefit with its mean and range, the planned one beside where refused.

    Where the start as planned is refused, all are those of the first allowed start, named unless
    in brief.
    """
    change, spread = view.formats.change, level_words.drawn(view, tag).range.net_benefit
    if tag.id == view.figures.baseline:
        return {"value": NONE, "note": ""}
    told = [say("on average {sum}", sum=change(spread.mean)), middle(view, spread)]
    later = level_words.allowed(view, tag)
    if later:
        planned = change(view.option(tag.id).likely.net_benefit)
        start = say("from {day}, the first start allowed", day=day(later.start))
        told = [*([] if brief else [start]), *told, say("as planned, refused: {sum}", sum=planned)]
    note = "; ".join(each for each in told if each)
    return {"value": change(level_words.net_benefit(view, tag)), "note": note}


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
        value=view.formats.worked_out(turn.value, each.unit),
        likely=write(turn.likely, each.unit),
        then=view.tags[turn.then].title,
        best=best,
    )


def owned_name(view: View, path: str) -> str:
    """Name an input with the option it belongs to."""
    name = input_name(view.inputs[path])
    owner = next((tag for tag in view.tags.values() if path.startswith(f"options.{tag.id}.")), None)
    return f"{name}, {quoted(owner.title)}" if owner else name


def floor_note(view: View) -> str:
    """Say in how many futures a solved raise lets the reserve break its floor, as was asked for.

    Nothing where no raise is needed, none can hold the floor, or it holds in every world.
    """
    often = {
        tag.title: level_words.drawn(view, tag).chance_below_floor or 0.0
        for tag in view.tags.values()
        if raise_words.solved_amount(view, tag)
    }
    if not often or max(often.values()) < FEW or view.club is None:
        return ""
    told = [f"{quoted(title)} {chance(share)}" for title, share in often.items()]
    return say(
        "A raise that was worked out holds the reserve's floor for {years}, in as many futures as "
        "the file asks for. That the reserve still falls below it in that time is therefore asked "
        "for, not found: {chances}.",
        years=plural(view.case.scenario.floor_years, "year", "years"),
        chances=", ".join(told),
    )
