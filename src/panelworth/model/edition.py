"""An edition: the figures that were published and every input they stood on, as plain data.

Kept in the site's data so that the next build can say what moved. Notes are left out, for they
move no figure; so are members' ballots, which nobody is to read row by row.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from panelworth.model.case import WrittenCase

SCHEMA = "panelworth-edition/2"
LAST, BEFORE = "edition.json", "edition-before.json"
KEPT = {"name", "scenario", "options", "ledger", "equipment", "fleet", "replacements"}


@dataclass(frozen=True, kw_only=True, eq=False)
class Edition:
    """One edition: its inputs, its figures as figures.json has them, and the bytes of its file.

    `published` holds the object of figures.json. An edition equals itself alone, so that what was
    worked out of it can be kept.
    """

    case: WrittenCase
    published: Mapping[str, Any]
    content: bytes


@dataclass(frozen=True, kw_only=True)
class Editions:
    """What a site keeps of a scenario: its last edition and the one that it was compared with."""

    last: Edition | None = None
    before: Edition | None = None


def inputs_object(case: WrittenCase) -> dict[str, Any]:
    """Return a case as JSON values: every range with low, likely, high and shape, every day.

    Items have their own prices, beside the ledger's rows.
    """
    inputs: dict[str, Any] = _case().dump_python(
        case, mode="json", include=KEPT, exclude_none=True, by_alias=True
    )
    return inputs


def case_of(inputs: object) -> WrittenCase:
    """Make the case again; pydantic's ValidationError where it is not one of this version."""
    return _case().validate_python(inputs, strict=False)


def with_trials(case: WrittenCase, trials: int) -> WrittenCase:
    """Return a case that draws so many trials: an edition says how many were really drawn."""
    terms = case.scenario.uncertainty.model_copy(update={"trials": trials})
    return replace(case, scenario=case.scenario.model_copy(update={"uncertainty": terms}))


@cache
def _case() -> TypeAdapter[WrittenCase]:
    return TypeAdapter(WrittenCase)
