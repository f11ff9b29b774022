"""What an option's things cost, each with tax and with one word for what its price stands on."""

from dataclasses import dataclass

from panelworth.engine.results.prices import Price, PriceList
from panelworth.publishing.formats import Formats, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import sentences
from panelworth.publishing.words.ledger_words import PURCHASE
from panelworth.publishing.words.rounding import CLOSE, added, is_shown, money_step, to_step
from panelworth.publishing.words.sentences import joined_sentences

MOST_PRICES = 6
BASES = {
    "invoice": N_("billed"),
    "quote": N_("quoted"),
    "estimate": N_("estimated"),
}
LAPSED, PAID, GUESS = N_("lapsed"), N_("paid"), N_("guess")


@dataclass(frozen=True, kw_only=True)
class PriceLine:
    """What is written of one price; `status` says what it stands on, "" where a source is."""

    name: str
    status: str
    lapsed: bool


def line(price: Price) -> PriceLine:
    """Name what a price is paid for, and say what it stands on."""
    name = price.name or _(PURCHASE)
    return PriceLine(name=name, status=_status(price), lapsed=price.lapsed)


def _status(price: Price) -> str:
    """Say in a word what a price stands on: "" where a source of the option file is."""
    if price.basis and price.likely > 0 and price.unpaid <= CLOSE:
        return _(PAID)
    if price.lapsed:
        return _(LAPSED)
    if price.basis in BASES:
        return _(BASES[price.basis])
    return "" if price.source else _(GUESS)


def total(view: View, tag: OptionTag) -> str:
    """Say what all comes to, what comes in against it, and what work nobody is paid for."""
    likely, money = view.option(tag.id).likely, view.formats.money
    if likely.outlay < CLOSE:
        return sentences.upfront(view.formats, likely)
    step = money_step(view.uncertain(tag.id).outlay_width)
    upfront = added(likely.outlay, likely.upfront, step)
    outlay = _("Likely {sum} with tax; a thin line is a price's range.", sum=money(upfront.base))
    less = ""
    if is_shown(upfront.difference):
        less = _(
            "Sales and credits bring in {back}, which leaves {sum}.",
            back=money(to_step(likely.receipts, step)),
            sum=money(upfront.total),
        )
    return joined_sentences(outlay, less, _unpaid(view, tag))


def _unpaid(view: View, tag: OptionTag) -> str:
    hours = view.figures.prices[tag.id].member_hours
    if not hours:
        return ""
    text = N_("You give {hours} of unpaid work.")
    if view.club:
        text = N_("Members give {hours} of unpaid work.")
    return _(text, hours=plural(hours, "hour", "hours"))


def smaller(formats: Formats, price_list: PriceList) -> str:
    """Say what those not listed come to; "" where all are."""
    count = len(price_list.prices[MOST_PRICES:])
    if not count:
        return ""
    text = ngettext("and {count} smaller one: {sum}", "and {count} smaller ones: {sum}", count)
    sum_ = formats.money(price_list.likely_after(MOST_PRICES))
    return text.format(count=count, sum=sum_)
