"""The project under way in words: its cost against the budget, its finish, and the cash from here.

Everything is stated for the status date. The comparison on the other pages stays as voted.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from panelworth.engine.results.project_status import Cause, ItemAccount, ProjectReport, StatusItem
from panelworth.publishing.formats import (
    NONE,
    day,
    joined,
    month,
    near_day,
    plural,
)
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import View
from panelworth.publishing.words.level_words import ENOUGH, FUTURES, futures
from panelworth.publishing.words.raise_words import KINDS, up
from panelworth.publishing.words.rounding import is_shown, money_step, to_step
from panelworth.publishing.words.sentences import joined_sentences

Head = tuple[str, str]
PAPERS = {
    "estimate": N_("estimate"),
    "quote": N_("quote"),
    "change": N_("change"),
    "invoice": N_("invoice"),
    "credit": N_("credit"),
}
STATES = {
    "estimate": N_("estimated"),
    "quote": N_("quoted"),
    "invoiced": N_("partly invoiced"),
    "final": N_("final"),
    "happened": N_("happened"),
}
A_DAY = 0.14  # of a week: a smaller slip is none
TENTH = 0.1  # of a week
MOST_MOVED = 6  # items in the mail; the page has all of them
PURCHASE = "buy"


def decided(view: View) -> str:
    """Say what was decided and when; "" before a decision."""
    project = view.figures.project
    if project is None:
        return ""
    text = N_("You decided for {option} on {day}.")
    if view.club:
        text = N_("The members chose {option} on {day}.")
    return _(text, option=view.tags[project.option].short, day=day(project.decided))


def as_voted(view: View) -> str:
    """Say on the pages of the comparison that it stays as it was voted on; "" before that."""
    text = decided(view)
    return joined_sentences(text, _("This page stays as it was then.")) if text else ""


def days_follow(view: View) -> str:
    """Say on the page of days what of it follows the project; "" before the decision."""
    text = decided(view)
    follow = _("The days on this page follow the project; all else is as it was then.")
    return joined_sentences(text, follow) if text else ""


def heads(view: View, project: ProjectReport) -> list[Head]:
    """Return cost, finish and cash, each with its sentences; one without a figure is left out."""
    parts = [
        (_("What it costs"), joined_sentences(*_cost(view, project))),
        (_("When it is back"), joined_sentences(*_finish(project))),
        (_("The cash from here"), joined_sentences(*_cash(view, project))),
    ]
    return [(head, text) for head, text in parts if text]


def _sum(view: View, project: ProjectReport, amount: float) -> str:
    return view.formats.money(to_step(amount, money_step(project.outlay_width)))


def _cost(view: View, project: ProjectReport) -> Iterator[str]:
    status, money = project.status, view.formats.money
    yield _total(view, project)
    if status.chance_within_budget is not None and is_shown(project.outlay_width):
        count = futures(status.chance_within_budget)
        yield _("It stays within the budget in {count}.", count=count)
        most = _sum(view, project, status.forecast.p80)
        yield _("{sum} is enough in {count} of {all}.", sum=most, count=ENOUGH, all=FUTURES)
    if status.committed:
        yield _(
            "{committed} is committed, {invoiced} of it is invoiced.",
            committed=money(status.committed),
            invoiced=money(status.invoiced),
        )
    yield _(
        "{paid} is paid, {rest} is still to pay.",
        paid=money(status.paid),
        rest=_sum(view, project, status.still_to_pay),
    )


def _total(view: View, project: ProjectReport) -> str:
    """Say what it comes to, against the budget; what it came to once every price is final."""
    status, is_final = project.status, project.close_out is not None
    total = _sum(view, project, status.forecast.likely)
    if status.budget is None or status.against_budget is None:
        text = N_("It came to {sum}.") if is_final else N_("It likely comes to {sum}.")
        return _(text, sum=total)
    if status.against_budget > 0:
        text = N_("It likely comes to {sum}, {gap} over the budget of {budget}.")
        if is_final:
            text = N_("It came to {sum}, {gap} over the budget of {budget}.")
    else:
        text = N_("It likely comes to {sum}, {gap} under the budget of {budget}.")
        if is_final:
            text = N_("It came to {sum}, {gap} under the budget of {budget}.")
    gap = _sum(view, project, abs(status.against_budget))
    return _(text, sum=total, gap=gap, budget=view.formats.money(status.budget))


def _finish(project: ProjectReport) -> Iterator[str]:
    status = project.status
    if project.finished is not None:
        yield _("It was back on {day}.", day=day(project.finished))
    elif status.finish is None:
        if project.planned_finish is not None:
            yield _(
                "The weeks planned are over, and nobody has said how many are left: the finish "
                "cannot be estimated. Write weeks_left into the option's schedule."
            )
        return
    else:
        yield _("It is likely back on {day}.", day=day(status.finish))
    late = status.slip_weeks or 0.0
    if abs(late) < A_DAY:
        yield _("That is as planned.")
    else:
        weeks = plural(to_step(abs(late), TENTH), "week", "weeks")
        text = N_("That is {weeks} later than planned.")
        if late < 0:
            text = N_("That is {weeks} earlier than planned.")
        yield _(text, weeks=weeks)
    if project.finished is None and status.finish_p80 and status.finish_p80 != status.finish:
        by = near_day(date.fromisoformat(status.finish_p80), project.day)
        text = N_("In {count} of {all} futures it is back by {day}.")
        yield _(text, count=ENOUGH, all=FUTURES, day=by)


def _cash(view: View, project: ProjectReport) -> Iterator[str]:
    status, club = project.status, view.club
    if club is None or status.lowest_balance is None or status.lowest_balance_month is None:
        return
    yield _(
        "The reserve is likely lowest in {month}, at {sum}; the floor is {floor}.",
        month=month(view.case.scenario.as_of, status.lowest_balance_month),
        sum=_sum(view, project, status.lowest_balance),
        floor=view.formats.money(club.reserve_floor),
    )
    chances = [chance for chance in status.chance_below_floor_by_year or () if chance is not None]
    if chances:
        yield _("It falls below the floor in {count}.", count=futures(chances[-1]))
    if project.raise_kind is None:
        return
    if status.raise_holds:
        yield _("The raise that was voted still holds it.")
    elif status.raise_needed is None:
        yield _("The raise that was voted no longer holds it, and none of its kind would.")
    else:
        needed = _(KINDS[project.raise_kind], sum=up(view.formats, status.raise_needed))
        yield _("The raise that was voted no longer holds it; {raise_} would.", raise_=needed)


def item_head(view: View) -> list[Any]:
    """Return the headings of the table of items; the last column but two is text."""
    before = _("Voted") if view.club else _("Decided")
    stands_on = {"label": _("Rests on"), "text": True}
    return [_("Item"), _("Now"), _("Difference"), stands_on, before, _("Paid")]


def item_row(view: View, item: StatusItem, account: ItemAccount) -> list[str]:
    """Return an item: its price now, the difference, what moved it, as voted, what is paid."""
    money, change = view.formats.money, view.formats.change
    return [
        item_name(item.name),
        money(item.forecast),
        change(item.difference) if is_shown(item.difference) else NONE,
        _rests_on(view, item, account),
        money(item.voted),
        money(account.paid) if is_shown(account.paid) else NONE,
    ]


def moved(view: View, project: ProjectReport) -> list[str]:
    """Say which items moved since the decision, by how much and by which row."""
    return [
        _(
            "{item}: {now}, {change} ({cause})",
            item=item_name(item.name),
            now=view.formats.money(item.forecast),
            change=view.formats.change(item.difference),
            cause=_rests_on(view, item, account),
        )
        for item, account in project.moved[:MOST_MOVED]
        if is_shown(item.difference)
    ]


def _rests_on(view: View, item: StatusItem, account: ItemAccount) -> str:
    """Name the row that moved a price, else what it rests on; an allowance for a surprise."""
    project = view.figures.project
    if account.cause:
        return _cause(view, account.cause)
    if project and item.state == "estimate":
        surprises = {one.name for one in view.case.options[project.option].surprises}
        if item.name in surprises:
            return _("did not turn up") if project.finished else _("in case it turns up")
    return _(STATES[item.state])


def item_name(name: str) -> str:
    """Return the name of an item; the purchase has none of its own."""
    return _("The airplane") if name == PURCHASE else name


def _cause(view: View, cause: Cause) -> str:
    """Name the row that moved a price: "invoice I 7 by A, January 5"."""
    paper = " ".join(filter(None, (_(PAPERS[cause.kind]), cause.reference)))
    when = near_day(cause.day, view.case.scenario.as_of)
    if cause.supplier:
        return _("{paper} by {supplier}, {day}", paper=paper, supplier=cause.supplier, day=when)
    return _("{paper}, {day}", paper=paper, day=when)


def announced(project: ProjectReport) -> str:
    """Say how many rows of the ledger come after the status date; "" where none does."""
    count = project.announced
    if not count:
        return ""
    text = ngettext(
        "{count} row of the ledger is dated after that day and counts in nothing yet.",
        "{count} rows of the ledger are dated after that day and count in nothing yet.",
        count,
    )
    return text.format(count=count)


def waits_for(project: ProjectReport) -> str:
    """Say what the closing report waits for; "" before the finish, and once it is there."""
    items = [item_name(name) for name in project.without_final_invoice]
    if not items:
        return ""
    listed = joined(items)
    return _("The closing report waits for final invoices: {items}.", items=listed)


def steps(project: ProjectReport) -> str:
    """Say what has happened by the status date: ordered, started, finished."""
    happened = [
        _(text, day=near_day(when, project.day))
        for text, when in (
            (N_("ordered on {day}"), project.ordered),
            (N_("started on {day}"), project.started),
            (N_("finished on {day}"), project.finished),
        )
        if when is not None
    ]
    if project.finished is not None:
        return _("It was {steps}.", steps=joined(happened))
    return _("So far: {steps}.", steps=joined(happened)) if happened else _("Not ordered yet.")
