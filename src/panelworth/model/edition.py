"""An edition: the published figures and all their inputs, as plain data.

A site keeps it so that the next build can say what has changed. Notes are left out, since they
change no figure. Ballots are left out too: a site is public, and single ballots are secret.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from panelworth.model.case import WrittenCase

SCHEMA = "panelworth-edition/2"
LAST, BEFORE = "edition.json", "edition-before.json"
KEPT_FIELDS = {
    "name",
    "scenario",
    "options",
    "ledger",
    "equipment",
    "fleet",
    "replacements",
    "squawks",
}


@dataclass(frozen=True, kw_only=True, eq=False)
class Edition:
    """One edition: its inputs, its figures as figures.json has them, and the bytes of its file.

    `published` is the object of figures.json. Editions are compared by identity, so that results
    for one can be cached.
    """

    case: WrittenCase
    published: Mapping[str, Any]
    content: bytes


@dataclass(frozen=True, kw_only=True)
class Editions:
    """The editions that a site keeps of a scenario: the last, and the one it was compared with."""

    last: Edition | None = None
    before: Edition | None = None


def inputs_object(case: WrittenCase) -> dict[str, Any]:
    """Return a case as JSON values: every range with low, likely, high and shape, every day.

    Items have the prices of the option file; the rows of the ledger are kept separately.
    """
    inputs: dict[str, Any] = _case().dump_python(
        case, mode="json", include=KEPT_FIELDS, exclude_none=True, by_alias=True
    )
    return inputs


def case_of(inputs: object) -> WrittenCase:
    """Make the case from JSON values; ValidationError if this version cannot read them."""
    return _case().validate_python(inputs, strict=False)


def with_trials(case: WrittenCase, trials: int) -> WrittenCase:
    """Return a case with this number of trials: an edition states how many were drawn."""
    terms = case.scenario.uncertainty.model_copy(update={"trials": trials})
    return replace(case, scenario=case.scenario.model_copy(update={"uncertainty": terms}))


@cache
def _case() -> TypeAdapter[WrittenCase]:
    return TypeAdapter(WrittenCase)
