"""All rows of an option's cash flow, its net and its cost, in every world at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine import membership, operations, project
from panelworth.engine.course import Course, course_of
from panelworth.engine.discounted import Discounted
from panelworth.engine.loans import Borrowing, LoanPlan, borrowing_of, loan_plan
from panelworth.engine.rows import Multiples, Row, added, monthly
from panelworth.engine.valuation import end_value
from panelworth.engine.worlds import Array, Worlds
from panelworth.model.case import Case

INCOME = ("charges", "dues", "fees", "other")
RUNNING = ("variable", "fixed", "insurance", "repairs", "recurring", "jobs", "value_tax")
GAINS = ("worth", "newcomers")
PAID = ("project", "purchase")
RECEIVED = ("credits", "sale")


@dataclass(frozen=True, kw_only=True)
class Present:
    """An option's sums by discount factors, Σ flow·d, each of shape (W or 1,).

    `cost`, `net` and `gains` are rows' sums with the signs they have by month; `hours` counts tach
    hours; `end` is the end value at the horizon's factor.
    """

    cost: Array
    net: Array
    gains: Array
    hours: Array
    end: Array


@dataclass(frozen=True, kw_only=True)
class Flows:
    """An option in W worlds: money of shape (W or 1, H+1) by month, flows at the end of each.

    Rows are positive numbers, costs too; `net` and `cost` carry the signs. `narrow` holds the rows
    as rows.py has them. What is given by month is added up anew each time it is asked for.
    """

    course: Course
    project: project.Project
    narrow: Mapping[str, Row]
    multiples: Multiples
    end_value: Array
    borrowing: Borrowing | None

    @property
    def members(self) -> Array:
        """People in each month, month 0 included; 0 for an owner."""
        club = self.course.scenario.club
        return (club.members if club else 0.0) + self.multiples.newcomer

    @property
    def members_now(self) -> Array:
        """People in month 0, shape (1,): those who join come after the finish."""
        club = self.course.scenario.club
        return np.array([club.members if club else 0.0])

    @property
    def hours(self) -> Array:
        """Tach hours flown in each month."""
        return self.multiples.hourly

    @cached_property
    def rows(self) -> dict[str, Array]:
        """Every row by month."""
        return {name: self.by_month(row) for name, row in self.narrow.items()}

    @cached_property
    def income(self) -> Row:
        """What members and the club bring in, not yet by month."""
        return self._added(INCOME)

    @cached_property
    def costs(self) -> Row:
        """Running costs and project outlays less credits and sale, not yet by month."""
        return self._added(RUNNING + PAID) - self._added(RECEIVED)

    @cached_property
    def present(self) -> "Present":
        """The option's money in present values."""
        course = self.course
        discounted = Discounted(
            dates=course.dates, multiples=self.multiples, factors=course.discount
        )
        cost = discounted.present(self.costs)
        return Present(
            cost=cost,
            net=discounted.present(self.income) - cost,
            gains=discounted.present(self._added(GAINS)),
            hours=discounted.hours,
            end=self.end_value * course.discount[:, -1],
        )

    @property
    def cost(self) -> Array:
        """Running costs and project outlays less credits and sale: money out is positive."""
        return self.by_month(self.costs)

    @property
    def net(self) -> Array:
        """Income less cost, before funding: money in is positive."""
        return self.by_month(self.income - self.costs)

    @property
    def benefit(self) -> Array:
        """What the option brings to today's members who stay: worth + newcomers - cost.

        All of them taken together, whichever of them pays, before any raise or loan.
        """
        return self.by_month(self._added(GAINS) - self.costs)

    @property
    def running(self) -> Array:
        """Running costs alone; money out is positive."""
        return self.by_month(self._added(RUNNING))

    @property
    def loan(self) -> Row:
        """Loan cash, drawn positive and paid negative; nothing without a loan."""
        return Row() if self.borrowing is None else Row(monthly=self.borrowing.cash)

    @property
    def invested(self) -> Array:
        """Project flows alone: outlays less credits and sale; money out is positive."""
        return self.by_month(self._added(PAID) - self._added(RECEIVED))

    def _added(self, names: tuple[str, ...]) -> Row:
        """Add up the named rows that there are."""
        return added(*(self.narrow[name] for name in names if name in self.narrow))

    def by_month(self, row: Row) -> Array:
        """Return a row's money in each month, shape (W or 1, H+1)."""
        return monthly(self.course.dates, row, self.multiples)


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
    flown, joined = operations.hours(course), membership.newcomers(course)
    flown[:, 0] = 0.0  # operations run in months 1..H
    paid = project.project_of(course)
    income = membership.club_income(course, joined)
    rows = {
        "charges": Row(hourly=operations.charges(course)),
        **income,
        "worth": Row(hourly=operations.worth(course)),
        "newcomers": membership.from_newcomers(income),
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
        multiples=Multiples(hourly=flown, newcomer=joined, down=course.dates.down),
        end_value=end_value(course, paid.resale),
        borrowing=borrowing_of(
            loan or loan_plan(case, option_id), course, paid, likely_month=likely_loan_month
        ),
    )
