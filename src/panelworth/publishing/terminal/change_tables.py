"""Changes since the last edition for a terminal: lines, and a table of causes by option."""

from panelworth.engine.results.editions import ChangeAttribution
from panelworth.publishing.terminal.tables import TextTable
from panelworth.publishing.view import View
from panelworth.publishing.words.change_words import cause_rows, change_rows, head, lead, shared


def change_lines(view: View, attribution: ChangeAttribution) -> list[str]:
    """Return a line for each change."""
    lines = lead(view, attribution)[:1]
    for row in change_rows(view, attribution):
        whose = f"{row['option'].short}, " if row["option"] else ""
        lines.append(f"  {whose}{row['label']}: {row['value']}")
    return lines


def change_tables(view: View, attribution: ChangeAttribution) -> list[TextTable]:
    """Return a table of causes for each option."""
    return [
        TextTable(
            title=tag.title,
            head=["What moved", *(figure["label"] for figure in head(attribution, tag)[1:])],
            rows=[row["cells"] for row in cause_rows(view.formats, attribution, tag)],
            total=True,
        )
        for tag in shared(view.tags, attribution)
    ]
