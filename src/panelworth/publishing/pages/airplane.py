"""The airplane: what it gives, fails, weighs, draws, what falls due; and its details."""

from collections.abc import Sequence

from panelworth.publishing.airplane.failures import failures_section
from panelworth.publishing.airplane.inspections import inspections_section
from panelworth.publishing.airplane.needs import needs_section
from panelworth.publishing.airplane.openings import openings_section
from panelworth.publishing.airplane.parts import DETAILS, FILE, Section
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


def airplane_pages(view: View) -> list[Page]:
    """Make the page of every section there is something to say on, and that of its details."""
    sections = [section for section in (make(view) for make in SECTIONS) if section]
    if not sections:
        return []
    detailed = [section for section in sections if section.more]
    return [_overview(sections), *([_details(view, detailed)] if detailed else [])]


def _overview(sections: Sequence[Section]) -> Page:
    question, title = say("What fails, weighs, draws, falls due?"), say("The airplane")
    return Page(
        file=FILE,
        template="airplane.html",
        title=title,
        nav="",
        foot=title,
        door=(question, title),
        description=f"{question} {sections[0].told[0]}",
        content={"question": question, "sections": sections, "details": DETAILS},
    )


def _details(view: View, sections: Sequence[Section]) -> Page:
    """Make the page that a mechanic looks things up on; the page before it leads to its parts."""
    title = say("The airplane in detail")
    charts = [chart for section in sections for part in section.parts for chart in part.charts]
    about = say("Units, loadings, loads and jobs: {title}", title=view.case.scenario.title)
    return Page(
        file=DETAILS,
        template="details.html",
        title=title,
        nav="",
        door=(say("What is in it, unit by unit?"), say("Lists for the mechanic")),
        description=about,
        content={"question": title, "sections": sections, "charts": charts},
    )
