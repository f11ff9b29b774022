"""The days of a decision in order: what lapses, what to order, when the airplane is away."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from panelworth.engine.results_loop import Deadline
from panelworth.model.dates import last_day_of_month, month_index
from panelworth.publishing import level_words
from panelworth.publishing.airplane.when_words import refusal
from panelworth.publishing.formats import joined, near_day, plural
from panelworth.publishing.language import noted, say, say_counted
from panelworth.publishing.sentences import joined_sentences, others_remain
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.answer_words import days_to_decide

MOST_ROWS = 8
MOST_NAMES = 2  # of prices that lapse on a day; more are counted
ORDER = ("quote", "order", "down", "loan")


@dataclass(frozen=True, kw_only=True)
class Event:
    """What one day brings to one option: plain words, and words of warning."""

    day: date
    option: OptionTag
    text: str
    warn: str = ""


@dataclass(frozen=True, kw_only=True)
class Row:
    """A day, as a page writes it, and all that it brings."""

    day: str
    events: Sequence[Event]


def rows(view: View) -> list[Row]:
    """List the days in order, the earliest ones if there are too many."""
    found = sorted(events(view), key=lambda each: each.day)
    days = [(day, list(each)) for day, each in groupby(found, key=lambda each: each.day)]
    as_of = view.case.scenario.as_of
    return [Row(day=near_day(day, as_of), events=each) for day, each in days[:MOST_ROWS]]


def events(view: View) -> list[Event]:
    """List what days bring, a refused start's from the first start that is allowed.

    Inspections stand on the airplane's page; a price that lapses once its option is ordered needs
    no row. All of them are in the calendar file.
    """
    found = sorted(view.loop.deadlines, key=lambda each: (each.first, _place(each)))
    return [
        *_lapsing(view, [each for each in found if each.kind == "quote"]),
        *(_ordered(view, each) for each in found if each.kind == "order"),
        *(_away(view, each) for each in found if each.kind == "down"),
        *(_loan(view, each) for each in found if each.kind == "loan"),
    ]


def _place(each: Deadline) -> int:
    return ORDER.index(each.kind) if each.kind in ORDER else len(ORDER)


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
            yield Event(day=early[0].first, option=tag, text=_early(view, early))


def _gone(quotes: Sequence[Deadline]) -> str:
    """Warn of prices that lapsed before the figures' day."""
    if len(quotes) > 1 or not quotes[0].name:
        return say_counted(
            "{count} quote has lapsed: ask again before ordering.",
            "{count} quotes have lapsed: ask again before ordering.",
            len(quotes),
        ).format(count=len(quotes))
    return say("Quote lapsed: {item}. Ask again before ordering.", item=quotes[0].name)


def _early(view: View, quotes: Sequence[Deadline]) -> str:
    """Say which prices lapse on the first day, and how many more before the order."""
    first = [each for each in quotes if each.first == quotes[0].first]
    count = say_counted("{count} price lapses", "{count} prices lapse", len(first))
    told = count.format(count=len(first))
    more, last = len(quotes) - len(first), quotes[-1].first
    if not more:
        return say("{prices} before it can be ordered.", prices=told)
    return say(
        "{prices}, {count} more by {day}: before it can be ordered.",
        prices=told,
        count=more,
        day=near_day(last, view.case.scenario.as_of),
    )


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
    """Say what an order by its day allows, and why it cannot start as planned."""
    tag, as_of = view.tags[each.option], view.case.scenario.as_of
    start = near_day(away_days(view, tag)[0], as_of)
    return Event(
        day=order_day(view, tag) or each.first,
        option=tag,
        text=say("Order, to start {day}.", day=start),
        warn=refused(view, tag),
    )


def refused(view: View, tag: OptionTag) -> str:
    """Say that an option cannot start as planned, why, and which start is the first allowed."""
    planner = view.figures.airplane.planners.get(tag.id)
    if planner is None or not planner.own.refusals:
        return ""
    as_of, later = view.case.scenario.as_of, level_words.allowed(view, tag)
    told = say(
        "Cannot start {day} as planned: {reasons}.",
        day=near_day(date.fromisoformat(planner.own.start), as_of),
        reasons=joined([refusal(each, brief=True) for each in planner.own.refusals]),
    )
    none = "" if later else say("No later start is allowed.")
    return joined_sentences(told, none)


def _away(view: View, each: Deadline) -> Event:
    """Say from its first day how long the airplane is away, and when it is likely back."""
    tag = view.tags[each.option]
    start, finish = away_days(view, tag)
    gone = noted("Airplane away, back about {day}.")
    if view.case.options[tag.id].kind == "replace":
        gone = noted("No airplane until about {day}.")
        if others_remain(view):
            gone = noted("One airplane less until about {day}.")
    return Event(
        day=start,
        option=tag,
        text=say(gone, day=near_day(finish, view.case.scenario.as_of)),
    )


def _loan(view: View, each: Deadline) -> Event:
    tag = view.tags[each.option]
    return Event(
        day=loan_ends(view, tag) or each.first, option=tag, text=say("Last payment of its loan.")
    )


def loan_months(view: View, tag: OptionTag) -> tuple[int, int] | None:
    """Return the months in which a loan is drawn and last paid, counted from as_of; None of none."""
    course = view.series(tag.id).loan
    if course is None or not course.payments:
        return None
    drawn = course.drawn_month + months_later(view, tag)
    return drawn, drawn + len(course.payments)


def loan_ends(view: View, tag: OptionTag) -> date | None:
    """Return the last day of the month of a loan's last payment, None without a loan."""
    months = loan_months(view, tag)
    return last_day_of_month(view.case.scenario.as_of, months[1]) if months else None


def decide(view: View) -> str:
    """Say the day by which to decide: the nearest order day or lapse of a price."""
    day = min(days_to_decide(view), default=None)
    if day is None:
        return ""
    return say("Decide by {day}.", day=near_day(day, view.case.scenario.as_of))


def not_listed(view: View) -> str:
    """Say what else falls due on days that have no row: later prices, and inspections."""
    due = [each for each in view.loop.deadlines if not each.past]
    told = {_key(each) for each in due if each.kind == "quote" and _has_row(view, each)}
    prices = [each for each in due if each.kind == "quote" and _key(each) not in told]
    inspections = [each for each in due if each.kind == "inspection"]
    counts = []
    if prices:
        counts.append(plural(len(prices), "price that lapses", "prices that lapse"))
    if inspections:
        counts.append(plural(len(inspections), "inspection", "inspections"))
    hidden = len({each.day for each in events(view)}) - MOST_ROWS
    if hidden > 0:
        counts.append(plural(hidden, "later day", "later days"))
    return say("Not listed here: {things}.", things=joined(counts)) if counts else ""


def _has_row(view: View, each: Deadline) -> bool:
    """Say whether a price that lapses is told of in the row of its option."""
    order = order_day(view, view.tags[each.option])
    return order is not None and each.first < order


def _key(each: Deadline) -> tuple[str, str, date, int]:
    return each.option, each.name, each.first, each.row
