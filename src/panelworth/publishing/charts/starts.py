"""The Mondays on which an option may start, as a strip of weeks on a time axis.

A week in which a start is refused leaves a gap, so that it is visible without colour. The mark is
the planned start.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from panelworth.engine.results.downtime import (
    Planner,
    StartWeek,
)
from panelworth.model.case import Case
from panelworth.model.scenario import MONTHS
from panelworth.publishing.charts.outcomes import WIDTH, Tick
from panelworth.publishing.formats import joined, month
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.starts_words import span

DAYS = 7
TICK_MONTHS = (1, 7)  # months whose first days are labelled
EDGE = 40.0  # the least room for a label on both sides
MOST_NAMED = 4  # periods that the text names


@dataclass(frozen=True, kw_only=True)
class Strip:
    """Periods (place, width) of weeks in which an option may start, the planned start, labels."""

    option: OptionTag
    stretches: tuple[tuple[float, float], ...]
    planned: float
    anchor: str
    ticks: tuple[Tick, ...]
    text: str


def strip(view: View, tag: OptionTag) -> Strip | None:
    """Return when an option may start; None without a fleet file, which says who else is down."""
    planner = view.figures.airplane.planners.get(tag.id)
    if planner is None or view.case.fleet is None:
        return None
    first, last = _day(planner.weeks[0]), _day(planner.weeks[-1])
    days = (last - first).days + DAYS

    def x(when: date) -> float:
        return round(min(max((when - first).days / days, 0.0), 1.0) * WIDTH, 1)

    def width(a: StartWeek, b: StartWeek) -> float:
        return round(((_day(b) - _day(a)).days + DAYS) / days * WIDTH, 1)

    runs, planned = list(_runs(planner)), x(date.fromisoformat(planner.planned.start))
    return Strip(
        option=tag,
        stretches=tuple((x(_day(a)), width(a, b)) for a, b in runs),
        planned=planned,
        anchor="start" if planned < WIDTH / 2 else "end",
        ticks=tuple(
            Tick(x=x(when), label=label_text)
            for when, label_text in _months(view.case, last)
            if EDGE <= x(when) <= WIDTH - EDGE
        ),
        text=_text(tag, runs),
    )


def _day(week: StartWeek) -> date:
    return date.fromisoformat(week.start)


def _runs(planner: Planner) -> Iterator[tuple[StartWeek, StartWeek]]:
    """Yield the first and the last week of each period in which starts are allowed."""
    run: list[StartWeek] = []
    for week in planner.weeks:
        if not week.refusals:
            run.append(week)
        elif run:
            yield run[0], run[-1]
            run = []
    if run:
        yield run[0], run[-1]


def _months(case: Case, last: date) -> Iterator[tuple[date, str]]:
    """Yield the first day of each month that is labelled, with its label."""
    as_of = case.scenario.as_of
    for index in range((last.year - as_of.year) * MONTHS + last.month - as_of.month + 1):
        years, month_of_year = divmod(as_of.month - 1 + index, MONTHS)
        if month_of_year + 1 in TICK_MONTHS:
            yield date(as_of.year + years, month_of_year + 1, 1), month(as_of, index)


def _text(tag: OptionTag, runs: list[tuple[StartWeek, StartWeek]]) -> str:
    """Describe the strip in words."""
    if not runs:
        return _("{option}: every start is refused.", option=tag.short)
    stretches = [span(first.start, last.start) for first, last in runs[:MOST_NAMED]]
    if len(runs) > MOST_NAMED:
        stretches.append(_("{count} more", count=len(runs) - MOST_NAMED))
    return _("{option} may start: {stretches}.", option=tag.short, stretches=joined(stretches))
