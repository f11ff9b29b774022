"""The tables to download as CSV. They are apart from json_files: pandas is slow to import."""

import pandas as pd

from panelworth.publishing.frames import figures_frame, monthly_frame
from panelworth.publishing.view import View

# OWASP, "CSV Injection". The full-width forms too, since some spreadsheets treat them alike.
STARTS_A_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")


def figures_csv(view: View) -> str:
    """Write one row for each figure: option, figure, value."""
    return csv_text(figures_frame(view.figures))


def flows_csv(view: View) -> str:
    """Write every option's likely cash flow: one row a month, one column a kind of money."""
    return csv_text(monthly_frame(view.figures))


def csv_text(frame: pd.DataFrame) -> str:
    """Write a CSV table; text that a spreadsheet would run as a formula gets an apostrophe."""
    text: str = frame.map(_harmless).to_csv(index=False, lineterminator="\r\n")  # RFC 4180
    return text


def _harmless(value: object) -> object:
    return f"'{value}" if isinstance(value, str) and _is_formula(value) else value


def _is_formula(text: str) -> bool:
    """Return whether a spreadsheet could run a text as a formula, also after spaces."""
    return text.lstrip().startswith(STARTS_A_FORMULA) or text.startswith(("\t", "\r", "\n"))
