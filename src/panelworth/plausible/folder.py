"""All warnings about a folder."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.plausible import (
    airplane,
    club,
    decision,
    ledger,
    linked_ranges,
    options,
    placeholders,
    rates,
    squawks,
    starts,
    units,
)
from panelworth.problems import Problem

TOPICS = (
    placeholders,
    rates,
    airplane,
    club,
    units,
    options,
    starts,
    ledger,
    decision,
    linked_ranges,
    squawks,
)


def warnings_of(case: Case) -> Iterator[Problem]:
    """Yield a warning for each value that is probably a mistake."""
    for topic in TOPICS:
        yield from topic.warnings_of(case)
