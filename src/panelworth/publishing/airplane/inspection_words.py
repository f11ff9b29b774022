"""Recurring items in sentences: which one binds next, and what an option changes."""

from datetime import date

from panelworth.engine.results_airplane import Due
from panelworth.publishing.formats import day, duration, joined, plural, quoted
from panelworth.publishing.language import say
from panelworth.publishing.view import View

SOON = 31  # days told as days and not as months


def until(as_of: date, due: Due) -> str:
    """Say how long an item is still good, or how long it is overdue."""
    last = date.fromisoformat(due.last_day)
    days = (last - as_of).days
    if days < 0:
        return say("overdue since {day}", day=day(last))
    if days <= SOON:
        return say("{time} left", time=plural(days, "day", "days"))
    months = (last.year - as_of.year) * 12 + last.month - as_of.month
    return say("{time} left", time=duration(months))


def last_day(due: Due) -> str:
    """Write the last good day; one by hours is a guess, and says so."""
    last = day(due.last_day)
    return say("about {day}", day=last) if due.by == "hours" else last


def binding(view: View, dues: tuple[Due, ...]) -> list[str]:
    """Say which item binds next, and which are overdue."""
    as_of = view.case.scenario.as_of
    late = [due for due in dues if date.fromisoformat(due.last_day) < as_of]
    told = []
    if late:
        names = joined([quoted(due.name) for due in late])
        told.append(say("Overdue on {day}: {names}.", day=day(as_of), names=names))
    left = [due for due in dues if due not in late]
    if left:
        first = left[0]
        told.append(
            say(
                "Next comes “{item}”: good through {day}, {left}.",
                item=first.name,
                day=last_day(first),
                left=until(as_of, first),
            )
        )
    return told


def done_with(view: View, option_id: str) -> str:
    """Say what an option does about recurring items on the way."""
    option = view.case.options[option_id]
    if option.after.recurring_done:
        names = joined([quoted(name) for name in option.after.recurring_done])
        return say("{names} done at the finish; the clock starts again there.", names=names)
    if option.after.new("recurring") is not None:
        return say("It brings a list of its own.")
    return say("It changes nothing here.")
