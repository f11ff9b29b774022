"""A summary to send round by e-mail: plain text in lines of 72 characters at most."""

import textwrap
from collections.abc import Iterator, Sequence

from panelworth.publishing import level_words, sentences
from panelworth.publishing.airplane.when_words import planned_refused
from panelworth.publishing.caution_lines import FOOT, LIKELY, MAINTENANCE, MONEY, unfinished
from panelworth.publishing.date_words import heading, one_line
from panelworth.publishing.formats import about, day, plural
from panelworth.publishing.handout_words import bill_change
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import already_paid, lapsed
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import cash_words, sure_words

WIDTH = 72
MOST_DAYS = 8
DECIDING = ("quote", "order")  # what a vote that comes too late would miss


def brief(view: View, page: str = "") -> str:
    """Say what is asked, what each option means, how sure that is, by when to decide.

    `page`: where the site's first page can be read, "" where that is not known.
    """
    scenario, years = view.case.scenario, plural(view.figures.years, "year", "years")
    as_of = say("As of {day}", day=day(scenario.as_of))
    ask_for = say("What to ask for") if view.club else say("What to set aside")
    keep = [say(each) for each in (MONEY[1], LIKELY, MAINTENANCE[0], FOOT)]
    parts = [
        [*_lines(scenario.title), *_lines(as_of)],
        _lines(unfinished(view.case)),
        _lines(scenario.question or say("Which option?")),
        _lines(say("Likely figures over {years}:", years=years)),
        *(_option(view, tag) for tag in view.tags.values()),
        _part(say("How sure that is"), list(_sure(view))),
        _part(ask_for, list(_budgets(view))),
        _part(say("By when to decide"), list(_days(view))),
        _part(say("Keep in mind"), keep),
        _part(say("All of it"), [page]) if page else [],
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _option(view: View, tag: OptionTag) -> list[str]:
    """Tell an option: what it takes, members' bills, what it leaves, when the airplane is away."""
    likely, formats = view.option(tag.id).likely, view.formats
    spread = noted("All costs spread: {year} a year, {hour} an hour.")
    if view.club:
        spread = noted("All costs spread: {month} a member a month, {hour} an hour.")
    costs = say(
        spread,
        year=formats.money(likely.equivalent_annual_cost),
        month=formats.money(likely.cost_per_member_month),
        hour=formats.cents(likely.cost_per_hour),
    )
    against = say("The other options are compared with this one.") if view.others else ""
    if tag.id != view.figures.baseline:
        against = sentences.joined_sentences(
            sentences.against_baseline(view, tag), sentences.payback(view, tag)
        )
    told = (
        sentences.joined_sentences(
            sentences.upfront(view, tag), already_paid(view, tag), costs, lapsed(view, tag)
        ),
        sentences.joined_sentences(sentences.asked(view, tag), _bills(view, tag)),
        against,
        sentences.joined_sentences(
            sentences.downtime(view, tag),
            planned_refused(view, tag),
        ),
    )
    return [*_lines(tag.title.upper()), *_bullets(told)]


def _bills(view: View, tag: OptionTag) -> str:
    """Say from the least to the most what members are billed, or what that changes."""
    if not view.option(tag.id).bills:
        return ""
    bill, baseline = bill_change(view, tag)["value"], view.baseline.title
    if tag.id == view.figures.baseline:
        return say("A member's bill a month: {sums}.", sums=bill)
    told = noted("A member's bill a month, against “{baseline}”: {sums}.")
    return say(told, baseline=baseline, sums=bill)


def _sure(view: View) -> Iterator[str]:
    """Yield which option leads, where each may end, how often the reserve holds its floor."""
    yield sure_words.lead(view)
    for tag in view.others:
        share = level_words.ahead_share(view, tag, view.baseline)
        ahead = say("ahead in {futures}.", futures=level_words.futures(share))
        yield f"{tag.title}: {ahead} {sure_words.ends(view, tag)}"
    yield level_words.without_worth(view)
    yield sentences.joined_sentences(cash_words.holds(view), *sure_words.asked_for(view))


def _budgets(view: View) -> Iterator[str]:
    for tag in view.tags.values():
        enough = noted("{sum} is enough in 16 of {all} futures; the likely bill is {likely}.")
        told = sure_words.budget(view, tag)
        sums = say(enough, sum=told["enough"], all=level_words.FUTURES, likely=told["likely"])
        yield f"{tag.title}: {sums}"


def _days(view: View) -> Iterator[str]:
    """Yield the days ahead, the nearest first, on which a quote lapses or an order is due."""
    ahead = [each for each in view.loop.deadlines if each.kind in DECIDING and not each.past]
    told = list(dict.fromkeys(f"{day(each.first)}: {heading(view, each)}" for each in ahead))
    yield from told[:MOST_DAYS]
    if len(told) > MOST_DAYS:
        more = about(len(told) - MOST_DAYS)
        yield say("and {count} more, on the page of dates", count=more)


def _part(title: str, told: Sequence[str]) -> list[str]:
    return [*_lines(title.upper()), *_bullets(told)] if told else []


def _bullets(told: Sequence[str]) -> list[str]:
    return [line for text in told if text for line in _lines(text, "- ", "  ")]


def _lines(text: str, first: str = "", rest: str = "") -> list[str]:
    """Break a text into lines; an address longer than a line stays whole."""
    return textwrap.wrap(
        one_line(text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
