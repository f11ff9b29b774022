"""Recurring items in sentences: which one binds next, and what an option changes."""

from collections.abc import Iterator
from datetime import date, timedelta

from panelworth.engine.results.airplane import (
    Due,
)
from panelworth.model.case import Case
from panelworth.model.scenario import MONTHS
from panelworth.publishing.formats import day, duration, joined, plural, quoted, tenths
from panelworth.publishing.language import _
from panelworth.publishing.view import View
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.sentences import joined_sentences

SOON = 31  # up to this number, time is written in days and not in months


def until(as_of: date, due: Due) -> str:
    """Say how long an item is still valid, or since when it is overdue; months rounded down."""
    if due.last_day is None:
        return _("since {hours} hours on the tach", hours=tenths(due.at_hours or 0.0))
    last = date.fromisoformat(due.last_day)
    days = (last - as_of).days
    if days < 0:
        return _("since {day}", day=day(last + timedelta(days=1)))
    if days <= SOON:
        return _("{time} left", time=plural(days, "day", "days"))
    # A month that is not complete is not counted.
    months = (last.year - as_of.year) * MONTHS + last.month - as_of.month
    return _("{time} left", time=duration(months - (last.day < as_of.day)))


def last_day(due: Due) -> str:
    """Write the last valid day; "about" for a day that is estimated from hours."""
    if due.when == "overdue" or due.last_day is None:
        return _("overdue")
    last = day(due.last_day)
    return _("about {day}", day=last) if due.by == "hours" else last


def binding(case: Case, dues: tuple[Due, ...]) -> list[str]:
    """Say which items are overdue, and which binds next."""
    as_of = case.scenario.as_of
    late = [due for due in dues if due.when == "overdue"]
    texts = []
    if late:
        names = joined([quoted(due.name) for due in late])
        texts.append(
            _(
                "Overdue on {day}: {names}. Whether it may fly is for the rules and a mechanic.",
                day=day(as_of),
                names=names,
            )
        )
    left = [due for due in dues if due not in late]
    if left:
        first = left[0]
        texts.append(
            _(
                "Next comes “{item}”: good through {day}, {left}.",
                item=first.name,
                day=last_day(first),
                left=until(as_of, first),
            )
        )
    return texts


def after(finish: date, due: Due) -> str:
    """Say how long an item is valid after the airplane is back, or that it falls due before."""
    if due.when == "before":
        return _("falls due before it leaves")
    if due.when == "away":
        return _("falls due while it is away")
    left = until(finish, due)
    return left if due.when == "overdue" else _("{left} when it is back", left=left)


def renewed(view: View) -> list[str]:
    """Say which items are done with the work, so that their interval restarts, by option."""
    done = {tag: view.case.options[tag.id].after.recurring_done for tag in view.others}
    items = dict.fromkeys(item for items_done in done.values() for item in items_done)
    named = [
        _("{item} ({options})", item=item, options=names(tag for tag in done if item in done[tag]))
        for item in items
    ]
    if not named:
        return []
    return [_("Done on the way, so that its clock restarts: {items}.", items=joined(named))]


def done_with(view: View, option_id: str) -> str:
    """Say which recurring items an option does, and which are overdue until then."""
    option = view.case.options[option_id]
    if option.after.recurring_done:
        names = joined([quoted(name) for name in option.after.recurring_done])
        text = _("{names} done at the finish; the clock starts again there.", names=names)
        return joined_sentences(text, *_until_done(view, option_id))
    if option.after.new("recurring") is not None:
        return _("It brings a list of its own.")
    return _("It changes nothing here.")


def _until_done(view: View, option_id: str) -> Iterator[str]:
    """Yield the items that are done at the finish but expire before it."""
    option, finish = view.case.options[option_id], view.series(option_id).finish
    for due in view.figures.airplane.due_today:
        done = due.name in option.after.recurring_done and due.by == "calendar"
        if done and due.last_day is not None and due.last_day < finish:
            yield _(
                "“{item}” is good only through {day}, and overdue from then to the finish.",
                item=due.name,
                day=day(due.last_day),
            )
