"""The pages on the airplane: needs, failures, weight, power, inspections, small jobs."""

from collections.abc import Sequence

from panelworth.model.case import Case
from panelworth.publishing.language import _
from panelworth.publishing.pages.airplane_deferred_jobs import deferred_jobs_section
from panelworth.publishing.pages.airplane_failures import failures_section
from panelworth.publishing.pages.airplane_inspections import inspections_section
from panelworth.publishing.pages.airplane_needs import needs_section
from panelworth.publishing.pages.airplane_power import power_section
from panelworth.publishing.pages.airplane_sections import DETAILS, FILE, Section
from panelworth.publishing.pages.airplane_squawks import squawks_section
from panelworth.publishing.pages.airplane_weight import weight_section
from panelworth.publishing.view import Page, View

SECTIONS = (
    needs_section,
    failures_section,
    squawks_section,
    weight_section,
    power_section,
    inspections_section,
    deferred_jobs_section,
)


def airplane_pages(view: View) -> list[Page]:
    """Return the page with all sections that have content, and the page of their details."""
    sections = [section for section in (make(view) for make in SECTIONS) if section]
    if not sections:
        return []
    detailed = [section for section in sections if section.more]
    return [_overview(sections), *([_details(view.case, detailed)] if detailed else [])]


def _overview(sections: Sequence[Section]) -> Page:
    question, title = _("What fails, weighs, draws, falls due?"), _("The airplane")
    return Page(
        file=FILE,
        template="airplane.html",
        title=title,
        nav="",
        foot=title,
        door=(question, title),
        description=f"{question} {sections[0].answer[0]}",
        content={"question": question, "sections": sections, "details": DETAILS},
    )


def _details(case: Case, sections: Sequence[Section]) -> Page:
    """Return the page of details for a mechanic; the page before it links to its parts."""
    title = _("The airplane in detail")
    charts = [chart for section in sections for part in section.parts for chart in part.charts]
    about = _("Units, loadings, loads and jobs: {title}", title=case.scenario.title)
    return Page(
        file=DETAILS,
        template="details.html",
        title=title,
        nav="",
        door=(_("What is in it, unit by unit?"), _("Lists for the mechanic")),
        description=about,
        content={"question": title, "sections": sections, "charts": charts},
    )
