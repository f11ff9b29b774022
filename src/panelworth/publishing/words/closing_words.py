"""The closing report in words: what it came to, which ranges have held, what to ask next time."""

from collections.abc import Iterator, Sequence

from panelworth.engine.results.project_status import CloseOut, ProjectReport, RangeCheck
from panelworth.publishing.formats import joined, number, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.words.level_words import FUTURES, twentieths
from panelworth.publishing.words.project_words import Head, item_name
from panelworth.publishing.words.rounding import is_shown
from panelworth.publishing.words.sentences import joined_sentences

FEW = 10  # with fewer ranges only the count is given: a share of a handful says little
MOST_NAMES = 3


def heads(view: View, project: ProjectReport, report: CloseOut) -> list[Head]:
    """Return the parts of the closing report: cost, ranges, weeks, members' work, next time."""
    parts = [
        (_("What it cost"), joined_sentences(*_cost(view, project, report))),
        (_("Which prices held"), joined_sentences(*_ranges(report))),
        (_("How long it took"), joined_sentences(*_weeks(project, report))),
        (_own_work(view), _work(view, report)),
        (_("What to ask next time"), _next_time(view, project, report)),
    ]
    return [(head, text) for head, text in parts if text]


def _own_work(view: View) -> str:
    return _("What members did themselves") if view.club else _("What you did yourself")


def _cost(view: View, project: ProjectReport, report: CloseOut) -> Iterator[str]:
    money, budget = view.formats.money, project.status.budget
    text = N_("It came to {actual}; when it was decided, {voted} was likely.")
    yield _(text, actual=money(report.actual), voted=money(report.voted))
    gap = project.status.against_budget
    if budget is None or gap is None:
        return
    text = N_("That is {gap} under the budget of {budget}.")
    if gap > 0:
        text = N_("That is {gap} over the budget of {budget}.")
    yield _(text, gap=money(abs(gap)), budget=money(budget))


def _ranges(report: CloseOut) -> Iterator[str]:
    count = len(report.ranges)
    if not count:
        return
    held = plural(report.held, "price", "prices")
    yield _(
        "Of {count} prices with a range, {held} came out within the middle of it.",
        count=count,
        held=held,
    )
    if count < FEW:
        yield _("So few say little about how good the guesses were.")


def _weeks(project: ProjectReport, report: CloseOut) -> Iterator[str]:
    weeks = report.weeks
    if weeks is None or project.started is None:
        return
    yield _(
        "The airplane was away for {weeks}; {low} to {high} were planned.",
        weeks=plural(weeks.actual, "week", "weeks"),
        low=number(weeks.low),
        high=number(weeks.high),
    )


def _work(view: View, report: CloseOut) -> str:
    if not is_shown(report.hours_saved):
        return ""
    hours = plural(report.hours_saved, "hour", "hours")
    if report.money_saved is None:
        return _("{hours} of unpaid work.", hours=hours)
    saved = view.formats.money(report.money_saved)
    return _("{hours} of unpaid work, which saved {sum}.", hours=hours, sum=saved)


def _next_time(view: View, project: ProjectReport, report: CloseOut) -> str:
    """Name what cost more than the high end of its range, or than its one price; what turned up."""
    above = [(check.name, check.actual) for check in report.above]
    dearer = [
        (item_name(item.name), item.forecast)
        for item in project.dearer
        if is_shown(item.difference)
    ]
    happened = [
        (item.name, item.forecast) for item, _account in project.moved if item.state == "happened"
    ]
    sentences = [
        (N_("Ask earlier about {items}: above the most that was thought possible."), above),
        (N_("State a range for {items}: dearer than the one price stated."), dearer),
        (N_("Turned up during the work: {items}."), happened),
    ]
    said = [_(text, items=_listed(view, found)) for text, found in sentences if found]
    none = _("No item cost more than the most that was thought possible.")
    return joined_sentences(*said) if said else none


def _listed(view: View, items: Sequence[tuple[str, float]]) -> str:
    """Return the first items with what they cost."""
    return joined(
        [
            _("{item} ({sum})", item=name, sum=view.formats.money(actual))
            for name, actual in items[:MOST_NAMES]
        ]
    )


def range_head() -> list[str]:
    """Return the headings of the table of ranges."""
    return [_("Item"), _("Low"), _("High"), _("Came to"), _("Place in its range")]


def range_row(view: View, check: RangeCheck) -> list[str]:
    """Return a range, what it came to, and how many of 20 futures were below that."""
    money = view.formats.money
    place = _("{count} of {all} below", count=twentieths(check.share), all=FUTURES)
    return [check.name, money(check.low), money(check.high), money(check.actual), place]
