"""Recurring items in sentences: which one binds next, and what an option changes."""

from datetime import date

from panelworth.engine.results_airplane import Due
from panelworth.publishing.formats import day, duration, joined, plural
from panelworth.publishing.view import View

SOON = 31  # days told as days and not as months


def until(as_of: date, due: Due) -> str:
    """Say how long an item is still good, or how long it is overdue."""
    last = date.fromisoformat(due.last_day)
    days = (last - as_of).days
    if days < 0:
        return f"overdue since {day(last)}"
    if days <= SOON:
        return f"{plural(days, 'day', 'days')} left"
    months = (last.year - as_of.year) * 12 + last.month - as_of.month
    return f"{duration(months)} left"


def last_day(due: Due) -> str:
    """Write the last good day; one by hours is a guess, and says so."""
    return f"about {day(due.last_day)}" if due.by == "hours" else day(due.last_day)


def binding(view: View, dues: tuple[Due, ...]) -> list[str]:
    """Say which item binds next, and which are overdue."""
    as_of = view.case.scenario.as_of
    late = [due for due in dues if date.fromisoformat(due.last_day) < as_of]
    said = []
    if late:
        names = joined([f"“{due.name}”" for due in late])
        said.append(f"Overdue on {day(as_of)}: {names}.")
    left = [due for due in dues if due not in late]
    if left:
        first = left[0]
        said.append(
            f"Next comes “{first.name}”: good through {last_day(first)}, {until(as_of, first)}."
        )
    return said


def done_with(view: View, option_id: str) -> str:
    """Say what an option does about recurring items on the way."""
    option = view.case.options[option_id]
    if option.after.recurring_done:
        names = joined([f"“{name}”" for name in option.after.recurring_done])
        return f"{names} done at the finish; the clock starts again there."
    if option.after.new("recurring") is not None:
        return "It brings a list of its own."
    return "It changes nothing here."
