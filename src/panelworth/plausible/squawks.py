"""Warnings about rows of the log of failures that do not count."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.problems import Problem


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of rows before the log begins and after as_of."""
    airplane = case.equipment.airplane if case.equipment else None
    since, as_of = airplane.squawks_since if airplane else None, case.scenario.as_of
    for row in case.squawks:
        expected = ""
        if since is not None and row.date < since:
            expected = f"a day on or after squawks_since, {since}"
        elif row.date > as_of:
            expected = f"a day on or before as_of, {as_of}"
        if expected:
            yield Problem(
                file=case.squawk_file.name,
                sheet=case.squawk_file.sheet,
                line=row.line,
                key="date",
                expected=expected,
                found=str(row.date),
                hint="the row does not count",
                severity="warning",
            )
