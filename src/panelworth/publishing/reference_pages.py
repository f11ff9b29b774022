"""Inputs with their sources, the method with its glossary, and the cautions."""

from typing import Any

from panelworth.model.case import inputs_of, inputs_of_case, option_prefix, records
from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.ledger import Entry
from panelworth.model.needs import Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Quantity, Record, about
from panelworth.publishing.airplane.inputs import airplane_inputs
from panelworth.publishing.caution_lines import MAINTENANCE, all_cautions, money_cautions
from panelworth.publishing.figure_names import LIKELY
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import say, say_counted
from panelworth.publishing.sources import input_rows
from panelworth.publishing.view import Page, View

FILES: dict[str, type[Record]] = {
    "scenario.toml": Scenario,
    "options/NAME.toml": Option,
    "ledger.csv": Entry,
    "equipment.toml": Equipment,
    "fleet.toml": Fleet,
    "needs.toml": Needs,
}


def inputs_page(view: View) -> Page:
    """Make the page that lists every number the figures rest on, and where it came from."""
    title, shared = view.case.scenario.title, [each.path for each in inputs_of(view.case.scenario)]
    groups = [{"anchor": "shared", "heading": say("All options"), "rows": input_rows(view, shared)}]
    for tag in view.tags.values():
        option = view.case.options[tag.id]
        own = [f"{option_prefix(tag.id)}{each.path}" for each in inputs_of(option)]
        rows = input_rows(view, own)
        groups.append({"anchor": f"option-{tag.id}", "heading": tag.title, "rows": rows})
    return Page(
        file="inputs.html",
        template="inputs.html",
        title=say("Inputs and sources"),
        nav="",
        foot=say("Inputs"),
        door=(say("Where is each figure from?"), say("Inputs and their sources")),
        description=say("Every input and where it came from: {title}", title=title),
        content={
            "lead": _inputs_lead(view),
            "groups": [group for group in groups if group["rows"]],
            "airplane": airplane_inputs(view),
            "facts": _facts(view),
            "cautions": [*money_cautions(view), *MAINTENANCE],
        },
    )


def _inputs_lead(view: View) -> list[str]:
    written = [each for each in inputs_of_case(view.case) if each.path in view.case.places]
    ranges = sum(not each.quantity.certain for each in written)
    sourced = sum(bool(each.quantity.source) for each in written)
    numbers = plural(len(written), "number", "numbers")
    priced = sum(bool(each.papers) for each in view.case.standings.values())
    prices = plural(priced, "price", "prices")
    return [
        say_counted(
            "The figures rest on {numbers} written in the scenario's files; {ranges} is a range.",
            "The figures rest on {numbers} written in the scenario's files; {ranges} are ranges.",
            ranges,
        ).format(numbers=numbers, ranges=ranges),
        say(
            "A source is named for {count}. Whatever is not written counts as 0 or as its default.",
            count=sourced,
        ),
        *([say("The ledger gives {prices}.", prices=prices)] if priced else []),
    ]


def _facts(view: View) -> list[dict[str, str]]:
    scenario, formats = view.case.scenario, view.formats
    facts = [
        (say("Stated for"), day(scenario.as_of)),
        (say("Counted over"), plural(scenario.years, "year", "years")),
        (say("Compared with"), view.baseline.title),
    ]
    if scenario.club:
        facts += [
            (say("Members"), str(scenario.club.members)),
            (say("Reserve"), formats.money(scenario.club.reserve)),
            (say("Reserve floor"), formats.money(scenario.club.reserve_floor)),
        ]
    return [{"label": label, "value": value, "source": "scenario.toml"} for label, value in facts]


def method_page(view: View) -> Page:
    """Make the page that says how figures are worked out and what each word means."""
    named = [
        {"label": say(figure.label), "meaning": say(figure.meaning), "key": figure.key}
        for figure in LIKELY
        if view.club or not figure.of_club
    ]
    return Page(
        file="method.html",
        template="method.html",
        title=say("Method and glossary"),
        nav="",
        foot=say("Method"),
        door=(say("How is it worked out?"), say("Method, glossary, cautions")),
        description=say("How the figures are worked out, and what each input and figure means"),
        content={
            "figures": named,
            "glossary": [
                {"file": file, "sections": glossary(view, kind)} for file, kind in FILES.items()
            ],
            "cautions": money_cautions(view),
            "years": plural(view.figures.years, "year", "years"),
        },
    )


def glossary(view: View, kind: type[Record]) -> list[dict[str, Any]]:
    """Return what each section of a file may say, made from the model's declarations."""
    sections, seen = [], set()
    for record in records(kind):
        heading = getattr(record, "heading", "")
        if not heading or heading in seen or issubclass(record, Quantity):
            continue
        seen.add(heading)
        terms = [_term(view, record, key) for key in record.model_fields]
        sections.append({"heading": say(heading), "terms": [term for term in terms if term]})
    return sections


def _term(view: View, record: Any, key: str) -> dict[str, str]:  # noqa: ANN401 (a model class)
    said = about(record, key)
    if said["unit"] in ("table", "list", ""):
        return {}
    label, meaning = said["label"], said["meaning"]
    return {
        "label": say(label),
        "key": key,
        "unit": view.formats.unit(said["unit"]),
        "meaning": say(meaning),
    }


def cautions_page(view: View) -> Page:
    """Make the page of cautions."""
    groups = [{"heading": heading, "lines": lines} for heading, lines in all_cautions(view)]
    return Page(
        file="cautions.html",
        template="cautions.html",
        title=say("Cautions"),
        nav="",
        description=say("What these figures are not, and who decides instead"),
        content={"lead": say(MAINTENANCE[0]), "groups": groups},
    )
