"""Warnings about linked ranges: a `like` without effect."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.plausible.warning import warning_at
from panelworth.problems import Problem


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of each `like` that has no effect.

    There is no warning about a range that a ledger row has replaced: its `like` has ended as
    intended.
    """
    written = {input_.path: input_.quantity for input_ in case.written.inputs}
    if not any(quantity.like for quantity in written.values()):
        return
    current = {input_.path: input_.quantity for input_ in case.inputs}
    for path, quantity in written.items():
        if not quantity.like:
            continue
        if quantity.certain:
            hint = "give low and high too, or remove like: alone it has no effect"
            yield warning_at(
                case, f"{path}.like", "a range together with like", "a certain number", hint
            )
        elif path in current and current[path].like == quantity.like:
            followed = current.get(quantity.like)
            if followed is None or followed.certain:
                had_range = quantity.like in written and not written[quantity.like].certain
                verb = f"{case.ledger_file.name} makes" if had_range else "is"
                hint = "this range is drawn on its own; give the other a range, or remove like"
                found = f'"{quantity.like}", which {verb} certain'
                yield warning_at(case, f"{path}.like", "the path of a range", found, hint)
