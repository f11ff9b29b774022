"""What an option pays and receives, line by line: the only place where prices are read.

A line is a formula for the price before tax, its tax, when it is paid and whether a buyer pays
part of it back; the Project sheet shows the lines, and the steps add them up.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from panelworth.model.ledger import Standing, Sums
from panelworth.model.option import Item
from panelworth.publishing.language import _
from panelworth.publishing.workbook.book import Cell, value_of
from panelworth.publishing.workbook.terms import Terms
from panelworth.publishing.workbook.words import NO, Kind, word, yes_or_no

LedgerKey = Literal["invoiced", "credit", "paid"]


@dataclass(frozen=True, kw_only=True)
class ProjectLine:
    """One line: its price before tax, its tax as a share, when it falls, and resale.

    `path` is what the ledger knows it by, `standing` what the ledger says of it.
    """

    kind: Kind
    what: str
    price: Cell
    when: Cell | str
    path: str
    tax: Cell | float = 0.0
    resale: Cell | str = field(default_factory=lambda: word(NO))
    standing: Standing | None = None
    selling_cost: Cell | None = None

    @property
    def added(self) -> Cell | float:
        """What the price rises by, as a share: the tax, or the selling cost below 0."""
        return self.tax if self.selling_cost is None else self.selling_cost

    def ledger(self, key: LedgerKey) -> Cell | float:
        """Return what the ledger says beside the price: the least, what comes off, what is paid.

        An amount with tax in stays that amount: its part before tax is a formula of the tax.
        """
        found = getattr(self.standing, key, 0.0)
        if not isinstance(found, Sums):
            return float(found)
        net = float(found.net(float(value_of(self.tax))))
        if not found.tax_in or not isinstance(self.tax, Cell):
            return net
        formula = f"{found.before_tax!r}+{found.tax_in!r}/(1+{self.tax.formula})"
        return Cell(formula=formula, value=net)

    def _told(self, key: LedgerKey) -> float:
        return float(value_of(self.ledger(key)))

    @property
    def net(self) -> float:
        """What it stands at before tax."""
        return max(float(value_of(self.price)), self._told("invoiced")) - self._told("credit")

    @property
    def taxed(self) -> float:
        """What it stands at with tax."""
        return self.net * (1.0 + float(value_of(self.added)))

    @property
    def open(self) -> float:
        """What of it is still to pay or receive."""
        return max(self.taxed - self._told("paid"), 0.0)


def project_lines(terms: Terms) -> list[ProjectLine]:
    """List an option's items, included jobs, purchase, money in and sale."""
    return [*_items(terms), *_jobs(terms), *_purchase(terms), *_credits(terms), *_sale(terms)]


def _items(terms: Terms) -> Iterator[ProjectLine]:
    for item in terms.option.items:
        path = terms.path(f"items[{item.name}]")
        counted = yes_or_no(yes=item.recoverable)
        tax, standing = _input(terms, f"{path}.tax"), terms.view.case.standings.get(path)
        yield ProjectLine(
            kind="project",
            what=item.name,
            price=_kept_with_tax(_price(terms, item, path), standing, tax),
            tax=tax,
            when=Cell(formula=terms.given(f"{path}.when"), value=word(item.when)),
            resale=Cell(formula=terms.given(f"{path}.resale"), value=counted),
            path=path,
            standing=standing,
        )


def _kept_with_tax(price: Cell, standing: Standing | None, tax: Cell) -> Cell:
    """Let a price follow its tax as `Standing.net` does: an amount with tax in stays the same."""
    if standing is None or standing.price is None:
        return price
    likely, shift = 1.0 + standing.tax, standing.shift
    if standing.tax_in:
        held = f"({price.formula}-{shift.before_tax!r})"
    elif shift.tax_in:
        held = repr(shift.tax_in / likely)
    else:
        return price
    formula = f"{price.formula}+{held}*({likely!r}/(1+{tax.formula})-1)"
    return Cell(formula=formula, value=float(standing.net(price.value, tax.value)))


def _price(terms: Terms, item: Item, path: str) -> Cell:
    """Return an item's price before tax: where it stands, else hours·rate, else 0."""
    if f"{path}.cost" in terms.view.inputs:
        return _input(terms, f"{path}.cost")
    if item.hours is None or item.rate is None:
        return Cell(formula="0", value=0.0)
    hours, rate = _input(terms, f"{path}.hours"), _input(terms, f"{path}.rate")
    value = float(hours.value) * float(rate.value)
    return Cell(formula=f"{hours.formula}*{rate.formula}", value=value)


def _jobs(terms: Terms) -> Iterator[ProjectLine]:
    """Yield included jobs, at what the ledger says for this option, else at the shared price."""
    for name in terms.option.jobs:
        path = terms.path(f"jobs[{name}]")
        own = f"{path}.now" in terms.view.inputs
        yield ProjectLine(
            kind="project",
            what=name,
            price=_input(terms, f"{path}.now" if own else f"jobs[{name}].now"),
            when=word("finish"),
            path=path,
            standing=terms.view.case.standings.get(path),
        )


def _purchase(terms: Terms) -> Iterator[ProjectLine]:
    if terms.option.buy:
        path, tax = terms.path("buy"), _input(terms, terms.path("buy.tax"))
        standing = terms.view.case.standings.get(path)
        yield ProjectLine(
            kind="purchase",
            what=_("Purchase of another airplane"),
            price=_kept_with_tax(_input(terms, f"{path}.price"), standing, tax),
            tax=tax,
            when=Cell(formula=terms.own("buy.when"), value=word(terms.option.buy.when)),
            path=path,
            standing=standing,
        )


def _credits(terms: Terms) -> Iterator[ProjectLine]:
    for credit in terms.option.credits:
        path = terms.path(f"credits[{credit.name}]")
        yield ProjectLine(
            kind="credits",
            what=credit.name,
            price=_input(terms, f"{path}.amount"),
            when=Cell(formula=terms.given(f"{path}.when"), value=word(credit.when)),
            path=path,
            standing=terms.view.case.standings.get(path),
        )


def _sale(terms: Terms) -> Iterator[ProjectLine]:
    """Today's airplane is sold at its price, or today's value, less selling cost."""
    sell = terms.option.sell
    if sell is None:
        return
    price = "aircraft.value" if sell.price is None else terms.path("sell.price")
    lost, path = terms.likely("aircraft.selling_cost"), terms.path("sell")
    yield ProjectLine(
        kind="sale",
        what=_("Sale of today's airplane, selling cost off"),
        price=Cell(formula=terms.own("sell.price"), value=terms.likely(price)),
        when=Cell(formula=terms.own("sell.when"), value=word(sell.when)),
        path=path,
        standing=terms.view.case.standings.get(path),
        selling_cost=Cell(formula=f"-{terms.given('aircraft.selling_cost')}", value=-lost),
    )


def _input(terms: Terms, path: str) -> Cell:
    return Cell(formula=terms.given(path), value=terms.likely(path))
