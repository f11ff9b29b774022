"""The editions that a published site keeps of a scenario, read back."""

import json
from functools import lru_cache
from pathlib import Path

from pydantic import ValidationError

from panelworth.model.edition import BEFORE, LAST, SCHEMA, Edition, Editions, case_of
from panelworth.problems import Problem

FIGURES = ("likely", "funded", "budget_p80")
LIKELY = ("upfront", "npv_vs_baseline", "cost_per_hour")


def read_editions(site: Path, name: str) -> tuple[Editions, list[Problem]]:
    """Read a scenario's last edition and the one before it, and a warning for what is not one."""
    problems: list[Problem] = []
    for folder in (site / name, site):
        last = _read(folder / LAST, problems)
        if last is not None and last.case.name == name:
            before = _read(folder / BEFORE, problems)
            return Editions(last=last, before=before), problems
    return Editions(), problems


def _read(path: Path, problems: list[Problem]) -> Edition | None:
    if not path.is_file():
        return None
    try:
        content = path.read_bytes()
        return _edition(content)
    except (OSError, ValueError, KeyError, TypeError) as error:
        problems.append(_unreadable(path, error))
        return None


@lru_cache(maxsize=8)  # a preview reads the same ones again and again
def _edition(content: bytes) -> Edition:
    data = json.loads(content)
    if data["schema"] != SCHEMA:
        raise ValueError(f'schema "{data["schema"]}"')
    case = case_of(data["inputs"])
    options = data["figures"]["options"]
    for option_id in case.options:
        missing = [key for key in FIGURES if key not in options[option_id]]
        missing += [key for key in LIKELY if key not in options[option_id]["likely"]]
        if missing:
            raise ValueError(f"no {missing[0]} of {option_id}")
    return Edition(case=case, published=data["figures"], content=content)


def _unreadable(path: Path, error: Exception) -> Problem:
    found = str(error)
    if isinstance(error, ValidationError):
        found = f"{error.error_count()} inputs that are not known"
    elif isinstance(error, KeyError):
        found = f"no {error}"
    return Problem(
        file=str(path),
        key="",
        expected="an edition that this version can read",
        found=found.partition("\n")[0],
        hint="nothing is compared with it; the next build writes a new one",
        severity="warning",
    )
