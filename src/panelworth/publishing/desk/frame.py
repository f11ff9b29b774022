"""What every page of a scenario's desk has: menu, message, undo, problems, link to the preview."""

from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from panelworth.problems import Problem
from panelworth.publishing.desk.desk import ROOT, Answer, Ask, Desk, data_of
from panelworth.publishing.desk.disc import ScenarioFiles
from panelworth.publishing.desk.option_files import option_titles, title_of
from panelworth.publishing.desk.places import (
    SCENARIO_FILE,
    Place,
    option_place,
    place_at,
    place_of,
    scenario_place,
)
from panelworth.publishing.desk.saving import as_text
from panelworth.publishing.language import N_, _, ngettext

UNDO, LEDGER, LEDGER_FILE = "undo", "ledger", "ledger.csv"
# What was done, by the word in the address of the page that says so.
DONE = {
    "saved": N_("Saved."),
    "begun": N_("The scenario is begun: its first page is being worked out."),
    "same": N_("Nothing was changed."),
    "added": N_("Added."),
    "removed": N_("Removed."),
    "undone": N_("Undone."),
}
MOST_LISTED = 30  # problems on a page


def address_of(scenario: str, rest: str = "", done: str = "") -> str:
    """Return the address of a page of a scenario's desk, with what was done."""
    query = f"?done={done}" if done else ""
    return f"{ROOT}{quote(scenario)}/{quote(rest)}{query}"


def page(  # noqa: PLR0913 (what a page is made of)
    desk: Desk,
    files: ScenarioFiles,
    ask: Ask,
    template: str,
    content: Mapping[str, Any],
    *,
    status: int = 200,
    option_id: str = "",
) -> Answer:
    """Fill a page of a scenario's desk; `option_id` is the option that it is about."""
    undo_address = f"{ROOT}{ask.scenario}/{UNDO}"
    change = files.changes[-1] if files.changes else None
    problems = desk.problems(files)
    several = len(desk.folders()) > 1
    whole = {
        "scenario_title": title_of(files, SCENARIO_FILE, ask.scenario),
        "home": address_of(ask.scenario),
        "all": ROOT if several else "",
        "menu": _menu(files, ask),
        "done": _(DONE.get(ask.query.get("done", ""), "")),
        "address": quote(ask.address),
        "token": desk.access.token(ask.address),
        "undo": {
            "address": quote(undo_address),
            "token": desk.access.token(undo_address),
            "back": ask.rest,
            "label": change.label,
            "files": ", ".join(change.after),
        }
        if change
        else None,
        "problems": [_problem(files, ask, problem) for problem in problems[:MOST_LISTED]],
        "problem_count": _count(problems),
        "preview": _preview(ask, option_id, content.get("preview_file", ""), several=several),
        **content,
    }
    return Answer(page=desk.filled(template, whole), status=status)


def _preview(ask: Ask, option_id: str, file: str, *, several: bool) -> str:
    """Return the preview's page that shows what a form is about."""
    file = f"option-{option_id}.html" if option_id else file or "index.html"
    return f"/{quote(ask.scenario)}/{file}" if several else f"/{file}"


def _menu(files: ScenarioFiles, ask: Ask) -> list[dict[str, Any]]:
    scenario = scenario_place()
    parts = [(place.address, place.label) for place in (scenario, *scenario.inner())]
    parts.append((LEDGER, _("The ledger")))
    options = [
        (option_place(option_id).address, title)
        for option_id, title in option_titles(files).items()
    ]
    return [
        {
            "href": address_of(ask.scenario, address),
            "label": label,
            "current": ask.rest == address,
            "open": ask.rest.startswith(f"{address}/") and address != scenario.address,
            "is_option": number >= len(parts),
        }
        for number, (address, label) in enumerate((*parts, *options))
    ]


def _problem(files: ScenarioFiles, ask: Ask, problem: Problem) -> dict[str, Any]:
    """Return a problem with the address of the form that has its key; "" if no form has it."""
    place = place_of(problem.file, problem.key, data_of(files.content(problem.file)) or {})
    place = place if place and files.content(place.file) is not None else None
    href = address_of(ask.scenario, place.address) if place else ""
    if problem.file == LEDGER_FILE and problem.line:
        href = f"{address_of(ask.scenario, LEDGER)}?line={problem.line}#line-{problem.line}"
    return {
        "href": href,
        "where": problem.place,
        "key": problem.key,
        "text": as_text(problem),
        "is_error": problem.severity == "error",
    }


def _count(problems: list[Problem]) -> str:
    """Say how many problems there are; "" if there are none."""
    errors = sum(problem.severity == "error" for problem in problems)
    warnings = len(problems) - errors
    texts = [
        ngettext("{count} error", "{count} errors", errors).format(count=errors) if errors else "",
        ngettext("{count} warning", "{count} warnings", warnings).format(count=warnings)
        if warnings
        else "",
    ]
    return ", ".join(filter(None, texts))


def not_found(desk: Desk, ask: Ask) -> Answer:
    """Return the page for an address that means nothing."""
    files = desk.folders().get(ask.scenario)
    content = {"title": _("There is no such page"), "crumbs": []}
    if files is None:
        return Answer(page=desk.filled("desk/none.html", content), status=404)
    return page(desk, files, ask, "desk/missing.html", content, status=404)


def crumbs_of(files: ScenarioFiles, ask: Ask, place: Place) -> list[tuple[str, str]]:
    """Return the way from the scenario to a form: addresses with their labels."""
    steps = place.address.split("/")
    first = 2 if steps[0] == "options" else 1
    titles = option_titles(files)
    crumbs = []
    for end in range(first, len(steps)):
        around = place_at("/".join(steps[:end]), list(titles))
        if around is not None and (around.path or first > 1):
            label = titles.get(around.label, around.label) if not around.path else around.label
            crumbs.append((address_of(ask.scenario, around.address), label))
    return crumbs
