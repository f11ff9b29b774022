"""What a cell of the ledger may name: options, their items by ledger key or name, kinds of rows."""

from dataclasses import dataclass

from pydantic import ValidationError

from panelworth.model.case import option_prefix
from panelworth.model.ledger import KINDS
from panelworth.model.ledger_targets import targets_of
from panelworth.model.option import Option
from panelworth.publishing.desk.desk import data_of
from panelworth.publishing.desk.disc import OPTION, ScenarioFiles
from panelworth.publishing.desk.option_files import option_titles

ANSWERS = ("yes", "no")
WORDS = {"kind": KINDS, "tax_included": ANSWERS, "final": ANSWERS}
Named = list[tuple[str, str]]  # what a cell says, and what it means


@dataclass(frozen=True, kw_only=True)
class Choices:
    """The options, and what rows of each can be about."""

    options: Named
    items: dict[str, Named]


def choices_of(files: ScenarioFiles) -> Choices:
    """Return what rows of a folder can name; an option with an error in its file has no items."""
    titles = option_titles(files)
    return Choices(
        options=list(titles.items()),
        items={option_id: _items(files, option_id) for option_id in titles},
    )


def _items(files: ScenarioFiles, option_id: str) -> Named:
    try:
        option = Option.model_validate(data_of(files.content(OPTION.format(option_id))))
    except ValidationError:
        return []
    known = targets_of(option, option_prefix(option_id))
    return [(names[0], target.name) for target, names in known]
