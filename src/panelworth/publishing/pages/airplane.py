"""The page on the airplane itself: what it gives, fails, weighs, draws, and what falls due."""

from panelworth.publishing.airplane.failures import failures_section
from panelworth.publishing.airplane.inspections import inspections_section
from panelworth.publishing.airplane.needs import needs_section
from panelworth.publishing.airplane.openings import openings_section
from panelworth.publishing.airplane.parts import FILE
from panelworth.publishing.airplane.power import power_section
from panelworth.publishing.airplane.weight import weight_section
from panelworth.publishing.language import say
from panelworth.publishing.view import Page, View

SECTIONS = (
    needs_section,
    failures_section,
    weight_section,
    power_section,
    inspections_section,
    openings_section,
)


def airplane_page(view: View) -> Page | None:
    """Make the page of every section there is something to say on; None where there is none."""
    sections = [section for section in (make(view) for make in SECTIONS) if section]
    if not sections:
        return None
    question = say("What fails, weighs, draws, falls due?")
    title = say("The airplane")
    return Page(
        file=FILE,
        template="airplane.html",
        title=title,
        nav="",
        foot=title,
        door=(question, title),
        description=f"{question} {sections[0].told[0]}",
        content={
            "question": question,
            "sections": sections,
            "charts": [
                chart for section in sections for part in section.parts for chart in part.charts
            ],
        },
    )
