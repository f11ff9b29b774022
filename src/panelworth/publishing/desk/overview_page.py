"""The first page of a scenario's desk: its parts, its options, its problems; and undo."""

from typing import Any

from panelworth.publishing.desk.desk import Answer, Ask, Desk, data_of
from panelworth.publishing.desk.disc import OPTION
from panelworth.publishing.desk.first_run import begins
from panelworth.publishing.desk.first_run_page import BEGIN
from panelworth.publishing.desk.form_page import existing_place
from panelworth.publishing.desk.frame import LEDGER, address_of, not_found, page
from panelworth.publishing.desk.new_option_page import NEW_OPTION
from panelworth.publishing.desk.next_steps import next_steps
from panelworth.publishing.desk.option_files import option_titles, title_of
from panelworth.publishing.desk.places import SCENARIO_FILE, Place, option_place, scenario_place
from panelworth.publishing.desk.saving import as_text
from panelworth.publishing.desk.summaries import summary_of
from panelworth.publishing.language import _


def show_scenarios(desk: Desk, _ask: Ask) -> Answer:
    """List the scenarios; a single one is shown itself."""
    folders = desk.folders()
    if len(folders) == 1:
        return Answer(location=address_of(next(iter(folders))))
    scenarios = [
        (address_of(name), title_of(files, SCENARIO_FILE, name)) for name, files in folders.items()
    ]
    content = {"title": _("The desk"), "crumbs": [], "scenarios": scenarios}
    return Answer(page=desk.filled("desk/scenarios.html", content))


def show_scenario(desk: Desk, ask: Ask, wrong: str = "") -> Answer:
    """Show the parts of a scenario and its options."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    if begins(files):
        return Answer(location=address_of(ask.scenario, BEGIN))
    scenario = scenario_place()
    data = data_of(files.content(SCENARIO_FILE)) or {}
    content = {
        "title": _("What would you like to change?"),
        "crumbs": [],
        "wrong": wrong,
        "parts": [
            *(_row(ask, place, data) for place in (scenario, *scenario.inner())),
            {
                "href": address_of(ask.scenario, LEDGER),
                "label": _("The ledger"),
                "note": _("Estimates, quotes, invoices and payments as they come in"),
            },
        ],
        "steps": [
            {
                "href": f"{address_of(ask.scenario, step.address)}#{step.anchor}".rstrip("#")
                if step.address
                else "",
                "label": step.label,
                "note": step.note,
            }
            for step in next_steps(files)
        ],
        "options": [
            {
                **_row(ask, option_place(name), data_of(files.content(OPTION.format(name))) or {}),
                "label": title,
            }
            for name, title in option_titles(files).items()
        ],
        "new_option": address_of(ask.scenario, NEW_OPTION),
    }
    return page(desk, files, ask, "desk/overview.html", content, status=409 if wrong else 200)


def _row(ask: Ask, place: Place, data: dict[str, Any]) -> dict[str, str]:
    return {
        "href": address_of(ask.scenario, place.address),
        "label": place.label,
        "note": summary_of(place, data),
    }


def take_undo(desk: Desk, ask: Ask) -> Answer:
    """Undo the last change, and go back to the page where that was asked for."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    if problem := files.undo():
        text = _("{file} was not changed back.", file=problem.file)
        return show_scenario(desk, Ask(scenario=ask.scenario), f"{text} {as_text(problem)}")
    back = ask.form.get("back", "")  # a page that is gone, or none: the first one
    back = back if back == LEDGER or existing_place(files, back) else ""
    return Answer(location=address_of(ask.scenario, back, "undone"))
