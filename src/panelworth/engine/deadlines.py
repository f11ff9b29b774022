"""Deadlines: expiring quotes, orders, downtime, inspections, loans, raises.

Inspection intervals are those of US 14 CFR Parts 43 and 91. Which inspections an airplane needs is
stated in the files, and not here.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.project_status.underway import Underway, underway
from panelworth.engine.results.editions import Deadline
from panelworth.engine.results.figures import (
    Figures,
    Funded,
)
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks, days_away, last_day_of_month
from panelworth.model.ledger import has_lapsed
from panelworth.model.option import Option
from panelworth.model.scenario import Recurring
from panelworth.model.schedule import Schedule

# The order of deadlines that fall on the same day.
ORDER = ("inspection", "quote", "order", "down", "raise", "loan")


def deadlines(case: Case, figures: Figures) -> tuple[Deadline, ...]:
    """Return every deadline, sorted by day, then by kind, option and name."""
    project = underway(case)
    listed = _planned(case, figures) if project is None else _underway(project, figures)
    return tuple(
        sorted(
            [*_inspections_today(case), *listed],
            key=lambda deadline: (
                deadline.first,
                ORDER.index(deadline.kind),
                deadline.option,
                deadline.name,
            ),
        )
    )


def _planned(case: Case, figures: Figures) -> Iterator[Deadline]:
    """Yield the deadlines of all options as they are planned."""
    trials = likely_trial(case)
    yield from _quotes(case, case.scenario.as_of)
    for option_id, option in case.options.items():
        back = option.schedule.likely_finish if option.schedule else None
        if option.schedule:
            yield from _schedule(option_id, option.schedule)
        yield from _inspections_after(case, option_id, option, back)
        flows = flows_of(case, option_id, trials)
        yield from _money(case, option_id, flows, figures.options[option_id].funded)


def _underway(project: Underway, figures: Figures) -> Iterator[Deadline]:
    """Yield the deadlines of the option that was voted for, as they are on the status date.

    What has happened is no deadline any more: the order accepts the quotes dated up to its day, so
    that they cannot lapse. The other options have none.
    """
    case, option_id, schedule = project.case, project.option_id, project.schedule
    option, done = case.options[option_id], schedule is not None and bool(schedule.finished)
    for deadline in _quotes(case, project.day):
        accepted = project.order_day and deadline.dated and deadline.dated <= project.order_day
        if deadline.option == option_id and not done and not accepted:
            yield deadline
    back = None
    if schedule is not None and project.can_estimate:
        weeks = project.likely_weeks
        back = project.finish_after(weeks)
        if not done:
            yield from _still_away(project, schedule, weeks)
    yield from _inspections_after(case, option_id, option, back)
    flows = flows_of(case, option_id, project.likely_trial(likely_trial(case)))
    yield from _money(case, option_id, flows, figures.options[option_id].funded)


def _still_away(project: Underway, schedule: Schedule, weeks: float) -> Iterator[Deadline]:
    """Yield the order, if it is not placed, and the days without the airplane as they are known."""
    span = schedule.weeks_left or schedule.weeks_down
    since = project.day if schedule.weeks_left else schedule.start
    placed = schedule.model_copy(update={"order": None if project.ordered else schedule.order})
    for deadline in _schedule(project.option_id, placed):
        if deadline.kind != "down":
            yield deadline
            continue
        away = max(days_away(weeks), 1)
        yield replace(
            deadline,
            last=schedule.start + timedelta(days=away - 1),
            back=project.finish_after(weeks),
            earliest=max(day_after_weeks(since, span.low), project.day),
            latest=day_after_weeks(since, span.high),
        )


def _quotes(case: Case, day: date) -> Iterator[Deadline]:
    """Yield the last day of each estimate or quote that a price of that day comes from."""
    for status in case.ledger_statuses.values():
        for row in status.price_rows:
            if row.expires is None:
                continue
            schedule = case.options[row.option].schedule
            yield Deadline(
                kind="quote",
                first=row.expires,
                last=row.expires,
                option=row.option,
                name=status.name,
                past=has_lapsed(row, day),
                supplier=row.supplier,
                reference=row.reference,
                order=schedule.order if schedule else None,
                paper=row.kind,
                dated=row.date,
                row=row.line,
            )


def _schedule(option_id: str, schedule: Schedule) -> Iterator[Deadline]:
    """Yield the day of the order and the days without the airplane, first and last."""
    if schedule.order is not None:
        yield Deadline(
            kind="order",
            first=schedule.order,
            last=schedule.order,
            option=option_id,
            past=False,
        )
    weeks = schedule.weeks_down
    low, likely, high = (
        day_after_weeks(schedule.start, weeks_down)
        for weeks_down in (weeks.low, weeks.likely, weeks.high)
    )
    away = max(days_away(weeks.likely), 1)  # work of less than a day still takes its first day
    yield Deadline(
        kind="down",
        first=schedule.start,
        last=schedule.start + timedelta(days=away - 1),
        option=option_id,
        past=False,
        back=likely,
        earliest=low,
        latest=high,
    )


def _inspections_today(case: Case) -> Iterator[Deadline]:
    """Yield when each recurring item of today's airplane falls due; `past` means overdue."""
    for item in case.scenario.aircraft.recurring:
        yield _due(case, item, item.last_done, "")


def _inspections_after(
    case: Case, option_id: str, option: Option, back: date | None
) -> Iterator[Deadline]:
    """Yield the inspections that an option changes: its own list, and those that it does."""
    listed = option.after.new("recurring")
    items = case.scenario.aircraft.recurring if listed is None else listed
    for item in items:
        if back and item.name in option.after.recurring_done:
            yield _due(case, item, back, option_id, restarted=True)
        elif listed is not None:
            yield _due(case, item, item.last_done, option_id)


def _due(
    case: Case, item: Recurring, done: date, option_id: str, *, restarted: bool = False
) -> Deadline:
    day = item.good_through(done)
    return Deadline(
        kind="inspection",
        first=day,
        last=day,
        option=option_id,
        name=item.name,
        past=day < case.scenario.as_of,
        every_months=item.every_months,
        every_days=item.every_days,
        restarted=restarted,
    )


def _money(case: Case, option_id: str, flows: Flows, funded: Funded | None) -> Iterator[Deadline]:
    """Yield a loan's last payment and the binding month of a raise, on the month's last day."""
    # Flows fall at the end of a month, so the day of a payment is the last day of its month.
    months, borrowing = {}, flows.borrowing
    if borrowing is not None and borrowing.plan.principal:
        months["loan"] = int(borrowing.drawn[0]) + len(borrowing.plan.payments)
    if funded is not None and funded.solve_month:
        months["raise"] = funded.solve_month
    for kind, month in months.items():
        day = last_day_of_month(case.scenario.as_of, month)
        yield Deadline(
            kind="loan" if kind == "loan" else "raise",
            first=day,
            last=day,
            option=option_id,
            past=False,
        )
