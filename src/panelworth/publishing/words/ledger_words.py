"""What a figure stands on, down to the ledger's row, and what the ledger makes of a project."""

import math
from collections.abc import Iterable, Sequence

from panelworth.engine.results.figures import Account
from panelworth.model.case import option_prefix
from panelworth.model.ledger import Entry, Standing, has_lapsed
from panelworth.model.value import Quantity
from panelworth.publishing.formats import joined, near_day, quoted
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.sentences import CLOSE

FILE = "ledger.csv"
PURCHASE, SALE = N_("The other airplane"), N_("Sale of today's airplane")
GUESS = "written"  # what no paper of the ledger has: the option file's own figure
KINDS = {
    "estimate": N_("estimate"),
    "quote": N_("quote"),
    "change": N_("change"),
    "invoice": N_("invoice"),
    "payment": N_("payment"),
    "credit": N_("credit"),
}
BASES = ("invoice", "quote", "estimate", GUESS)


def thing_name(standing: Standing) -> str:
    """Name what a row of the ledger is about: an item, money in, a job, the purchase, the sale."""
    if standing.name:
        return standing.name
    return _(SALE if standing.comes_in else PURCHASE)


def paper(view: View, entry: Entry) -> str:
    """Name one row: "quote Q-118 of October 12, lapsed October 31 (ledger.csv, line 7)"."""
    as_of = view.case.scenario.as_of
    called = " ".join(part for part in (_(KINDS[entry.kind]), entry.reference) if part)
    told = [_("{paper} of {day}", paper=called, day=near_day(entry.date, as_of))]
    if entry.final and entry.kind == "invoice":
        told.append(_("final"))
    if entry.expires and has_lapsed(entry, as_of):
        told.append(_("lapsed {day}", day=near_day(entry.expires, as_of)))
    return f"{', '.join(told)} ({_place(entry)})"


def _place(entry: Entry) -> str:
    return _("{file}, line {line}", file=FILE, line=entry.line)


def stands_on(view: View, path: str, source: str) -> str:
    """Say what an item, or an entry of money in, stands on; `source` is the option file's."""
    standing = view.case.standings.get(path)
    if standing and standing.papers:
        told = joined([paper(view, entry) for entry in standing.papers])
    elif source:
        told = _("not on the ledger yet: the option file's figure, from “{source}”", source=source)
    else:
        told = _("not on the ledger yet: the option file's guess")
    return "; ".join([told, *(_besides(view, standing) if standing else [])])


def _besides(view: View, standing: Standing) -> list[str]:
    """Name the rows beside those the price rests on: invoices so far, credits, payments."""
    as_of, cents, told = view.case.scenario.as_of, view.formats.cents, []
    so_far = [each for each in standing.rows if each.kind == "invoice"]
    if so_far and standing.basis != "invoice":
        invoices = joined([paper(view, entry) for entry in so_far])
        sum_ = cents(standing.invoiced.net(standing.tax))
        said = _("invoiced so far {sum} before tax: {invoices}", sum=sum_, invoices=invoices)
        told.append(said)
    for entry in standing.rows:
        sum_, day = cents(entry.amount), near_day(entry.date, as_of)
        if entry.kind == "credit":
            said = _("less a credit of {sum} on {day}", sum=sum_, day=day)
            told.append(_with_reference(said, entry))
        elif entry.kind == "payment" and entry.date <= as_of:
            told.append(_with_reference(_("paid {sum} on {day}", sum=sum_, day=day), entry))
    return told


def _with_reference(said: str, entry: Entry) -> str:
    return f"{', '.join(part for part in (said, entry.reference) if part)} ({_place(entry)})"


def standing_price(view: View, path: str, price: Quantity) -> Quantity:
    """Return a price before tax as it stands: not below its invoices, less its credits."""
    standing = view.case.standings.get(path)
    if standing is None:
        return price
    ends = {key: standing.current(getattr(price, key)) for key in ("low", "likely", "high")}
    return price.model_copy(update=ends)


def parts_of(view: View, tag: OptionTag) -> dict[str, float]:
    """Split what is likely to be paid by what it rests on: invoices, quotes, estimates, a guess."""
    found, outlay = view.figures.underway[tag.id], view.option(tag.id).likely.outlay
    return _parts(found.items, besides_items(view, tag), outlay)


def _parts(
    items: Sequence[Account], besides: Sequence[Standing], outlay: float
) -> dict[str, float]:
    """Split an outlay by what it rests on: each item, then jobs and a purchase with rows."""
    sums = [(item.basis, item.invoiced, item.likely) for item in items]
    for each in besides:
        if each.price is not None and not each.comes_in:
            tax = 1.0 + each.tax
            billed, likely = each.invoiced.net(each.tax), each.current(each.price.likely)
            sums.append((each.basis, billed * tax, likely * tax))
    parts = dict.fromkeys(BASES, 0.0)
    for basis, billed, likely in sums:
        done = max(min(billed, likely), 0.0)
        parts["invoice"] += done
        parts[basis if basis in BASES else GUESS] += likely - done
    parts[GUESS] += outlay - math.fsum(likely for _, _, likely in sums)
    return {basis: part for basis, part in parts.items() if part >= CLOSE}


def standings_of(view: View, tag: OptionTag) -> list[Standing]:
    """Return what the ledger makes of an option's things, in the order of its file."""
    prefix = option_prefix(tag.id)
    found = view.case.standings.items()
    return [standing for path, standing in found if path.startswith(prefix)]


def besides_items(view: View, tag: OptionTag) -> list[Standing]:
    """Return what the ledger makes of small jobs, the purchase and the sale."""
    kinds = (".items", ".credits")
    found = standings_of(view, tag)
    return [each for each in found if not each.path.partition("[")[0].endswith(kinds)]


def lapsed_things(view: View, tag: OptionTag) -> list[str]:
    """Return the names of an option's things whose price rests on a paper that has lapsed."""
    as_of = view.case.scenario.as_of
    return [
        thing_name(standing)
        for standing in standings_of(view, tag)
        if any(has_lapsed(entry, as_of) for entry in standing.papers)
    ]


def lapsed(view: View, tag: OptionTag) -> str:
    """Name the items that stand on a paper that has lapsed."""
    names = [quoted(name) for name in lapsed_things(view, tag)]
    if not names:
        return ""
    return ngettext(
        "The paper for {names} has lapsed: it still counts here; ask again.",
        "The papers for {names} have lapsed: they still count here; ask again.",
        len(names),
    ).format(names=joined(names))


def lapsed_note(view: View, tag: OptionTag) -> str:
    """Flag, in a few words, an option whose figures stand on a paper that has lapsed."""
    return _("on a lapsed quote") if lapsed_things(view, tag) else ""


def flags(view: View, tag: OptionTag) -> str:
    """Flag an option whose figures stand on a lapsed paper, or on a start that is refused."""
    refused = _("start refused as planned") if level_words.refused(view, tag) else ""
    return "; ".join(filter(None, (lapsed_note(view, tag), refused)))


def headed(view: View, tags: Iterable[OptionTag]) -> list[dict[str, str]]:
    """Return the options as headings of columns of money, with their flags."""
    return [{"label": tag.title, "note": flags(view, tag)} for tag in tags]
