"""Writes what the members decided into `[decision]` of scenario.toml.

A person states the option and the day. Neither follows from a count: which count holds is a matter
of the bylaws.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from panelworth.model.decision import Decision
from panelworth.problems import Problem
from panelworth.publishing.desk.disc import Read, ScenarioFiles
from panelworth.publishing.desk.toml_edits import Put, edited

FILE = "scenario.toml"


def write_decision(
    folder: Path,
    chosen: str,
    on: date,
    *,
    former: Decision | None,
    replacing: bool,
    read: Read,
) -> list[Problem]:
    """Write `chosen`, an option's id, and `on`; every other byte stays. Returns the problems.

    Nothing is written if one of the problems is an error: without `replacing` another decision is
    not replaced, and a folder that `read` accepted must be accepted afterwards, too.
    """
    if former and (former.chosen, former.on) != (chosen, on) and not replacing:
        found = f"{former.chosen} on {former.on}"
        hint = "--replace overwrites it"
        return [_problem(folder, f"no other decision than {chosen} on {on}", found, hint)]
    files = ScenarioFiles(folder=folder)
    before = files.content(FILE)
    edits = [Put(path=("decision", "chosen"), value=chosen), Put(path=("decision", "on"), value=on)]
    after = edited(before, edits) if before is not None else None
    if before is None or after is None:
        hint = f'write chosen = "{chosen}" and on = {on} into [decision] with a text editor'
        return [_problem(folder, "a file that can be changed", "one that cannot", hint)]
    problems = files.problems(read, {FILE: after})
    if _failed(problems):
        return _within(folder, problems)
    failure = files.write({FILE: after}, {FILE: before}, "decision")
    return _within(folder, [failure] if failure else [])


def _failed(problems: Sequence[Problem]) -> bool:
    return any(problem.severity == "error" for problem in problems)


def _within(folder: Path, problems: Sequence[Problem]) -> list[Problem]:
    return [replace(problem, file=f"{folder}/{problem.file}") for problem in problems]


def _problem(folder: Path, expected: str, found: str, hint: str) -> Problem:
    file = f"{folder}/{FILE}"
    return Problem(file=file, key="decision", expected=expected, found=found, hint=hint)
