"""How a question is put: where the input stands, what was read, what may have been meant."""

from panelworth.model.case import Case, Place, option_prefix
from panelworth.model.option import Item, Option
from panelworth.problems import Problem

CENT = 0.005


def ask(case: Case, path: str, expected: str, found: str, hint: str) -> Problem:
    """Make the warning about an input, or a table, by its path, such as options.refit.funding."""
    place = place_of(case, path)
    return Problem(
        file=place.file,
        line=place.line,
        key=_in_its_file(case, path),
        expected=expected,
        found=found,
        hint=hint,
        severity="warning",
    )


def place_of(case: Case, path: str) -> Place:
    """Return where a path stands, or the nearest table around it; "" and 0 where none is known."""
    while path and path not in case.places:
        path = path.rpartition(".")[0]
    return case.places.get(path, Place(file="", line=0))


def _in_its_file(case: Case, path: str) -> str:
    """Return a path as the file itself has it."""
    for option_id in case.options:
        path = path.removeprefix(option_prefix(option_id))
    return path.removeprefix("equipment.")


def plain(number: float) -> str:
    """Write a number for a message: at most two decimals, thousands set off.

    >>> plain(20500.0), plain(0.125), plain(12.5)
    ('20,500', '0.125', '12.5')
    """
    if abs(number) < 1:
        return f"{number:.3g}"
    return f"{number:,.2f}".rstrip("0").rstrip(".")


def written(case: Case) -> dict[str, Option]:
    """Return the options as their files have them, whatever the ledger says."""
    return dict(case.written or case.options)


def likely_price(item: Item) -> float:
    """Return an item's likely price before tax: its cost, else hours times rate."""
    if item.cost is not None:
        return item.cost.likely
    return item.hours.likely * item.rate.likely if item.hours and item.rate else 0.0


def likely_outlay(case: Case, option_id: str) -> float:
    """Return the likely sum of items and purchase, tax in, and of the jobs included.

    The case is settled. The engine works it out world by world; a test holds the two equal.
    """
    option = case.options[option_id]
    total = sum(likely_stand(case, option_id, item) for item in option.items)
    jobs = {job.name: job.now.likely for job in case.scenario.jobs}
    total += sum(jobs[name] for name in option.jobs)
    return total + (option.buy.price.likely * (1 + option.buy.tax.likely) if option.buy else 0.0)


def likely_stand(case: Case, option_id: str, item: Item) -> float:
    """Return what an item likely costs, tax in: no less than its invoices, its credits taken off.

    The case is settled.
    """
    price = likely_price(item)
    standing = case.standings.get(f"{option_prefix(option_id)}items[{item.name}]")
    if standing:
        invoiced, credit = (
            float(each.net(standing.tax)) for each in (standing.invoiced, standing.credit)
        )
        price = max(price, invoiced) - credit
    return price * (1 + item.tax.likely)
