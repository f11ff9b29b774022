"""Rows of the ledger that name several targets, split into rows of one target each.

A target is an item, a credit, a job, the purchase or the sale. An amount for several targets is
split in proportion to their prices on the row's date, a payment in proportion to what is still to
pay. Sums are exact decimals: in binary fractions, shares to the cent would not add up to the row.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

from panelworth.engine.ledger.current_price import Price, current_price, exact
from panelworth.model.case import WrittenCase, option_prefix
from panelworth.model.ledger import Entry
from panelworth.model.ledger_targets import Target, named_options, named_targets

CENT = Decimal("0.01")


@dataclass(frozen=True, kw_only=True)
class Part:
    """A row, or the share of a row, for one target; `split` says that it is a share."""

    target: Target
    entry: Entry
    split: bool


def parts_of(case: WrittenCase) -> list[Part]:
    """Return every row of a case's ledger as parts for single targets, oldest first.

    Oldest first, because the split of a row follows from the rows before it.
    """
    parts: list[Part] = []
    for entry in sorted(case.ledger, key=lambda entry: (entry.date, entry.line)):
        for option_id in named_options(entry.option, case.options):
            if option_id in case.options:
                parts += _split(case, option_id, entry, parts)
    return parts


def _split(
    case: WrittenCase, option_id: str, entry: Entry, before: Sequence[Part]
) -> Iterator[Part]:
    option = case.options[option_id]
    targets, _ = named_targets(option, option_prefix(option_id), entry.item)
    if not targets:  # an edition may hold a row for what an option no longer has
        return
    # A row for one target is not split, so its weight does not matter and no price is needed.
    weights = (
        [Decimal(1)] if len(targets) == 1 else _weights(case, option_id, targets, entry, before)
    )
    sums = {
        key: shares_of(exact(getattr(entry, key)), weights)
        for key in ("amount", "low", "high")
        if getattr(entry, key) is not None
    }
    for number, target in enumerate(targets):
        shares = {key: float(split[number]) for key, split in sums.items()}
        changes = {"option": option_id, "item": target.name, **shares}
        share = entry.model_copy(update=changes)
        yield Part(target=target, entry=share, split=len(targets) > 1)


def _weights(
    case: WrittenCase,
    option_id: str,
    targets: Sequence[Target],
    entry: Entry,
    before: Sequence[Part],
) -> list[Decimal]:
    """Return each target's price on the row's date; for a payment, what is still to pay on it.

    Prices count only rows of single targets before the row, so that the split of a price does not
    depend on another split. What is still to pay counts all rows before the row.
    """
    paying = entry.kind == "payment"
    prices = [
        _price(case, option_id, target, entry, [part for part in before if not part.split])
        for target in targets
    ]
    # A credit may be larger than the price: a price below 0 gets no share.
    costs = [
        max(price.taxed if paying or entry.tax_included else price.net, Decimal(0))
        for price in prices
    ]
    if paying:
        open_ = [_price(case, option_id, target, entry, before).still_to_pay for target in targets]
        if any(open_):
            return open_
    return costs


def _price(
    case: WrittenCase, option_id: str, target: Target, entry: Entry, before: Sequence[Part]
) -> Price:
    rows = [part.entry for part in before if part.target == target]
    return current_price(case, option_id, target, rows, on=entry.date)


def shares_of(amount: Decimal, weights: Sequence[Decimal]) -> list[Decimal]:
    """Split an amount in proportion to weights, to the cent; equally where all weights are 0.

    Shares are rounded down, and the largest share, the first of equals, takes the remaining cents.
    So the shares add up to the amount exactly. A single share is not rounded.

    >>> [str(share) for share in shares_of(Decimal("100"), [Decimal(1), Decimal(1), Decimal(1)])]
    ['33.34', '33.33', '33.33']
    """
    if len(weights) == 1:
        return [amount]
    if not any(weights):
        weights = [Decimal(1)] * len(weights)
    total = sum(weights, Decimal(0))
    shares = [(amount * weight / total).quantize(CENT, rounding=ROUND_DOWN) for weight in weights]
    largest = max(range(len(shares)), key=lambda place: (weights[place], -place))
    shares[largest] += amount - sum(shares, Decimal(0))
    return shares
