"""Reads the editions of a scenario that a published site keeps.

A site may be older than this version, or changed by hand. So nothing in its files is trusted: the
inputs are validated as those of a folder, and of the figures at least those that pages compare.
"""

import json
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import chain
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from panelworth.model.case import WrittenCase
from panelworth.model.edition import BEFORE, LAST, SCHEMA, Edition, Editions, case_of
from panelworth.model.value import as_written
from panelworth.plain_files import ReadFailure, contents
from panelworth.problems import Problem, unknown_name
from panelworth.reading.airframe import check_airframe
from panelworth.reading.checks import check_case
from panelworth.reading.ledger_names import check_entries
from panelworth.reading.tables import TomlTable

LARGEST_EDITION = 50_000_000  # bytes; an edition has the inputs and figures of all options
T = TypeVar("T")


class _PublishedPart(BaseModel):
    """A part of the published figures; keys that are not declared here are not checked."""

    model_config = ConfigDict(strict=True, allow_inf_nan=False)


class _Likely(_PublishedPart):
    upfront: float
    net_benefit: float
    cost_per_hour: float | None


class _Funded(_PublishedPart):
    lowest_balance: float | None = None
    dues_increase: float | None = None
    hourly_rate_increase: float | None = None
    assessment_per_member: float | None = None


class _Option(_PublishedPart):
    likely: _Likely
    funded: _Funded | None
    budget_p80: float


class _Figures(_PublishedPart):
    options: dict[str, _Option]


def read_editions(site: Path, name: str) -> tuple[Editions, list[Problem]]:
    """Read a scenario's last edition and the one before it. Warns of a file that cannot be read.

    A site of one scenario keeps them in its own folder, a site of several in one folder for each.
    """
    problems: list[Problem] = []
    for folder in (site / name, site):
        last = _read(folder / LAST, problems)
        if last is not None and last.case.name == name:
            before = _read(folder / BEFORE, problems)
            return Editions(last=last, before=before), problems
    return Editions(), problems


def _read(path: Path, problems: list[Problem]) -> Edition | None:
    content = contents(path, LARGEST_EDITION)
    if isinstance(content, ReadFailure):
        problems += [] if content.missing else [_unreadable(path, content.found)]
        return None
    try:
        return _edition(content)
    except RecursionError:
        problems.append(_unreadable(path, "lists within lists, hundreds of levels deep"))
    except ValueError as error:  # JSONDecodeError, UnicodeDecodeError, and those raised here
        problems.append(_unreadable(path, str(error).partition("\n")[0]))
    return None


@lru_cache(maxsize=8)  # a preview reads the same files after each change of a scenario
def _edition(content: bytes) -> Edition:
    data = json.loads(content)
    if not isinstance(data, dict) or "schema" not in data:
        raise ValueError("no schema")
    if data["schema"] != SCHEMA:
        raise ValueError(f"schema {as_written(data['schema'])}")
    case = _converted("inputs", case_of, data.get("inputs"))
    figures = _converted("figures", _Figures.model_validate, data.get("figures"))
    if missing := sorted(case.options.keys() - figures.options.keys()):
        raise ValueError(f"no figures of {missing[0]}")
    if problem := next(_contradictions(case), None):
        raise ValueError(f"inputs that do not go together: {problem.key} {problem.found}")
    return Edition(case=case, published=data["figures"], content=content)


def _converted(key: str, convert: Callable[[Any], T], value: object) -> T:
    """Convert the value of a key; a ValueError says what is wrong with it."""
    try:
        return convert(value)
    except ValidationError as error:
        raise ValueError(_first_error(key, error)) from error


def _first_error(key: str, error: ValidationError) -> str:
    """Describe the first error. One is enough: nobody corrects an edition by hand."""
    detail = error.errors(include_url=False)[0]
    path = ".".join(map(str, (key, *detail["loc"])))
    if detail["type"] == "missing":
        return f"no {path}"
    unknown = {"unexpected_keyword_argument", "extra_forbidden"}
    return f"{path}, which is not known" if detail["type"] in unknown else f"no value of {path}"


def _contradictions(case: WrittenCase) -> Iterator[Problem]:
    """Yield the errors in an edition's inputs. With one of them the engine cannot evaluate it.

    The checks are those of a folder. An edition has no TOML files: empty tables take their place.
    """
    tables: dict[str, TomlTable] = defaultdict(lambda: TomlTable(file="", data={}))
    baseline = case.scenario.baseline
    if baseline not in case.options:
        yield unknown_name("", "baseline", "an option", baseline, list(case.options))
        return
    checks = (check_case(case, tables), check_airframe(case, tables), check_entries(case))
    for problem in chain(*checks):
        if problem.severity == "error":
            yield problem


def _unreadable(path: Path, found: str) -> Problem:
    return Problem(
        file=str(path),
        key="",
        expected="an edition that this version can read",
        found=found,
        hint="nothing is compared with it; the next build writes a new one",
        severity="warning",
    )
