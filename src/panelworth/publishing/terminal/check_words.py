"""What `check` says of a folder besides its problems; in English, like the terminal."""

from collections.abc import Iterator, Sequence

from panelworth.model.case import Case
from panelworth.problems import Problem


def in_order(folder: str, case: Case, problems: Sequence[Problem]) -> str:
    """Say that a folder has no errors, count warnings, and name payments already counted."""
    options = f"in order, {_counted(len(case.options), 'option')}"
    warnings = [_counted(len(problems), "warning")] if problems else []
    return f"{folder}: {'; '.join([options, *warnings, *_paid_already(case)])}"


def counts(problems: Sequence[Problem]) -> str:
    """Count errors and warnings: "2 errors, 1 warning"."""
    severities = [problem.severity for problem in problems]
    return ", ".join(
        _counted(severities.count(severity), severity)
        for severity in ("error", "warning")
        if severity in severities
    )


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _paid_already(case: Case) -> Iterator[str]:
    """Yield the sums that the ledger has as paid from the reserve, or into it, up to as_of."""
    if case.scenario.club is None or not (case.paid or case.received):
        return
    from panelworth.publishing.formats import formats_of  # noqa: PLC0415

    formats, as_of = formats_of(case.scenario), case.scenario.as_of
    if case.paid:
        paid = formats.cents(case.paid)
        yield f"{paid} of payments up to {as_of} are taken as already out of the reserve"
    if case.received:
        received = formats.cents(case.received)
        yield f"{received} received up to {as_of} is taken as already in the reserve"
