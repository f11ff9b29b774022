"""The differences between two cases, input by input, and how to apply one of them.

Entries of lists are compared by name and not by position, so that another order is no change. Texts
that change no figure are left out. A new or removed table, an option of another kind, and the dates
of a schedule are one change each, because their parts make no sense alone.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any, TypeVar

from panelworth.engine.results.editions import InputChange, RecordPath
from panelworth.model.case import WrittenCase
from panelworth.model.ledger import Entry
from panelworth.model.ledger_targets import JOIN, named_options, named_targets
from panelworth.model.option import Option
from panelworth.model.scenario import Recurring
from panelworth.model.schedule import Schedule
from panelworth.model.value import Quantity, Record, declaration_of

# Keys that change no figure: texts, the row in a file, and the language of pages.
WORDS = {"title", "question", "summary", "label", "reason", "line", "locale"}
FILES = {"equipment": "equipment.toml", "fleet": "fleet.toml"}
R = TypeVar("R", bound=Record)


def changes_between(then: WrittenCase, now: WrittenCase) -> tuple[InputChange, ...]:
    """Return every change of an input: of the scenario, options, ledger and other files."""
    changes = list(_in_record(then.scenario, now.scenario, ("scenario",), ""))
    whole_options = set()
    for option_id in (
        *now.options,
        *(option_id for option_id in then.options if option_id not in now.options),
    ):
        before, after = then.options.get(option_id), now.options.get(option_id)
        if before is None or after is None or not before.is_of_same_kind_as(after):
            whole_options.add(option_id)
            changes.append(_whole_option(option_id, before, after))
        else:
            changes += _in_record(before, after, ("options", option_id), option_id)
    changes = [
        *_with_ledger(then, now, changes, whole_options),
        *_in_files(then, now, whole_options),
    ]
    return tuple(changes)


def with_changes(then: WrittenCase, now: WrittenCase, parts: Iterable[RecordPath]) -> WrittenCase:
    """Return `then` with these parts as they are in `now`."""
    for head, *rest in parts:
        if head == "ledger":
            rows = _rows_taken(then.ledger, now.ledger, tuple(rest))
            then = replace(then, ledger=rows)
            continue
        old, new = getattr(then, head), getattr(now, head)
        if rest and isinstance(new, dict):
            value: Any = _entry_taken(old, new, rest)
        else:
            value = _taken(old, new, rest) if rest else new
        then = replace(then, **{head: value})
    return then


def _entry_taken(old: dict[str, Any], new: dict[str, Any], path: list[str]) -> dict[str, Any]:
    key, *rest = path
    if key not in new:
        return {name: value for name, value in old.items() if name != key}
    return {**old, key: _taken(old[key], new[key], rest) if rest else new[key]}


def _taken(old_record: R, new_record: R, path: list[str]) -> R:
    """Return the old record with the new value at a path; a list's entry is given by its name."""
    key, *rest = path
    old, new = getattr(old_record, key), getattr(new_record, key)
    if not rest:
        value = new
    elif isinstance(old, tuple):
        value = _named_taken(old, new, rest)
    else:
        value = _taken(old, new, rest)
    return old_record.model_copy(update={key: value})


def _named_taken(
    old_entries: tuple[Any, ...], new_entries: tuple[Any, ...], path: list[str]
) -> tuple[Any, ...]:
    name, *rest = path
    new = next((entry for entry in new_entries if entry.name == name), None)
    old = next((entry for entry in old_entries if entry.name == name), None)
    if new is None:
        return tuple(entry for entry in old_entries if entry.name != name)
    if old is None:
        return (*old_entries, new)
    taken = _taken(old, new, rest) if rest else new
    return tuple(taken if entry is old else entry for entry in old_entries)


def _rows_taken(
    old_rows: tuple[Entry, ...], new_rows: tuple[Entry, ...], where: RecordPath
) -> tuple[Entry, ...]:
    """Return the old ledger with the new rows of an option, or of one of its items."""

    def there(entry: Entry) -> bool:
        return (entry.option, entry.item)[: len(where)] == where

    kept = [row for row in old_rows if not there(row)]
    return (*kept, *(row for row in new_rows if there(row)))


def _in_record(then: Record, now: Record, path: RecordPath, option: str) -> Iterator[InputChange]:
    for key in type(now).model_fields:
        old, new = getattr(then, key), getattr(now, key)
        if key in WORDS or same(old, new):
            continue
        where = (*path, key)
        if isinstance(old, Schedule) and isinstance(new, Schedule):
            # Start and order are one change: with one of them alone, the order could be after the
            # start.
            moved = (old.start, old.order) != (new.start, new.order)
            yield from (
                [_change(now, where, option, old, new)]
                if moved
                else _in_record(old, new, where, option)
            )
        elif isinstance(old, Record) and isinstance(new, Record):
            yield from _in_record(old, new, where, option)
        elif _named(old) and _named(new):
            yield from _in_list(old, new, where, option)
        else:
            yield _change(now, where, option, old, new)


def _in_list(
    then: tuple[Any, ...], now: tuple[Any, ...], path: RecordPath, option: str
) -> Iterator[InputChange]:
    before: dict[str, Any] = {entry.name: entry for entry in then}
    after: dict[str, Any] = {entry.name: entry for entry in now}
    for name in (*after, *(name for name in before if name not in after)):
        old, new, where = before.get(name), after.get(name), (*path, name)
        if old is not None and new is not None and _alike(old, new):
            yield from _in_record(old, new, where, option)
        else:
            label = f"{(before | after)[name].heading} “{name}”"
            yield InputChange(
                option=option, path=_dotted(where), label=label, unit="entry",
                before=old, after=new, places=(where,),
            )  # fmt: skip


def _alike(old: Record, new: Record) -> bool:
    """Say whether the keys of two entries may be applied one by one.

    Not if an interval changes from months to days, because the two keys exclude each other.
    """
    if isinstance(old, Recurring) and isinstance(new, Recurring):
        return (old.every_days is None) == (new.every_days is None)
    return True


def _change(record: Record, path: RecordPath, option: str, old: object, new: object) -> InputChange:
    declaration, name = declaration_of(type(record), path[-1]), getattr(record, "name", "")
    label = f"{name}: {declaration['label'].lower()}" if name else declaration["label"]
    return InputChange(
        option=option, path=_dotted(path), label=label, unit=declaration["unit"],
        before=old, after=new, places=(path,),
    )  # fmt: skip


def _dotted(path: RecordPath) -> str:
    return ".".join(path[1:] if path[0] == "scenario" else path)


def _whole_option(option_id: str, before: Option | None, after: Option | None) -> InputChange:
    option = after or before
    title = option.title if option else option_id
    return InputChange(
        option=option_id, path=f"options.{option_id}", label=f"Option “{title}”", unit="entry",
        before=before, after=after,
        places=(("options", option_id), ("replacements", option_id), ("ledger", option_id)),
    )  # fmt: skip


def _with_ledger(
    then: WrittenCase, now: WrittenCase, changes: list[InputChange], whole_options: set[str]
) -> Iterator[InputChange]:
    """Yield the changes and those of ledger rows, one for each item.

    Rows of a new or removed item belong to the change of the item itself: without the item they
    would name nothing.
    """
    before, after = _rows_by_item(then.ledger), _rows_by_item(now.ledger)
    keys = [*after, *(key for key in before if key not in after)]
    moved = [
        key
        for key in keys
        if key[0] not in whole_options and not same(before.get(key), after.get(key))
    ]
    titles = {**then.options, **now.options}
    for change in changes:
        with_entry = [key for key in moved if change.option == key[0] and key[1] in _called(change)]
        moved = [key for key in moved if key not in with_entry]
        yield replace(change, places=(*change.places, *(("ledger", *key) for key in with_entry)))
    for option_id, item in moved:
        old, new = before.get((option_id, item), ()), after.get((option_id, item), ())
        named = [titles[name] for name in named_options(option_id, titles) if name in titles]
        label = f"Ledger: {_named_so(named, item)}"
        yield InputChange(
            option=option_id, path=f"ledger[{option_id}][{item}]", label=label, unit="rows",
            before=tuple(row for row in old if not _among(row, new)),
            after=tuple(row for row in new if not _among(row, old)),
            places=(("ledger", option_id, item),),
        )  # fmt: skip


def _named_so(options: list[Option], called: str) -> str:
    """Return the names of a row's targets: of one, of several, or "all items"."""
    names: list[str] = []
    for option in options:
        targets, unknown = named_targets(option, "", called)
        names += [*(target.name for target in targets), *unknown]
    if not called:
        return "all items"
    return JOIN.join(dict.fromkeys(names)) or called


def _rows_by_item(ledger: tuple[Entry, ...]) -> dict[tuple[str, str], tuple[Entry, ...]]:
    rows: dict[tuple[str, str], tuple[Entry, ...]] = {}
    for row in ledger:
        key = (row.option, row.item)
        rows[key] = (*rows.get(key, ()), row)
    return rows


def _among(row: Entry, rows: tuple[Entry, ...]) -> bool:
    return any(same(row, other) for other in rows)


def _called(change: InputChange) -> set[str]:
    """Return the names by which ledger rows may call a new or removed item or credit."""
    if change.unit != "entry":
        return set()
    entry = change.after or change.before
    return {getattr(entry, "name", ""), getattr(entry, "ledger", "")} - {""}


def _in_files(
    then: WrittenCase, now: WrittenCase, whole_options: set[str]
) -> Iterator[InputChange]:
    """Yield the changes in equipment.toml, fleet.toml and replacements' equipment files."""
    for head, file in FILES.items():
        yield from _in_file(getattr(then, head), getattr(now, head), (head,), file, "")
    before, after = then.replacements, now.replacements
    # Sorted, because the order of a set of texts differs from run to run.
    for option_id in sorted({*before, *after} - whole_options):
        pair = before.get(option_id), after.get(option_id)
        file = f"options/{option_id}.equipment.toml"
        yield from _in_file(*pair, ("replacements", option_id), file, option_id)


def _in_file(
    old: Record | None, new: Record | None, path: RecordPath, file: str, option: str
) -> Iterator[InputChange]:
    if old is not None and new is not None:
        yield from _in_record(old, new, path, option)
    elif old is not new:
        yield InputChange(
            option=option, path=_dotted(path), label=file, unit="entry",
            before=old, after=new, places=(path,),
        )  # fmt: skip


def same(one: object, other: object) -> bool:
    """Say whether two values give the same figures; sources, notes and titles are not compared."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        alike = (one.low, one.likely, one.high) == (other.low, other.likely, other.high)
        return alike and (one.certain or one.shape == other.shape)
    if isinstance(one, Record) and type(one) is type(other):
        keys = [key for key in type(one).model_fields if key not in WORDS]
        return all(same(getattr(one, key), getattr(other, key)) for key in keys)
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(same, _ordered(one), _ordered(other)))
    return one == other


def _ordered(values: tuple[Any, ...]) -> list[Any]:
    """Sort texts, and entries by name, so that the order in the file does not matter."""
    if values and _named(values):
        return sorted(values, key=lambda entry: entry.name)
    if all(isinstance(entry, str) for entry in values):
        return sorted(values)
    return list(values)


def _named(value: object) -> bool:
    """Say whether a value is a list of entries with names; an empty list counts as one."""
    return isinstance(value, tuple) and all(
        isinstance(entry, Record) and hasattr(entry, "name") for entry in value
    )
