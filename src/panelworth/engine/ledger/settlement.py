"""The ledger settled: every item, credit, job, purchase and sale at its current price."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from panelworth.engine.ledger.allocation import Part, parts_of
from panelworth.engine.ledger.current_price import standing_of, tax_of
from panelworth.model.case import Case, as_written, option_prefix
from panelworth.model.ledger import Standing
from panelworth.model.ledger_targets import Target, targets_of
from panelworth.model.option import Credit, Item, Option
from panelworth.model.value import Quantity


def settled(case: Case) -> Case:
    """Return the case with everything at its current price according to the ledger.

    The price takes the place of an item's cost, or of its hours and rate, at the path of its cost.
    A case that is settled, or has no ledger, is returned as it is.
    """
    if case.written or not case.ledger:
        return case
    return _settled(case, parts_of(case))


def planned(case: Case) -> Case:
    """Return the case at its option files' own prices, with what has been paid still paid.

    What was paid up to as_of is out of the reserve, whatever the plan: so payments stay.
    """
    written = as_written(case)
    payments = [each for each in parts_of(written) if each.entry.kind == "payment"]
    return _settled(written, payments)


def _settled(case: Case, parts: Sequence[Part]) -> Case:
    found = {
        each.path: each
        for option_id in case.options
        for each in standings_of(case, option_id, parts)
    }
    like = _moving_together(case, found)
    prices = {
        path: price.model_copy(update={"like": like.get(path, "")})
        for path, each in found.items()
        if (price := each.price) is not None
    }
    options = {
        option_id: _option(option, option_prefix(option_id), prices)
        for option_id, option in case.options.items()
    }
    jobs = {f"{path}.now": price for path, price in prices.items() if _is_job(case, path)}
    return replace(case, options=options, written=case.options, standings=found, job_prices=jobs)


def standings_of(case: Case, option_id: str, parts: Sequence[Part]) -> Iterator[Standing]:
    """Yield the standing of each thing of an option that has rows."""
    option, prefix, as_of = case.options[option_id], option_prefix(option_id), case.scenario.as_of
    for target, _ in targets_of(option, prefix):
        if rows := [each.entry for each in parts if each.target == target]:
            tax = tax_of(option, target)
            yield standing_of(target.path, rows, tax=tax, as_of=as_of)


def _moving_together(case: Case, found: dict[str, Standing]) -> dict[str, str]:
    """Return which input a range follows: the first one whose price rests on the same row."""
    targets = {
        target.path: target
        for option_id, option in case.options.items()
        for target, _ in targets_of(option, option_prefix(option_id))
    }
    first: dict[int, Target] = {}
    follows = {}
    for path, standing in found.items():
        if standing.price is None or standing.price.certain:
            continue
        line = standing.papers[0].line
        if line in first:
            follows[path] = first[line].price_path
        else:
            first[line] = targets[path]
    return follows


def _is_job(case: Case, path: str) -> bool:
    return any(
        target.kind == "jobs" and target.path == path
        for option_id, option in case.options.items()
        for target, _ in targets_of(option, option_prefix(option_id))
    )


def _option(option: Option, prefix: str, prices: dict[str, Quantity]) -> Option:
    """Put current prices in the place of an option's own."""
    buy, sell = option.buy, option.sell
    if buy is not None and f"{prefix}buy" in prices:
        buy = buy.model_copy(update={"price": prices[f"{prefix}buy"]})
    if sell is not None and f"{prefix}sell" in prices:
        sell = sell.model_copy(update={"price": prices[f"{prefix}sell"]})
    items = tuple(_item(each, prices.get(f"{prefix}items[{each.name}]")) for each in option.items)
    money_in = tuple(
        _credit(each, prices.get(f"{prefix}credits[{each.name}]")) for each in option.credits
    )
    return option.model_copy(update={"items": items, "credits": money_in, "buy": buy, "sell": sell})


def _item(item: Item, price: Quantity | None) -> Item:
    if price is None:
        return item
    return item.model_copy(update={"cost": price, "hours": None, "rate": None})


def _credit(credit: Credit, price: Quantity | None) -> Credit:
    return credit if price is None else credit.model_copy(update={"amount": price})


def item_path(prefix: str, item: Item) -> str:
    """Name an item as the paths of its inputs begin."""
    return f"{prefix}items[{item.name}]"


def credit_path(prefix: str, credit: Credit) -> str:
    """Name an entry of money in as the path of its amount begins."""
    return f"{prefix}credits[{credit.name}]"
