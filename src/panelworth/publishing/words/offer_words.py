"""Offers side by side: who asks what for which item, and whether anybody offered the total."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from panelworth.engine.results.offers import Offer, OfferTable
from panelworth.publishing.formats import NONE, joined, near_day
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.sentences import joined_sentences


def head(table: OfferTable) -> list[str]:
    """Return the headings: the item, then a column for each supplier."""
    return [_("Item"), *table.suppliers]


def rows(view: View, table: OfferTable) -> list[list[str]]:
    """Return an item in each row, with each supplier's price; below them the totals."""
    return [
        [name, *(_price(view, table, name, supplier) for supplier in table.suppliers)]
        for name in table.prices
    ]


def _price(view: View, table: OfferTable, name: str, supplier: str) -> str:
    offered = table.prices[name].get(supplier)
    if offered is None:
        return _("not offered")
    text = view.formats.money(offered.price)
    return _("{sum}, lapsed", sum=text) if offered.lapsed else text


def totals(view: View, table: OfferTable, offers: Mapping[str, Offer]) -> list[dict[str, Any]]:
    """Return the rows below the items: totals, what is comparable, and the earliest expiry."""
    own = [offers[supplier] for supplier in table.suppliers]
    money, as_of = view.formats.money, view.case.scenario.as_of
    several = len(own) > 1
    lines = [
        (_("Total"), [money(offer.total) for offer in own]),
        (_("Items that all quoted"), [money(offer.comparable) for offer in own] if several else []),
        (
            _("First price lapses"),
            [
                near_day(date.fromisoformat(offer.expires), as_of) if offer.expires else NONE
                for offer in own
            ],
        ),
    ]
    return [{"cells": [label, *cells], "total": True} for label, cells in lines if cells]


def counted(view: View, tag: OptionTag, table: OfferTable) -> str:
    """Say what counts, whose price it is, and where nobody offered that mix."""
    sum_ = view.formats.money(table.total)
    names = sorted({supplier for supplier in table.counted.values() if supplier})
    if not table.mixed:
        return _("{sum} counts for {option}.", sum=sum_, option=tag.short)
    text = N_("{sum} counts for {option}, mixed from {suppliers}: nobody offered this mix.")
    whose = [
        _("From {supplier}: {items}.", supplier=name, items=joined(_items_of(table, name)))
        for name in names
    ]
    return joined_sentences(_(text, sum=sum_, option=tag.short, suppliers=joined(names)), *whose)


def _items_of(table: OfferTable, name: str) -> list[str]:
    return [item for item, supplier in table.counted.items() if supplier == name]
