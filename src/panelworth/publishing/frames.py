"""The figures of a scenario folder as pandas frames, for downloads and for a notebook.

Each frame is tidy: one row for each observation, options by their ids, money unrounded.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

import pandas as pd

from panelworth.engine.results.figures import (
    Figures,
    Series,
)
from panelworth.model.case import Case
from panelworth.publishing.figures_object import figures_object


@dataclass(frozen=True, kw_only=True)
class Frames:
    """The figures of a folder, one frame for each subject.

    figures: option, figure, value. Every figure of figures.json by its path.
    flows: option, month, row, value. The likely cash flow; costs are positive in their own rows,
    `net` has money in as positive; `hours`, `members` and a club's `reserve` are rows too.
    ledger: the rows of the ledger, with the columns of its file.
    spreads: option, figure, statistic, value. Percentiles and mean over the trials.
    outcomes: option, number, net_benefit. Twenty equally likely results, the lowest first.
    reserve: option, year, p10, p50, p90. A club's cash over the trials; empty for an owner.
    hours: option, hours, net_benefit, cost_per_hour. By hours wanted a year, all else likely.
    """

    figures: pd.DataFrame
    flows: pd.DataFrame
    ledger: pd.DataFrame
    spreads: pd.DataFrame
    outcomes: pd.DataFrame
    reserve: pd.DataFrame
    hours: pd.DataFrame


def frames_of(case: Case, figures: Figures) -> Frames:
    """Return a case and its figures as frames."""
    return Frames(
        figures=figures_frame(figures),
        flows=monthly_frame(figures).melt(["option", "month"], var_name="row"),
        ledger=pd.DataFrame([entry.model_dump() for entry in case.ledger]),
        spreads=_frame(_spreads(figures), "option", "figure", "statistic", "value"),
        outcomes=_frame(_outcomes(figures), "option", "number", "net_benefit"),
        reserve=_frame(_reserve(figures), "option", "year", "p10", "p50", "p90"),
        hours=_frame(_hours(figures), "option", "hours", "net_benefit", "cost_per_hour"),
    )


def figures_frame(figures: Figures) -> pd.DataFrame:
    """Return every single figure as a row: option, figure, value."""
    options = figures_object(figures)["options"]
    rows = [
        (option_id, path, value)
        for option_id, option_figures in options.items()
        for path, value in _single_figures(option_figures)
    ]
    return pd.DataFrame(rows, columns=["option", "figure", "value"], dtype=object)


def monthly_frame(figures: Figures) -> pd.DataFrame:
    """Return the likely cash flows: a row for each option and month, a column for each flow."""
    return pd.concat(
        [_months(option_id, series) for option_id, series in figures.series.items()],
        ignore_index=True,
    )


def _months(option_id: str, series: Series) -> pd.DataFrame:
    months = pd.DataFrame(series.rows)
    months.insert(0, "option", option_id)
    months.insert(1, "month", months.index)
    for name in ("net", "cost", "hours", "members"):
        months[name] = getattr(series, name)
    months["reserve"] = series.balance  # an owner's column is empty
    return months


def _single_figures(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:  # noqa: ANN401 (JSON values)
    """Yield each figure of an object of figures.json with its path; absent ones are left out."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _single_figures(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list | tuple):
        for number, inner in enumerate(value):
            name = inner.get("name") or inner.get("input") if isinstance(inner, dict) else None
            yield from _single_figures(inner, f"{path}[{name or number}]")
    elif value is not None:
        yield path, value


def _spreads(figures: Figures) -> Iterator[tuple[object, ...]]:
    for option_id, trials in figures.uncertainty.options.items():
        for figure, spread in asdict(trials.range).items():
            for statistic, value in (spread or {}).items():
                yield option_id, figure, statistic, value


def _outcomes(figures: Figures) -> Iterator[tuple[object, ...]]:
    for option_id, trials in figures.uncertainty.options.items():
        for number, net_benefit in enumerate(trials.outcomes, start=1):
            yield option_id, number, net_benefit


def _reserve(figures: Figures) -> Iterator[tuple[object, ...]]:
    for option_id, trials in figures.uncertainty.options.items():
        for year, band in enumerate(trials.reserve.reserve_by_year if trials.reserve else ()):
            yield option_id, year, band.p10, band.p50, band.p90


def _hours(figures: Figures) -> Iterator[tuple[object, ...]]:
    curve = figures.by_hours
    for option_id, net_benefits in curve.net_benefit.items():
        costs = curve.cost_per_hour[option_id]
        for row in zip(curve.hours, net_benefits, costs, strict=True):
            yield option_id, *row


def _frame(rows: Iterator[tuple[object, ...]], *columns: str) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(columns))
