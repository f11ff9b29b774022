"""Deadlines in order of their days: prices that lapse, orders, and when the airplane is away."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from panelworth.engine.results.downtime import (
    Planner,
)
from panelworth.engine.results.editions import Deadline
from panelworth.engine.results.leading import LeadingFigures
from panelworth.publishing.formats import joined, near_day, short_day
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, Updates, View
from panelworth.publishing.words.milestones import days_to_decide, order_day
from panelworth.publishing.words.sentences import joined_sentences, others_remain
from panelworth.publishing.words.starts_words import refusal

MOST_ROWS = 8  # days on the page; the calendar file has all


@dataclass(frozen=True, kw_only=True)
class Event:
    """An event of one option on one day: a text and a warning."""

    day: date
    option: OptionTag
    text: str
    warn: str = ""


@dataclass(frozen=True, kw_only=True)
class SharedEvent:
    """The same event of one day for several options."""

    options: Sequence[OptionTag]
    text: str
    warn: str


@dataclass(frozen=True, kw_only=True)
class DayRow:
    """A day as text, with its events."""

    day: str
    events: Sequence[SharedEvent]


def rows(view: View) -> list[DayRow]:
    """Return the days in order; if there are too many, the earliest ones."""
    in_order = sorted(events(view), key=lambda event: event.day)
    days = [
        (day, list(events_then))
        for day, events_then in groupby(in_order, key=lambda event: event.day)
    ]
    as_of = view.case.scenario.as_of
    return [
        DayRow(day=short_day(day, as_of), events=_shared(day_events))
        for day, day_events in days[:MOST_ROWS]
    ]


def _shared(day_events: Sequence[Event]) -> list[SharedEvent]:
    """Join equal events of several options."""
    tags_of: dict[tuple[str, str], list[OptionTag]] = {}
    for event in day_events:
        tags_of.setdefault((event.text, event.warn), []).append(event.option)
    return [
        SharedEvent(options=tags, text=text, warn=warn) for (text, warn), tags in tags_of.items()
    ]


def events(view: View) -> list[Event]:
    """Return the events; for a refused start those of the first allowed start.

    Without rows are: inspections, which are on the airplane's page; the last payment of a loan,
    which is beside the loan; prices that lapse after the order. All are in the calendar file.
    """
    if view.figures.project is not None:
        return list(_underway(view))
    deadlines = sorted(view.updates.deadlines, key=lambda deadline: deadline.first)
    quotes = [deadline for deadline in deadlines if deadline.kind == "quote"]
    orders = [deadline for deadline in view.updates.deadlines if deadline.kind == "order"]
    return [*_lapsing(view, quotes), *(_ordered(view, order) for order in orders)]


def _underway(view: View) -> Iterator[Event]:
    """Yield the days of the option that was voted for, as they are on the status date."""
    for deadline in view.updates.deadlines:
        if deadline.kind == "order":
            yield Event(day=deadline.first, option=view.tags[deadline.option], text=_("Order."))
        if deadline.kind == "down" and deadline.back is not None:
            back = near_day(deadline.back, deadline.first)
            text = _("Away to about {finish}.", finish=back)
            yield Event(day=deadline.first, option=view.tags[deadline.option], text=text)


def _lapsing(view: View, quotes: Sequence[Deadline]) -> Iterator[Event]:
    """Yield for each option its lapsed prices, and the first price to lapse before its order."""
    for tag in view.tags.values():
        own_quotes = [quote for quote in quotes if quote.option == tag.id]
        lapsed = [quote for quote in own_quotes if quote.past]
        if lapsed:
            yield Event(day=lapsed[0].first, option=tag, text="", warn=_lapsed(lapsed))
        order = order_day(view, tag)
        early = [quote for quote in own_quotes if not quote.past and order and quote.first < order]
        if early:
            yield Event(day=early[0].first, option=tag, text=_early(early))


def _lapsed(quotes: Sequence[Deadline]) -> str:
    """Warn of prices that lapsed before the figures' day."""
    if len(quotes) > 1 or not quotes[0].name:
        return ngettext(
            "{count} quote has lapsed: ask again.", "{count} quotes have lapsed: ask again.",
            len(quotes),
        ).format(count=len(quotes))  # fmt: skip
    return _("Quote lapsed, ask again: {item}.", item=quotes[0].name)


def _early(quotes: Sequence[Deadline]) -> str:
    """Say how many prices lapse on the first day, and how many more before the order."""
    first = [quote for quote in quotes if quote.first == quotes[0].first]
    later = [quote for quote in quotes if quote not in first]
    prices = ngettext("{count} price lapses", "{count} prices lapse", len(first))
    prices = prices.format(count=len(first))
    if not later:
        return _("{prices} before the order.", prices=prices)
    return _("{prices}, {more} more before the order.", prices=prices, more=len(later))


def _ordered(view: View, order: Deadline) -> Event:
    """Return the order of an option: when the airplane is away, and why not as planned."""
    tag = view.tags[order.option]
    day, leading = order_day(view, tag) or order.first, view.leading(tag)
    text = N_("Order: away {start} to about {finish}.")
    if view.case.options[tag.id].no_airplane_while_down:
        text = N_("Order: no airplane {start} to about {finish}.")
        if others_remain(view.case):
            text = N_("Order: one airplane less {start} to about {finish}.")
    if leading.start == leading.finish:
        text = N_("Order, to be done {start}.")
    start, finish = near_day(leading.start, day), near_day(leading.finish, leading.start)
    warning = refused(view.figures.airplane.planners.get(tag.id), leading, day)
    return Event(day=day, option=tag, text=_(text, start=start, finish=finish), warn=warning)


def refused(planner: Planner | None, leading: LeadingFigures, near: date) -> str:
    """Say why an option cannot start as planned; a day without its year if that of `near`."""
    if planner is None or not planner.planned.refusals:
        return ""
    start = near_day(date.fromisoformat(planner.planned.start), near)
    reasons = joined([refusal(reason, brief=True) for reason in planner.planned.refusals])
    text = _("Cannot start {day} as planned: {reasons}.", day=start, reasons=reasons)
    none = "" if leading.allowed_start else _("No later start is allowed.")
    return joined_sentences(text, none)


def decide(view: View) -> str:
    """Write the day by which to decide: the next order or lapse of a price; "" once decided."""
    day = min(days_to_decide(view), default=None)
    if day is None or view.figures.project is not None:
        return ""
    return _("Decide by {day}.", day=near_day(day, view.case.scenario.as_of))


def all_days(updates: Updates) -> str:
    """Name the calendar file, which has all deadlines; "" if there are none."""
    count = len(updates.deadlines)
    if not count:
        return ""
    return ngettext(
        "{count} day as a calendar file", "All {count} days as a calendar file", count
    ).format(count=count)


def overdue(updates: Updates) -> str:
    """Warn of inspections that are overdue."""
    inspections = [deadline for deadline in updates.deadlines if deadline.kind == "inspection"]
    items = list(dict.fromkeys(inspection.name for inspection in inspections if inspection.past))
    return _("Overdue: {items}.", items=joined(items)) if items else ""
