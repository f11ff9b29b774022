"""Whether the cash lasts, and how each option is paid for, in sentences."""

import math
from collections.abc import Iterator

from panelworth.publishing import level_words, raise_words
from panelworth.publishing.formats import day, joined, month, percent, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.dates_words import away_days, loan_ends
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.rounding import money_step, to_step

KINDS = {
    "dues": noted("{sum} a month more in dues"),
    "hourly_rate": noted("{sum} an hour more"),
    "assessment": noted("{sum} each once"),
}
COVERED = 1.0  # of a loan's payments: less has to come from the reserve


def holds(view: View) -> str:
    """Say in how many futures the reserve stays over its floor, options that agree once."""
    if view.club is None:
        return ""
    tags = [tag for tag in view.tags.values() if level_words.drawn(view, tag).reserve]
    groups = grouped(tags, lambda tag: level_words.twentieths(1.0 - _broken(view, tag)))
    told = [
        say("{count} with {options}", count=count, options=names(found))
        for count, found in sorted(groups, key=lambda each: -each[0])
    ]
    return say(
        "The cash stays over its floor of {floor} for {years} in so many of {all} futures: "
        "{counts}.",
        floor=view.formats.money(view.club.reserve_floor),
        years=plural(view.case.scenario.floor_years, "year", "years"),
        all=level_words.FUTURES,
        counts=joined(told),
    )


def _broken(view: View, tag: OptionTag) -> float:
    return level_words.drawn(view, tag).chance_below_floor or 0.0


def under(view: View, tag: OptionTag) -> str:
    """Say how often the reserve has been under its floor, by the floor's last year and in all."""
    trials, scenario = level_words.drawn(view, tag).reserve, view.case.scenario
    if trials is None:
        return ""
    by_year, first, last = (
        trials.chance_below_floor_by_year,
        scenario.floor_years,
        scenario.years,
    )
    count = level_words.of_twenty(by_year[first - 1])
    if first == last or count == level_words.of_twenty(by_year[last - 1]):
        return say("under the floor in {count}", count=count)
    return say(
        "under the floor in {count} by {year}, {more} by {end}",
        count=count,
        year=scenario.as_of.year + first,
        more=level_words.of_twenty(by_year[last - 1]),
        end=scenario.as_of.year + last,
    )


def at_end(view: View, tag: OptionTag) -> str:
    """Write the middle future's reserve at the end, no finer than it is sure."""
    trials = level_words.drawn(view, tag).reserve
    if trials is None:
        return ""
    last = trials.reserve_by_year[-1]
    return view.formats.money(to_step(last.p50, money_step(last.p90 - last.p10)))


def pane_text(view: View, tag: OptionTag) -> str:
    """Say for ears what the picture of an option's reserve shows."""
    trials, money = level_words.drawn(view, tag).reserve, view.formats.money
    if trials is None:
        return ""
    first, last = trials.reserve_by_year[0], trials.reserve_by_year[-1]
    step = money_step(last.p90 - last.p10)
    return say(
        "{option}: the reserve starts at {start}; after {years} the middle future has {middle}, "
        "and 16 of {all} futures have from {low} to {high}.",
        option=tag.short,
        start=money(first.p50),
        years=plural(view.figures.years, "year", "years"),
        middle=at_end(view, tag),
        all=level_words.FUTURES,
        low=money(to_step(last.p10, step)),
        high=money(to_step(last.p90, step)),
    )


def gone_for(view: View, tag: OptionTag) -> str:
    """Say beside a mark how long the airplane is away, and from which month; "" if never."""
    start, finish = away_days(view, tag)
    schedule = view.case.options[tag.id].schedule
    if schedule is None or start == finish:
        return ""
    weeks = plural(schedule.weeks_down.likely, "week", "weeks")
    gone = noted("away {weeks}, {month}")
    if view.case.options[tag.id].kind == "replace":
        gone = noted("{weeks} between airplanes, {month}")
    return say(gone, weeks=weeks, month=month(start, 0))


def loan_told(view: View, tag: OptionTag) -> str:
    """Say beside a loan's line what it takes a month, and until when; "" without one."""
    funded, last = level_words.funded(view, tag), loan_ends(view, tag)
    if funded is None or funded.loan_payment is None or last is None:
        return ""
    return say(
        "loan: {sum} a month to {year}",
        sum=view.formats.money(funded.loan_payment),
        year=last.year,
    )


def paid_for(view: View) -> list[tuple[list[OptionTag], str]]:
    """Say how options are paid for, those that are alike once."""
    found = grouped(list(view.tags.values()), lambda tag: _paid(view, tag))
    return [(tags, told) for told, tags in found]


def _paid(view: View, tag: OptionTag) -> str:
    """Say what members are asked for and what is borrowed, in one sentence."""
    parts = [*_asked(view, tag), *_borrowed(view, tag)]
    if parts:
        return say("{parts}.", parts=joined(parts))
    if view.club is None:
        return say("In cash.")
    if raise_words.solved_kind(view, tag) and raise_words.solved_amount(view, tag) is None:
        return say("No raise of the kind asked for would do.")
    return say("Nothing extra.")


def _asked(view: View, tag: OptionTag) -> Iterator[str]:
    """Yield each raise with the years it runs, a solved one with what once would do instead."""
    terms, scenario = view.case.options[tag.id].funding, view.case.scenario
    funded = level_words.funded(view, tag)
    for kind, amount in raise_words.amounts(view, tag).items():
        if not amount:
            continue
        solved = kind == terms.solve
        sum_ = raise_words.up(view, amount) if solved else view.formats.measure(amount, "money")
        told = say(KINDS[kind], sum=sum_)
        if kind != "assessment":
            years = plural(terms.years_of(kind, scenario), "year", "years")
            told = say("{raised} for {years}", raised=told, years=years)
        if solved and kind != "assessment" and funded and funded.solve_once:
            instead = raise_words.up(view, funded.solve_once)
            told = say("{raised} (or {sum} each once)", raised=told, sum=instead)
        yield told


def _borrowed(view: View, tag: OptionTag) -> Iterator[str]:
    funded = level_words.funded(view, tag)
    if funded is not None and funded.loan_payment is not None:
        yield say(
            "a loan of {sum}, {payment} a month",
            sum=view.formats.money(borrowed(view, tag)),
            payment=view.formats.money(funded.loan_payment),
        )


def borrowed(view: View, tag: OptionTag) -> float:
    """Return what an option borrows: the sum stated, or its share of project and purchase."""
    terms = view.case.options[tag.id].funding.loan
    if terms is None:
        return 0.0
    if terms.amount is not None:
        return terms.amount
    rows = view.series(tag.id).rows
    return (terms.share or 0.0) * (math.fsum(rows["project"]) + math.fsum(rows["purchase"]))


def coverage(view: View) -> str:
    """Say of loans whose payments the club's cash does not cover in some year how far it does.

    Coverage is rounded down: it never looks better than it is.
    """
    told = [
        say(
            "{share} of those of {option} in year {year}",
            share=percent(max(math.floor(funded.lowest_coverage * 100) / 100, 0.0), 0),
            option=tag.short,
            year=funded.lowest_coverage_year,
        )
        for tag in view.tags.values()
        if (funded := level_words.funded(view, tag))
        and funded.lowest_coverage is not None
        and funded.lowest_coverage < COVERED
    ]
    if not told:
        return ""
    return say(
        "What the club earns does not always cover the payments: only {shares}. The rest comes out "
        "of the reserve.",
        shares=joined(told),
    )


def paid_already(view: View) -> Iterator[str]:
    """Yield what the ledger's payments mean for the reserve: they are taken as made."""
    case, as_of = view.case, day(view.case.scenario.as_of)
    if view.club and case.paid:
        yield say(
            "{sum} paid up to {day} is already out of the reserve.",
            sum=view.formats.money(case.paid),
            day=as_of,
        )
    if view.club and case.received:
        yield say(
            "{sum} received up to {day} is already in the reserve.",
            sum=view.formats.money(case.received),
            day=as_of,
        )
