"""Changes since the last edition for a terminal: lines, and a table of causes by option."""

from rich.box import SIMPLE_HEAD
from rich.table import Table

from panelworth.engine.results.editions import ChangeAttribution
from panelworth.publishing.view import View
from panelworth.publishing.words.change_words import cause_rows, change_rows, head, lead, shared


def change_lines(view: View, attribution: ChangeAttribution) -> list[str]:
    """Return a line for each change."""
    lines = lead(view, attribution)[:1]
    for row in change_rows(view, attribution):
        whose = f"{row['option'].short}, " if row["option"] else ""
        lines.append(f"  {whose}{row['label']}: {row['value']}")
    return lines


def change_tables(view: View, attribution: ChangeAttribution) -> list[Table]:
    """Return a table of causes for each option."""
    tables = []
    for tag in shared(view.tags, attribution):
        table = Table(
            title=tag.title,
            title_justify="left",
            header_style="bold",
            box=SIMPLE_HEAD,
            pad_edge=False,
            collapse_padding=True,
        )
        _, *figures = head(attribution, tag)
        table.add_column("What moved", min_width=16)
        for figure in figures:
            table.add_column(figure["label"].replace(" ", "\n"), justify="right")
        for row in cause_rows(view.formats, attribution, tag):
            table.add_row(*row["cells"], end_section=bool(row.get("total")))
        tables.append(table)
    return tables
