"""The headline figures, worked out a second time from the monthly flows by a library.

Every build makes this check before it publishes, because a site with a wrong headline is worse than
no site. It checks how flows are discounted and added up, and not the flows themselves.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy_financial as npf

from panelworth.engine.results.figures import (
    Figures,
    Series,
)
from panelworth.engine.trials import Array
from panelworth.model.scenario import HALF_A_CENT, MONTHS

RELATIVE = 1e-9  # of all money that is paid: far above the floating-point error of the sums


@dataclass(frozen=True, kw_only=True)
class Disagreement:
    """A figure of an option for which the engine and the library disagree, both in money."""

    option: str
    figure: str
    engine: float
    library: float


def disagreements(figures: Figures, *, discount: float) -> Iterator[Disagreement]:
    """Yield the figures on which numpy-financial's npv does not agree with the engine.

    npv: the present value of net with the end value at the horizon. net_benefit: that of worth +
    newcomers - cost with the end value and the loan's cash, less the baseline's. At each irr the
    difference to the baseline, without loans, must have the present value 0. `discount` is the
    likely rate a year; months are discounted at (1 + discount)^(1/12) - 1.
    """
    for option_id, option in figures.options.items():
        option_flows, base = (_Flows.of(figures, one) for one in (option_id, figures.baseline))
        likely, near = option.likely, HALF_A_CENT + RELATIVE * (option_flows.gross + base.gross)
        net_benefit = option_flows.total(discount) - base.total(discount)
        checks = [
            ("npv", likely.npv, _present(option_flows.net, discount), near),
            ("net_benefit", likely.net_benefit, net_benefit, near),
        ]
        for number, rate in enumerate(likely.irr):
            # At a rate far below 0 the factors of late flows are large, and so are their errors.
            largest = near * max(1.0, (1.0 + rate) ** -figures.years)
            present = _present(option_flows.benefit - base.benefit, rate)
            checks.append((f"irr[{number}]", 0.0, present, largest))
        for figure, engine, library, allowed in checks:
            if abs(engine - library) > allowed:
                yield Disagreement(option=option_id, figure=figure, engine=engine, library=library)


@dataclass(frozen=True, kw_only=True)
class _Flows:
    """One option's flows by month, each of shape (H+1,); the end value is in the last month."""

    net: Array
    benefit: Array
    loan: Array

    @classmethod
    def of(cls, figures: Figures, option_id: str) -> "_Flows":
        series, end = figures.series[option_id], np.zeros(figures.years * MONTHS + 1)
        end[-1] = figures.options[option_id].likely.end_value
        gains = np.array(series.rows["worth"]) + np.array(series.rows["newcomers"])
        return cls(
            net=np.array(series.net) + end,
            benefit=gains - np.array(series.cost) + end,
            loan=_loan_cash(series),
        )

    @property
    def gross(self) -> float:
        return float(np.abs(self.net).sum() + np.abs(self.benefit).sum())

    def total(self, discount: float) -> float:
        return _present(self.benefit + self.loan, discount)


def _loan_cash(series: Series) -> Array:
    """Return a loan's cash to the borrower by month; the debt at the horizon is repaid then."""
    cash, loan = np.zeros(len(series.net)), series.loan
    if loan is not None:
        cash[loan.drawn_month] += loan.principal
        months = len(cash) - 1 - loan.drawn_month
        for number, payment in enumerate(loan.payments[:months], start=1):
            cash[loan.drawn_month + number] -= payment
        owed = (loan.principal, *loan.balances)
        cash[-1] -= owed[min(months, len(loan.balances))]
    return cash


def _present(flows: Array, rate: float) -> float:
    return float(npf.npv((1.0 + rate) ** (1.0 / MONTHS) - 1.0, flows))
