"""Warnings about linked ranges: a `like` without effect."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.plausible.asking import ask
from panelworth.problems import Problem

LEDGER = "ledger.csv"


def questions(case: Case) -> Iterator[Problem]:
    """Warn of each `like` that has no effect.

    A range that a ledger row has replaced is not linked any more; it has no warning.
    """
    written = {given.path: given.quantity for given in case.written.inputs}
    if not any(given.like for given in written.values()):
        return
    now = {given.path: given.quantity for given in case.inputs}
    for path, quantity in written.items():
        if not quantity.like:
            continue
        if quantity.certain:
            hint = "give low and high too, or remove like: alone it has no effect"
            yield ask(case, f"{path}.like", "a range together with like", "a certain number", hint)
        elif path in now and now[path].like == quantity.like:
            followed = now.get(quantity.like)
            if followed is None or followed.certain:
                settled = quantity.like in written and not written[quantity.like].certain
                why = f"which {LEDGER} makes certain" if settled else "which is certain"
                hint = "this range is drawn on its own; give the other a range, or remove like"
                found = f'"{quantity.like}", {why}'
                yield ask(case, f"{path}.like", "the path of a range", found, hint)
