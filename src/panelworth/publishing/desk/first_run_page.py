"""The page of the first run: one form, and the scenario is there."""

from typing import Any

from panelworth.publishing.desk.desk import Answer, Ask, Desk
from panelworth.publishing.desk.disc import ScenarioFiles
from panelworth.publishing.desk.first_run import GROUPS, WHO, Question, begin, begins
from panelworth.publishing.desk.frame import address_of, not_found, page
from panelworth.publishing.language import N_, _

BEGIN = "begin"
UNITS = {"us": N_("pounds, inches, US gallons"), "metric": N_("kilograms, millimetres, litres")}
CURRENCIES = ("USD", "EUR", "GBP", "CAD", "AUD", "CHF", "NZD", "SEK", "NOK", "DKK", "PLN", "ZAR")


def show_first_run(desk: Desk, ask: Ask) -> Answer:
    """Show the form; where a scenario is there already, its first page."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    if not begins(files):
        return Answer(location=address_of(ask.scenario))
    return _shown(desk, files, ask, {})


def take_first_run(desk: Desk, ask: Ask) -> Answer:
    """Write the first files, or show what is wrong with what was typed."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    wrong = begin(files, desk.read, ask.form)
    if wrong:
        return _shown(desk, files, ask, wrong)
    return Answer(location=address_of(ask.scenario, done="begun"))


def _shown(desk: Desk, files: ScenarioFiles, ask: Ask, wrong: dict[str, list[str]]) -> Answer:
    content = {
        "title": _("Begin with what you know"),
        "home": "",
        "menu": "",
        "preview": "",
        "problems": [],
        "problem_count": "",
        "crumbs": [],
        "who": ask.form.get("who", ""),
        "whos": WHO,
        "wrong": wrong.get("", []),
        "who_wrong": wrong.get("who", []),
        "any_wrong": bool(wrong),
        "currencies": CURRENCIES,
        "units": [(key, _(text)) for key, text in UNITS.items()],
        "groups": [
            (_(heading), [_field(one, ask, wrong) for one in group]) for heading, group in GROUPS
        ],
    }
    status = 422 if wrong else 200
    return page(desk, files, ask, "desk/first_run.html", content, status=status)


def _field(one: Question, ask: Ask, wrong: dict[str, list[str]]) -> dict[str, Any]:
    return {
        "id": f"q-{one.name}",
        "name": one.name,
        "label": _(one.label),
        "hint": _(one.hint) if one.hint else "",
        "kind": one.kind,
        "only": one.of[0] if len(one.of) == 1 else "",
        "value": ask.form.get(one.name, ""),
        "wrong": wrong.get(one.name, []),
    }
