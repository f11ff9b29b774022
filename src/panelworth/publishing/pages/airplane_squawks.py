"""How often units fail: the log, its trend, and what each option makes of it."""

from panelworth.publishing.language import _
from panelworth.publishing.pages.airplane_sections import Section, Table
from panelworth.publishing.view import View
from panelworth.publishing.words import squawk_words as words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, FAILURES


def squawks_section(view: View) -> Section | None:
    """Return the section on how often units fail; None where no unit says it."""
    tags = list(view.tags.values())
    if not any(view.series(tag.id).failing_units for tag in tags):
        return None
    table = Table(
        caption=words.caption(view), head=words.head(), rows=[words.row(view, tag) for tag in tags]
    )
    return Section(
        id="squawks",
        label=_("how often"),
        question=_("How often does it fail?"),
        answer=words.answer(view),
        table=table,
        beside=[_(words.SILENT), _(FAILURES[0])],
        cautions=[_(AIRPLANE_LINE)],
        how=[_(text) for text in words.HOW],
    )
