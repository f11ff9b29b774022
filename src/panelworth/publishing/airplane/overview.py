"""The airplane in short: a sentence and a link for each of its pages; all of them in order."""

from panelworth.publishing.airplane.failures import failures_page
from panelworth.publishing.airplane.inspections import inspections_page
from panelworth.publishing.airplane.needs import needs_page
from panelworth.publishing.airplane.openings import openings_page
from panelworth.publishing.airplane.parts import OVERVIEW, Answer, Link, airplane_page
from panelworth.publishing.airplane.power import power_page
from panelworth.publishing.airplane.weight import weight_page
from panelworth.publishing.caution_lines import AIRPLANE, MAINTENANCE
from panelworth.publishing.formats import plural
from panelworth.publishing.language import say
from panelworth.publishing.view import Page, View

MAKERS = (
    weight_page,
    power_page,
    failures_page,
    needs_page,
    openings_page,
    inspections_page,
)


def airplane_pages(view: View) -> list[Page]:
    """Make the overview and every page there is something to say on; none where there is not."""
    made = [page for page in (make(view) for make in MAKERS) if page]
    return [_overview(view, made), *made] if made else []


def _overview(view: View, pages: list[Page]) -> Page:
    links = [
        Link(href=page.file, label=page.title, text=page.content["answer"].lead[0])
        for page in pages
    ]
    about = say(
        "{airplane}: {questions}, each with a first answer and a page.",
        airplane=view.case.scenario.aircraft.label,
        questions=plural(len(pages), "question", "questions"),
    )
    return airplane_page(
        file=OVERVIEW,
        title=say("The airplane"),
        question=say("What happens to the airplane itself?"),
        answer=Answer(lead=[about], cautions=[*AIRPLANE, *MAINTENANCE]),
        links=links,
    )
