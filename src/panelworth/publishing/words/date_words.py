"""The days to keep in mind put into words; the page and the calendar file agree on them."""

from panelworth.engine.results.editions import Deadline
from panelworth.publishing.formats import day, interval, near_day
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.words import level_words, raise_words
from panelworth.publishing.words.ledger_words import KINDS, standings_of, thing_name
from panelworth.publishing.words.sentences import others_remain, weeks
from panelworth.publishing.words.starts_words import planned_refused

CHECKED = N_(
    "Check the current rules and the maker's data; intervals follow US 14 CFR parts 43 and 91."
)
EVENTS = {
    "order": N_("Order by"),
    "loan": N_("Last loan payment"),
    "raise": N_("Tightest month"),
}


def one_line(text: str) -> str:
    r"""Put a text on one line, without control characters: what no calendar can mistake.

    Some readers take a bare carriage return, or another of Unicode's line ends, for a new line of
    the file, where text could begin a property of its own.

    >>> one_line("A\r\nBEGIN:VALARM")
    'A BEGIN:VALARM'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def heading(view: View, each: Deadline) -> str:
    """Name a day with what it is about: "Quote lapses: Display".

    A day of a plan that is refused says so at once: a calendar shows little more than the name.
    """
    said = f"{event(view, each)}: {named(view, each) or view.tags[each.option].title}"
    plan = each.kind in ("order", "down") and level_words.refused(view, view.tags[each.option])
    return _("Start refused. {what}", what=said) if plan else said


def named(view: View, each: Deadline) -> str:
    """Name the item of a day, or the purchase or sale whose quote lapses; "" where it has none."""
    if each.name or each.kind != "quote":
        return each.name
    found = (
        thing_name(standing)
        for standing in standings_of(view, view.tags[each.option])
        if not standing.name and any(paper.line == each.row for paper in standing.papers)
    )
    return next(found, "")


def told_apart(view: View, each: Deadline) -> str:
    """Name a day as `heading` does, and the paper where several of one item lapse that day."""
    said, about_it = heading(view, each), (each.kind, each.option, each.name, each.first)
    alike = [
        other
        for other in view.loop.deadlines
        if (other.kind, other.option, other.name, other.first) == about_it
    ]
    paper = _paper(view, each) if len(alike) > 1 else ""
    return _("{what} ({details})", what=said, details=paper) if paper else said


def of_option(view: View, each: Deadline) -> str:
    """Name a day for where no option stands beside it: with the option if others read the same."""
    said = told_apart(view, each)
    others = (other for other in view.loop.deadlines if other.option != each.option)
    if not each.option or heading(view, each) not in {heading(view, other) for other in others}:
        return said
    return _("{what}, “{option}”", what=said, option=view.tags[each.option].title)


def _paper(view: View, each: Deadline) -> str:
    """Name the paper that lapses, down to its row: "change Q 7 of October 26, line 14"."""
    if each.dated is None:
        return ""
    as_of = view.case.scenario.as_of
    called = " ".join(part for part in (_(KINDS[each.paper]), each.reference) if part)
    dated = _("{paper} of {day}", paper=called, day=near_day(each.dated, as_of))
    return _("{paper}, line {line}", paper=dated, line=each.row)


def event(view: View, each: Deadline) -> str:
    """Name what happens on a day: "Quote lapses"."""
    if each.kind == "quote":
        return _("Quote lapsed") if each.past else _("Quote lapses")
    if each.kind == "inspection":
        return _("Overdue") if each.past else _("Due")
    if each.kind == "down":
        if not view.case.options[each.option].no_airplane_while_down:
            return _("Airplane away")
        return _("One airplane less") if others_remain(view) else _("Without an airplane")
    return _(EVENTS[each.kind])


def remarks(view: View, each: Deadline) -> list[str]:
    """Say in sentences what a day is about and what it hangs on."""
    said = {
        "quote": _quote,
        "order": _order,
        "down": _down,
        "inspection": _inspection,
        "loan": _loan,
        "raise": _raise,
    }[each.kind](view, each)
    return [sentence for sentence in said if sentence]


def _quote(view: View, each: Deadline) -> list[str]:
    price, last = _price(each), day(each.first)
    if each.past:
        return [_("{price} lapsed on {day}: ask again before ordering.", price=price, day=last)]
    said = [_("{price} holds through {day}; ask again after that.", price=price, day=last)]
    if each.order and each.first < each.order:
        title, order = view.tags[each.option].title, day(each.order)
        said.append(
            _("It lapses before the order day of “{option}”, {day}.", option=title, day=order)
        )
    return said


def _price(each: Deadline) -> str:
    """Name the price of a quote, by what is known of the quote."""
    whose, which = each.supplier, each.reference
    if whose and which:
        return _("The price from {supplier} ({reference})", supplier=whose, reference=which)
    if whose:
        return _("The price from {supplier}", supplier=whose)
    return _("The price ({reference})", reference=which) if which else _("The price")


def _order(view: View, each: Deadline) -> list[str]:
    title, start = view.tags[each.option].title, day(view.series(each.option).start)
    told = _("Ordered by this day, “{option}” starts on {day}.", option=title, day=start)
    refused = planned_refused(view, view.tags[each.option])
    return [told, refused] if refused else [told]


def _down(view: View, each: Deadline) -> list[str]:
    schedule = view.case.options[each.option].schedule
    if schedule is None or each.back is None:
        return []
    said = _("Likely {weeks}: back on {day}.", weeks=weeks(schedule), day=day(each.back))
    if each.earliest and each.latest and each.earliest != each.latest:
        first, last = day(each.earliest), day(each.latest)
        between = _("It may be back between {first} and {last}.", first=first, last=last)
        said = f"{said} {between}"
    return [said]


def _inspection(view: View, each: Deadline) -> list[str]:
    every = interval(each.every_months, each.every_days)
    last = day(each.first)
    end = _("Good through {day}, {months} after it was last done.", day=last, months=every)
    if each.past:
        end = _("It was good through {day} and is overdue.", day=last)
    if each.restarted:
        end = _(
            "Done with “{option}”, it is good through {day}: {months} from there.",
            option=view.tags[each.option].title,
            day=last,
            months=every,
        )
    return [end, _(CHECKED)]


def _loan(view: View, each: Deadline) -> list[str]:
    funded = view.option(each.option).funded
    if funded is None:
        return []
    payment = view.formats.cents(funded.loan_payment)
    return [
        _("The loan's last payment falls in this month; until then {sum} a month.", sum=payment)
    ]


def _raise(view: View, each: Deadline) -> list[str]:
    tag = view.tags[each.option]
    told = N_(
        "The reserve of “{option}” is tightest around this month: by then the raise must have "
        "brought in all that is missing; after that it runs on."
    )
    if raise_words.solved_kind(view, tag) == "assessment":
        told = N_(
            "The reserve of “{option}” is tightest around this month: that sets the sum asked for "
            "once."
        )
    ends = raise_words.raises_end(view, tag)
    return [_(told, option=tag.title), *ends, planned_refused(view, tag)]
