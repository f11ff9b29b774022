"""What a ledger row is about: items, money in, included jobs, the purchase or the sale.

A row may name several, joined by ` + `. If the whole text is a name, it is not split: a name may
contain ` + ` itself. An empty `item` means all the option's items.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from panelworth.model.option import Credit, Item, Option
from panelworth.model.surprise import Surprise

JOIN = " + "
TargetKind = Literal["items", "credits", "surprises", "jobs", "buy", "sell"]
PRICE_KEYS: Mapping[TargetKind, str] = {
    "items": "cost",
    "credits": "amount",
    "surprises": "cost",
    "jobs": "now",
    "buy": "price",
    "sell": "price",
}

MONEY_IN: tuple[TargetKind, ...] = ("credits", "sell")


@dataclass(frozen=True, kw_only=True)
class Target:
    """One thing that a ledger row can be about, by the path of its inputs."""

    kind: TargetKind
    name: str
    path: str

    @property
    def price_path(self) -> str:
        """The path of the input whose value a price in the ledger replaces."""
        return f"{self.path}.{PRICE_KEYS[self.kind]}"


def targets_of(option: Option, prefix: str) -> Iterator[tuple[Target, tuple[str, ...]]]:
    """Yield each target of an option, with the names that rows use for it.

    `prefix` is the prefix of the option's paths.
    """
    for item in option.items:
        yield item_target(prefix, item), tuple(name for name in (item.ledger, item.name) if name)
    for credit in option.credits:
        yield credit_target(prefix, credit), (credit.name,)
    for surprise in option.surprises:
        yield surprise_target(prefix, surprise), (surprise.name,)
    for job in option.jobs:
        yield job_target(prefix, job), (job,)
    if option.buy is not None:
        yield buy_target(prefix), ("buy",)
    if option.sell is not None:
        yield sell_target(prefix), ("sell",)


def item_target(prefix: str, item: Item) -> Target:
    """Return an item of the option whose paths begin so as a target of rows."""
    return Target(kind="items", name=item.name, path=f"{prefix}items[{item.name}]")


def credit_target(prefix: str, credit: Credit) -> Target:
    """Return an entry of money in as a target of rows."""
    return Target(kind="credits", name=credit.name, path=f"{prefix}credits[{credit.name}]")


def surprise_target(prefix: str, surprise: Surprise) -> Target:
    """Return something that may turn up as a target of rows."""
    path = f"{prefix}surprises[{surprise.name}]"
    return Target(kind="surprises", name=surprise.name, path=path)


def job_target(prefix: str, name: str) -> Target:
    """Return an included job as a target of rows."""
    return Target(kind="jobs", name=name, path=f"{prefix}jobs[{name}]")


def buy_target(prefix: str) -> Target:
    """Return the purchase of another airplane as a target of rows."""
    return Target(kind="buy", name="buy", path=f"{prefix}buy")


def sell_target(prefix: str) -> Target:
    """Return the sale of today's airplane as a target of rows."""
    return Target(kind="sell", name="sell", path=f"{prefix}sell")


def named_targets(option: Option, prefix: str, text: str) -> tuple[list[Target], list[str]]:
    """Return the targets that a cell `item` names, in its order, and the unknown names."""
    known: dict[str, Target] = {}
    for target, names in targets_of(option, prefix):
        for name in names:
            known.setdefault(name, target)  # reading/ledger_names.py refuses ambiguous names
    if not text:
        return [target for target, _ in targets_of(option, prefix) if target.kind == "items"], []
    targets, unknown = [], []
    for name in _names(text, known):
        if name in known:
            targets.append(known[name])
        else:
            unknown.append(name)
    return list(dict.fromkeys(targets)), unknown  # named twice, it still counts once


def named_options(text: str, ids: Iterable[str]) -> list[str]:
    """Return the ids that a cell `option` names, in its order, whether they exist or not."""
    return list(dict.fromkeys(_names(text, ids)))


def _names(text: str, known: Iterable[str]) -> list[str]:
    if text in known or JOIN not in text:
        return [text]
    return [part.strip() for part in text.split(JOIN)]
