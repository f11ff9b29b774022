"""A member's own bill in words and cells: at some hours, and from which another is cheaper."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from panelworth.engine.results_members import BillCrossing, OwnBills
from panelworth.model.scenario import MONTHS
from panelworth.publishing.formats import NONE, counted_as, joined, number, quoted, signed, tenths
from panelworth.publishing.language import say, say_counted
from panelworth.publishing.view import OptionTag, View

CELLS = ("month", "once", "hour", "gap", "year", "in_all")


@dataclass(frozen=True, kw_only=True)
class Kind:
    """A kind of member: the name of a profile, "" without one, and own hours a year."""

    name: str
    hours: float


def bill_at(own: OwnBills, option_id: str, hours: float) -> float | None:
    """Return an option's bill a month at some hours; None where it cannot be funded."""
    line = own.lines.get(option_id)
    return None if line is None else between(own, line.per_month, hours)


def between(own: OwnBills, ends: Sequence[float], hours: float) -> float:
    """Return what lies at some hours: straight between the engine's two points."""
    low, high = ends
    return low + (high - low) * hours / own.hours[-1]


def funded_tags(view: View, own: OwnBills) -> list[OptionTag]:
    """Return the options that have a bill: those that can be funded as they say."""
    return [tag for tag in view.tags.values() if tag.id in own.lines]


def hours_text(hours: float, write: Callable[[float], str] = number) -> str:
    """Write hours a year: "14 hours a year"."""
    text = write(hours)
    return hours_form(counted_as(hours, text)).format(hours=text)


def hours_form(count: int) -> str:
    """Return the form that goes with a count of hours, which is to be placed in it."""
    return say_counted("{hours} hour a year", "{hours} hours a year", count)


def least_form(count: int) -> str:
    """Return the form that goes with how many options bill least, for the page's script."""
    return say_counted(
        "At {hours} {options} bills least: {least} a month.",
        "At {hours} {options} bill least: {least} a month.",
        count,
    )


def lead(view: View, own: OwnBills, kind: Kind) -> list[str]:
    """Say between what the bill lies at the hours looked at first, and what is in it."""
    bills = [
        (bill, tag.title)
        for tag in funded_tags(view, own)
        if (bill := bill_at(own, tag.id, kind.hours)) is not None
    ]
    said = []
    if bills:
        (low, least), (high, most) = min(bills), max(bills)
        span = _span(kind, (view.formats.cents(low), least), (view.formats.cents(high), most))
        what = say(
            "That is dues and hours flown at today's prices, once the option is in force and while "
            "its raise runs. What is asked for once stands beside it. Each is compared with "
            "“{baseline}”.",
            baseline=view.baseline.title,
        )
        said = [span, what]
    return [*said, *unfunded(view, own)]


def unfunded(view: View, own: OwnBills) -> list[str]:
    """Name the options that no raise of the kind asked for can fund: nobody knows their bill."""
    names = [quoted(tag.title) for tag in view.tags.values() if tag.id not in own.lines]
    if not names:
        return []
    text = say_counted(
        "{options} has no bill: no raise of the kind asked for funds it.",
        "{options} have no bill: no raise of the kind asked for funds them.",
        len(names),
    )
    return [text.format(options=joined(names))]


def _span(kind: Kind, least: tuple[str, str], most: tuple[str, str]) -> str:
    """Say the least and the most that a member is billed, and with which option."""
    hours = hours_text(kind.hours) + (f" ({quoted(kind.name)})" if kind.name else "")
    (low, cheapest), (high, dearest) = least, most
    if low == high:
        return say(
            "A member who flies {hours} is billed {low} a month with “{cheapest}”.",
            hours=hours,
            low=low,
            cheapest=cheapest,
        )
    return say(
        "A member who flies {hours} is billed {low} a month with “{cheapest}” and up to {high} "
        "with “{dearest}”.",
        hours=hours,
        low=low,
        cheapest=cheapest,
        high=high,
        dearest=dearest,
    )


def cells(view: View, own: OwnBills, tag: OptionTag, hours: float) -> dict[str, str]:
    """Write an option's bill at some hours, by the names the page's script knows the cells by."""
    bill, today = (bill_at(own, each, hours) for each in (tag.id, view.figures.baseline))
    if bill is None:
        return dict.fromkeys(CELLS, NONE)
    cents, line = view.formats.cents, own.lines[tag.id]
    in_all = between(own, line.in_all, hours)
    gap = None if today is None or tag.id == view.figures.baseline else bill - today
    return {
        "month": cents(bill),
        "once": cents(line.assessment) if line.assessment else NONE,
        "hour": cents(bill * MONTHS / hours) if hours else NONE,
        "gap": NONE if gap is None else _change(view, gap),
        "year": NONE if gap is None else _change(view, gap * MONTHS),
        "in_all": cents(in_all) if any(line.in_all) else NONE,
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
    return say(
        "Below {hours} “{below}” is cheaper for me, above that “{above}”.",
        hours=hours,
        below=below,
        above=above,
    )


def _never(view: View, found: Sequence[BillCrossing]) -> list[str]:
    """Gather, for each option, those it is cheaper than whatever is flown."""
    said = []
    for tag in view.tags.values():
        dearer = [
            quoted(view.tags[option_id].title)
            for each in found
            if each.hours is None and each.below == tag.id
            for option_id in each.pair
            if option_id != tag.id
        ]
        if dearer:
            text = say_counted(
                "“{option}” is cheaper for me than {dearer} however much I fly: the two never "
                "break even.",
                "“{option}” is cheaper for me than {dearer} however much I fly: they never break "
                "even.",
                len(dearer),
            )
            said.append(text.format(option=tag.title, dearer=joined(dearer)))
    return said


def _same(view: View, found: Sequence[BillCrossing]) -> list[str]:
    return [
        say(
            "“{one}” and “{other}” bill the same at any number of hours.",
            one=view.tags[each.pair[0]].title,
            other=view.tags[each.pair[1]].title,
        )
        for each in found
        if not each.below
    ]


def kinds(view: View) -> list[Kind]:
    """Return the kinds of member to show a table for: the profiles, else a few round numbers."""
    profiles = view.club.profiles if view.club else ()
    found = [Kind(name=each.name, hours=each.hours_per_year) for each in profiles]
    return found or [Kind(name="", hours=hours) for hours in (12.0, 30.0, 60.0)]


def caption(kind: Kind) -> str:
    """Head the table of one kind of member: "Flies once a month, 14 hours a year"."""
    hours = hours_text(kind.hours)
    return f"{kind.name}, {hours}" if kind.name else hours
