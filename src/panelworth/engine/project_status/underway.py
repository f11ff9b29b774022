"""The chosen option as it is on the status date: prices by the ledger, dates as they happened."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from panelworth.engine.cash_flow.calendar import MoreWeeks
from panelworth.engine.cash_flow.surprises import event_path, weeks_of
from panelworth.engine.ledger.allocation import parts_of
from panelworth.engine.ledger.settlement import settled_on
from panelworth.engine.project_status.weeks import likely_weeks, weeks_from, weeks_known
from panelworth.engine.trials import Array, Trials, likely_trial, trials_with
from panelworth.engine.uncertainty.draws import Draws
from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks
from panelworth.model.decision import Decision
from panelworth.model.option import Option
from panelworth.model.schedule import Schedule
from panelworth.model.status_date import status_date
from panelworth.model.surprise import Surprise, has_happened
from panelworth.model.value import Quantity, exactly

CERTAIN = 0.5  # any probability gives the value of a certain number


@dataclass(frozen=True, kw_only=True)
class Underway:
    """The chosen option of a decision on the status date `day`.

    `voted` is the case that the members voted on. `case` has the ledger's rows and payments up to
    the day, and the option's dates as they happened. `unpaid` is the same without the payments
    after as_of: the month in which a loan is drawn follows from it, as in the comparison.
    `schedule` has a start in any case where there is one at all: that which happened, else the
    later of the plan and the day after the status date.
    """

    voted: Case
    case: Case
    unpaid: Case
    option_id: str
    decision: Decision
    day: date
    schedule: Schedule | None

    @property
    def planned(self) -> Schedule | None:
        """The schedule that was voted on."""
        return self.voted.options[self.option_id].schedule

    @property
    def ordered(self) -> bool:
        """Whether the order has been placed: without a schedule, with the vote."""
        planned = self.planned
        return planned is None or bool(planned.ordered or planned.started or planned.finished)

    @property
    def order_day(self) -> date | None:
        """The day of the order, as planned where only a later step is stated; None before it."""
        planned = self.planned
        if planned is None:
            return self.decision.on
        planned_day = planned.order or self.voted.scenario.as_of
        return (planned.ordered or planned_day) if self.ordered else None

    @property
    def can_estimate(self) -> bool:
        """Whether the finish can be estimated on the status date."""
        return self.schedule is None or weeks_known(self.schedule, self.day, self._found)

    @cached_property
    def _found(self) -> float:
        """The likely weeks of what has turned up by the status date."""
        return self._more(likely_trial(self.case)).likely

    def _more(self, trials: Trials) -> MoreWeeks:
        option = self.case.options[self.option_id]
        return weeks_of(self.case, self.option_id, option, trials)

    @property
    def likely_weeks(self) -> float:
        """The likely weeks from start to finish, as seen on the status date."""
        return likely_weeks(self.schedule, self.day, self._found) if self.schedule else 0.0

    def finish_after(self, weeks: float) -> date | None:
        """Return the day of the finish after so many weeks; None without a schedule."""
        return day_after_weeks(self.schedule.start, weeks) if self.schedule else None

    def likely_trial(self, likely: Trials) -> Trials:
        """Return the likely view with the likely weeks of the status date."""
        if self.schedule is None:
            return likely
        weeks = np.full(1, self.likely_weeks - self._found)  # the cash flow adds those found
        return trials_with(likely, {self.schedule.weeks_down.path: weeks})

    def weeks(self, draws: Draws) -> Array:
        """Return the weeks from start to finish in drawn trials, shape (T or 1,)."""
        return self._weeks_down(draws) + self._more(draws.trials).drawn

    def _weeks_down(self, draws: Draws) -> Array:
        if self.schedule is None:
            return np.zeros(1)
        path, left = self.schedule.weeks_down.path, self.schedule.weeks_left
        root = self.case.roots.get(path, path)
        return weeks_from(
            self.schedule,
            self.day,
            draws.probabilities.get(root, np.full(1, CERTAIN)),
            weeks_left=draws.trials.of(left) if left else 0.0,
            found=self._found,
        )

    def trials_of(self, draws: Draws) -> Trials:
        """Return drawn trials with the weeks as they are known on the status date."""
        if self.schedule is None:
            return draws.trials
        return trials_with(draws.trials, {self.schedule.weeks_down.path: self._weeks_down(draws)})


def underway(voted: Case) -> Underway | None:
    """Return the chosen option on the status date; None before a decision."""
    decision = voted.scenario.decision
    if decision is None or decision.chosen not in voted.options:
        return None
    day, written = status_date(voted), voted.written
    parts = parts_of(written)
    schedule = _happened(voted.options[decision.chosen].schedule, day)
    by_rows = {
        "case": settled_on(written, parts, day, paid_until=day),
        "unpaid": settled_on(written, parts, day, paid_until=voted.scenario.as_of),
    }
    cases = {key: _with_schedule(case, decision.chosen, schedule) for key, case in by_rows.items()}
    placed = cases["case"].options[decision.chosen].schedule
    return Underway(
        voted=voted,
        **cases,
        option_id=decision.chosen,
        decision=decision,
        day=day,
        schedule=placed,
    )


def _happened(planned: Schedule | None, day: date) -> Schedule | None:
    """Return the schedule with what happened in place of the plan."""
    if planned is None:
        return None
    started = planned.started or (planned.start if planned.finished else None)
    start = started or max(planned.start, day + timedelta(days=1))
    order = planned.ordered or planned.order
    return planned.model_copy(update={"start": start, "started": started, "order": order})


def _with_schedule(case: Case, option_id: str, schedule: Schedule | None) -> Case:
    """Return the case with the option's dates, and with surprises as they are known by then."""
    option: Option = case.options[option_id]
    surprises = tuple(
        surprise.model_copy(update=_known(case, option_id, surprise, schedule))
        for surprise in option.surprises
    )
    option = option.model_copy(update={"schedule": schedule, "surprises": surprises})
    return replace(case, options={**case.options, option_id: option})


def _known(
    case: Case, option_id: str, surprise: Surprise, schedule: Schedule | None
) -> dict[str, Quantity]:
    """Return what is known of a surprise: after the finish, none can come any more.

    Weeks that are left, or were taken, are stated with those of what has turned up.
    """
    happened = has_happened(case.ledger_statuses.get(event_path(option_id, surprise)))
    over = schedule is not None and schedule.finished is not None
    left = schedule is not None and schedule.weeks_left is not None
    known = {"chance": exactly(0.0)} if over or surprise.resolved is False else {}
    return known | ({"weeks": exactly(0.0)} if over or (left and happened) else {})
