"""The project under way, and its closing report once it is finished."""

from panelworth.engine.results.project_status import ProjectReport
from panelworth.publishing.charts.forecast import forecast_over_time
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View
from panelworth.publishing.words import closing_words, project_words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, MONEY_LINE
from panelworth.publishing.words.rounding import is_shown

FILE, CLOSING = "project.html", "closing.html"
MOST_ROWS = 6


def project_pages(view: View) -> list[Page]:
    """Return the page of the project under way, and the closing report; [] before a decision."""
    project = view.figures.project
    if project is None:
        return []
    return [_project_page(view, project), *_closing_page(view, project)]


def _project_page(view: View, project: ProjectReport) -> Page:
    question = _("How is the project going?")
    rows = [
        project_words.item_row(view, item, account)
        for item, account in project.moved
        if is_shown(item.voted) or is_shown(item.forecast)
    ]
    chart = forecast_over_time(view, project)
    return Page(
        file=FILE,
        template="project.html",
        title=question,
        nav="",
        foot=_("The project"),
        door=(question, _("Cost, finish and cash since the decision")),
        description=_("Since the decision: {title}", title=view.case.scenario.title),
        content={
            "question": question,
            "lead": [project_words.decided(view), project_words.steps(project)],
            "stated": _("As of {day}", day=day(project.day)),
            "heads": project_words.heads(view, project),
            "announced": project_words.announced(project),
            "charts": [chart] if chart else [],
            "item_head": project_words.item_head(view),
            "moved": rows[:MOST_ROWS],
            "rest": rows[MOST_ROWS:],
            "count": plural(len(rows[MOST_ROWS:]), "more item", "more items"),
            "waits_for": project_words.waits_for(project),
            "closing": CLOSING if project.close_out else "",
            "caution": _(MONEY_LINE),
            "airplane_caution": _(AIRPLANE_LINE),
        },
    )


def _closing_page(view: View, project: ProjectReport) -> list[Page]:
    report = project.close_out
    if report is None:
        return []
    question = _("What did it come to?")
    return [
        Page(
            file=CLOSING,
            template="closing.html",
            title=question,
            nav="",
            foot=_("Closing report"),
            door=(question, _("The closing report, one page to print")),
            description=_("Closing report: {title}", title=view.case.scenario.title),
            content={
                "question": question,
                "lead": [project_words.decided(view), project_words.steps(project)],
                "heads": closing_words.heads(view, project, report),
                "head": closing_words.range_head(),
                "rows": [closing_words.range_row(view, check) for check in report.ranges],
                "caution": _(MONEY_LINE),
            },
        )
    ]
