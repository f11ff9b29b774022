"""What changed between two editions, in words and rows, for the page and the terminal."""

from collections.abc import Mapping
from datetime import date
from typing import Any, TypeGuard

from panelworth.engine.results.editions import HEADLINE_KEYS, ChangeAttribution, InputChange, Step
from panelworth.model.fleet import Window
from panelworth.model.ledger import Entry
from panelworth.model.option import Item, Loan, Option
from panelworth.model.scenario import Recurring
from panelworth.model.schedule import Schedule
from panelworth.model.value import Quantity, Record
from panelworth.publishing.formats import (
    NONE,
    Formats,
    about,
    day,
    duration,
    interval,
    joined,
    number,
    percent,
    plural,
    quoted,
)
from panelworth.publishing.language import N_, _, after_colon, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.figure_names import Write
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.ledger_words import KINDS
from panelworth.publishing.words.rounding import is_shown
from panelworth.publishing.words.sentences import joined_sentences, weeks

NOTHING = 0.005  # of a unit of money: smaller parts are not shown
NAMED = 3  # inputs of a step that are named; the others are counted
PROGRAM = N_("Worked out differently by this version of the program")
TOGETHER = N_("Together, beyond each alone")
COLUMNS: dict[str, tuple[str, str, Write]] = {
    "upfront": (N_("Up front"), "", Formats.money),
    "net_benefit": (
        N_("Net benefit"),
        N_("against the baseline, today's money"),
        Formats.change,
    ),
    "cost_per_hour": (N_("An hour"), N_("all costs, spread"), Formats.cents),
    "solved_raise": (N_("Raise"), N_("that holds the floor"), Formats.cents),
    "lowest_balance": (N_("Lowest reserve"), "", Formats.money),
    "budget_p80": (N_("Budget"), N_("enough 8 times in 10"), Formats.money),
}
# The change of an option: down, up.
TO_PAY = (
    N_("{option} takes {sum} less up front: {now}."),
    N_("{option} takes {sum} more up front: {now}."),
)
AHEAD = (
    N_("{option} brings {sum} less than it did: now {now} against {baseline}."),
    N_("{option} brings {sum} more than it did: now {now} against {baseline}."),
)
PRICES = ("cost", "per_year", "amount", "now", "price")
OF_THE_LEDGER = "Ledger: "  # the label of a change of its rows begins so
# The names of the choices in files.
CHOICES = {
    "keep": N_("keep"),
    "retrofit": N_("retrofit"),
    "replace": N_("replace"),
    "order": N_("order"),
    "start": N_("start"),
    "finish": N_("finish"),
    "equipment": N_("equipment"),
    "labour": N_("labour"),
    "certification": N_("certification"),
    "materials": N_("materials"),
    "travel": N_("travel"),
    "training": N_("training"),
    "other": N_("other"),
    "dues": N_("the dues"),
    "hourly_rate": N_("the hourly rate"),
    "assessment": N_("an assessment"),
    "us": N_("US units"),
    "metric": N_("metric units"),
    "triangular": N_("triangular"),
    "uniform": N_("uniform"),
}


def change_rows(view: View, attribution: ChangeAttribution) -> list[dict[str, Any]]:
    """Return one row for each input that changed: option, name, value before and after."""
    return [
        {
            "label": change_name(change),
            "option": view.tags.get(change.option),
            "value": change_text(view.formats, change),
        }
        for step in attribution.steps
        for change in step.changes
    ]


def change_name(change: InputChange) -> str:
    """Name a change: an input with its entry, or an entry that was added or removed."""
    there = change.after or change.before
    if change.unit == "rows":
        item = change.label.removeprefix(OF_THE_LEDGER)
        named = _("all items") if item == "all items" else item
        label = _("Ledger: {item}", item=named)
        return f"{label} ({papers})" if (papers := _papers(change)) else label
    if change.unit == "entry" and isinstance(there, Record):
        mark, name = change.label.partition(" “")[1:]
        # An entry without a name is a file.
        return f"{_(there.heading)}{mark}{name}" if mark else change.label
    entry, label = change.label.rpartition(": ")[::2]
    text = _(label.capitalize())  # in the case of the declaration
    return f"{entry}: {after_colon(text)}" if entry else text


def _papers(change: InputChange) -> str:
    """Name the kinds of ledger rows that were added or removed: "payment", "quote and invoice"."""
    rows = [
        row for side in (change.after, change.before) if isinstance(side, tuple) for row in side
    ]
    kinds = dict.fromkeys(row.kind for row in rows if isinstance(row, Entry))
    return joined([_(KINDS[kind]) for kind in kinds])


def change_text(formats: Formats, change: InputChange) -> str:
    """Write an input's value before and after, or that it was added or removed."""
    if change.unit == "rows":
        return _rows(formats, change)
    if _are_names(change.before) and _are_names(change.after):
        return _names(change.before, change.after)
    before, after = (value(formats, state, change.unit) for state in (change.before, change.after))
    if change.after is None:
        return _("taken out; it was {value}", value=before) if before else _("taken out")
    if change.before is None:
        return _("added: {value}", value=after) if after else _("added")
    if before == after:
        return _("{value}, moved by less than is shown", value=before)
    return _("from {before} to {after}", before=before, after=after)


def _are_names(there: object) -> TypeGuard[tuple[str, ...]]:
    return isinstance(there, tuple) and all(isinstance(name, str) for name in there)


def _names(before: tuple[str, ...], after: tuple[str, ...]) -> str:
    """Write which names were added and which were removed."""
    removed = [quoted(name) for name in before if name not in after]
    new = [quoted(name) for name in after if name not in before]
    return _removed_and_new(removed, new)


def _removed_and_new(removed: list[str], new: list[str]) -> str:
    texts = []
    if removed:
        texts.append(_("taken out: {value}", value=joined(removed)))
    if new:
        texts.append(_("added: {value}", value=joined(new)))
    return "; ".join(texts)


def value(formats: Formats, there: object, unit: str) -> str:
    """Write the value of an input of any kind."""
    if isinstance(there, Quantity):
        text = formats.quantity(there, unit)
        plain = there.certain or there.shape == "pert"
        return text if plain else f"{text}, {choice(there.shape)}"
    if isinstance(there, Record):
        return _record(formats, there)
    if isinstance(there, dict):
        return joined([f"{key} {_short(formats, part, unit)}" for key, part in there.items()])
    if isinstance(there, tuple):
        return joined([_short(formats, part, unit) for part in there]) or _("none")
    if isinstance(there, date):
        return day(there)
    return _plain(formats, there, unit)


def _plain(formats: Formats, there: object, unit: str) -> str:
    if isinstance(there, bool):
        return _("yes") if there else _("no")
    if unit == "choice" and isinstance(there, str):
        return choice(there)
    if isinstance(there, float | int) and unit != "count":  # a seed is not an amount
        return formats.measure(there, unit)
    return "" if there is None else str(there)


def choice(there: str) -> str:
    """Return the name that pages use for a choice of a file."""
    return _(CHOICES.get(there, there))


def _short(formats: Formats, part: object, unit: str) -> str:
    if isinstance(part, Record):
        name = getattr(part, "name", "")
        return quoted(name) if name else _record(formats, part)
    return number(part) if isinstance(part, float) else value(formats, part, unit)


def _record(formats: Formats, there: Record) -> str:
    """Write the value that identifies a table: its title, its days, or its price."""
    if isinstance(there, Option):
        return f"{quoted(there.title)}, {choice(there.kind)}"
    if isinstance(there, Schedule):
        return _schedule(there)
    if isinstance(there, Window):
        return _("{first} to {last}", first=day(there.first), last=day(there.last))
    return _price(formats, there)


def _schedule(there: Schedule) -> str:
    start, span = day(there.start), weeks(there)
    if there.order is None:
        return _("start {start}, {weeks} down", start=start, weeks=span)
    order = day(there.order)
    return _("order {order}, start {start}, {weeks} down", order=order, start=start, weeks=span)


def _price(formats: Formats, there: Record) -> str:
    if isinstance(there, Item) and there.hours is not None and there.rate is not None:
        hours, rate = formats.quantity(there.hours, "hours"), formats.quantity(there.rate, "money")
        return _("{hours} hours at {rate}", hours=hours, rate=rate)
    if isinstance(there, Loan):
        size = percent(there.share) if there.amount is None else formats.money(there.amount)
        rate, term = percent(there.apr), duration(there.months)
        return _("{size} at {rate} for {term}", size=size, rate=rate, term=term)
    if isinstance(there, Recurring):
        every = interval(there.every_months, there.every_days)
        cost = formats.quantity(there.cost, "money")
        return _("{sum} every {interval}", sum=cost, interval=every)
    prices = (getattr(there, key, None) for key in PRICES)
    known = [price for price in prices if isinstance(price, Quantity)]
    return formats.quantity(known[0], "money") if known else ""


def _rows(formats: Formats, change: InputChange) -> str:
    removed, new = (
        [_entry(formats, row) for row in rows] if isinstance(rows, tuple) else []
        for rows in (change.before, change.after)
    )
    return _removed_and_new(removed, new)


def _entry(formats: Formats, row: Entry) -> str:
    paper = _("{paper} of {day}", paper=_(KINDS[row.kind]), day=day(row.date))
    sum_ = NONE if row.amount is None else formats.measure(row.amount, "money")
    if row.low is not None and row.high is not None:
        low, high = formats.money(row.low), formats.money(row.high)
        sum_ = _("{likely} ({low} to {high})", likely=sum_, low=low, high=high)
    return f"{paper}, {sum_}"


def step_name(step: Step) -> str:
    """Name a step by its changed inputs."""
    labels = list(dict.fromkeys(change_name(change) for change in step.changes))
    if len(labels) > NAMED:
        labels[NAMED:] = [plural(len(labels[NAMED:]), "more input", "more inputs")]
    return joined(labels)


def columns(attribution: ChangeAttribution, option_id: str) -> list[str]:
    """Return the figures that an option has in both editions and that are not 0 in both."""
    then, now = attribution.then[option_id], attribution.now[option_id]
    return [
        key
        for key in HEADLINE_KEYS
        if then[key] is not None and now[key] is not None and (then[key] or now[key])
    ]


def head(attribution: ChangeAttribution, tag: OptionTag) -> list[Any]:
    """Return the headings of an option's table of causes."""
    columns_of = (COLUMNS[key] for key in columns(attribution, tag.id))
    return [
        _("What moved"),
        *({"label": _(label), "note": _(note)} for label, note, *rest in columns_of),
    ]


def cause_rows(
    formats: Formats, attribution: ChangeAttribution, tag: OptionTag
) -> list[dict[str, Any]]:
    """Return the rows from the last edition's figures to this one's, one for each cause.

    They add up except for rounding. Causes without an effect here are left out.
    """
    keys = columns(attribution, tag.id)
    causes = [
        *((step_name(step), step.effects[tag.id]) for step in attribution.steps),
        (_(PROGRAM), attribution.program[tag.id]),
        (_(TOGETHER), attribution.interaction[tag.id]),
    ]
    rows: list[dict[str, Any]] = [
        {"cells": [_("The last edition"), *_figures_of(formats, attribution.then[tag.id], keys)]}
    ]
    for name, effects in causes:
        parts = [_part(formats, effects[key], key) for key in keys]
        if any(part != NONE for part in parts):
            rows.append({"cells": [name, *parts]})
    rows.append(
        {"cells": [_("This edition"), *_figures_of(formats, attribution.now[tag.id], keys)]}
    )
    rows[-1]["total"] = True
    return rows


def _figures_of(formats: Formats, figures: Any, keys: list[str]) -> list[str]:  # noqa: ANN401 (a mapping)
    return [COLUMNS[key][2](formats, figures[key]) for key in keys]


def _part(formats: Formats, part: float | None, key: str) -> str:
    """Write a part of a change with its sign; "—" if it is unknown or rounds to 0."""
    write = COLUMNS[key][2]
    if part is None or write(formats, abs(part)) == write(formats, 0.0):
        return NONE
    text = write(formats, part)
    return f"+{text.removeprefix('+')}" if part > 0 else text


def shared(tags: Mapping[str, OptionTag], attribution: ChangeAttribution) -> list[OptionTag]:
    """Return the options that both editions have."""
    return [tag for tag in tags.values() if tag.id in attribution.then]


def lead(view: View, attribution: ChangeAttribution) -> list[str]:
    """Say how many inputs changed and how each option changed, with the main cause."""
    count, as_of = sum(len(step.changes) for step in attribution.steps), day(attribution.as_of)
    first = ngettext(
        "{count} input moved since the last edition, as of {day}.",
        "{count} inputs moved since the last edition, as of {day}.",
        count,
    ).format(count=about(count), day=as_of)
    if not count:
        first = _(
            "No input moved since the last edition, as of {day}, but this version of the program "
            "works some figures out differently.",
            day=as_of,
        )
    texts_by_option = {
        tag: _option_change(view, attribution, tag) for tag in shared(view.tags, attribution)
    }
    unchanged = [tag for tag, text in texts_by_option.items() if not text]
    rest = ngettext("{options} has not moved.", "{options} have not moved.", len(unchanged))
    return [
        first,
        *filter(None, texts_by_option.values()),
        *([rest.format(options=names(unchanged))] if unchanged else []),
    ]


def _option_change(view: View, attribution: ChangeAttribution, tag: OptionTag) -> str:
    """Say how an option has changed and by which cause most; "" if it has not."""
    key = "upfront" if tag.id == view.figures.baseline else "net_benefit"
    now, change = attribution.now[tag.id][key], attribution.change(tag.id, key)
    texts, write = (
        (TO_PAY, view.formats.money) if key == "upfront" else (AHEAD, view.formats.change)
    )
    less, more = texts
    if now is None or change is None or not is_shown(change):
        return ""
    text = _(
        more if change > 0 else less,
        option=tag.short,
        baseline=view.baseline.short,
        sum=view.formats.money(abs(change)),
        now=write(now),
    )
    return joined_sentences(text, _main_cause(attribution, tag, key))


def _main_cause(attribution: ChangeAttribution, tag: OptionTag, key: str) -> str:
    """Name the step with the largest effect, if there is more than one."""
    effects = [(abs(step.effects[tag.id][key] or 0.0), step) for step in attribution.steps]
    if len(effects) < 2:  # noqa: PLR2004 (one cause needs no ranking)
        return ""
    most, step = max(effects, key=lambda pair: pair[0])
    return _("What moved it most: {step}.", step=step_name(step)) if most >= NOTHING else ""
