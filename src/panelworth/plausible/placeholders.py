"""Warnings about placeholders: values of a new folder that are not replaced yet."""

from collections.abc import Iterator
from itertools import islice

from panelworth.model.case import Case
from panelworth.plausible import limits
from panelworth.problems import Problem


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of the number of placeholders, and of each of the first ones.

    A new folder has many. Those of scenario.toml come first, since they are read first.
    """
    remaining = case.placeholders.items()
    if not remaining:
        return
    count = len(remaining)
    yield Problem(
        file="",
        key="",
        expected="your own values",
        found=f"{count} placeholder{'' if count == 1 else 's'}",
        hint="every page says so until they are replaced",
        severity="warning",
    )
    for path, place in islice(remaining, limits.MOST_NAMED):
        yield Problem(
            file=place.file,
            line=place.line,
            key=path.partition(":")[2],
            expected="a value of your own",
            found="a placeholder",
            hint="write your own value and remove its mark",
            severity="warning",
        )
