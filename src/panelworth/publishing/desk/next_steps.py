"""What a scenario does not say yet, most useful first, for the first page of its desk."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from panelworth.plain_files import is_there
from panelworth.publishing.desk.desk import data_of
from panelworth.publishing.desk.disc import OPTION, ScenarioFiles
from panelworth.publishing.desk.frame import LEDGER
from panelworth.publishing.desk.ledger_saving import FILE, WORKBOOKS
from panelworth.publishing.desk.ledger_text import ledger_text
from panelworth.publishing.desk.option_files import option_titles
from panelworth.publishing.desk.places import SCENARIO_FILE, option_place, scenario_place
from panelworth.publishing.desk.toml_positions import value_at
from panelworth.publishing.language import _

EQUIPMENT_FILE = "equipment.toml"


@dataclass(frozen=True, kw_only=True)
class Step:
    """Something that is not there yet: what it is, why it helps, the form that asks for it.

    `anchor` is the input in the form.
    """

    label: str
    note: str
    address: str = ""
    anchor: str = ""


def next_steps(files: ScenarioFiles) -> list[Step]:
    """Return what is missing, most useful first; nothing of files that cannot be read."""
    data = data_of(files.content(SCENARIO_FILE))
    return list(_missing(files, data)) if data is not None else []


def _missing(files: ScenarioFiles, data: dict[str, Any]) -> Iterator[Step]:
    aircraft = f"{scenario_place().address}/aircraft"
    if value_at(data, ("aircraft", "insurance")) is None:
        yield Step(
            label=_("Insurance"),
            note=_("What the hull and the liability cost a year; more for a dearer airplane."),
            address=aircraft,
            anchor="f-aircraft-insurance-agreed_value-likely",
        )
    if value_at(data, ("aircraft", "repairs")) is None:
        yield Step(
            label=_("Repairs of the panel"),
            note=_("What the old panel costs a year: often the reason to change it."),
            address=aircraft,
            anchor="f-aircraft-repairs-per_year-likely",
        )
    if value_at(data, ("rates",)) is None:
        yield Step(
            label=_("Rates"),
            note=_("Inflation and the discount rate: both count as 0 now."),
            address=f"{scenario_place().address}/rates",
        )
    yield from _without_range(files)
    if not _has_quote(files):
        yield Step(
            label=_("A quote in the ledger"),
            note=_("A price on paper takes the place of a guess."),
            address=LEDGER,
        )
    if not is_there(files.folder / EQUIPMENT_FILE):
        yield Step(
            label=_("The equipment, in {file}", file=EQUIPMENT_FILE),
            note=_(
                "Weight, balance, power and what fails with what. The desk has no form for it: "
                "panelworth new writes an example into another folder."
            ),
        )


def _without_range(files: ScenarioFiles) -> Iterator[Step]:
    """Yield the first option none of whose prices has a range: it looks surer than it is."""
    for option_id, title in option_titles(files).items():
        items = (data_of(files.content(OPTION.format(option_id))) or {}).get("items")
        costs = [one.get("cost") for one in items or () if isinstance(one, dict)]
        if costs and all(isinstance(cost, int | float) for cost in costs):
            yield Step(
                label=_("A range for the price of “{title}”", title=title),
                note=_("The least and the most that it may cost, for the chances of each result."),
                address=f"{option_place(option_id).address}/items/1",
                anchor="f-items-0-cost-low",
            )
            return


def _has_quote(files: ScenarioFiles) -> bool:
    """Return whether the ledger has a row; a workbook is taken to have some."""
    ledger = ledger_text(files.content(FILE))
    is_workbook = any(is_there(files.folder / name) for name in WORKBOOKS)
    return is_workbook or (ledger is None or bool(ledger.rows))
