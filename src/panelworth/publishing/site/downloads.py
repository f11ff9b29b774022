"""The downloads: figures.json as the method says it, and tables as CSV that no cell can run in."""

import json
from collections.abc import Mapping
from dataclasses import asdict, is_dataclass

import pandas as pd

from panelworth.engine.results.figures import Figures
from panelworth.model.edition import SCHEMA as EDITION
from panelworth.model.edition import inputs_object, with_trials
from panelworth.publishing.figures_object import figures_object
from panelworth.publishing.frames import figures_frame, monthly_frame
from panelworth.publishing.view import View

# Also as full-width letters, which some spreadsheets read alike; OWASP, "CSV Injection".
STARTS_A_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


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
    return csv_text(figures_frame(view.figures))


def flows_csv(view: View) -> str:
    """Write every option's likely cash flow: one row a month, one column a kind of money."""
    return csv_text(monthly_frame(view.figures))


def csv_text(frame: pd.DataFrame) -> str:
    """Write a CSV table; text that a spreadsheet would run as a formula gets an apostrophe."""
    text: str = frame.map(_harmless).to_csv(index=False, lineterminator="\r\n")
    return text


def _harmless(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and _runs(value) else value


def _runs(text: str) -> bool:
    """Say whether a spreadsheet could run a text: spaces and line ends before it do not hinder."""
    return text.lstrip().startswith(STARTS_A_FORMULA) or text.startswith(("\t", "\r", "\n"))
