"""An option's months less the baseline's as formulas: the incremental flows and their payback."""

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import Literal

from panelworth.engine.results.figures import (
    Series,
)
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.month_table import MonthColumn, MonthRow, MonthTable
from panelworth.publishing.workbook.words import KINDS

Discounting = Literal["", "discounted "]  # how the keys of cumulative columns begin
BELOW_ZERO = "-0.005"  # half a cent: a cumulative sum from here up counts as 0
HEADINGS = {
    "cumulative": N_("Running sum"),
    "behind": N_("Behind until"),
    "recovered": N_("Back again"),
    "discounted cumulative": N_("Discounted running sum"),
    "discounted behind": N_("Discounted behind until"),
    "discounted recovered": N_("Discounted back again"),
}


def incremental_columns(context: FormulaContext, baseline: MonthTable) -> Iterator[MonthColumn]:
    """Yield the differences to the baseline, and the columns for paybacks and returns."""
    series, base = context.series, context.view.series(context.view.figures.baseline)
    flows = [a - b for a, b in zip(series.benefit, base.benefit, strict=True)]
    yield MonthColumn(
        key="increment",
        heading=_("Benefit against the baseline"),
        formula=lambda row: _difference(row, baseline, "benefit"),
        values=flows,
    )
    yield from _payback_columns(context, "", flows)
    discount = series.factors["discount"]
    discounted = [flow * factor for flow, factor in zip(flows, discount, strict=True)]
    yield from _payback_columns(context, "discounted ", discounted)
    yield _with_end_value(context, flows)
    yield MonthColumn(
        key="invested",
        heading=_("Put in, against the baseline"),
        formula=lambda row: _difference(row, baseline, "project_net"),
        values=[a - b for a, b in zip(series.invested, base.invested, strict=True)],
    )


def _difference(row: MonthRow, baseline: MonthTable, key: str) -> str:
    """Return a column less the baseline's.

    Rounding turns a floating-point residue into 0, since other formulas would take it for a flow.
    """
    return f"ROUND({row(key)}-{baseline.cell(key, row.month)},8)"


def _payback_columns(
    context: FormulaContext, discounting: Discounting, flows: Sequence[float]
) -> Iterator[MonthColumn]:
    """Yield the cumulative sum, the months in which it is below 0, and those of the recovery.

    A month of recovery is not before the last project flow, and the sum is not below 0 in it, but
    was below 0 before.
    """
    total, behind, recovered = (
        f"{discounting}{key}" for key in ("cumulative", "behind", "recovered")
    )
    sums = list(accumulate(flows))
    below = [value < float(BELOW_ZERO) for value in sums]
    settled = last_project_month(context.series)

    def cumulative(row: MonthRow) -> str:
        flow = f"{row('increment')}*{row('discount')}" if discounting else row("increment")
        return f"{row.previous(total)}+{flow}" if row.month else flow

    def recovered_in(row: MonthRow) -> str:
        now = f"{row(total)}>={BELOW_ZERO},{row('month')}>={context.cell('settled_month')}"
        return f'IF(AND({now},MAX({row.to_date(behind)})>0),{row("month")},"")'

    yield MonthColumn(key=total, heading=_(HEADINGS[total]), formula=cumulative, values=sums)
    yield MonthColumn(
        key=behind,
        heading=_(HEADINGS[behind]),
        style="whole",
        formula=lambda row: f"IF({row(total)}<{BELOW_ZERO},{row('month')}+1,0)",
        values=[month + 1 if is_below else 0 for month, is_below in enumerate(below)],
    )
    yield MonthColumn(
        key=recovered,
        heading=_(HEADINGS[recovered]),
        style="whole",
        formula=recovered_in,
        values=[
            month if month >= settled and any(below[:month]) and not is_below else ""
            for month, is_below in enumerate(below)
        ],
    )


def _with_end_value(context: FormulaContext, flows: list[float]) -> MonthColumn:
    """Return the differences for rates of return: the last month includes the end values."""
    baseline = context.compared
    value = context.figures.likely.end_value - baseline.figures.likely.end_value
    last = len(flows) - 1
    end = f"{context.cell('end_value')}-{baseline.cell('end_value')}"

    def formula(row: MonthRow) -> str:
        flow = row("increment")
        return f"ROUND({flow}+{end},8)" if row.month == last else flow

    return MonthColumn(
        key="with_end",
        heading=_("With the value at the end"),
        formula=formula,
        values=[*flows[:-1], flows[-1] + value],
    )


def last_project_month(series: Series) -> int:
    """Return the month of the option's last project flow, 0 where there is none."""
    rows = zip(*(series.rows[kind] for kind in KINDS), strict=True)
    return max((month for month, flows in enumerate(rows) if any(flows)), default=0)
