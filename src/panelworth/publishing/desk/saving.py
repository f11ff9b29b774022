"""What a sent form does: its values are checked on a copy of the folder, and then written.

A value that is wrong in itself is not written: the form is shown again, with the reason at the
field. Problems elsewhere in the folder do not prevent writing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain, count
from typing import Any

from panelworth.model.names import folded
from panelworth.problems import Problem
from panelworth.publishing.desk.desk import data_of
from panelworth.publishing.desk.disc import Read, ScenarioFiles, fingerprint
from panelworth.publishing.desk.fields import Field
from panelworth.publishing.desk.places import Place, is_within, name_of
from panelworth.publishing.desk.toml_edits import Add, AddTable, Edit, Put, Remove, edited
from panelworth.publishing.desk.toml_positions import KeyPath, value_at
from panelworth.publishing.desk.toml_values import same
from panelworth.publishing.language import N_, _

CHANGED = N_(
    "{file} changed after this form was made. Nothing was written. What you typed is still here; "
    "where the file says something else now, that is shown below the field."
)
NOT_POSSIBLE = N_(
    "{file} is written in a way that the desk cannot change here. Change it in a text editor."
)
CHANGED_LIST = N_("{file} changed after this page was made. Nothing was written: look again.")
NAMES = ("name", "title")
PART = ":"  # between the name of a field and the part of its value


@dataclass(kw_only=True)
class Outcome:
    """What became of a form: what is wrong, by the name of a field; "" is the form as a whole.

    `now` says what the file has, where that differs from when the form was made.
    """

    wrong: dict[str, list[str]] = field(default_factory=dict)
    now: dict[str, dict[str, str]] = field(default_factory=dict)
    saved: bool = False

    def add(self, name: str, text: str) -> None:
        """Add a reason, once."""
        if text not in self.wrong.setdefault(name, []):
            self.wrong[name].append(text)


def typed_in(place_fields: Sequence[Field], form: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """Return what was typed, by field and part, of those fields that were sent.

    Browsers send line ends as CR LF.
    """
    typed: dict[str, dict[str, str]] = {}
    for one in place_fields:
        names = {part: input_name(one, part) for part in one.typed(None)}
        sent = {part: form.get(name, "").replace("\r\n", "\n") for part, name in names.items()}
        if form.keys() & set(names.values()):
            typed[one.name] = {**sent, "": sent.get("likely", sent[""])}
    return typed


def input_name(one: Field, part: str) -> str:
    """Return the name of an input in the form."""
    return f"{one.name}{PART}{part}" if part else one.name


def save(place: Place, files: ScenarioFiles, read: Read, form: Mapping[str, str]) -> Outcome:
    """Write the values of a form that differ from those of its file."""
    content = files.content(place.file)
    data = data_of(content)
    outcome = Outcome()
    if content is None or data is None:
        outcome.add("", _(NOT_POSSIBLE, file=place.file))
        return outcome
    if form.get("fingerprint") != fingerprint(content):
        return _changed(place, data, form)
    values = _values(place, data, form, outcome)
    if outcome.wrong:
        return outcome
    edits: dict[str, Edit] = {}
    if place.kind == "new":
        entry: dict[str, Any] = {}
        for path, value in values.items():
            _put_into(entry, path[len(place.path) :], value)
        edits[""] = Add(path=place.path, entry=entry)
    else:
        edits = {
            ".".join(map(str, path)): Remove(path=path)
            if value is None
            else Put(path=path, value=value)
            for path, value in values.items()
        }
    if not edits and place.optional and value_at(data, place.path) is None:
        edits[""] = AddTable(path=place.path)
    return _written(place, files, read, edits, outcome)


def _values(
    place: Place, data: dict[str, Any], form: Mapping[str, str], outcome: Outcome
) -> dict[KeyPath, Any]:
    """Return each value that differs from the file's; None for one that is removed."""
    typed = typed_in(place.fields, form)
    values: dict[KeyPath, Any] = {}
    for one in place.fields:
        old = None if place.kind == "new" else value_at(data, one.path)
        if typed.get(one.name, one.typed(old)) == one.typed(old):
            continue  # not sent, or not changed
        value, wrong = one.value(typed[one.name], old)
        if wrong:
            outcome.add(one.name, wrong)
        elif not same(value, old):
            values[one.path] = value
    return values


def _put_into(entry: dict[str, Any], path: Sequence[str | int], value: object) -> None:
    """Put a value into a new entry; a table within it is made where it has a value."""
    for step in path[:-1]:
        entry = entry.setdefault(str(step), {})
    entry[str(path[-1])] = value


def _changed(place: Place, data: dict[str, Any], form: Mapping[str, str]) -> Outcome:
    outcome = Outcome()
    outcome.add("", _(CHANGED, file=place.file))
    if place.kind == "new":
        return outcome
    typed = typed_in(place.fields, form)
    for one in place.fields:
        now = one.typed(value_at(data, one.path))
        if now != typed.get(one.name, now):
            outcome.now[one.name] = now
    return outcome


def _written(
    place: Place, files: ScenarioFiles, read: Read, edits: Mapping[str, Edit], outcome: Outcome
) -> Outcome:
    """Check the edits on a copy, and write them if nothing of this form is wrong."""
    before = files.content(place.file) or b""
    after = edited(before, list(edits.values()))
    if after is None:
        outcome.add("", _(NOT_POSSIBLE, file=place.file))
    elif after == before:
        outcome.saved = True
    else:
        known = {_same_problem(problem) for problem in files.problems(read)}
        problems = files.problems(read, {place.file: after})
        _add_wrong(outcome, place, data_of(after) or {}, set(edits), known, problems)
        if not outcome.wrong:
            label = _label(place, list(edits))
            problem = files.write({place.file: after}, {place.file: before}, label)
            outcome.saved = problem is None
            if problem:
                outcome.add("", as_text(problem))
    return outcome


def _same_problem(problem: Problem) -> tuple[str, str, str, str]:
    """Return what makes a problem the same one after lines have moved."""
    return problem.file, problem.key, problem.expected, problem.found


def _add_wrong(
    outcome: Outcome,
    place: Place,
    data: dict[str, Any],
    edited_fields: set[str],
    known: set[tuple[str, str, str, str]],
    problems: Sequence[Problem],
) -> None:
    """Add the errors of this form's fields: those that were edited, and those that are new."""
    path = place.path
    if place.kind == "new":
        path = (*path, len(value_at(data, path)) - 1)
    names = {one.name: name_of(data, (*path, *one.path[len(place.path) :])) for one in place.fields}
    whole = name_of(data, path)
    for problem in problems:
        if problem.file != place.file or problem.severity != "error":
            continue
        one = next((name for name, key in names.items() if is_within(problem.key, key)), "")
        is_here = (
            bool(one) or problem.key == whole or (bool(path) and is_within(problem.key, whole))
        )
        is_new = _same_problem(problem) not in known
        if is_here and (is_new or one in edited_fields):
            outcome.add(one, as_text(problem))


def add_entry(
    place: Place, files: ScenarioFiles, read: Read, number: int, seen: str
) -> tuple[Outcome, int]:
    """Add a copy of an entry at the end of its list, under a new name; and say which it is."""
    content = files.content(place.file)
    entries = value_at(data_of(content), place.path)
    outcome = Outcome()
    if seen != fingerprint(content):
        outcome.add("", _(CHANGED_LIST, file=place.file))
    if outcome.wrong or not isinstance(entries, list) or number >= len(entries):
        return outcome, 0
    if not isinstance(entries[number], dict):
        outcome.add("", _(NOT_POSSIBLE, file=place.file))
        return outcome, 0
    entry, names = dict(entries[number]), [_name_in(one) for one in entries]
    for key in NAMES:
        if isinstance(entry.get(key), str):
            entry[key] = _new_name(entry[key], names)
    outcome = _added_entry(place, files, read, entry)
    shared = [one for one in place.new().fields if one.name in outcome.wrong and not one.required]
    if shared:  # such as a key of the ledger, which two entries cannot share
        rest = {
            key: value for key, value in entry.items() if key not in {one.key for one in shared}
        }
        outcome = _added_entry(place, files, read, rest)
    return outcome, len(entries)


def _added_entry(place: Place, files: ScenarioFiles, read: Read, entry: dict[str, Any]) -> Outcome:
    edits = {"": Add(path=place.path, entry=entry)}
    return _written(place.new(), files, read, edits, Outcome())


def _name_in(entry: object) -> str:
    names = [entry.get(key) for key in NAMES] if isinstance(entry, dict) else []
    return next((folded(name) for name in names if isinstance(name, str)), "")


def _new_name(name: str, known: Sequence[str]) -> str:
    """Return the name of a copy, which no other entry has."""
    copies = (_("{name} (copy {number})", name=name, number=number) for number in count(2))
    candidates = chain([_("{name} (copy)", name=name)], copies)
    return next(candidate for candidate in candidates if folded(candidate) not in known)


def remove_place(place: Place, files: ScenarioFiles, seen: str) -> str:
    """Remove a table or an entry. Returns why it was not; "" if it was.

    Other parts may name it: such problems are listed after it, and do not prevent it.
    """
    content = files.content(place.file)
    if content is None or seen != fingerprint(content):
        return _(CHANGED_LIST, file=place.file)
    data = data_of(content) or {}
    after = edited(content, [Remove(path=place.path)])
    if after is None:
        return _(NOT_POSSIBLE, file=place.file)
    name = _name_in(value_at(data, place.path))
    label = f"{place.label}: {value_at(data, place.path).get('name', '')}" if name else place.label
    problem = files.write({place.file: after}, {place.file: content}, label)
    return as_text(problem) if problem else ""


def _label(place: Place, edited_fields: Sequence[str]) -> str:
    """Name a change: the field if it is one, else the table."""
    labels = {one.name: one.label for one in place.fields}
    if len(edited_fields) == 1 and edited_fields[0] in labels:
        return labels[edited_fields[0]]
    return place.label


def as_text(problem: Problem) -> str:
    """Write a problem as sentences, without its place."""
    texts = [
        _("Expected {expected}, found {found}.", expected=problem.expected, found=problem.found)
    ]
    if problem.hint:
        end = "" if problem.hint.endswith(("?", ".")) else "."
        texts.append(f"{problem.hint[:1].upper()}{problem.hint[1:]}{end}")
    return " ".join(texts)
