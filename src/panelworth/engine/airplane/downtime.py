"""When to ground the airplane: the losses and risks of a start on each Monday of the next months.

Days begin at 0 o'clock. The airplane is down in [start, start + 7·weeks_down), a real number of
days. A planned window or a blackout includes its first and its last day. Days in the month of as_of
are counted too, unlike in the money figures: otherwise a start in this month would seem to lose
nothing.
"""

import math
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from panelworth.engine.airplane.start_rules import Stretch, refusals, too_many_down, united
from panelworth.engine.cash_flow.calendar import Integers, Mask
from panelworth.engine.cash_flow.failures import failures
from panelworth.engine.cash_flow.hourly_prices import contribution, net_worth
from panelworth.engine.cash_flow.hours import hours, lost_share
from panelworth.engine.cash_flow.option_context import OptionContext, option_context
from panelworth.engine.cash_flow.rows import by_month
from panelworth.engine.results.downtime import (
    DowntimeFigures,
    Planner,
    StartWeek,
)
from panelworth.engine.trials import Array, Trials, likely_trial, trials_with
from panelworth.engine.uncertainty.distributions import chance_at_most
from panelworth.model.case import Case, inputs_of, option_prefix
from panelworth.model.dates import DAYS_IN_A_WEEK, day_after_weeks, month_index, month_start
from panelworth.model.fleet import Fleet
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS
from panelworth.model.schedule import Schedule

MONTHS_AHEAD = 18  # half a year to order, and then each month of the year once
TODAY = "today's airplane"  # no id of an option: ids have no spaces
SLIPS = np.arange(1, 9)  # weeks by which the work finishes later than likely


@dataclass(frozen=True, kw_only=True)
class Losses:
    """Running sums of the hours, contribution and worth lost, at the first day of each month.

    Why running sums: within a month they grow evenly by the day, so that linear interpolation
    between first days is exact. The loss of any downtime is then a difference of two values, for
    all starts at once.
    """

    first_day: Array
    hours: Array
    contribution: Array
    worth: Array


@dataclass(frozen=True, kw_only=True)
class ClosedDays:
    """For each day from `origin` on, the next day on which downtime is not allowed.

    The day itself counts; infinity where there is none. `fleet` is for days with too many aircraft
    down, `blackout` for blackouts.
    """

    origin: int
    fleet: Array
    blackout: Array


def downtime_figures(
    case: Case, option_id: str, weeks_p80: float | None = None
) -> DowntimeFigures | None:
    """Return the losses of the planned schedule at likely values; None without a schedule.

    `weeks_p80` is the 80th percentile of the weeks away in the trials, the likely weeks if left
    out.
    """
    schedule = case.options[option_id].schedule
    if schedule is None:
        return None
    weeks = schedule.weeks_down.likely
    start = np.array([float(schedule.start.toordinal())])
    losses = losses_of(case, likely_trial(case), _last_day(start, weeks))
    end = start + DAYS_IN_A_WEEK * weeks
    lost, money = hours_and_contribution_between(losses, start, end)
    return DowntimeFigures(
        start=schedule.start.isoformat(),
        finish=day_after_weeks(schedule.start, weeks).isoformat(),
        finish_p80=day_after_weeks(
            schedule.start, weeks if weeks_p80 is None else weeks_p80
        ).isoformat(),
        lost_hours=float(lost[0]),
        lost_contribution=float(money[0]),
        lost_worth=float(worth_between(losses, start, end)[0]),
    )


def planner_of(case: Case, option_id: str, *, months_ahead: int = MONTHS_AHEAD) -> Planner | None:
    """Return the Monday starts of the next months and the option's planned start.

    None without a schedule. Refused starts are listed but not ranked. Best by cost: the least lost
    worth, which is the worth of the hours less their cost. Best by risk: the least chance of a
    conflict, then the least lost worth. Of equal starts the earlier one comes first. If an hour is
    worth no more than it costs, the loss of hours would look like a gain; then starts are ranked by
    lost hours.
    """
    schedule = case.options[option_id].schedule
    if schedule is None:
        return None
    mondays = mondays_from(case.scenario.as_of, months_ahead)
    weeks = start_weeks(case, schedule, [*mondays, schedule.start])
    *others, planned = weeks
    gains = all(week.lost_worth > 0 for week in weeks if week.lost_hours > 0)
    key = "lost_worth" if gains else "lost_hours"
    cost = np.array([getattr(week, key) for week in others])
    allowed = [number for number, week in enumerate(others) if not week.refusals]
    by_cost = sorted(allowed, key=lambda number: (cost[number], number))
    by_risk = sorted(allowed, key=lambda n: (others[n].chance_conflict, cost[n], n))
    best = others[by_cost[0]] if by_cost else None
    extra = planned.lost_worth - best.lost_worth if best else None
    return Planner(
        weeks=tuple(others),
        planned=planned,
        ranked_by="lost_worth" if gains else "lost_hours",
        best_by_cost=tuple(by_cost),
        best_by_risk=tuple(by_risk),
        planned_extra_worth=extra,
        planned_extra_hours=planned.lost_hours - best.lost_hours if best else None,
        others_more=others_more(case, schedule, planned.lost_hours),
    )


def others_more(case: Case, schedule: Schedule, lost_hours: float) -> float | None:
    """Return the share by which the other aircraft fly more while this one is down.

    moved_share·lost_hours over the hours that the others fly in those days. Each flies
    hours_per_year·s(month), evenly over the days of a month, with its own season or else that of
    today's airplane. None for an owner, and where the others fly nothing in those days.
    """
    club, days = case.scenario.club, DAYS_IN_A_WEEK * schedule.weeks_down.likely
    if club is None or case.fleet is None:
        return None
    flown = 0.0
    for number in range(int(np.ceil(days))):
        day = schedule.start + timedelta(days=number)
        # The last day may be a part of a day.
        share = min(1.0, days - number) / monthrange(day.year, day.month)[1]
        for aircraft in case.fleet.aircraft:
            season = aircraft.season or case.scenario.aircraft.season
            flown += aircraft.hours_per_year * season[day.month - 1] / math.fsum(season) * share
    return lost_hours * club.moved_share.likely / flown if flown else None


def mondays_from(as_of: date, months_ahead: int) -> list[date]:
    """Return the Mondays from as_of, included, to the same day of the month `months_ahead` later.

    If that month is shorter, up to its last day.

    >>> mondays_from(date(2026, 11, 1), 1)[0].isoformat()
    '2026-11-02'
    """
    first = as_of + timedelta(days=-as_of.weekday() % DAYS_IN_A_WEEK)
    months, opens = month_start(as_of, months_ahead), month_start(as_of, months_ahead + 1)
    last = min(months + timedelta(days=as_of.day - 1), opens - timedelta(days=1))
    count = (last - first).days // DAYS_IN_A_WEEK + 1
    return [first + timedelta(weeks=number) for number in range(count)]


def start_weeks(case: Case, schedule: Schedule, starts: Sequence[date]) -> list[StartWeek]:
    """Return the figures of all these starts, worked out in one pass.

    Risks follow from the distributions of the weeks down and of the lead time; all else is likely.
    A conflict is a finish after the next day that is not allowed; its chance is P(weeks > room).
    """
    weeks = schedule.weeks_down
    begin = np.array([float(day.toordinal()) for day in starts])
    # The running sums and the closed days must reach to the end of the longest downtime.
    last = _last_day(begin, max(weeks.high, weeks.likely + float(SLIPS[-1])))
    losses = losses_of(case, likely_trial(case), last)
    closed = closed_days(case.fleet, case.scenario.as_of.toordinal(), last)
    lost, likely = hours_and_contribution_between(
        losses, begin, begin + DAYS_IN_A_WEEK * weeks.likely
    )
    low, worth, high = (
        worth_between(losses, begin, begin + DAYS_IN_A_WEEK * weeks_down)
        for weeks_down in (weeks.low, weeks.likely, weeks.high)
    )
    late = begin[:, np.newaxis] + DAYS_IN_A_WEEK * (weeks.likely + SLIPS)
    slips = worth_between(losses, begin[:, np.newaxis], late) - worth[:, np.newaxis]
    fleet, blackout = _next(closed, closed.fleet, begin), _next(closed, closed.blackout, begin)
    first = np.minimum(fleet, blackout)
    room = (first - begin) / DAYS_IN_A_WEEK
    # A finish at 0 o'clock of a closed day is allowed: the airplane is back before that day.
    risks = [
        1.0 - chance_at_most(weeks, (day - begin) / DAYS_IN_A_WEEK)
        for day in (fleet, blackout, first)
    ]
    ordered = float((schedule.order or case.scenario.as_of).toordinal())
    late_chance = 1.0 - chance_at_most(schedule.lead_weeks, (begin - ordered) / DAYS_IN_A_WEEK)
    return [
        StartWeek(
            start=day.isoformat(),
            finish=day_after_weeks(day, weeks.likely).isoformat(),
            lost_hours=float(lost[n]),
            lost_contribution=float(likely[n]),
            lost_worth=float(worth[n]),
            # An hour that costs more than it is worth makes more weeks a smaller loss.
            lost_worth_low=float(min(low[n], high[n])),
            lost_worth_high=float(max(low[n], high[n])),
            refusals=tuple(refusals(case, schedule, day)),
            chance_fleet=float(risks[0][n]),
            chance_blackout=float(risks[1][n]),
            chance_conflict=float(risks[2][n]),
            chance_late=float(late_chance[n]),
            room_weeks=float(room[n]) - weeks.likely if np.isfinite(room[n]) else None,
            slip_costs=tuple(slips[n].tolist()),
        )
        for n, day in enumerate(starts)
    ]


def losses_of(case: Case, trials: Trials, last_day: float) -> Losses:
    """Return the running sums of the losses of grounded days, in the first of these trials.

    hours(m) are those of the money figures without any downtime: all bookings of this airplane,
    before members move any to other aircraft. With k = 1 - moved_share,
    contribution(m) = k·hours·(charges - variable) is the loss of the club, and
    worth(m) = k·hours·(worth - variable) the loss of the members. A loss is positive.
    """
    last = month_index(case.scenario.as_of, date.fromordinal(int(last_day))) + 1
    # A late start may end past the horizon, so the years are enough for the last day.
    context = todays_context(case, trials, years=max(case.scenario.years, -(-last // MONTHS)))
    flown, k = hours(context, failures(context)), lost_share(context)
    gain, worth = (
        flown * by_month(context.months, per_hour(context).first)
        for per_hour in (contribution, net_worth)
    )
    return Losses(
        first_day=context.months.first_day.astype(np.float64),
        hours=_running(flown[0]),
        contribution=_running((gain * k)[0]),
        worth=_running((worth * k)[0]),
    )


def todays_context(case: Case, trials: Trials, *, years: int) -> OptionContext:
    """Return the context of an option that keeps today's airplane as it is for so many years.

    An option's [after] does not count, since it begins only after the days of the downtime.
    """
    option = Option(title="Today's airplane", kind="keep")
    scenario = case.scenario.model_copy(update={"years": years})
    today = replace(case, scenario=scenario, options={TODAY: option})
    likely_values = {
        input_.path: np.array([input_.quantity.likely])
        for input_ in inputs_of(option, option_prefix(TODAY))
    }
    return option_context(today, TODAY, trials_with(trials, likely_values))


def hours_and_contribution_between(losses: Losses, start: Array, end: Array) -> tuple[Array, Array]:
    """Return the hours and the contribution lost in [start, end), two arrays of day numbers."""
    lost = np.interp(end, losses.first_day, losses.hours)
    money = np.interp(end, losses.first_day, losses.contribution)
    return (
        lost - np.interp(start, losses.first_day, losses.hours),
        money - np.interp(start, losses.first_day, losses.contribution),
    )


def worth_between(losses: Losses, start: Array, end: Array) -> Array:
    """Return the worth less the cost of the hours lost in [start, end)."""
    until, since = (np.interp(day, losses.first_day, losses.worth) for day in (end, start))
    lost: Array = until - since
    return lost


def closed_days(fleet: Fleet | None, origin: int, last_day: float) -> ClosedDays:
    """Return for each day the next day on which this airplane may not be down.

    The rules are those of start_rules, for too many aircraft down and for blackouts.
    """
    days = np.arange(origin, int(last_day) + 2)
    fleet = fleet or Fleet()
    busy = _on_days(too_many_down(fleet), days)
    black = _on_days(united(fleet.blackout), days)
    return ClosedDays(origin=origin, fleet=_next_true(busy), blackout=_next_true(black))


def _running(monthly: Array) -> Array:
    return np.concatenate(([0.0], np.cumsum(monthly)))


def _last_day(starts: Array, weeks: float) -> float:
    return float(starts.max()) + DAYS_IN_A_WEEK * weeks + 1


def _on_days(stretches: Sequence[Stretch], days: Integers) -> Mask:
    covered = np.zeros(len(days), dtype=np.bool_)
    for first, last in stretches:
        covered |= (days >= first) & (days <= last)
    return covered


def _next_true(flags: Mask) -> Array:
    """Return for each index the next index with a true flag, itself included; infinity if none."""
    places = np.where(flags, np.arange(len(flags), dtype=np.float64), np.inf)
    nearest: Array = np.minimum.accumulate(places[::-1])[::-1]
    return nearest


def _next(closed: ClosedDays, days: Array, starts: Array) -> Array:
    next_days: Array = days[starts.astype(np.int64) - closed.origin] + closed.origin
    return next_days
