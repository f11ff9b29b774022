"""All rows of an option's cash flow, its net and its cost, in every world at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine import membership, operations, project
from panelworth.engine.course import Course, course_of
from panelworth.engine.loans import Borrowing, LoanPlan, borrowing_of, loan_plan
from panelworth.engine.rows import Row, added, monthly
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
    """An option in W worlds: money of shape (W or 1, H+1) by month, flows at the end of each.

    Rows are positive numbers, costs too; `net` and `cost` carry the signs. `members` counts
    people and has its month 0; `hours` counts tach hours. `narrow` holds the rows as rows.py has
    them.
    """

    course: Course
    project: project.Project
    narrow: Mapping[str, Row]
    hours: Array
    members: Array
    end_value: Array
    borrowing: Borrowing | None

    @cached_property
    def rows(self) -> dict[str, Array]:
        """Every row by month."""
        return {name: self._summed((name,)) for name in self.narrow}

    @cached_property
    def cost(self) -> Array:
        """Running costs and project outlays less credits and sale: money out is positive."""
        return self._summed(RUNNING + PAID) - self._summed(RECEIVED)

    @cached_property
    def net(self) -> Array:
        """Income less cost, before funding: money in is positive."""
        return self._summed(INCOME) - self.cost

    @cached_property
    def gains(self) -> Array:
        """Worth of the hours, and money from newcomers."""
        return self._summed(GAINS)

    @property
    def benefit(self) -> Array:
        """What the option brings to today's members who stay: worth + newcomers - cost.

        All of them taken together, whichever of them pays, before any raise or loan.
        """
        return self.gains - self.cost

    @property
    def running(self) -> Array:
        """Running costs alone; money out is positive."""
        return self._summed(RUNNING)

    @property
    def loan(self) -> Array:
        """Loan cash in each month, drawn positive and paid negative; 0 without a loan."""
        return np.zeros((1, 1)) if self.borrowing is None else self.borrowing.cash

    @property
    def invested(self) -> Array:
        """Project flows alone: outlays less credits and sale; money out is positive."""
        return self._summed(PAID) - self._summed(RECEIVED)

    def _summed(self, names: tuple[str, ...]) -> Array:
        """Add up the named rows that there are, and spread the sum over the months."""
        whole = added(*(self.narrow[name] for name in names if name in self.narrow))
        course = self.course
        return monthly(course.months, course.dates, whole, hours=self.hours, members=self.members)


def flows_of(
    case: Case,
    option_id: str,
    worlds: Worlds,
    *,
    loan: LoanPlan | None = None,
    likely_loan_month: bool = False,
) -> Flows:
    """Work out every row of one option in these worlds.

    `loan` is the option's plan, where the caller has it at hand. `likely_loan_month` keeps the
    month in which a loan is drawn as it is in the likely view.
    """
    course = course_of(case, option_id, worlds)
    flown, people = operations.hours(course), membership.members(course)
    flown[:, 0] = 0.0  # operations run in months 1..H
    paid = project.project_of(course)
    income = membership.club_income(course, people)
    rows = {
        "charges": Row(hourly=operations.charges(course)),
        **income,
        "worth": Row(hourly=operations.worth(course)),
        "newcomers": membership.newcomers(course, income),
        "variable": Row(hourly=operations.hourly_cost(course)),
        "fixed": operations.fixed(course),
        "insurance": operations.insurance(course),
        "repairs": operations.repairs(course),
        "recurring": operations.recurring(course),
        "jobs": operations.jobs(course),
        "value_tax": operations.value_tax(course),
        "project": Row(dated=project.placed(course, paid.items_due)),
        "purchase": Row(dated=project.placed(course, paid.purchase_due)),
        "credits": Row(dated=project.placed(course, paid.credits_due)),
        "sale": Row(dated=project.placed(course, paid.sale_due)),
    }
    return Flows(
        course=course,
        project=paid,
        narrow=rows,
        hours=flown,
        members=people,
        end_value=end_value(course, paid.resale),
        borrowing=borrowing_of(
            loan or loan_plan(case, option_id), course, paid, likely_month=likely_loan_month
        ),
    )
