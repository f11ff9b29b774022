"""An option's months against the baseline's as formulas: differences, running sums, paybacks."""

from collections.abc import Iterator, Sequence
from itertools import accumulate

from panelworth.engine.results.figures import Series
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.reserve import project_net
from panelworth.publishing.workbook.terms import Column, Line, Table, Terms
from panelworth.publishing.workbook.words import KINDS

SHORT = "-0.005"  # half a cent: a running sum from here up counts as 0
HEADINGS = {
    "running": N_("Running sum"),
    "behind": N_("Behind until"),
    "back": N_("Back again"),
    "discounted running": N_("Discounted running sum"),
    "discounted behind": N_("Discounted behind until"),
    "discounted back": N_("Discounted back again"),
}


def against_columns(terms: Terms, baseline: Table) -> Iterator[Column]:
    """Yield the differences to the baseline, with what paybacks and returns are read from."""
    mine, theirs = terms.series, terms.view.series(terms.view.figures.baseline)
    gap = [a - b for a, b in zip(_benefit(mine), _benefit(theirs), strict=True)]
    discount = mine.factors["discount"]
    yield Column(
        key="gap",
        heading=_("Benefit against the baseline"),
        formula=lambda line: f"ROUND({line('benefit')}-{baseline.cell('benefit', line.month)},8)",
        values=gap,
    )
    yield from _running(terms, "", gap)
    discounted = [each * factor for each, factor in zip(gap, discount, strict=True)]
    yield from _running(terms, "discounted ", discounted)
    yield _with_end(terms, gap)
    yield Column(
        key="invested",
        heading=_("Put in, against the baseline"),
        formula=lambda line: (
            f"ROUND({line('project_net')}-{baseline.cell('project_net', line.month)},8)"
        ),
        values=[
            a - b for a, b in zip(project_net(mine.rows), project_net(theirs.rows), strict=True)
        ],
    )


def _benefit(series: Series) -> list[float]:
    rows = zip(series.rows["worth"], series.rows["newcomers"], series.cost, strict=True)
    return [worth + newcomers - cost for worth, newcomers, cost in rows]


def _running(terms: Terms, worth: str, flows: Sequence[float]) -> Iterator[Column]:
    """Yield a running sum, until when it is behind, and when it is back.

    It is back in the months from the last project flow on in which it is not behind any more.
    """
    total, behind, back = (f"{worth}{key}" for key in ("running", "behind", "back"))
    sums = list(accumulate(flows))
    low = [value < float(SHORT) for value in sums]
    settled = last_project_month(terms.series)

    def added(line: Line) -> str:
        flow = f"{line('gap')}*{line('discount')}" if worth else line("gap")
        return f"{line.before(total)}+{flow}" if line.month else flow

    def returned(line: Line) -> str:
        now_up = f"{line(total)}>={SHORT},{line('month')}>={terms.own('settled_month')}"
        return f'IF(AND({now_up},MAX({line.until(behind)})>0),{line("month")},"")'

    yield Column(
        key=total,
        heading=_(HEADINGS[total]),
        formula=added,
        values=sums,
    )
    yield Column(
        key=behind,
        heading=_(HEADINGS[behind]),
        style="whole",
        formula=lambda line: f"IF({line(total)}<{SHORT},{line('month')}+1,0)",
        values=[month + 1 if below else 0 for month, below in enumerate(low)],
    )
    yield Column(
        key=back,
        heading=_(HEADINGS[back]),
        style="whole",
        formula=returned,
        values=[
            month if month >= settled and any(low[:month]) and not below else ""
            for month, below in enumerate(low)
        ],
    )


def _with_end(terms: Terms, gap: list[float]) -> Column:
    """Return the difference with that of the end values in the last month, for returns."""
    theirs = Terms(book=terms.book, option_id=terms.view.figures.baseline)
    left = terms.figures.likely.end_value - theirs.figures.likely.end_value
    last = len(gap) - 1
    end = f"{terms.own('end_value')}-{theirs.own('end_value')}"
    return Column(
        key="with_end",
        heading=_("With the value at the end"),
        formula=lambda line: f"ROUND({line('gap')}+{end},8)" if line.month == last else line("gap"),
        values=[*gap[:-1], gap[-1] + left],
    )


def last_project_month(series: Series) -> int:
    """Return the month of the option's last project flow, 0 where there is none."""
    rows = zip(*(series.rows[kind] for kind in KINDS), strict=True)
    return max((month for month, flows in enumerate(rows) if any(flows)), default=0)
