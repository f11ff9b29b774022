"""The prices of an option with tax, each with a word for the paper that it comes from."""

from dataclasses import dataclass

from panelworth.engine.results.prices import Price, PriceList
from panelworth.publishing.formats import Formats, joined, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import sentences
from panelworth.publishing.words.ledger_words import PURCHASE
from panelworth.publishing.words.level_words import of_twenty
from panelworth.publishing.words.rounding import CLOSE, is_shown, money_step, rounded_sum, to_step
from panelworth.publishing.words.sentences import joined_sentences

MOST_PRICES = 6  # prices with a bar each; the others are one sum
BASES = {
    "invoice": N_("billed"),
    "quote": N_("quoted"),
    "estimate": N_("estimated"),
}
LAPSED, PAID, GUESS = N_("lapsed"), N_("paid"), N_("guess")


@dataclass(frozen=True, kw_only=True)
class PriceLine:
    """The texts of one price; `status` is the kind of its paper, "" if the file has a source."""

    name: str
    status: str
    lapsed: bool


def line(price: Price) -> PriceLine:
    """Return the texts of a price."""
    name = price.name or _(PURCHASE)
    return PriceLine(name=name, status=_status(price), lapsed=price.lapsed)


def _status(price: Price) -> str:
    """Return the status of a price; "" if the option file names a source."""
    if price.basis and price.likely > 0 and price.unpaid <= CLOSE:
        return _(PAID)
    if price.lapsed:
        return _(LAPSED)
    if price.basis in BASES:
        return _(BASES[price.basis])
    return "" if price.source else _(GUESS)


def total(view: View, tag: OptionTag) -> str:
    """Say the total cost, the money that comes in, and the hours of unpaid work."""
    likely, money = view.option(tag.id).likely, view.formats.money
    if likely.outlay < CLOSE:
        return sentences.upfront(view.formats, likely)
    step = money_step(view.uncertain(tag.id).outlay_width)
    upfront = rounded_sum(likely.outlay, likely.upfront, step)
    outlay = _("Likely {sum} with tax; a thin line is a price's range.", sum=money(upfront.base))
    receipts_text = ""
    if is_shown(upfront.difference):
        receipts_text = _(
            "Sales and credits bring in {back}, which leaves {sum}.",
            back=money(to_step(likely.receipts, step)),
            sum=money(upfront.total),
        )
    return joined_sentences(outlay, receipts_text, _unpaid(view, tag))


def _unpaid(view: View, tag: OptionTag) -> str:
    hours = view.figures.prices[tag.id].member_hours
    if not hours:
        return ""
    text = N_("You give {hours} of unpaid work.")
    if view.club:
        text = N_("Members give {hours} of unpaid work.")
    return _(text, hours=plural(hours, "hour", "hours"))


def may_turn_up(view: View, tag: OptionTag) -> str:
    """Name what may turn up once the panel is open, with its cost and its chance; "" if nothing."""
    surprises = view.case.options[tag.id].surprises
    if not surprises:
        return ""
    named = [
        _(
            "{name} ({sum}, in {count})",
            name=surprise.name,
            sum=view.formats.money(surprise.cost.likely),
            count=of_twenty(surprise.chance.likely),
        )
        for surprise in surprises
    ]
    return _("May turn up, and counts with its chance: {things}.", things=joined(named))


def smaller(formats: Formats, price_list: PriceList) -> str:
    """Write the sum of the prices that are not listed; "" if all are."""
    count = len(price_list.prices[MOST_PRICES:])
    if not count:
        return ""
    text = ngettext("and {count} smaller one: {sum}", "and {count} smaller ones: {sum}", count)
    sum_ = formats.money(price_list.likely_after(MOST_PRICES))
    return text.format(count=count, sum=sum_)
