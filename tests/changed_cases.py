"""Cases with their numbers changed after reading: money in another unit, one range at a time."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case
from panelworth.model.value import Quantity, Record, about

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
        if not about(kind, key)["unit"].startswith("money"):
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
