"""The form of a table or an entry, and the rows of a list: shown, and taken."""

from datetime import date
from typing import Any

from panelworth.model.schedule import Schedule
from panelworth.publishing.desk.desk import Answer, Ask, Desk, data_of, formats_in
from panelworth.publishing.desk.disc import ScenarioFiles, fingerprint
from panelworth.publishing.desk.fields import EXTRAS, LONG_TEXT, PARTS, SHAPES, Field, unit_of
from panelworth.publishing.desk.frame import address_of, crumbs_of, not_found, page
from panelworth.publishing.desk.new_option_page import NEW_OPTION
from panelworth.publishing.desk.option_files import option_titles, remove_option
from panelworth.publishing.desk.places import SCENARIO_FILE, Place, place_at, scenario_place
from panelworth.publishing.desk.saving import (
    Outcome,
    add_entry,
    input_name,
    remove_place,
    save,
    typed_in,
)
from panelworth.publishing.desk.summaries import entry_name, entry_summary, summary_of
from panelworth.publishing.desk.toml_edits import ENDS
from panelworth.publishing.desk.toml_positions import value_at
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import N_, _

DECISION = "decision"
SAVE, REMOVE, COPY = "save", "remove", "copy"
UNREADABLE = N_("{file} cannot be read as TOML: correct it in a text editor first.")
NOTHING_TO_REMOVE = N_("There is nothing to remove here.")


def existing_place(files: ScenarioFiles, rest: str) -> Place | None:
    """Return the place of an address if the file has it: a table may be missing, not an entry."""
    place = place_at(rest, files.options())
    content = files.content(place.file) if place else None
    if place is None or content is None:
        return None
    data = data_of(content) or {}
    numbers = [at for at, step in enumerate(place.path) if isinstance(step, int)]
    is_there = all(value_at(data, place.path[: at + 1]) is not None for at in numbers)
    return place if is_there or not data else None


def show_form(desk: Desk, ask: Ask) -> Answer:
    """Show a form or a list as its file has it."""
    files = desk.folders().get(ask.scenario)
    place = existing_place(files, ask.rest) if files else None
    if files is None or place is None:
        return not_found(desk, ask)
    return _shown(desk, files, ask, place, Outcome())


def take_form(desk: Desk, ask: Ask) -> Answer:
    """Save a form, or remove or copy what it is about; where it cannot be, show it again."""
    files = desk.folders().get(ask.scenario)
    place = existing_place(files, ask.rest) if files else None
    if files is None or place is None:
        return not_found(desk, ask)
    do, _dash, number = ask.form.get("do", SAVE).partition("-")
    at = int(number) if number.isascii() and number.isdigit() else 0
    if do == REMOVE:
        return _removed(desk, files, ask, place, at)
    if do == COPY and place.kind == "list":
        return _copied(desk, files, ask, place, at)
    outcome = save(place, files, desk.read, ask.form)
    if not outcome.saved:
        return _shown(desk, files, ask, place, outcome)
    address, done = (_around(place), "added") if place.kind == "new" else (place.address, "saved")
    return Answer(location=address_of(ask.scenario, address, done))


def _around(place: Place) -> str:
    """Return the address of the form or list around a place."""
    return place.address.rpartition("/")[0]


def _removed(desk: Desk, files: ScenarioFiles, ask: Ask, place: Place, number: int) -> Answer:
    """Remove an entry, an optional table or an option."""
    seen = ask.form.get("fingerprint", "")
    removed = place.entry(number) if place.kind == "list" else place
    around = _around(removed) if removed.path else ""
    if removed.path and (removed.kind == "entry" or removed.optional):
        wrong = remove_place(removed, files, seen)
    elif not removed.path and removed.file != SCENARIO_FILE:
        wrong = remove_option(files, removed.label, seen)
    else:
        wrong = _(NOTHING_TO_REMOVE)
    if not wrong:
        return Answer(location=address_of(ask.scenario, around, "removed"))
    return _shown(desk, files, ask, place, Outcome(wrong={"": [wrong]}))


def _copied(desk: Desk, files: ScenarioFiles, ask: Ask, place: Place, number: int) -> Answer:
    outcome, new = add_entry(place, files, desk.read, number, ask.form.get("fingerprint", ""))
    if not outcome.saved:
        return _shown(desk, files, ask, place, outcome)
    return Answer(location=address_of(ask.scenario, place.entry(new).address, "added"))


def _shown(desk: Desk, files: ScenarioFiles, ask: Ask, place: Place, outcome: Outcome) -> Answer:
    """Fill the page of a place; after a form that was not taken, with what was typed."""
    content = files.content(place.file)
    data = data_of(content)
    option_id = place.file_place.partition("/")[2]
    filled: dict[str, Any] = {
        "title": _title(files, place, data or {}),
        "crumbs": crumbs_of(files, ask, place),
        "fingerprint": fingerprint(content),
        "wrong": outcome.wrong.get("", []),
        "file": place.file,
    }
    if data is None:
        filled["wrong"] = [*filled["wrong"], _(UNREADABLE, file=place.file)]
        template = "desk/missing.html"
    elif place.kind == "list":
        filled["rows"] = _rows(ask, place, data)
        filled["new"] = address_of(ask.scenario, place.new().address)
        template = "desk/list.html"
    else:
        filled |= _form(files, ask, place, data, outcome)
        template = "desk/form.html"
    status = 422 if outcome.wrong else 200
    return page(desk, files, ask, template, filled, status=status, option_id=option_id)


def _title(files: ScenarioFiles, place: Place, data: dict[str, Any]) -> str:
    if not place.path:
        return option_titles(files).get(place.label, place.label)
    if place.kind == "new":
        return _("{list}: a new one", list=place.label)
    if place.kind == "entry":
        number = place.path[-1]
        return entry_name(value_at(data, place.path), number if isinstance(number, int) else 0)
    return place.label


def _rows(ask: Ask, place: Place, data: dict[str, Any]) -> list[dict[str, Any]]:
    entries = value_at(data, place.path)
    return [
        {
            "number": number,
            "href": address_of(ask.scenario, place.entry(number).address),
            "name": entry_name(entry, number),
            "note": entry_summary(place.entry(number), data),
        }
        for number, entry in enumerate(entries if isinstance(entries, list) else [])
    ]


def _form(
    files: ScenarioFiles, ask: Ask, place: Place, data: dict[str, Any], outcome: Outcome
) -> dict[str, Any]:
    formats = formats_in(files)
    typed = typed_in(place.fields, ask.form) if outcome.wrong and ask.form.get("token") else {}
    if ask.form.get("do", SAVE) != SAVE:
        typed = {}
    fields = []
    for one in place.fields:
        value = None if place.kind == "new" else value_at(data, one.path)
        shown = typed.get(one.name) or one.typed(value)
        fields.append(_field(one, shown, value, outcome, formats))
    is_missing = place.optional and value_at(data, place.path) is None
    is_option = not place.path and place.file != SCENARIO_FILE
    return {
        "groups": _groups(fields),
        "inner": [
            {
                "href": address_of(ask.scenario, inner.address),
                "label": inner.label,
                "note": summary_of(inner, data),
            }
            for inner in (place.inner() if not is_missing and (place.path or is_option) else ())
        ],
        "wrong_fields": [(one["id"], one["label"]) for one in fields if one["wrong"]],
        "new_option": address_of(ask.scenario, NEW_OPTION) + f"?from={place.label}",
        "is_missing": is_missing,
        "is_new": place.kind == "new",
        "removable": is_option or place.kind == "entry" or (place.optional and not is_missing),
        "is_option": is_option,
        "status_form": _status_form(files, ask, place),
    }


def _status_form(files: ScenarioFiles, ask: Ask, place: Place) -> str:
    """Return the address of the status date: what happened may not be after it. Else ""."""
    scenario = data_of(files.content(SCENARIO_FILE)) or {}
    option_id = place.file_place.partition("/")[2]
    if place.record is not Schedule or value_at(scenario, (DECISION, "chosen")) != option_id:
        return ""
    return address_of(ask.scenario, f"{scenario_place().address}/{DECISION}")


def _groups(fields: list[dict[str, Any]]) -> list[tuple[str, list[dict[str, Any]]]]:
    """Return the fields by the heading of their table, in order."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for one in fields:
        groups.setdefault(one["group"], []).append(one)
    return list(groups.items())


def _field(
    one: Field, typed: dict[str, str], value: object, outcome: Outcome, formats: Formats
) -> dict[str, Any]:
    """Return a field as the template shows it."""
    now = outcome.now.get(one.name)
    choices = [*one.choices]
    if one.kind == "choice" and typed[""] and typed[""] not in choices:
        choices.append(typed[""])  # what the file has now, though it is not allowed
    return {
        "id": f"f-{one.name}".replace(".", "-"),
        "name": one.name,
        "part_names": {part: input_name(one, part) for part in PARTS},
        "label": one.label,
        "unit": unit_of(one, formats),
        "meaning": one.meaning,
        "left_out": one.left_out(),
        "required": one.required,
        "kind": one.kind,
        "is_day": one.kind == "date" and (value is None or isinstance(value, date)),
        "choices": choices,
        "shapes": SHAPES,
        "lines": _lines(one, typed[""]),
        "typed": typed,
        "now": _now(now) if now else "",
        "wrong": outcome.wrong.get(one.name, []),
        "group": one.group,
    }


def _lines(one: Field, text: str) -> int:
    """Return how many lines an input has; 1 for an input of one line."""
    if one.kind == "names":
        return max(2, text.count("\n") + 2)
    if one.kind == "text" and (len(text) > LONG_TEXT or "\n" in text):
        return 3
    return 1


def _now(typed: dict[str, str]) -> str:
    """Write what a file has now, on one line."""
    ends = [typed[end] for end in ENDS if typed.get(end)]
    extras = [typed[part] for part in EXTRAS if typed.get(part)]
    return "; ".join([" – ".join(ends) or typed[""].replace("\n", ", ") or _("nothing"), *extras])
