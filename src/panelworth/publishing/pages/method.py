"""Method: how figures are worked out, all cautions, and what each figure and input means."""

from typing import Any

from panelworth.model.case import record_classes, record_headers
from panelworth.model.club_only import is_club_only
from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.ledger import Entry
from panelworth.model.needs import Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Quantity, Record, declaration_of
from panelworth.publishing.formats import Formats, number, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View
from panelworth.publishing.words.caution_lines import all_cautions
from panelworth.publishing.words.figure_names import LIKELY
from panelworth.publishing.words.level_words import AHEAD, FUTURES

FILES: dict[str, type[Record]] = {
    "scenario.toml": Scenario,
    "options/NAME.toml": Option,
    "ledger.csv": Entry,
    "equipment.toml": Equipment,
    "fleet.toml": Fleet,
    "needs.toml": Needs,
}


def method_page(view: View) -> Page:
    """Return the page on the calculation, the cautions, and the meaning of figures and inputs."""
    question = _("How is it worked out?")
    named = [
        {"label": _(figure.label), "meaning": _(figure.meaning), "key": figure.key}
        for figure in LIKELY
        if view.club or not figure.of_club
    ]
    return Page(
        file="method.html",
        template="method.html",
        title=_("Method and glossary"),
        nav="",
        foot=_("Method"),
        door=(question, _("Method, glossary, cautions")),
        description=_("How the figures are worked out, and what each input and figure means"),
        content={
            "question": question,
            "years": plural(view.figures.years, "year", "years"),
            "club": view.club is not None,
            "ledger": bool(view.case.ledger),
            "trials": number(view.figures.uncertainty.trials),
            "all": FUTURES,
            "least": AHEAD,
            "figures": named,
            "glossary": [
                {
                    "file": view.case.ledger_file.name if kind is Entry else file,
                    "sections": glossary(view, kind),
                }
                for file, kind in FILES.items()
            ],
            "cautions": [
                {"heading": heading, "lines": lines} for heading, lines in all_cautions(view.club)
            ],
        },
    )


def glossary(view: View, kind: type[Record]) -> list[dict[str, Any]]:
    """Return the keys of each section of a file with their meaning, from the declarations.

    What only a club has is left out for an owner. `headers` are the tables that have these keys, as
    a text editor shows them: who writes the files needs them.
    """
    headers: dict[str, list[str]] = {}
    for inner, header in record_headers(kind):
        headers.setdefault(getattr(inner, "heading", ""), []).append(header)
    sections, seen = [], set()  # several tables can have the same record: it is listed once
    for record in record_classes(kind):
        heading = getattr(record, "heading", "")
        if not heading or heading in seen or issubclass(record, Quantity):
            continue
        seen.add(heading)
        keys = [key for key in record.model_fields if view.club or not is_club_only(record, key)]
        terms = [_term(view.formats, record, key) for key in keys]
        sections.append(
            {
                "heading": _(heading),
                "headers": headers.get(heading, []),
                "terms": [term for term in terms if term],
            }
        )
    return sections


def _term(formats: Formats, record: Any, key: str) -> dict[str, str]:  # noqa: ANN401 (a model class)
    words = declaration_of(record, key)
    if words["unit"] in ("table", "list", ""):
        return {}
    label, meaning = words["label"], words["meaning"]
    return {
        "label": _(label),
        "key": key,
        "unit": formats.unit(words["unit"]),
        "meaning": _(meaning),
    }
