"""What a figure stands on, down to the ledger's row, and what the ledger makes of a project."""

from collections.abc import Iterable, Sequence

from panelworth.engine.results import Account, Funded, Underway
from panelworth.model.ledger import Entry, Standing, has_lapsed
from panelworth.model.value import Quantity
from panelworth.publishing.formats import joined, month, near_day, percent, plural
from panelworth.publishing.sentences import CLOSE, joined_sentences
from panelworth.publishing.view import OptionTag, View

FILE = "ledger.csv"
LEAST_PERCENT = 0.0005  # a smaller share would be written as 0 %
NO_PAPER = "no paper yet: the option file's "
BASES = {"invoice": "invoiced", "quote": "quoted", "estimate": "estimated"}
GUESS = "still a guess of the option file"


def paper(view: View, entry: Entry) -> str:
    """Name one row: "quote Q-118 of October 12, lapsed October 31 (ledger.csv, line 7)"."""
    as_of = view.case.scenario.as_of
    called = " ".join(part for part in (entry.kind, entry.reference) if part)
    told = [f"{called} of {near_day(entry.date, as_of)}"]
    if entry.final and entry.kind == "invoice":
        told.append("final")
    if entry.expires and has_lapsed(entry, as_of):
        told.append(f"lapsed {near_day(entry.expires, as_of)}")
    return f"{', '.join(told)} ({FILE}, line {entry.line})"


def stands_on(view: View, path: str, source: str) -> str:
    """Say what an item, or an entry of money in, stands on; `source` is the option file's."""
    standing = view.case.standings.get(path)
    if standing is None or not standing.papers:
        told = [NO_PAPER + (f"figure, from “{source}”" if source else "guess")]
    else:
        told = [joined([paper(view, entry) for entry in standing.papers])]
    return "; ".join([*told, *_besides(view, standing)] if standing else told)


def _besides(view: View, standing: Standing) -> list[str]:
    """Name the rows beside those the price rests on: invoices so far, credits, payments."""
    as_of, cents, told = view.case.scenario.as_of, view.formats.cents, []
    so_far = [each for each in standing.rows if each.kind == "invoice"]
    if so_far and standing.basis != "invoice":
        invoices = joined([paper(view, entry) for entry in so_far])
        told.append(f"invoiced so far {cents(standing.invoiced)} before tax: {invoices}")
    for entry in standing.rows:
        if entry.kind == "credit":
            told.append(_by_the_way(view, f"less a credit of {cents(entry.amount)}", entry))
        elif entry.kind == "payment" and entry.date <= as_of:
            told.append(_by_the_way(view, f"paid {cents(entry.amount)}", entry))
    return told


def _by_the_way(view: View, what: str, entry: Entry) -> str:
    said = [f"{what} on {near_day(entry.date, view.case.scenario.as_of)}", entry.reference]
    return f"{', '.join(part for part in said if part)} ({FILE}, line {entry.line})"


def standing_price(view: View, path: str, price: Quantity) -> Quantity:
    """Return a price before tax as it stands: not below its invoices, less its credits."""
    standing = view.case.standings.get(path)
    if standing is None:
        return price
    ends = {
        key: max(getattr(price, key), standing.invoiced) - standing.credit
        for key in ("low", "likely", "high")
    }
    return price.model_copy(update=ends)


def shares(view: View, tag: OptionTag) -> str:
    """Say how much of what is to be paid is invoiced, quoted, estimated, or a guess."""
    found, outlay = view.figures.underway.get(tag.id), view.option(tag.id).likely.outlay
    if found is None or outlay < CLOSE:
        return ""
    parts = _parts(found.items, outlay)
    money = view.formats.money(outlay)
    if set(parts) == {GUESS}:
        return f"None of the likely {money} is on paper yet: all of it is {GUESS}."
    told = [f"{percent(part / outlay, 0)} is {word}" for word, part in parts.items()]
    return f"Of the likely {money}, tax in, {joined(told)}."


def _parts(items: Sequence[Account], outlay: float) -> dict[str, float]:
    """Split an outlay by what it rests on; jobs and a purchase are never on the ledger."""
    parts = dict.fromkeys((*BASES.values(), GUESS), 0.0)
    for item in items:
        done = max(min(item.invoiced, item.likely), 0.0)
        parts["invoiced"] += done
        parts[BASES.get(item.basis, GUESS)] += item.likely - done
    parts[GUESS] += outlay - sum(item.likely for item in items)
    return {word: part for word, part in parts.items() if part >= CLOSE}


def already_paid(view: View, tag: OptionTag) -> str:
    """Say how much of what is to be paid has been paid by as_of."""
    found, outlay = view.figures.underway.get(tag.id), view.option(tag.id).likely.outlay
    paid = outlay - found.to_pay if found else 0.0
    if paid < CLOSE:
        return ""
    return f"Of that, {view.formats.money(paid)} is already paid, out of what was on hand before."


def lapsed(view: View, tag: OptionTag) -> str:
    """Name the items that stand on a paper that has lapsed."""
    as_of, found = view.case.scenario.as_of, view.figures.underway.get(tag.id)
    names = [
        f"“{account.name}”"
        for account in ((*found.items, *found.money_in) if found else ())
        if (standing := view.case.standings.get(account.path))
        and any(has_lapsed(entry, as_of) for entry in standing.papers)
    ]
    if not names:
        return ""
    if len(names) == 1:
        return f"The paper for {names[0]} has lapsed: it still counts here; ask again."
    return f"The papers for {joined(names)} have lapsed: they still count here; ask again."


def lapsed_note(view: View, tag: OptionTag) -> str:
    """Flag, in a few words, an option whose figures stand on a paper that has lapsed."""
    return "on a lapsed quote" if lapsed(view, tag) else ""


def headed(view: View, tags: Iterable[OptionTag]) -> list[dict[str, str]]:
    """Return the options as headings of columns of money, flagged where a quote has lapsed."""
    return [{"label": tag.title, "note": lapsed_note(view, tag)} for tag in tags]


def so_far(view: View, found: Underway) -> str:
    """Say what quotes and invoices commit to, what is invoiced, paid and still to come."""
    money = view.formats.money
    sums = {
        key: sum(getattr(item, key) for item in found.items)
        for key in ("committed", "invoiced", "paid")
    }
    if sums["committed"] < CLOSE and sums["paid"] < CLOSE:
        return f"Nothing is quoted or invoiced yet; {money(found.to_pay)} is still to be paid."
    said = [
        f"{money(sums['committed'])} is quoted or invoiced: what is committed once it is ordered."
    ]
    if sums["invoiced"] >= CLOSE:
        said.append(f"Of that, {money(sums['invoiced'])} is invoiced.")
    if sums["paid"] >= CLOSE:
        said.append(f"{money(sums['paid'])} is paid.")
    return " ".join([*said, f"{money(found.to_pay)} is still to be paid."])


def forecast(view: View, tag: OptionTag) -> str:
    """Say what the whole will likely come to, and how sure that is."""
    money, quantiles = view.formats.money, view.uncertain(tag.id).outlay_quantiles
    likely = f"All in all it will likely come to {money(view.option(tag.id).likely.outlay)}"
    if quantiles[-1] - quantiles[0] < CLOSE:
        return f"{likely}; nothing in that is a range any more."
    low, middle, high = (money(quantiles[share]) for share in (10, 50, 80))
    return (
        f"{likely}; in 10 of 100 possible futures it stays below {low}, in 50 below {middle}, "
        f"in 80 below {high}."
    )


def done(found: Underway) -> str:
    """Say how many items are done: billed in full, and certain."""
    names = [f"“{item.name}”" for item in found.items if item.basis == "invoice"]
    if not names:
        return ""
    count = f"{plural(len(names), 'item', 'items')} of {len(found.items)}"
    return f"{count} {'is' if len(names) == 1 else 'are'} billed in full: {joined(names)}."


def drift(view: View, tag: OptionTag) -> str:
    """Say how far the likely total has moved from the option file's own figures."""
    found, money = view.figures.underway[tag.id], view.formats.money
    moved = view.option(tag.id).likely.outlay - found.planned_outlay
    plan = money(found.planned_outlay)
    if abs(moved) < CLOSE:
        return f"That is what the option file counts on, {plan}."
    much = f"{money(abs(moved))} {'more' if moved > 0 else 'less'}"
    if found.planned_outlay and abs(moved) / found.planned_outlay >= LEAST_PERCENT:
        much += f" ({percent(abs(moved) / found.planned_outlay, 1)})"
    return f"That is {much} than the option file's own likely figures, {plan}."


def drifted(found: Underway) -> list[Account]:
    """Return the items that have moved from the plan, the largest move first."""
    moved = [each for each in found.items if abs(each.likely - each.planned) >= CLOSE]
    return sorted(moved, key=lambda each: -abs(each.likely - each.planned))


def what_it_does(view: View, tag: OptionTag) -> str:
    """Say what the drift does to what members pay and to the reserve, funding solved again."""
    now, before = view.option(tag.id).funded, view.figures.underway[tag.id].planned_funded
    if not view.club or now is None or before is None:
        return ""
    cents = view.formats.cents
    kinds = (
        ("The raise in dues", "dues_increase", " a month"),
        ("The raise an hour", "hourly_rate_increase", ""),
        ("The assessment", "assessment_per_member", " a member"),
    )
    said = []
    for label, key, per in kinds:
        value, plan = getattr(now, key), getattr(before, key)
        if value is None or plan is None:
            said += [_unsolved(label, now=value, before=plan)] if value != plan else []
        elif abs(value - plan) >= 0.005:  # noqa: PLR2004 (half a cent)
            said.append(f"{label} becomes {cents(value)}{per} instead of {cents(plan)}.")
    said = said or ["What members are asked for stays as planned."]
    return joined_sentences(*said, _reserve(view, now, before))


def _unsolved(label: str, *, now: float | None, before: float | None) -> str:
    if now is None:
        return f"{label} that was to hold the reserve above its floor no longer can."
    return f"{label} can hold the reserve above its floor again." if before is None else ""


def _reserve(view: View, now: Funded, before: Funded) -> str:
    money, as_of = view.formats.money, view.case.scenario.as_of

    def lowest(funded: Funded) -> str:
        when = month(as_of, funded.lowest_balance_month or 0)
        return f"{money(funded.lowest_balance)} in {when}"

    if lowest(now) == lowest(before):
        return f"The reserve's lowest stays {lowest(now)}."
    return f"The reserve's lowest is {lowest(now)}; planned was {lowest(before)}."
