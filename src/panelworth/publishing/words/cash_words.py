"""Sentences on the club's cash, and on how each option is paid for."""

from collections.abc import Iterator

from panelworth.engine.results.figures import (
    Funded,
)
from panelworth.model.case import Case
from panelworth.publishing.formats import Formats, floored, joined, percent, plural, year_after
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words, raise_words
from panelworth.publishing.words.groups import grouped
from panelworth.publishing.words.level_words import BAND, FUTURES
from panelworth.publishing.words.milestones import loan_ends
from panelworth.publishing.words.sentences import joined_sentences

KINDS = {
    "dues": N_("{sum} a month"),
    "hourly_rate": N_("{sum} an hour"),
    "assessment": N_("{sum} each once"),
}
COVERED = 1.0  # of a loan's payments: below it the reserve pays the rest


def floor_held(view: View) -> str:
    """Say in how many futures the reserve stays over its floor, from the fewest to the most."""
    if view.club is None:
        return ""
    scenario = view.case.scenario
    reserves = [view.leading(tag).trials.reserve for tag in view.tags.values()]
    counts = [
        level_words.count_without(reserve.chance_below_floor_within(scenario.floor_years))
        for reserve in reserves
        if reserve
    ]
    if not counts:
        return ""
    span = str(min(counts))
    if min(counts) < max(counts):
        span = _("{low} to {high}", low=min(counts), high=max(counts))
    return _(
        "In {span} of {all} futures the cash stays over its {floor} floor to {year}.",
        span=span,
        all=FUTURES,
        floor=view.formats.money(view.club.reserve_floor),
        year=year_after(scenario.as_of, scenario.floor_years),
    )


def key(case: Case) -> str:
    """Explain the panes."""
    scenario = case.scenario
    text = N_(
        "Line: middle future. Band: {band} of {all}. Bold: futures under the floor by {year}, "
        "then {end}."
    )
    if scenario.floor_years == scenario.years:
        text = N_(
            "Line: middle future. Band: {band} of {all}. Bold: futures under the floor by {year}."
        )
    return _(
        text,
        band=BAND,
        all=FUTURES,
        year=year_after(scenario.as_of, scenario.floor_years),
        end=year_after(scenario.as_of, scenario.years),
    )


def times_below_floor(view: View, tag: OptionTag) -> str:
    """Write how often the reserve falls below its floor: in floor_years, and in all years."""
    scenario, reserve = view.case.scenario, view.leading(tag).trials.reserve
    first, last = (
        level_words.twentieths(reserve.chance_below_floor_within(years)) if reserve else 0
        for years in (scenario.floor_years, scenario.years)
    )
    if first == last:
        return _("{count} of {all}", count=first, all=FUTURES)
    return _("{count}, then {more} of {all}", count=first, more=last, all=FUTURES)


def time_away(view: View, tag: OptionTag) -> str:
    """Write for how long the airplane is away; "" if it is not."""
    leading, schedule = view.leading(tag), view.case.options[tag.id].schedule
    if schedule is None or leading.start == leading.finish:
        return ""
    return _("away {weeks}", weeks=plural(schedule.weeks_down.likely, "week", "weeks"))


def paid_for(view: View) -> list[tuple[list[OptionTag], str]]:
    """Say how options are paid for; options with the same funding share a sentence."""
    groups = grouped(list(view.tags.values()), lambda tag: paid(view, tag))
    return [(tags, text) for text, tags in groups]


def paid(view: View, tag: OptionTag) -> str:
    """Say what members are asked for and what is borrowed."""
    asked = list(_asked(view, tag))
    sums = _("{sums}.", sums=joined(asked)) if asked else ""
    text = joined_sentences(sums, _borrowed(view, tag))
    if text:
        return text
    if view.club is None:
        return _("In cash.")
    solved = raise_words.solved_kind(view.case, tag.id)
    if solved and raise_words.solved_amount(view.case, view.leading(tag)) is None:
        return _("No raise of the kind asked for would do.")
    return _("Nothing extra.")


def _asked(view: View, tag: OptionTag) -> Iterator[str]:
    """Yield the raises, solved ones in whole units; those of the same length together."""
    terms, scenario = view.case.options[tag.id].funding, view.case.scenario
    raises: dict[int, list[str]] = {}  # by the years that they run for, 0 if paid once
    for kind, amount in raise_words.amounts(view.leading(tag).funded).items():
        if not amount:
            continue
        sum_ = raise_words.written(view.formats, amount, solved=kind == terms.solve)
        years = 0 if kind == "assessment" else terms.years_of(kind, scenario)
        raises.setdefault(years, []).append(_(KINDS[kind], sum=sum_))
    for years in sorted(raises):
        raised = joined(raises[years])
        if years == 0:
            yield raised
        else:
            span = plural(years, "year", "years")
            yield _("{raised} more for {years}", raised=raised, years=span)


def _borrowed(view: View, tag: OptionTag) -> str:
    """Say what a loan takes a month, and until when."""
    funded, last = view.leading(tag).funded, loan_ends(view, tag)
    if funded is None or funded.loan_payment is None or last is None:
        return ""
    return _(
        "Loan: {payment} a month to {year}.",
        payment=view.formats.money(funded.loan_payment),
        year=last.year,
    )


def coverage(view: View) -> str:
    """Name the loan with the lowest coverage by the club's cash, if one is not covered in full.

    Coverage is rounded down, so that it does not look better than it is.
    """
    short = {
        tag: funded
        for tag in view.tags.values()
        if (funded := view.leading(tag).funded) and covers(funded) < COVERED
    }
    if not short:
        return ""
    least = min(short, key=lambda tag: covers(short[tag]))
    return _(
        "{option}: in year {year} the club earns only {share} of the loan's payments.",
        year=short[least].lowest_coverage_year,
        share=covered(short[least]),
        option=least.short,
    )


def covers(funded: Funded) -> float:
    """Return the lowest coverage of a loan's payments; `COVERED` without a loan."""
    return COVERED if funded.lowest_coverage is None else funded.lowest_coverage


def covered(funded: Funded) -> str:
    """Write the lowest coverage as a share of the payments, rounded down and at least 0."""
    return percent(max(floored(covers(funded), 2), 0.0), 0)


def paid_already(case: Case, formats: Formats) -> Iterator[str]:
    """Yield sentences on payments in the ledger: the reserve is the money left after them."""
    if case.scenario.club and case.paid:
        yield _("The ledger says {sum} is paid.", sum=formats.money(case.paid))
    if case.scenario.club and case.received:
        yield _("{sum} is already received.", sum=formats.money(case.received))
