"""Deadlines in words, for the page and the calendar file."""

from datetime import date

from panelworth.engine.results.editions import Deadline
from panelworth.model.case import Case
from panelworth.publishing.formats import day, interval, near_day
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.words import raise_words
from panelworth.publishing.words.ledger_words import paper_name, thing_name
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
SAME = ("kind", "option", "name", "first")  # these agree if two deadlines have the same subject


def heading(view: View, deadline: Deadline) -> str:
    """Name a deadline with its subject: "Quote lapses: Display".

    If the plan is refused, the name begins with that, since a calendar shows only the name.
    """
    about = named(view.case, deadline) or view.tags[deadline.option].title
    text = f"{event(view.case, deadline)}: {about}"
    of_plan = deadline.kind in ("order", "down")
    refused = of_plan and view.leading(view.tags[deadline.option]).refused
    return _("Start refused. {what}", what=text) if refused else text


def named(case: Case, deadline: Deadline) -> str:
    """Name the item of a day, or the purchase or sale whose quote lapses; "" without one."""
    if deadline.name or deadline.kind != "quote":
        return deadline.name
    unnamed = (
        thing_name(status)
        for status in case.ledger_statuses_of(deadline.option)
        if not status.name and any(paper.line == deadline.row for paper in status.price_rows)
    )
    return next(unnamed, "")


def distinct_heading(view: View, deadline: Deadline) -> str:
    """Name a deadline as `heading` does; with the paper if several of an item lapse that day."""
    text = heading(view, deadline)
    same = [other for other in view.updates.deadlines if _same_subject(deadline, other)]
    paper = _paper(deadline, view.case.scenario.as_of) if len(same) > 1 else ""
    return _("{what} ({details})", what=text, details=paper) if paper else text


def _same_subject(one: Deadline, other: Deadline) -> bool:
    """Say whether two deadlines agree in kind, option, item and day."""
    return all(getattr(one, key) == getattr(other, key) for key in SAME)


def of_option(view: View, deadline: Deadline) -> str:
    """Name a deadline where no option is shown: with the option if names would be equal."""
    text, name = distinct_heading(view, deadline), heading(view, deadline)
    others = (other for other in view.updates.deadlines if other.option != deadline.option)
    if not deadline.option or name not in {heading(view, other) for other in others}:
        return text
    return _("{what}, “{option}”", what=text, option=view.tags[deadline.option].title)


def _paper(deadline: Deadline, as_of: date) -> str:
    """Name the paper that lapses, with its row: "change Q 7 of October 26, line 14"."""
    if deadline.dated is None:
        return ""
    name = paper_name(deadline.paper, deadline.reference)
    dated = _("{paper} of {day}", paper=name, day=near_day(deadline.dated, as_of))
    return _("{paper}, line {line}", paper=dated, line=deadline.row)


def event(case: Case, deadline: Deadline) -> str:
    """Name what happens on a day: "Quote lapses"."""
    if deadline.kind == "quote":
        return _("Quote lapsed") if deadline.past else _("Quote lapses")
    if deadline.kind == "inspection":
        return _("Overdue") if deadline.past else _("Due")
    if deadline.kind == "down":
        if not case.options[deadline.option].no_airplane_while_down:
            return _("Airplane away")
        return _("One airplane less") if others_remain(case) else _("Without an airplane")
    return _(EVENTS[deadline.kind])


def remarks(view: View, deadline: Deadline) -> list[str]:
    """Return sentences on what a deadline means and what it depends on."""
    sentences = {
        "quote": _quote,
        "order": _order,
        "down": _down,
        "inspection": _inspection,
        "loan": _loan,
        "raise": _raise,
    }[deadline.kind](view, deadline)
    return [sentence for sentence in sentences if sentence]


def _quote(view: View, quote: Deadline) -> list[str]:
    price, last = _price(quote), day(quote.first)
    if quote.past:
        return [_("{price} lapsed on {day}: ask again before ordering.", price=price, day=last)]
    sentences = [_("{price} holds through {day}; ask again after that.", price=price, day=last)]
    if quote.order and quote.first < quote.order:
        title, order = view.tags[quote.option].title, day(quote.order)
        sentences.append(
            _("It lapses before the order day of “{option}”, {day}.", option=title, day=order)
        )
    return sentences


def _price(quote: Deadline) -> str:
    """Name the price of a quote by its supplier and reference, as far as they are known."""
    supplier, reference = quote.supplier, quote.reference
    if supplier and reference:
        return _("The price from {supplier} ({reference})", supplier=supplier, reference=reference)
    if supplier:
        return _("The price from {supplier}", supplier=supplier)
    return _("The price ({reference})", reference=reference) if reference else _("The price")


def _order(view: View, order: Deadline) -> list[str]:
    title, start = view.tags[order.option].title, day(view.series(order.option).start)
    return [
        _("Ordered by this day, “{option}” starts on {day}.", option=title, day=start),
        planned_refused(view.figures.airplane.planners.get(order.option)),
    ]


def _down(view: View, time_away: Deadline) -> list[str]:
    schedule, back = view.case.options[time_away.option].schedule, time_away.back
    if schedule is None or back is None:
        return []
    text = _("Likely {weeks}: back on {day}.", weeks=weeks(schedule), day=day(back))
    earliest, latest = time_away.earliest, time_away.latest
    if earliest and latest and earliest != latest:
        first, last = day(earliest), day(latest)
        between = _("It may be back between {first} and {last}.", first=first, last=last)
        text = f"{text} {between}"
    return [text]


def _inspection(view: View, inspection: Deadline) -> list[str]:
    every = interval(inspection.every_months, inspection.every_days)
    last = day(inspection.first)
    text = _("Good through {day}, {months} after it was last done.", day=last, months=every)
    if inspection.past:
        text = _("It was good through {day} and is overdue.", day=last)
    if inspection.restarted:
        text = _(
            "Done with “{option}”, it is good through {day}: {months} from there.",
            option=view.tags[inspection.option].title,
            day=last,
            months=every,
        )
    return [text, _(CHECKED)]


def _loan(view: View, loan: Deadline) -> list[str]:
    funded = view.option(loan.option).funded
    if funded is None:
        return []
    payment = view.formats.cents(funded.loan_payment)
    return [
        _("The loan's last payment falls in this month; until then {sum} a month.", sum=payment)
    ]


def _raise(view: View, tightest: Deadline) -> list[str]:
    tag = view.tags[tightest.option]
    text = N_(
        "The reserve of “{option}” is tightest around this month: by then the raise must have "
        "brought in all that is missing; after that it runs on."
    )
    if raise_words.solved_kind(view.case, tag.id) == "assessment":
        text = N_(
            "The reserve of “{option}” is tightest around this month: that sets the sum asked for "
            "once."
        )
    return [
        _(text, option=tag.title),
        *raise_words.raises_end(view.case, view.leading(tag)),
        planned_refused(view.figures.airplane.planners.get(tag.id)),
    ]
