"""The ledger applied to a case: every item, credit, job, purchase and sale at its current price."""

from collections.abc import Iterator, Sequence
from datetime import date

from panelworth.engine.ledger.allocation import Part, parts_of
from panelworth.engine.ledger.current_price import ledger_status_of, supplier_of, tax_of
from panelworth.model.case import Case, WrittenCase, option_prefix
from panelworth.model.equipment import Equipment, Unit
from panelworth.model.ledger import LedgerStatus
from panelworth.model.ledger_targets import (
    Target,
    buy_target,
    credit_target,
    item_target,
    sell_target,
    surprise_target,
    targets_of,
)
from panelworth.model.option import Credit, Item, Option
from panelworth.model.surprise import Surprise
from panelworth.model.value import Quantity


def settled(case: WrittenCase) -> Case:
    """Return the case with every price as the ledger sets it.

    The price replaces an item's cost, or its hours and rate, and keeps the path of the cost: so a
    range that a quote states is drawn, and has a swing, like the one in the file. Once the members
    have decided, later rows do not count: the comparison stays the one that they voted on.
    """
    return _settled(case, parts_up_to_vote(case), paid_until=case.scenario.as_of)


def settled_on(case: WrittenCase, parts: Sequence[Part], day: date, *, paid_until: date) -> Case:
    """Return the case by the ledger's rows up to a day; of payments those up to `paid_until`.

    `parts` are those of all rows: a caller that asks for several days splits the rows only once.
    """
    counted = [part for part in parts if part.entry.date <= day]
    return _settled(case, counted, paid_until=paid_until)


def parts_up_to_vote(case: WrittenCase) -> list[Part]:
    """Return the parts of the ledger's rows that the comparison counts."""
    decision = case.scenario.decision
    return [part for part in parts_of(case) if not decision or part.entry.date <= decision.on]


def planned(case: Case) -> Case:
    """Return the case at the prices of the option files: the plan before any quote or invoice.

    Payments are kept. Money that was paid up to as_of is no longer in the stated reserve, so the
    plan must not pay it a second time.
    """
    written = case.written
    payments = [part for part in parts_up_to_vote(written) if part.entry.kind == "payment"]
    return _settled(written, payments, paid_until=case.scenario.as_of)


def _settled(case: WrittenCase, parts: Sequence[Part], *, paid_until: date) -> Case:
    ledger_statuses = {
        status.path: status
        for option_id in case.options
        for status in ledger_statuses_of(case, option_id, parts, paid_until)
    }
    like = _moving_together(case, ledger_statuses)
    prices = {
        path: price.model_copy(update={"like": like.get(path, "")})
        for path, status in ledger_statuses.items()
        if (price := status.price) is not None
    }
    options = {
        option_id: _option(option, option_prefix(option_id), prices)
        for option_id, option in case.options.items()
    }
    jobs = {
        target.price_path: prices[target.path]
        for target in _targets(case)
        if target.kind == "jobs" and target.path in prices
    }
    return Case(
        **{**case.shared(), "options": options, "equipment": _equipment(case)},
        written_options=case.options,
        written_equipment=case.equipment,
        ledger_statuses=ledger_statuses,
        job_prices=jobs,
    )


def _equipment(case: WrittenCase) -> Equipment | None:
    """Return today's equipment, with rates of failures from the log where the file has none."""
    equipment = case.equipment
    if equipment is None or not any(_needs_log(unit) for unit in equipment.units):
        return equipment
    # Imported here: only a log needs scipy, and `check` of other folders stays quick.
    from panelworth.engine.airplane.squawk_log import with_logged_rates  # noqa: PLC0415

    return with_logged_rates(case)


def _needs_log(unit: Unit) -> bool:
    return unit.fails is not None and unit.fails.per_year is None


def ledger_statuses_of(
    case: WrittenCase, option_id: str, parts: Sequence[Part], paid_until: date
) -> Iterator[LedgerStatus]:
    """Yield the ledger status of each target of an option that has rows."""
    option, prefix = case.options[option_id], option_prefix(option_id)
    for target, _ in targets_of(option, prefix):
        if rows := [part.entry for part in parts if part.target == target]:
            yield ledger_status_of(
                target.path,
                rows,
                tax=tax_of(option, target),
                paid_until=paid_until,
                supplier=supplier_of(option, target),
            )


def _moving_together(case: WrittenCase, ledger_statuses: dict[str, LedgerStatus]) -> dict[str, str]:
    """Return the input that a range follows (`like`): the first one with a price from the same row.

    The shares of one quoted range are one uncertain sum, so they must rise and fall together.
    """
    targets = {target.path: target for target in _targets(case)}
    first: dict[int, Target] = {}
    follows = {}
    for path, status in ledger_statuses.items():
        if status.price is None or status.price.certain:
            continue
        # The first row has the range; the changes after it only shift it.
        line = status.price_rows[0].line
        if line in first:
            follows[path] = first[line].price_path
        else:
            first[line] = targets[path]
    return follows


def _targets(case: WrittenCase) -> Iterator[Target]:
    """Yield every target that rows of the ledger may name."""
    for option_id, option in case.options.items():
        yield from (target for target, _ in targets_of(option, option_prefix(option_id)))


def _option(option: Option, prefix: str, prices: dict[str, Quantity]) -> Option:
    """Return an option with current prices in place of its own."""
    buy, sell = option.buy, option.sell
    if buy is not None and (price := prices.get(buy_target(prefix).path)) is not None:
        buy = buy.model_copy(update={"price": price})
    if sell is not None and (price := prices.get(sell_target(prefix).path)) is not None:
        sell = sell.model_copy(update={"price": price})
    items = tuple(_item(item, prices.get(item_target(prefix, item).path)) for item in option.items)
    money_in = tuple(
        _credit(credit, prices.get(credit_target(prefix, credit).path)) for credit in option.credits
    )
    surprises = tuple(
        _surprise(extra, prices.get(surprise_target(prefix, extra).path))
        for extra in option.surprises
    )
    changed = {"items": items, "credits": money_in, "surprises": surprises, "buy": buy}
    return option.model_copy(update={**changed, "sell": sell})


def _item(item: Item, price: Quantity | None) -> Item:
    if price is None:
        return item
    return item.model_copy(update={"cost": price, "hours": None, "rate": None})


def _surprise(surprise: Surprise, price: Quantity | None) -> Surprise:
    return surprise if price is None else surprise.model_copy(update={"cost": price})


def _credit(credit: Credit, price: Quantity | None) -> Credit:
    return credit if price is None else credit.model_copy(update={"amount": price})
