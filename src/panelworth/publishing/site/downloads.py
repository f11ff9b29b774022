"""The downloads: figures.json as the method says it, and tables as CSV that no cell can run in."""

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import asdict, is_dataclass
from typing import Any

from panelworth.engine.results.figures import Figures
from panelworth.engine.results.trials import OptionUncertainty, ReserveTrials
from panelworth.model.edition import SCHEMA as EDITION
from panelworth.model.edition import inputs_object, with_trials
from panelworth.publishing.view import View

SCHEMA = "panelworth-figures/2"
# Also as full-width letters, which some spreadsheets read alike; OWASP, "CSV Injection".
STARTS_A_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def figures_object(figures: Figures) -> dict[str, Any]:
    """Return the object that figures.json holds: money unrounded, absent parts null."""
    options = {
        option_id: {
            **asdict(option),
            **_drawn(figures.uncertainty.options[option_id]),
        }
        for option_id, option in figures.options.items()
    }
    return {
        "schema": SCHEMA,
        "scenario": figures.scenario,
        "as_of": figures.as_of,
        "currency": figures.currency,
        "baseline": figures.baseline,
        "years": figures.years,
        "options": options,
    }


def _drawn(found: OptionUncertainty) -> dict[str, Any]:
    reserve = dict.fromkeys(ReserveTrials.__dataclass_fields__)
    return {
        "range": asdict(found.range),
        "budget_p80": found.budget_p80,
        "chance_beats_baseline": found.chance_beats_baseline,
        "chance_best": found.chance_best,
        "regret": found.regret,
        "outcomes": found.outcomes,
        "ahead_of": dict(found.ahead_of),
        **(asdict(found.reserve) if found.reserve else reserve),
    }


def figures_json(figures: Figures) -> str:
    """Write figures.json, readable and the same bytes for the same figures."""
    return json.dumps(figures_object(figures), indent=2, ensure_ascii=False, default=_plain) + "\n"


def edition_json(view: View) -> str:
    """Write an edition: the figures and every input they stand on, for the next build to compare.

    The trials are those really drawn, whatever the file says.
    """
    case = with_trials(view.case, view.figures.uncertainty.trials)
    whole = {
        "schema": EDITION,
        "figures": figures_object(view.figures),
        "inputs": inputs_object(case),
    }
    return json.dumps(whole, indent=1, ensure_ascii=False, default=_plain) + "\n"


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    if isinstance(value, Mapping):
        return dict(value)
    raise TypeError(f"no way to write {type(value)}")


def figures_csv(view: View) -> str:
    """Write every single figure as a row: option, figure, value."""
    rows = []
    options = figures_object(view.figures)["options"]
    for option_id in view.tags:
        rows += [[option_id, key, value] for key, value in _flat(options[option_id])]
    return csv_text(["option", "figure", "value"], rows)


def _flat(value: Any, path: str = "") -> Iterable[tuple[str, Any]]:  # noqa: ANN401 (JSON values)
    if isinstance(value, Mapping):
        for key, each in value.items():
            yield from _flat(each, f"{path}.{key}" if path else key)
    elif isinstance(value, list | tuple):
        for number, each in enumerate(value):
            name = each.get("name") or each.get("input") if isinstance(each, dict) else None
            yield from _flat(each, f"{path}[{name or number}]")
    elif value is not None:
        yield path, value


def flows_csv(view: View) -> str:
    """Write every option's likely cash flow: one row a month, one column a kind of money."""
    names = list(next(iter(view.figures.series.values())).rows)
    heading = ["option", "month", *names, "net", "cost", "hours", "members", "reserve"]
    rows: list[list[Any]] = []
    for option_id, series in view.figures.series.items():
        for month in range(len(series.net)):
            money = [series.rows.get(name, ())[month] for name in names]
            reserve = series.balance[month] if series.balance else ""
            last = [series.net[month], series.cost[month], series.hours[month]]
            rows.append([option_id, month, *money, *last, series.members[month], reserve])
    return csv_text(heading, rows)


def csv_text(heading: list[str], rows: Iterable[Iterable[Any]]) -> str:
    """Write a CSV table; text that a spreadsheet would run as a formula gets an apostrophe."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heading)
    writer.writerows([[_cell(value) for value in row] for row in rows])
    return out.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, float):
        return "" if math.isnan(value) else repr(value)
    if isinstance(value, str) and _runs(value):
        return f"'{value}"
    return value


def _runs(text: str) -> bool:
    """Say whether a spreadsheet could run a text: spaces and line ends before it do not hinder."""
    return text.lstrip().startswith(STARTS_A_FORMULA) or text.startswith(("\t", "\r", "\n"))
