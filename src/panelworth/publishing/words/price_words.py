"""What an option's things cost, each with tax and with one word for what its price stands on."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from panelworth.model.case import option_prefix
from panelworth.model.ledger import Standing, has_lapsed
from panelworth.model.option import Item
from panelworth.model.value import Quantity, exactly
from panelworth.publishing.formats import plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import sentences
from panelworth.publishing.words.ledger_words import PURCHASE, standing_price
from panelworth.publishing.words.rounding import money_step, to_step
from panelworth.publishing.words.sentences import joined_sentences

MOST_PRICES = 6
BASES = {
    "invoice": N_("billed"),
    "quote": N_("quoted"),
    "estimate": N_("estimated"),
}
LAPSED, PAID, GUESS = N_("lapsed"), N_("paid"), N_("guess")


@dataclass(frozen=True, kw_only=True)
class Price:
    """What one thing costs, with tax: money; `status` says what it stands on, "" if unknown."""

    name: str
    low: float
    likely: float
    high: float
    status: str
    lapsed: bool


def prices_of(view: View, tag: OptionTag) -> list[Price]:
    """Return what is paid under an option, the largest first; their likely sum is its outlay."""
    found = [*_items(view, tag), *_jobs(view, tag), *_purchase(view, tag)]
    return sorted((each for each in found if each.high > 0), key=lambda each: -each.likely)


def _items(view: View, tag: OptionTag) -> Iterator[Price]:
    prefix = option_prefix(tag.id)
    for item in view.case.options[tag.id].items:
        path = f"{prefix}items[{item.name}]"
        yield _price(view, item.name, path, _cost(item), item.tax.likely)


def _cost(item: Item) -> Quantity:
    """Return an item's price before tax: as said, or its hours at their rate."""
    if item.hours is None:
        return item.cost or exactly(0.0)
    rate = item.rate or exactly(0.0)
    ends = {end: getattr(item.hours, end) * getattr(rate, end) for end in ("low", "likely", "high")}
    return exactly(0.0).model_copy(update={**ends, "source": item.hours.source or rate.source})


def _jobs(view: View, tag: OptionTag) -> Iterator[Price]:
    done = view.case.options[tag.id].jobs
    for job in view.case.scenario.jobs:
        if job.name in done:
            path = f"{option_prefix(tag.id)}jobs[{job.name}]"
            now = view.case.job_prices.get(f"{path}.now", job.now)
            yield _price(view, job.name, path, now, 0.0)


def _purchase(view: View, tag: OptionTag) -> Iterator[Price]:
    buy = view.case.options[tag.id].buy
    if buy:
        path = f"{option_prefix(tag.id)}buy"
        yield _price(view, _(PURCHASE), path, buy.price, buy.tax.likely)


def _price(view: View, name: str, path: str, cost: Quantity, tax: float) -> Price:
    now, standing = standing_price(view, path, cost), view.case.standings.get(path)
    low, likely, high = (each * (1.0 + tax) for each in (now.low, now.likely, now.high))
    as_of = view.case.scenario.as_of
    papers = standing.papers if standing else ()
    lapsed = any(has_lapsed(each, as_of) for each in papers)
    return Price(
        name=name,
        low=low,
        likely=likely,
        high=high,
        status=_status(standing, likely, cost.source, lapsed=lapsed),
        lapsed=lapsed,
    )


def _status(standing: Standing | None, likely: float, source: str, *, lapsed: bool) -> str:
    """Say in a word what a price stands on: "" where a source of the option file is."""
    if standing and 0 < likely <= standing.paid + sentences.CLOSE:
        return _(PAID)
    if lapsed:
        return _(LAPSED)
    if standing and standing.basis in BASES:
        return _(BASES[standing.basis])
    return "" if source else _(GUESS)


def total(view: View, tag: OptionTag) -> str:
    """Say what all comes to, what comes in against it, and what work nobody is paid for."""
    likely, money = view.option(tag.id).likely, view.formats.money
    if likely.outlay < sentences.CLOSE:
        return sentences.upfront(view, tag)
    quantiles = view.uncertain(tag.id).outlay_quantiles
    step = money_step(quantiles[90] - quantiles[10])
    outlay = to_step(likely.outlay, step)
    told = _("Likely {sum} with tax; a thin line is a price's range.", sum=money(outlay))
    back = to_step(likely.outlay - likely.upfront, step)
    less = ""
    if abs(back) >= sentences.CLOSE:
        less = _(
            "Sales and credits bring in {back}, which leaves {sum}.",
            back=money(back),
            sum=money(outlay - back),
        )
    return joined_sentences(told, less, _unpaid(view, tag))


def _unpaid(view: View, tag: OptionTag) -> str:
    hours = math.fsum(item.member_hours for item in view.case.options[tag.id].items)
    if not hours:
        return ""
    give = N_("You give {hours} of unpaid work.")
    if view.club:
        give = N_("Members give {hours} of unpaid work.")
    return _(give, hours=plural(hours, "hour", "hours"))


def smaller(view: View, prices: Sequence[Price]) -> str:
    """Say what those not listed come to; "" where all are."""
    rest = prices[MOST_PRICES:]
    if not rest:
        return ""
    told = ngettext("and {count} smaller one: {sum}", "and {count} smaller ones: {sum}", len(rest))
    sum_ = view.formats.money(math.fsum(each.likely for each in rest))
    return told.format(count=len(rest), sum=sum_)
