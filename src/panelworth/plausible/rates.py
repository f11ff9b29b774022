"""Warnings about shares and yearly rates that are too high or contradict each other."""

from collections.abc import Iterator

from panelworth.model.case import Case, option_prefix
from panelworth.model.value import Quantity, exactly
from panelworth.plausible import limits
from panelworth.plausible.warning import warning_at
from panelworth.problems import Problem

MOST = {
    "hull_rate": limits.HULL_RATE,
    "tax": limits.TAX,
    "selling_cost": limits.SELLING_COST,
    "value_change": limits.VALUE_CHANGE,
    "value_tax": limits.VALUE_TAX,
    "growth": limits.REPAIRS_GROWTH,
}


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of every share and rate that looks like a wrongly written percentage."""
    for input_ in case.inputs:
        most = MOST.get(input_.path.rpartition(".")[2])
        if most is not None:
            yield from _at_most(case, input_.path, input_.quantity, most)
    for option_id, option in case.options.items():
        if option.funding.loan:
            path = f"{option_prefix(option_id)}funding.loan.apr"
            yield from _at_most(case, path, exactly(option.funding.loan.apr), limits.APR)
    yield from _together(case)


def _at_most(case: Case, path: str, quantity: Quantity, most: float) -> Iterator[Problem]:
    furthest = max(quantity.low, quantity.high, key=abs)
    if abs(furthest) > most:
        expected = f"at most {most:g}, which is {100 * most:g} %"
        if furthest < 0:
            expected = f"no less than {-most:g}, which is {-100 * most:g} %"
        found = f"{furthest:g}, which is {100 * furthest:g} %"
        yield warning_at(case, path, expected, found, _as_percent(furthest))


def _as_percent(share: float) -> str:
    """Return how to write the two percentages that the number may mean.

    People write a percentage without dividing it, or move the point by one place too few.
    """
    return f"{share:g} % is written {share / 100:g}, and {10 * share:g} % is {share / 10:g}"


def _together(case: Case) -> Iterator[Problem]:
    """Warn of rates that contradict inflation."""
    rates = case.scenario.rates
    inflation, discount = rates.inflation.likely, rates.discount.likely
    real = discount - inflation  # about the real rate; the exact one is (1 + d)/(1 + i) - 1
    if not -limits.RATE_BELOW_INFLATION <= real <= limits.RATE_ABOVE_INFLATION:
        # The rate further from 0 is probably the wrong one.
        key = "discount" if abs(discount) > abs(inflation) else "inflation"
        wrong = discount if key == "discount" else inflation
        low, high = limits.RATE_BELOW_INFLATION, limits.RATE_ABOVE_INFLATION
        expected = f"a discount rate between {low:g} below and {high:g} above inflation"
        found = f"discount {discount:g} with inflation {inflation:g}"
        yield warning_at(case, f"rates.{key}", expected, found, _as_percent(wrong))
    fuel = rates.fuel_inflation.likely if rates.fuel_inflation else inflation
    if fuel - inflation > limits.FUEL_ABOVE_INFLATION:
        expected = f"at most {limits.FUEL_ABOVE_INFLATION:g} above inflation, year after year"
        found = f"{fuel:g} with inflation {inflation:g}"
        yield warning_at(case, "rates.fuel_inflation", expected, found, _as_percent(fuel))
