"""The days of a decision in order: what lapses, what to order, when the airplane is away."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from panelworth.engine.results.editions import Deadline
from panelworth.model.dates import last_day_of_month, month_index
from panelworth.publishing.formats import joined, near_day, short_day
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.answer_words import days_to_decide
from panelworth.publishing.words.sentences import joined_sentences, others_remain
from panelworth.publishing.words.starts_words import refusal

MOST_ROWS = 8


@dataclass(frozen=True, kw_only=True)
class Event:
    """What one day brings to one option: plain words, and words of warning."""

    day: date
    option: OptionTag
    text: str
    warn: str = ""


@dataclass(frozen=True, kw_only=True)
class Told:
    """What a day brings to all options that it brings the same to."""

    options: Sequence[OptionTag]
    text: str
    warn: str


@dataclass(frozen=True, kw_only=True)
class Row:
    """A day, as a page writes it, and all that it brings."""

    day: str
    told: Sequence[Told]


def rows(view: View) -> list[Row]:
    """List the days in order, the earliest ones if there are too many."""
    found = sorted(events(view), key=lambda each: each.day)
    days = [(day, list(each)) for day, each in groupby(found, key=lambda each: each.day)]
    as_of = view.case.scenario.as_of
    return [Row(day=short_day(day, as_of), told=_told(each)) for day, each in days[:MOST_ROWS]]


def _told(events: Sequence[Event]) -> list[Told]:
    """Say what options have in common once."""
    alike: dict[tuple[str, str], list[OptionTag]] = {}
    for each in events:
        alike.setdefault((each.text, each.warn), []).append(each.option)
    return [Told(options=tags, text=text, warn=warn) for (text, warn), tags in alike.items()]


def events(view: View) -> list[Event]:
    """List what days bring, a refused start's from the first start that is allowed.

    Inspections stand on the airplane's page, a loan's last payment beside the loan, and a price
    that lapses once its option is ordered needs no row. All of them are in the calendar file.
    """
    quotes = [each for each in view.loop.deadlines if each.kind == "quote"]
    quotes.sort(key=lambda each: each.first)
    orders = (each for each in view.loop.deadlines if each.kind == "order")
    return [*_lapsing(view, quotes), *(_ordered(view, each) for each in orders)]


def _lapsing(view: View, quotes: Sequence[Deadline]) -> Iterator[Event]:
    """Yield, an option, the prices that have lapsed and the first that lapse before its order."""
    for tag in view.tags.values():
        mine = [each for each in quotes if each.option == tag.id]
        gone = [each for each in mine if each.past]
        if gone:
            yield Event(day=gone[0].first, option=tag, text="", warn=_gone(gone))
        order = order_day(view, tag)
        early = [each for each in mine if not each.past and order and each.first < order]
        if early:
            yield Event(day=early[0].first, option=tag, text=_early(early))


def _gone(quotes: Sequence[Deadline]) -> str:
    """Warn of prices that lapsed before the figures' day."""
    if len(quotes) > 1 or not quotes[0].name:
        return ngettext(
            "{count} quote has lapsed: ask again.", "{count} quotes have lapsed: ask again.",
            len(quotes),
        ).format(count=len(quotes))  # fmt: skip
    return _("Quote lapsed, ask again: {item}.", item=quotes[0].name)


def _early(quotes: Sequence[Deadline]) -> str:
    """Say how many prices lapse on the first day, and how many more before the order."""
    first = sum(each.first == quotes[0].first for each in quotes)
    told = ngettext("{count} price lapses", "{count} prices lapse", first).format(count=first)
    if first == len(quotes):
        return _("{prices} before the order.", prices=told)
    return _("{prices}, {more} more before the order.", prices=told, more=len(quotes) - first)


def order_day(view: View, tag: OptionTag) -> date | None:
    """Return the day by which an option is ordered, for its first allowed start if refused."""
    later, schedule = level_words.allowed(view, tag), view.case.options[tag.id].schedule
    if later:
        return date.fromisoformat(later.order)
    return schedule.order if schedule else None


def away_days(view: View, tag: OptionTag) -> tuple[date, date]:
    """Return start and likely finish, of the first allowed start where the plan is refused."""
    there = level_words.allowed(view, tag) or view.series(tag.id)
    return date.fromisoformat(there.start), date.fromisoformat(there.finish)


def months_later(view: View, tag: OptionTag) -> int:
    """Return by how many months the first allowed start is later than planned; 0 as planned."""
    as_of, planned = view.case.scenario.as_of, date.fromisoformat(view.series(tag.id).start)
    return month_index(as_of, away_days(view, tag)[0]) - month_index(as_of, planned)


def _ordered(view: View, each: Deadline) -> Event:
    """Say from when to when the airplane is then away, and why not as planned."""
    tag = view.tags[each.option]
    day = order_day(view, tag) or each.first
    start, finish = away_days(view, tag)
    gone = N_("Order: away {start} to about {finish}.")
    if view.case.options[tag.id].no_airplane_while_down:
        gone = N_("Order: no airplane {start} to about {finish}.")
        if others_remain(view):
            gone = N_("Order: one airplane less {start} to about {finish}.")
    if start == finish:
        gone = N_("Order, to be done {start}.")
    told = _(gone, start=near_day(start, day), finish=near_day(finish, start))
    return Event(day=day, option=tag, text=told, warn=refused(view, tag, day))


def refused(view: View, tag: OptionTag, near: date) -> str:
    """Say that an option cannot start as planned, and why; days are written near another day."""
    planner = view.figures.airplane.planners.get(tag.id)
    if planner is None or not planner.own.refusals:
        return ""
    later = level_words.allowed(view, tag)
    told = _(
        "Cannot start {day} as planned: {reasons}.",
        day=near_day(date.fromisoformat(planner.own.start), near),
        reasons=joined([refusal(each, brief=True) for each in planner.own.refusals]),
    )
    none = "" if later else _("No later start is allowed.")
    return joined_sentences(told, none)


def loan_months(view: View, tag: OptionTag) -> tuple[int, int] | None:
    """Return the months in which a loan is drawn and last paid; None without a loan."""
    context = view.series(tag.id).loan
    if context is None or not context.payments:
        return None
    drawn = context.drawn_month + months_later(view, tag)
    return drawn, drawn + len(context.payments)


def loan_ends(view: View, tag: OptionTag) -> date | None:
    """Return the last day of the month of a loan's last payment, None without a loan."""
    months = loan_months(view, tag)
    return last_day_of_month(view.case.scenario.as_of, months[1]) if months else None


def decide(view: View) -> str:
    """Say the day by which to decide: the nearest order day or lapse of a price."""
    day = min(days_to_decide(view), default=None)
    if day is None:
        return ""
    return _("Decide by {day}.", day=near_day(day, view.case.scenario.as_of))


def all_days(view: View) -> str:
    """Name the file with all days, those too that have no row here; "" where there are none."""
    count = len(view.loop.deadlines)
    if not count:
        return ""
    return ngettext(
        "{count} day as a calendar file", "All {count} days as a calendar file", count
    ).format(count=count)


def overdue(view: View) -> str:
    """Warn of inspections that are overdue."""
    names = [each.name for each in view.loop.deadlines if each.kind == "inspection" and each.past]
    told = list(dict.fromkeys(names))
    return _("Overdue: {items}.", items=joined(told)) if told else ""
