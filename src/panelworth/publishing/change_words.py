"""What moved between two editions put into words and rows; the page and the terminal agree."""

from datetime import date
from typing import Any, TypeGuard

from panelworth.engine.results_loop import FIGURES, Move, Replay, Step
from panelworth.model.fleet import Window
from panelworth.model.ledger import Entry
from panelworth.model.option import Item, Loan, Option, Schedule
from panelworth.model.value import Quantity, Record
from panelworth.publishing.figure_names import Write
from panelworth.publishing.formats import (
    NONE,
    Formats,
    day,
    duration,
    joined,
    number,
    percent,
    plural,
)
from panelworth.publishing.sentences import weeks
from panelworth.publishing.view import OptionTag, View

NOTHING = 0.005  # of a unit of money: smaller parts are not shown
NAMED = 3
PROGRAM = "Worked out differently by this version of the program"
TOGETHER = "Together, beyond each alone"
COLUMNS: dict[str, tuple[str, str, Write]] = {
    "upfront": ("Up front", "", Formats.money),
    "npv_vs_baseline": ("Against the baseline", "today's money", Formats.change),
    "cost_per_hour": ("An hour", "all costs, spread", Formats.cents),
    "solved_raise": ("Raise", "that holds the floor", Formats.cents),
    "lowest_balance": ("Lowest reserve", "", Formats.money),
    "budget_p80": ("Budget", "enough 8 times in 10", Formats.money),
}
PRICES = ("cost", "per_year", "amount", "now", "price")


def moved_rows(view: View, replay: Replay) -> list[dict[str, Any]]:
    """Return one row for each input that moved: whose, what, and from what to what."""
    return [
        {
            "label": move.label,
            "option": view.tags.get(move.option),
            "value": moved(view.formats, move),
        }
        for step in replay.steps
        for move in step.moves
    ]


def moved(formats: Formats, move: Move) -> str:
    """Say from what to what an input moved, or that it was added or taken out."""
    if move.unit == "rows":
        return _rows(formats, move)
    if _are_names(move.before) and _are_names(move.after):
        return _names(move.before, move.after)
    before, after = (value(formats, each, move.unit) for each in (move.before, move.after))
    if move.before is None or move.after is None:
        gone, told = f"taken out{'; it was ' + before if before else ''}", f": {after}"
        return gone if move.after is None else f"added{told if after else ''}"
    if before == after:
        return f"{before}, moved by less than is shown"
    return f"from {before} to {after}"


def _are_names(there: object) -> TypeGuard[tuple[str, ...]]:
    return isinstance(there, tuple) and all(isinstance(each, str) for each in there)


def _names(before: tuple[str, ...], after: tuple[str, ...]) -> str:
    """Say which names came and which went."""
    gone = [f"“{each}”" for each in before if each not in after]
    come = [f"“{each}”" for each in after if each not in before]
    said = (("taken out", gone), ("added", come))
    return "; ".join(f"{what}: {joined(names)}" for what, names in said if names)


def value(formats: Formats, there: object, unit: str) -> str:
    """Write an input of any kind as a reader would."""
    if isinstance(there, Quantity):
        shape = "" if there.certain or there.shape == "pert" else f", {there.shape}"
        return formats.quantity(there, unit) + shape
    if isinstance(there, Record):
        return _record(formats, there)
    if isinstance(there, dict):
        return joined([f"{key} {_short(formats, each, unit)}" for key, each in there.items()])
    if isinstance(there, tuple):
        return joined([_short(formats, each, unit) for each in there]) or "none"
    if isinstance(there, date):
        return day(there)
    return _plain(formats, there, unit)


def _plain(formats: Formats, there: object, unit: str) -> str:
    if isinstance(there, bool):
        return "yes" if there else "no"
    if isinstance(there, float | int) and unit != "count":  # a seed is no amount
        return formats.measure(there, unit)
    return "" if there is None else str(there)


def _short(formats: Formats, each: object, unit: str) -> str:
    if isinstance(each, Record):
        name = getattr(each, "name", "")
        return f"“{name}”" if name else _record(formats, each)
    return number(each) if isinstance(each, float) else value(formats, each, unit)


def _record(formats: Formats, there: Record) -> str:
    """Say the one thing of a table that tells most: its title, its days, or its price."""
    if isinstance(there, Option):
        return f"“{there.title}”, {there.kind}"
    if isinstance(there, Schedule):
        ordered = f"order {day(there.order)}, " if there.order else ""
        return f"{ordered}start {day(there.start)}, {weeks(there)} down"
    if isinstance(there, Window):
        return f"{day(there.first)} to {day(there.last)}"
    return _price(formats, there)


def _price(formats: Formats, there: Record) -> str:
    if isinstance(there, Item) and there.hours is not None and there.rate is not None:
        hours = formats.quantity(there.hours, "hours")
        return f"{hours} hours at {formats.quantity(there.rate, 'money')}"
    if isinstance(there, Loan):
        size = percent(there.share) if there.amount is None else formats.money(there.amount)
        return f"{size} at {percent(there.apr)} for {duration(there.months)}"
    prices = (getattr(there, key, None) for key in PRICES)
    known = [each for each in prices if isinstance(each, Quantity)]
    return formats.quantity(known[0], "money") if known else ""


def _rows(formats: Formats, move: Move) -> str:
    parts = []
    for said, rows in (("taken out", move.before), ("added", move.after)):
        words = [_entry(formats, each) for each in rows] if isinstance(rows, tuple) else []
        parts += [f"{said}: {joined(words)}"] if words else []
    return "; ".join(parts)


def _entry(formats: Formats, row: Entry) -> str:
    sum_ = formats.cents(row.amount) if row.amount != round(row.amount or 0) else ""
    ranged = ""
    if row.low is not None and row.high is not None:
        ranged = f" ({formats.money(row.low)} to {formats.money(row.high)})"
    return f"{row.kind} of {day(row.date)}, {sum_ or formats.money(row.amount)}{ranged}"


def step_name(step: Step) -> str:
    """Name a step by what moved in it."""
    labels = list(dict.fromkeys(move.label for move in step.moves))
    if len(labels) > NAMED:
        labels = [*labels[:NAMED], f"{plural(len(labels) - NAMED, 'more input', 'more inputs')}"]
    return joined(labels)


def columns(replay: Replay, option_id: str) -> list[str]:
    """Return the figures that an option has in both editions and that are not 0 in both."""
    then, now = replay.then[option_id], replay.now[option_id]
    return [
        key
        for key in FIGURES
        if then[key] is not None and now[key] is not None and (then[key] or now[key])
    ]


def head(replay: Replay, tag: OptionTag) -> list[Any]:
    """Return the headings of an option's table of causes."""
    told = (COLUMNS[key] for key in columns(replay, tag.id))
    return ["What moved", *({"label": label, "note": note} for label, note, _ in told)]


def cause_rows(view: View, replay: Replay, tag: OptionTag) -> list[dict[str, Any]]:
    """Return the rows from the last edition's figures to this one's, cause by cause.

    They add up, but for rounding; what changes nothing here is left out.
    """
    keys = columns(replay, tag.id)
    causes = [
        *((step_name(step), step.effects[tag.id]) for step in replay.steps),
        (PROGRAM, replay.program[tag.id]),
        (TOGETHER, replay.interaction[tag.id]),
    ]
    rows: list[dict[str, Any]] = [
        {"cells": ["The last edition", *_written(view, replay.then[tag.id], keys)]}
    ]
    for name, effects in causes:
        parts = [_part(view, effects[key], key) for key in keys]
        if any(part != NONE for part in parts):
            rows.append({"cells": [name, *parts]})
    rows.append({"cells": ["This edition", *_written(view, replay.now[tag.id], keys)]})
    rows[-1]["total"] = True
    return rows


def _written(view: View, figures: Any, keys: list[str]) -> list[str]:  # noqa: ANN401 (a mapping)
    return [COLUMNS[key][2](view.formats, figures[key]) for key in keys]


def _part(view: View, part: float | None, key: str) -> str:
    """Write a part of a change with its sign; a dash where it cannot be told or shows as none."""
    write = COLUMNS[key][2]
    if part is None or write(view.formats, abs(part)) == write(view.formats, 0.0):
        return NONE
    text = write(view.formats, part)
    return f"+{text.removeprefix('+')}" if part > 0 else text


def shared(view: View, replay: Replay) -> list[OptionTag]:
    """Return the options that both editions have."""
    return [tag for tag in view.tags.values() if tag.id in replay.then]


def lead(view: View, replay: Replay) -> list[str]:
    """Say how much moved and what that did to each option, with its main cause."""
    count = sum(len(step.moves) for step in replay.steps)
    said = [
        f"{plural(count, 'input', 'inputs')} moved since the last edition, as of {day(replay.as_of)}."
    ]
    if not count:
        since = f"No input moved since the last edition, as of {day(replay.as_of)}"
        said = [f"{since}, but this version of the program works some figures out differently."]
    return [*said, *(_told(view, replay, tag) for tag in shared(view, replay))]


def _told(view: View, replay: Replay, tag: OptionTag) -> str:
    key = "upfront" if tag.id == view.figures.baseline else "npv_vs_baseline"
    then, now = replay.then[tag.id][key], replay.now[tag.id][key]
    money, name = view.formats.money, f"“{tag.title}”"
    if then is None or now is None or abs(now - then) < 1.0:
        held = "up front" if key == "upfront" else f"against “{view.baseline.title}”"
        return f"{name} has not moved {held}."
    if key == "upfront":
        more = "more" if now > then else "less"
        said = f"{name} takes {money(abs(now - then))} {more} up front: {money(now)}."
        return said + _main(replay, tag, key)
    better = "better" if now > then else "worse"
    return (
        f"{name} comes out {money(abs(now - then))} {better} than it did: now "
        f"{view.formats.change(now)} against “{view.baseline.title}”.{_main(replay, tag, key)}"
    )


def _main(replay: Replay, tag: OptionTag, key: str) -> str:
    """Name the step that did most, where there is more than one."""
    effects = [(abs(step.effects[tag.id][key] or 0.0), step) for step in replay.steps]
    if len(effects) < 2:  # noqa: PLR2004 (one cause needs no ranking)
        return ""
    most, step = max(effects, key=lambda pair: pair[0])
    return f" What moved it most: {step_name(step)}." if most >= NOTHING else ""
