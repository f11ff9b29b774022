"""Makes a warning, and works out the current prices that inputs are compared with."""

import math

from panelworth.engine.ledger.current_price import own_price, tax_of
from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger_targets import MONEY_IN, Target, targets_of
from panelworth.model.value import Quantity
from panelworth.problems import Problem


def warning_at(case: Case, path: str, expected: str, found: str, hint: str) -> Problem:
    """Make the warning about an input or a table by its path, such as options.refit.funding."""
    source = case.source_line_of(path)
    return Problem(
        file=source.file,
        line=source.line,
        key=case.path_in_file(path),
        expected=expected,
        found=found,
        hint=hint,
        severity="warning",
    )


def likely(quantity: Quantity) -> float:
    """Return the likely value of an input."""
    return quantity.likely


def plain(number: float) -> str:
    """Write a number for a message: thousands with commas, and at most two decimals.

    Below 1 it has three significant digits instead, since rates and shares need them. Messages are
    in English, whatever the locale of the pages.

    >>> plain(20500.0), plain(0.125), plain(12.5)
    ('20,500', '0.125', '12.5')
    """
    if abs(number) < 1:
        return f"{number:.3g}"
    return f"{number:,.2f}".rstrip("0").rstrip(".")


def likely_outlay(case: Case, option_id: str) -> float:
    """Return the likely cost of items, purchase and included jobs, with tax.

    The engine works it out for each trial. Here likely values are enough, and `check` needs no
    numpy. A test compares the two.
    """
    return math.fsum(
        likely_current_price(case, option_id, target)
        for target in targets(case, option_id)
        if target.kind not in MONEY_IN
    )


def likely_current_price(case: Case, option_id: str, target: Target) -> float:
    """Return the likely current price of a target with tax: max(price, invoices) - credits.

    For money in it is the sum that comes in, for a sale after selling_cost.
    """
    option = case.options[option_id]
    price = case.job_prices.get(target.price_path) or own_price(case.scenario, option, target)
    status = case.ledger_statuses.get(target.path)
    current = status.current(price.likely) if status else price.likely
    if target.kind == "surprises" and (status is None or status.price is None):
        named = (extra for extra in option.surprises if extra.name == target.name)
        current *= next(named).chance.likely  # an allowance
    selling_cost = case.scenario.aircraft.selling_cost.likely if target.kind == "sell" else 0.0
    return current * (1 + tax_of(option, target)) * (1 - selling_cost)


def targets(case: Case, option_id: str) -> list[Target]:
    """Return all targets of an option that a ledger row can name."""
    named = targets_of(case.options[option_id], option_prefix(option_id))
    return [target for target, _ in named]
