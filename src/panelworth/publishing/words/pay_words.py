"""What is paid: a member's bill a month, or an owner's cost a year, against the baseline.

A total is the baseline's rounded figure plus the rounded difference, so that the sum is correct.
"""

from dataclasses import dataclass

from panelworth.engine.results.figures import (
    Bill,
)
from panelworth.publishing.formats import joined
from panelworth.publishing.language import _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import raise_words
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.rounding import RoundedSum, money_step, rounded_sum, to_step


@dataclass(frozen=True, kw_only=True)
class Pay:
    """The sum beside an option's name, with a note such as its period."""

    value: str
    note: str


def member_kinds(view: View) -> list[str]:
    """Return the names of the kinds of member, the typical one first; none for an owner."""
    return [bill.name for bill in view.option(view.figures.baseline).bills]


def pays(view: View, tag: OptionTag) -> list[Pay]:
    """Return what each kind of member pays, or one entry for an owner."""
    if view.club is None:
        return [_owner_pays(view, tag)]
    if not member_kinds(view):
        return [Pay(value=joined(asked(view, tag)) or _("nothing more"), note="")]
    return [_member_pays(view, tag, place) for place in range(len(member_kinds(view)))]


def asked(view: View, tag: OptionTag) -> list[str]:
    """Return the raises that members are asked for, and another hourly rate."""
    texts = raise_words.raises(view.case, view.formats, view.leading(tag))
    rate = view.case.options[tag.id].after.new("hourly_rate")
    if rate is not None and rate.likely != view.case.scenario.aircraft.hourly_rate.likely:
        texts.append(_("a rate of {sum} an hour", sum=view.formats.cents(rate.likely)))
    return texts


def _member_pays(view: View, tag: OptionTag, place: int) -> Pay:
    money, change = view.formats.money, view.formats.change
    bill = view.leading(tag).bills[place]
    sums = monthly(view, tag, place)
    if sums is None:
        return Pay(value=_("not known"), note=_("no raise pays for it"))
    beside = tag is not view.baseline and _baseline_bill(view, place).per_month is not None
    value = change(sums.difference) if beside else money(sums.total)
    if not bill.assessment:
        return Pay(value=value, note=_("a month"))
    once = raise_words.up(view.formats, bill.assessment)
    return Pay(value=value, note=_("a month, {sum} once", sum=once))


def monthly(view: View, tag: OptionTag, place: int) -> RoundedSum | None:
    """Return a kind of member's bill a month beside the baseline's; None if it has none."""
    base = _baseline_bill(view, place).per_month
    bill = view.leading(tag).bills[place].per_month
    if bill is None:
        return None
    return rounded_sum(bill if base is None else base, bill)


def _baseline_bill(view: View, place: int) -> Bill:
    return view.leading(view.baseline).bills[place]


def yearly(view: View, tag: OptionTag) -> RoundedSum:
    """Return an owner's cost a year, all costs spread, beside the baseline's."""
    base = view.option(view.figures.baseline).likely.equivalent_annual_cost
    return rounded_sum(base, view.option(tag.id).likely.equivalent_annual_cost)


def _owner_pays(view: View, tag: OptionTag) -> Pay:
    sums = yearly(view, tag)
    if tag is view.baseline:
        return Pay(value=view.formats.money(sums.base), note=_("a year, all costs"))
    return Pay(value=view.formats.change(sums.difference), note=_("a year"))


def least_and_most(view: View) -> str:
    """Say which options ask least and most, if that is so for every kind of member."""
    if len(view.tags) == 1:
        return ""
    totals = {tag: _totals(view, tag) for tag in view.tags.values()}
    known = {tag: sums for tag, sums in totals.items() if sums}
    if not known:
        return ""
    least, most = _extreme(known, least=True), _extreme(known, least=False)
    if not least:
        return _("Which asks least of you depends on how much you fly.")
    and_most = "" if not most or set(most) == set(least) else _(", {most} most", most=names(most))
    text = ngettext(
        "{least} costs least a year{most}.", "{least} cost least a year{most}.", len(least)
    )
    if view.club:
        text = ngettext(
            "{least} asks least of you each month{most}.",
            "{least} ask least of you each month{most}.",
            len(least),
        )
    return text.format(least=names(least), most=and_most)


def _totals(view: View, tag: OptionTag) -> list[float]:
    """Return what each kind of member pays a month, or an owner a year; none if not known."""
    if view.club is None:
        return [yearly(view, tag).total]
    bills = [monthly(view, tag, place) for place in range(len(member_kinds(view)))]
    return [bill.total for bill in bills if bill is not None]


def _extreme(totals: dict[OptionTag, list[float]], *, least: bool) -> list[OptionTag]:
    """Return the options that ask least, or most, of every kind of member; none if kinds differ."""
    pick = min if least else max
    # Written sums are compared, so that two options with the same text count as equal.
    ends = [pick(sums) for sums in zip(*totals.values(), strict=True)]
    return [tag for tag, sums in totals.items() if sums == ends]


def upfront_cell(view: View, tag: OptionTag) -> str:
    """Write the likely payment up front, rounded by its uncertainty."""
    amount, spread = view.option(tag.id).likely.upfront, view.uncertain(tag.id).range.upfront
    return view.formats.money(to_step(amount, money_step(spread.width)))


def yearly_cell(view: View, tag: OptionTag) -> str:
    """Write an owner's cost a year."""
    return view.formats.money(yearly(view, tag).total)


def hourly_cell(view: View, tag: OptionTag) -> str:
    """Write what an hour costs, all costs spread; a dash without hours."""
    return view.formats.money(view.option(tag.id).likely.cost_per_hour)


def for_member(view: View) -> str:
    """Name the kind of member whose bill is shown first."""
    return joined(member_kinds(view)[:1])


def once(view: View, tag: OptionTag) -> list[str]:
    """Return the single payment of each kind of member; "" if there is none."""
    return [
        raise_words.up(view.formats, bill.assessment) if bill.assessment else ""
        for bill in view.leading(tag).bills
    ]
