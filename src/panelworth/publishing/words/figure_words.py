"""Tables of likely figures and break-evens, one column for each option."""

from collections.abc import Sequence

from panelworth.publishing.formats import NONE
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import sentences
from panelworth.publishing.words.figure_names import BREAK_EVENS, LIKELY


def likely_rows(view: View) -> list[list[str]]:
    """Return the rows of likely figures; a dash where the baseline has no figure."""
    rows = []
    for figure in LIKELY:
        cells = [_(figure.label)]
        for tag in view.tags.values():
            absent = figure.against and tag.id == view.figures.baseline
            value = getattr(view.option(tag.id).likely, figure.key)
            cells.append(NONE if absent else figure.write(view.formats, value))
        if any(cell != NONE for cell in cells[1:]):
            rows.append(cells)
    return rows


def break_evens(view: View, tags: Sequence[OptionTag]) -> list[list[str]]:
    """Return the rows of break-evens, one for each kind that applies to any option."""
    rows = []
    for key, label, write in BREAK_EVENS:
        figures = [view.option(tag.id) for tag in tags]
        texts = [sentences.break_even_text(view.formats, figure, key, write) for figure in figures]
        if any(text != NONE for text in texts):
            rows.append([_(label), *texts])
    return rows
