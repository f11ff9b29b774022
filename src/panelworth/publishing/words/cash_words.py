"""Whether the cash lasts, and how each option is paid for, in sentences."""

from collections.abc import Iterator

from panelworth.engine.results.figures import Funded
from panelworth.publishing.formats import floored, joined, percent, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words, raise_words
from panelworth.publishing.words.dates_words import away_days, loan_ends
from panelworth.publishing.words.groups import grouped
from panelworth.publishing.words.rounding import money_step, to_step
from panelworth.publishing.words.sentences import joined_sentences

KINDS = {
    "dues": N_("{sum} a month"),
    "hourly_rate": N_("{sum} an hour"),
    "assessment": N_("{sum} each once"),
}
BAND = 16  # of 20 futures lie between p10 and p90
COVERED = 1.0  # of a loan's payments: less has to come from the reserve


def holds(view: View) -> str:
    """Say in how many futures the reserve stays over its floor, from the fewest to the most."""
    if view.club is None:
        return ""
    scenario = view.case.scenario
    tags = [tag for tag in view.tags.values() if level_words.drawn(view, tag).reserve]
    counts = [level_words.FUTURES - _under(view, tag, scenario.floor_years) for tag in tags]
    if not counts:
        return ""
    span = str(min(counts))
    if min(counts) < max(counts):
        span = _("{low} to {high}", low=min(counts), high=max(counts))
    return _(
        "In {span} of {all} futures the cash stays over its {floor} floor to {year}.",
        span=span,
        all=level_words.FUTURES,
        floor=view.formats.money(view.club.reserve_floor),
        year=_year(view, scenario.floor_years),
    )


def _under(view: View, tag: OptionTag, years: int) -> int:
    """Return in how many of 20 futures the floor is broken within so many years."""
    trials = level_words.drawn(view, tag).reserve
    return level_words.twentieths(trials.chance_below_floor_by_year[years - 1]) if trials else 0


def _year(view: View, years: int) -> int:
    return view.case.scenario.as_of.year + years


def key(view: View) -> str:
    """Say how the panes are read."""
    scenario = view.case.scenario
    told = N_(
        "Line: middle future. Band: {band} of {all}. Bold: futures under the floor by {year}, "
        "then {end}."
    )
    if scenario.floor_years == scenario.years:
        told = N_(
            "Line: middle future. Band: {band} of {all}. Bold: futures under the floor by {year}."
        )
    return _(
        told,
        band=BAND,
        all=level_words.FUTURES,
        year=_year(view, scenario.floor_years),
        end=_year(view, scenario.years),
    )


def under(view: View, tag: OptionTag) -> str:
    """Say how often the reserve has been under its floor, by the floor's last year and in all."""
    scenario = view.case.scenario
    first, last = (_under(view, tag, each) for each in (scenario.floor_years, scenario.years))
    if first == last:
        return _("{count} of {all}", count=first, all=level_words.FUTURES)
    return _("{count}, then {more} of {all}", count=first, more=last, all=level_words.FUTURES)


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
    return _(
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
    """Say beside a mark for how long the airplane is away; "" if never."""
    start, finish = away_days(view, tag)
    schedule = view.case.options[tag.id].schedule
    if schedule is None or start == finish:
        return ""
    return _("away {weeks}", weeks=plural(schedule.weeks_down.likely, "week", "weeks"))


def paid_for(view: View) -> list[tuple[list[OptionTag], str]]:
    """Say how options are paid for, those that are alike once."""
    found = grouped(list(view.tags.values()), lambda tag: paid(view, tag))
    return [(tags, told) for told, tags in found]


def paid(view: View, tag: OptionTag) -> str:
    """Say what members are asked for and what is borrowed."""
    asked = list(_asked(view, tag))
    sums = _("{sums}.", sums=joined(asked)) if asked else ""
    told = joined_sentences(sums, _borrowed(view, tag))
    if told:
        return told
    if view.club is None:
        return _("In cash.")
    if raise_words.solved_kind(view, tag) and raise_words.solved_amount(view, tag) is None:
        return _("No raise of the kind asked for would do.")
    return _("Nothing extra.")


def _asked(view: View, tag: OptionTag) -> Iterator[str]:
    """Yield each raise, a solved one in whole units; those that run equally long together."""
    terms, scenario = view.case.options[tag.id].funding, view.case.scenario
    found: dict[int, list[str]] = {}
    for kind, amount in raise_words.amounts(view, tag).items():
        if not amount:
            continue
        solved = kind == terms.solve
        sum_ = raise_words.up(view, amount) if solved else view.formats.measure(amount, "money")
        years = 0 if kind == "assessment" else terms.years_of(kind, scenario)
        found.setdefault(years, []).append(_(KINDS[kind], sum=sum_))
    for years in sorted(found):
        raised = joined(found[years])
        if years == 0:
            yield raised
        else:
            told = plural(years, "year", "years")
            yield _("{raised} more for {years}", raised=raised, years=told)


def _borrowed(view: View, tag: OptionTag) -> str:
    """Say what a loan takes a month, and until when."""
    funded, last = level_words.funded(view, tag), loan_ends(view, tag)
    if funded is None or funded.loan_payment is None or last is None:
        return ""
    return _(
        "Loan: {payment} a month to {year}.",
        payment=view.formats.money(funded.loan_payment),
        year=last.year,
    )


def borrowed(view: View, tag: OptionTag) -> float:
    """Return what an option borrows."""
    loan = view.series(tag.id).loan
    return loan.principal if loan else 0.0


def coverage(view: View) -> str:
    """Say of the loan that the club's cash covers least how far it does, if not in full.

    Coverage is rounded down: it never looks better than it is.
    """
    found = {
        tag: funded
        for tag in view.tags.values()
        if (funded := level_words.funded(view, tag)) and covers(funded) < COVERED
    }
    if not found:
        return ""
    least = min(found, key=lambda tag: covers(found[tag]))
    return _(
        "{option}: in year {year} the club earns only {share} of the loan's payments.",
        year=found[least].lowest_coverage_year,
        share=covered(found[least]),
        option=least.short,
    )


def covers(funded: Funded) -> float:
    """Return the lowest coverage of a loan's payments; in full where there is no loan."""
    return COVERED if funded.lowest_coverage is None else funded.lowest_coverage


def covered(funded: Funded) -> str:
    """Write the lowest coverage as a share of the payments, rounded down; never below none."""
    return percent(max(floored(covers(funded), 2), 0.0), 0)


def paid_already(view: View) -> Iterator[str]:
    """Yield what the ledger's payments mean for the reserve: they are taken as made."""
    case = view.case
    if view.club and case.paid:
        yield _(
            "The ledger says {sum} is paid.",
            sum=view.formats.money(case.paid),
        )
    if view.club and case.received:
        yield _(
            "{sum} is already received.",
            sum=view.formats.money(case.received),
        )
