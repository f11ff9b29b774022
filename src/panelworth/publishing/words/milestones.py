"""The days of a decision: when to order, when a price lapses, when a loan is paid off."""

from datetime import date

from panelworth.engine.results.editions import Deadline
from panelworth.model.dates import last_day_of_month
from panelworth.publishing.view import OptionTag, View


def days_to_decide(view: View) -> dict[date, list[Deadline]]:
    """Return the days on which an option must be ordered or a price lapses, with the deadlines."""
    days: dict[date, list[Deadline]] = {}
    for deadline in view.updates.deadlines:
        if deadline.kind in ("quote", "order") and not deadline.past:
            days.setdefault(_day(view, deadline), []).append(deadline)
    return days


def _day(view: View, deadline: Deadline) -> date:
    """Return a deadline's day; an order's is that of the first start that is allowed."""
    if deadline.kind != "order":
        return deadline.first
    later = view.leading(view.tags[deadline.option]).allowed_start
    return date.fromisoformat(later.order) if later else deadline.first


def order_day(view: View, tag: OptionTag) -> date | None:
    """Return the day of the order, for the first allowed start if the plan is refused."""
    later, schedule = view.leading(tag).allowed_start, view.case.options[tag.id].schedule
    if later:
        return date.fromisoformat(later.order)
    return schedule.order if schedule else None


def loan_ends(view: View, tag: OptionTag) -> date | None:
    """Return the last day of the month of a loan's last payment, None without a loan."""
    months = view.leading(tag).loan_months
    return last_day_of_month(view.case.scenario.as_of, months[1]) if months else None
