"""Cases with their numbers changed after reading: money in another unit, one range at a time."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case
from panelworth.model.ledger import Entry
from panelworth.model.value import Quantity, Record, declaration_of

Change = Callable[[str, type[Record], str, Any], Any]


def changed_record(record: Any, change: Change, prefix: str = "") -> Any:  # noqa: ANN401
    """Return a record with `change(path, class, key, value)` in place of each value within it."""
    updates: dict[str, Any] = {}
    for key in type(record).model_fields:
        value, path = getattr(record, key), f"{prefix}{key}"
        if isinstance(value, Record):
            updates[key] = changed_record(value, change, f"{path}.")
        elif isinstance(value, tuple) and value and isinstance(value[0], Record):
            updates[key] = tuple(
                changed_record(each, change, f"{path}[{getattr(each, 'name', number)}].")
                for number, each in enumerate(value)
            )
        else:
            updates[key] = change(path, type(record), key, value)
    return record.model_copy(update=updates)


def changed_case(case: Case, change: Change) -> Case:
    """Return a case with every value of its files changed so; paths as the engine has them."""
    equipment, replacements = case.equipment, case.replacements
    written = replace(
        case.written,
        scenario=changed_record(case.scenario, change),
        options={
            option_id: changed_record(option, change, f"options.{option_id}.")
            for option_id, option in case.written_options.items()
        },
        ledger=tuple(changed_record(entry, change, "ledger.") for entry in case.ledger),
        equipment=equipment and changed_record(equipment, change, "equipment."),
        replacements={
            option_id: changed_record(each, change, f"replacements.{option_id}.")
            for option_id, each in replacements.items()
        },
    )
    return settled(written)


def money_times(case: Case, factor: float) -> Case:
    """Return a case with everything that is declared to be money multiplied by a factor."""

    def change(_: str, kind: type[Record], key: str, value: Any) -> Any:  # noqa: ANN401
        if not declaration_of(kind, key)["unit"].startswith("money"):
            return value
        if isinstance(value, Quantity):
            parts = {part: getattr(value, part) * factor for part in ("low", "likely", "high")}
            return value.model_copy(update=parts)
        return value * factor if isinstance(value, float) else value

    return changed_case(case, change)


def without_loans(case: Case) -> Case:
    """Take out the loans, whose payments are rounded to the cent."""
    return _paid_by(case, {"loan": None})


def without_whole_cents(case: Case) -> Case:
    """Take out loans and solved raises, the only figures that are rounded to the cent."""
    return _paid_by(case, {"loan": None, "solve": None})


def _paid_by(case: Case, terms: dict[str, Any]) -> Case:
    """Return a case with other terms in the funding of every option, as written and settled."""
    changed = {
        name: {
            option_id: option.model_copy(
                update={"funding": option.funding.model_copy(update=terms)}
            )
            for option_id, option in getattr(case, name).items()
        }
        for name in ("options", "written_options")
    }
    return replace(case, **changed)


def one_range(case: Case, path: str) -> Case:
    """Return a case in which every number is certain but the one at a path, which is a range."""

    def change(here: str, kind: type[Record], key: str, value: Any) -> Any:  # noqa: ANN401
        if kind is Entry and key in ("low", "high"):
            return None
        if not isinstance(value, Quantity):
            return value
        low = high = value.likely
        if here == path:
            said, width = declaration_of(kind, key), max(abs(value.likely), 1.0) / 4.0
            low = max(value.likely - width, said["low"])
            high = min(value.likely + width, said["high"])
            assert low < high
        return value.model_copy(update={"low": low, "high": high})

    return changed_case(case, change)


def quantity_paths(case: Case) -> Iterator[str]:
    """Yield the path of every number or range of the folder, those of the equipment too."""
    found: list[str] = []

    def change(path: str, _: type[Record], __: str, value: Any) -> Any:  # noqa: ANN401
        found.extend([path] if isinstance(value, Quantity) else [])
        return value

    changed_case(case, change)
    yield from found


def numbers_in(value: Any) -> Iterator[float]:  # noqa: ANN401 (figures as a dict)
    """Yield every number within figures that were turned into dicts and lists."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list | tuple):
        for each in value:
            yield from numbers_in(each)
    elif isinstance(value, float):
        yield value
