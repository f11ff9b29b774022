"""A member's own bill in words and cells: at some hours, and from which another is cheaper."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from panelworth.engine.results_members import BillCrossing, OwnBills
from panelworth.model.scenario import MONTHS
from panelworth.publishing.formats import NONE, joined, number, signed, tenths
from panelworth.publishing.view import OptionTag, View


@dataclass(frozen=True, kw_only=True)
class Kind:
    """A kind of member: the name of a profile, "" without one, and own hours a year."""

    name: str
    hours: float


def bill_at(own: OwnBills, option_id: str, hours: float) -> float:
    """Return an option's bill a month at some hours: straight between the engine's two points."""
    low, high = own.lines[option_id].per_month
    return low + (high - low) * hours / own.hours[-1]


def hours_text(hours: float, write: Callable[[float], str] = number) -> str:
    """Write hours a year: "14 hours a year"."""
    text = write(hours)
    return f"{text} {'hour' if text == '1' else 'hours'} a year"


def lead(view: View, own: OwnBills, kind: Kind) -> list[str]:
    """Say between what the bill lies at the hours looked at first, and what is in it."""
    bills = sorted((bill_at(own, each, kind.hours), view.tags[each].title) for each in own.lines)
    (low, least), (high, most), cents = bills[0], bills[-1], view.formats.cents
    who = f"who flies {hours_text(kind.hours)}" + (f" (“{kind.name}”)" if kind.name else "")
    said = f"A member {who} is billed {cents(low)} a month with “{least}”"
    if cents(low) != cents(high):
        said += f" and up to {cents(high)} with “{most}”"
    return [
        f"{said}.",
        (
            "That is dues and hours flown at today's prices, once the option is in force and with "
            "the raise it is funded by. What is asked for once stands beside it. Differences are "
            f"to “{view.baseline.title}”."
        ),
    ]


def cells(view: View, own: OwnBills, tag: OptionTag, hours: float) -> dict[str, str]:
    """Write an option's bill at some hours, by the names the page's script knows the cells by."""
    bill, today = (bill_at(own, each, hours) for each in (tag.id, view.figures.baseline))
    cents, once = view.formats.cents, own.lines[tag.id].assessment
    baseline = tag.id == view.figures.baseline
    return {
        "month": cents(bill),
        "once": cents(once) if once else NONE,
        "hour": cents(bill * MONTHS / hours) if hours else NONE,
        "gap": NONE if baseline else _change(view, bill - today),
        "year": NONE if baseline else _change(view, (bill - today) * MONTHS),
    }


def _change(view: View, amount: float) -> str:
    text = view.formats.cents(amount)
    return text if text == view.formats.cents(0.0) else signed(text)


def crossings(view: View, found: Sequence[BillCrossing]) -> list[str]:
    """Say of each pair that crosses from how many hours on the other is cheaper, then the rest."""
    crossed = [_crossed(view, each) for each in found if each.hours is not None]
    return [*crossed, *_never(view, found), *_same(view, found)]


def _crossed(view: View, each: BillCrossing) -> str:
    below, above = view.tags[each.below].title, view.tags[each.above].title
    even = each.hours or 0.0
    hours = hours_text(even) if even < 1 else hours_text(even, tenths)
    return f"Below {hours} “{below}” is cheaper to me, above that “{above}”."


def _never(view: View, found: Sequence[BillCrossing]) -> list[str]:
    """Gather, for each option, those it is cheaper than whatever is flown."""
    said = []
    for tag in view.tags.values():
        dearer = [
            f"“{view.tags[option_id].title}”"
            for each in found
            if each.hours is None and each.below == tag.id
            for option_id in each.pair
            if option_id != tag.id
        ]
        if dearer:
            they = "the two" if len(dearer) == 1 else "they"
            said.append(
                f"“{tag.title}” is cheaper to me than {joined(dearer)} however many hours I fly: "
                f"{they} never break even."
            )
    return said


def _same(view: View, found: Sequence[BillCrossing]) -> list[str]:
    return [
        f"“{view.tags[each.pair[0]].title}” and “{view.tags[each.pair[1]].title}” bill the same "
        "at any number of hours."
        for each in found
        if not each.below
    ]


def raises(view: View, tag: OptionTag) -> str:
    """Say which raise is in an option's bill."""
    funded, cents = view.option(tag.id).funded, view.formats.cents
    parts = []
    if funded and funded.dues_increase:
        parts.append(f"{cents(funded.dues_increase)} a month more in dues")
    if funded and funded.hourly_rate_increase:
        parts.append(f"{cents(funded.hourly_rate_increase)} an hour more")
    return joined(parts) or "none"


def kinds(view: View) -> list[Kind]:
    """Return the kinds of member to show a table for: the profiles, else a few round numbers."""
    profiles = view.club.profiles if view.club else ()
    found = [Kind(name=each.name, hours=each.hours_per_year) for each in profiles]
    return found or [Kind(name="", hours=hours) for hours in (12.0, 30.0, 60.0)]


def caption(kind: Kind) -> str:
    """Head the table of one kind of member: "Flies once a month, 14 hours a year"."""
    hours = hours_text(kind.hours)
    return f"{kind.name}, {hours}" if kind.name else hours
