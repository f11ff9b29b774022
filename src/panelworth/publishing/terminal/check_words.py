"""The text that `check` prints for a folder without errors; in English, like the terminal."""

from collections.abc import Iterator

from panelworth.model.case import Case


def in_order(folder: str, case: Case) -> str:
    """Say that a folder has no errors, and which payments the reserve includes."""
    count = len(case.options)
    texts = [f"in order, {count} option{'' if count == 1 else 's'}", *_paid_already(case)]
    return f"{folder}: {'; '.join(texts)}"


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
