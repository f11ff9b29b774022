"""All rows of an option's cash flow, its net and its cost, in every world at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine import operations, project
from panelworth.engine.course import Course, course_of
from panelworth.engine.loans import Borrowing, borrowing_of
from panelworth.engine.valuation import end_value
from panelworth.engine.worlds import Array, Worlds
from panelworth.model.case import Case

INCOME = ("charges", "dues", "fees", "other")
RUNNING = ("variable", "fixed", "insurance", "repairs", "recurring", "jobs", "value_tax")
GAINS = ("worth", "newcomers")
PAID = ("project", "purchase")
RECEIVED = ("credits", "sale")


@dataclass(frozen=True, kw_only=True)
class Flows:
    """An option in W worlds: money rows of shape (W or 1, H+1), flows at the end of each month.

    Rows are positive numbers, costs too; `net` and `cost` carry the signs. `members` counts
    people and has its month 0; `hours` counts tach hours.
    """

    course: Course
    project: project.Project
    rows: Mapping[str, Array]
    hours: Array
    members: Array
    end_value: Array
    borrowing: Borrowing | None

    @cached_property
    def cost(self) -> Array:
        """Running costs and project outlays less credits and sale: money out is positive."""
        return added(self.rows, RUNNING + PAID) - added(self.rows, RECEIVED)

    @cached_property
    def net(self) -> Array:
        """Income less cost, before funding: money in is positive."""
        return added(self.rows, INCOME) - self.cost

    @cached_property
    def benefit(self) -> Array:
        """What the option brings to today's members who stay: worth + newcomers - cost.

        All of them taken together, whichever of them pays, before any raise or loan.
        """
        return added(self.rows, GAINS) - self.cost

    @property
    def running(self) -> Array:
        """Running costs alone; money out is positive."""
        return added(self.rows, RUNNING)

    @property
    def loan(self) -> Array:
        """Loan cash in each month, drawn positive and paid negative; 0 without a loan."""
        return np.zeros((1, 1)) if self.borrowing is None else self.borrowing.cash

    @property
    def invested(self) -> Array:
        """Project flows alone: outlays less credits and sale; money out is positive."""
        return added(self.rows, PAID) - added(self.rows, RECEIVED)


def added(rows: Mapping[str, Array], names: tuple[str, ...]) -> Array:
    """Add up the named rows that there are, shape (W or 1, H+1)."""
    there = [rows[name] for name in names if name in rows]
    kept = [row for row in there if len(row) > 1 or row.any()]
    shape = np.broadcast_shapes((1, 1), *(row.shape for row in there))
    first, second = [*kept, np.zeros((1, 1)), np.zeros((1, 1))][:2]
    whole: Array = np.add(first, second, out=np.empty(shape))
    for row in kept[2:]:
        whole += row
    return whole


def flows_of(
    case: Case, option_id: str, worlds: Worlds, *, likely_loan_month: bool = False
) -> Flows:
    """Work out every row of one option in these worlds.

    `likely_loan_month` keeps the month in which a loan is drawn as it is in the likely view.
    """
    course = course_of(case, option_id, worlds)
    flown, people = operations.hours(course), operations.members(course)
    income = operations.club_income(course, people)
    running = {
        "charges": operations.charges(course, flown),
        **income,
        "worth": operations.worth(course, flown),
        "newcomers": operations.newcomers(course, people, income.get("fees")),
        "variable": operations.variable(course, flown),
        "fixed": operations.fixed(course),
        "insurance": operations.insurance(course),
        "repairs": operations.repairs(course),
        "recurring": operations.recurring(course),
        "jobs": operations.jobs(course),
        "value_tax": operations.value_tax(course),
    }
    paid = project.project_of(course)
    rows = {name: _from_month_1(course, row) for name, row in running.items()}
    rows["project"] = project.placed(course, paid.items_due)
    rows["purchase"] = project.placed(course, paid.purchase_due)
    rows["credits"] = project.placed(course, paid.credits_due)
    rows["sale"] = project.placed(course, paid.sale_due)
    outlays = rows["project"] + rows["purchase"]
    return Flows(
        course=course,
        project=paid,
        rows=rows,
        hours=_from_month_1(course, flown),
        members=people,
        end_value=end_value(course, paid.resale),
        borrowing=borrowing_of(case, course, outlays, likely_month=likely_loan_month),
    )


def _from_month_1(course: Course, row: Array) -> Array:
    """Clear month 0, which carries dated flows only; widen a constant to all months.

    A row that is wide already is cleared in its place: it was worked out for this alone.
    """
    months = course.months.last + 1
    if row.shape[1] != months or row.base is not None:
        row = np.array(np.broadcast_to(row, (len(row), months)))
    row[:, 0] = 0.0
    return row
