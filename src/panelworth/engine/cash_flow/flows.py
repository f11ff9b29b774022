"""All rows of an option's cash flow, its net, its cost and its benefit, in every trial at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine.cash_flow import (
    failures,
    hourly_prices,
    membership,
    project,
    running_costs,
)
from panelworth.engine.cash_flow.hours import hours
from panelworth.engine.cash_flow.loans import Borrowing, LoanPlan, borrowing_of, loan_plan
from panelworth.engine.cash_flow.option_context import OptionContext, option_context
from panelworth.engine.cash_flow.present_value import Discounted
from panelworth.engine.cash_flow.recurring import recurring
from panelworth.engine.cash_flow.rows import Multiples, Row, added, monthly
from panelworth.engine.cash_flow.small_jobs import jobs_still_to_come
from panelworth.engine.cash_flow.valuation import end_value
from panelworth.engine.trials import Array, Trials
from panelworth.model.case import Case

INCOME = ("charges", "dues", "fees", "other")
RUNNING = (
    *("variable", "fixed", "insurance", "repairs", "failures", "recurring", "jobs", "value_tax"),
)
GAINS = ("worth", "newcomers")
PAID = ("project", "purchase")
RECEIVED = ("credits", "sale")


@dataclass(frozen=True, kw_only=True)
class Present:
    """An option's present values, Σ flow·d, each of shape (T or 1,).

    `cost` is positive for money out, `net` and `gains` for money in. `hours` are discounted tach
    hours: a levelised cost divides by them, so that cost and hours are at the same date. `end` is
    the end value·d(H).
    """

    cost: Array
    net: Array
    gains: Array
    hours: Array
    end: Array


@dataclass(frozen=True, kw_only=True)
class Flows:
    """An option in T trials: money of shape (T or 1, H+1) by month, at the end of each month.

    All rows are positive numbers, costs too; `net` and `cost` have the signs. `narrow` has the rows
    in the shapes of rows.py. Properties by month are computed at each use: a stored array of all
    trials and months takes much memory.
    """

    context: OptionContext
    project: project.Project
    narrow: Mapping[str, Row]
    multiples: Multiples
    end_value: Array
    borrowing: Borrowing | None

    @property
    def members(self) -> Array:
        """The number of members in each month, from month 0; 0 for an owner."""
        club = self.context.scenario.club
        return (club.members if club else 0.0) + self.multiples.newcomer

    @property
    def members_now(self) -> Array:
        """The number of members in month 0, shape (1,): new members join only after the finish."""
        club = self.context.scenario.club
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
        """What members pay and the club's other income, as a row."""
        return self._added(INCOME)

    @cached_property
    def costs(self) -> Row:
        """Running costs and project outlays less credits and sale, as a row."""
        return self._added(RUNNING + PAID) - self._added(RECEIVED)

    @cached_property
    def present(self) -> "Present":
        """The option's money in present values."""
        context = self.context
        discounted = Discounted(
            dates=context.dates, multiples=self.multiples, factors=context.discount
        )
        cost = discounted.present(self.costs)
        return Present(
            cost=cost,
            net=discounted.present(self.income) - cost,
            gains=discounted.present(self._added(GAINS)),
            hours=discounted.hours,
            end=self.end_value * context.discount[:, -1],
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
        """The benefit to all of today's members who stay: worth + newcomers - cost.

        Before any raise or loan: a raise moves money between members and their club, and a loan
        is valued separately (loans.loan_value).
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
        """Add up the rows of these names; an owner has no row of a club."""
        return added(*(self.narrow[name] for name in names if name in self.narrow))

    def by_month(self, row: Row) -> Array:
        """Return a row's money in each month, shape (T or 1, H+1)."""
        return monthly(self.context.dates, row, self.multiples)


def flows_of(
    case: Case,
    option_id: str,
    trials: Trials,
    *,
    loan: LoanPlan | None = None,
    likely_loan_month: bool = False,
) -> Flows:
    """Return all rows of one option in these trials.

    `loan` is the option's loan plan, if the caller already has it: it needs an evaluation at likely
    values. With `likely_loan_month` the loan is drawn in its likely month in every trial.
    """
    context = option_context(case, option_id, trials)
    failed = failures.failures(context)
    flown, joined = hours(context, failed), membership.newcomers(context)
    flown[:, 0] = 0.0  # operations run in months 1..H
    paid = project.project_of(context)
    income = membership.club_income(context, joined)
    rows = {
        "charges": Row(hourly=hourly_prices.charges(context)),
        **income,
        "worth": Row(hourly=hourly_prices.worth(context)),
        "newcomers": membership.from_newcomers(income),
        "variable": Row(hourly=hourly_prices.hourly_cost(context)),
        "fixed": running_costs.fixed(context),
        "insurance": running_costs.insurance(context),
        "repairs": running_costs.repairs(context),
        "failures": failures.row_of(context, failed),
        "recurring": recurring(context),
        "jobs": jobs_still_to_come(context),
        "value_tax": running_costs.value_tax(context),
        "project": Row(dated=project.placed(context, paid.items_due)),
        "purchase": Row(dated=project.placed(context, paid.purchase_due)),
        "credits": Row(dated=project.placed(context, paid.credits_due)),
        "sale": Row(dated=project.placed(context, paid.sale_due)),
    }
    return Flows(
        context=context,
        project=paid,
        narrow=rows,
        multiples=Multiples(hourly=flown, newcomer=joined, down=context.down),
        end_value=end_value(context, paid.resale),
        borrowing=borrowing_of(
            loan or loan_plan(case, option_id), context, paid, likely_month=likely_loan_month
        ),
    )
