"""Published cases by id, and small invented folders as records, for the airplane's tests."""

import json
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case, WrittenCase
from panelworth.model.equipment import Airplane, Equipment, Unit
from panelworth.model.fleet import Fleet
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario

FILE = Path(__file__).parent / "cases" / "airframe.json"
CASES: dict[str, dict[str, Any]] = {
    each["id"]: each for each in json.loads(FILE.read_text(encoding="utf-8"))["cases"]
}
# Set A of AC 43.13-1B, chapter 10 section 2: oil is not in the empty weight, so it is a station.
SET_A = {
    "empty_weight": 1169.0,
    "empty_arm": 10.6,
    "max_weight": 2100.0,
    "fuel": {"arm": 22.0, "usable": 40.0, "weight_per_unit": 6.0},
    "envelope": [[8.5, 1000], [8.5, 2100], [21.9, 2100], [21.9, 1000]],
    "stations": {"Oil": -49.0, "Front": 16.0, "Rear": 48.0, "Baggage": 75.5},
    "adverse": {
        "aboard": {"Oil": 17.0, "Front": 170.0},
        "most": {"Oil": 17.0, "Front": 340.0, "Rear": 340.0, "Baggage": 100.0},
        "minimum_fuel": 83 / 6,
    },
}


def airplane(**changed: object) -> Airplane:
    """Return set A with some keys changed."""
    return Airplane.model_validate({**SET_A, **changed})


def unit(name: str, **keys: object) -> Unit:
    """Return one unit."""
    return Unit.model_validate({"name": name, **keys})


def case_of(
    *,
    scenario: Mapping[str, Any] | None = None,
    options: Mapping[str, Mapping[str, Any]] | None = None,
    equipment: Mapping[str, Any] | None = None,
    fleet: Mapping[str, Any] | None = None,
    **others: object,
) -> Case:
    """Return a folder's records: a baseline "keep" and the given options."""
    base = {
        "title": "T",
        "question": "Q?",
        "as_of": date(2026, 11, 1),
        "currency": "USD",
        "baseline": "keep",
        "years": 5,
    }
    given = {"keep": {"title": "Keep", "kind": "keep"}, **(options or {})}
    written = WrittenCase(
        name="test",
        scenario=Scenario.model_validate({**base, **(scenario or {})}),
        options={key: Option.model_validate(dict(each)) for key, each in given.items()},
        equipment=Equipment.model_validate(dict(equipment)) if equipment else None,
        fleet=Fleet.model_validate(dict(fleet)) if fleet else None,
        **others,
    )
    return settled(written)


def units_of(rows: Sequence[Sequence[float]], prefix: str) -> list[dict[str, Any]]:
    """Name units given as [weight, arm]."""
    return [{"name": f"{prefix} {n}", "weight": w, "arm": a} for n, (w, a) in enumerate(rows)]
