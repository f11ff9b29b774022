"""What it costs an owner, in words: a year, an hour, up front, and by the hours flown."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from panelworth.publishing.formats import NONE, duration
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import pay_words
from panelworth.publishing.words.compare_words import hourly, upfront, yearly
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.rounding import to_step
from panelworth.publishing.words.sentences import joined_sentences

LEAST = 0.5  # of the likely hours: below that an hour costs any sum, which would hide the rest


def lead(view: View) -> str:
    """Say which option costs least and most a year, and between what an hour lies."""
    years = {tag: pay_words.yearly(view, tag).total for tag in view.tags.values()}
    least, most = min(years.values()), max(years.values())
    money = view.formats.money
    cheap, dear = ([tag for tag, sum_ in years.items() if sum_ == end] for end in (least, most))
    told = N_("{cheap} costs {least} a year, all costs spread; {dear} costs {most}.")
    if least == most:
        told = N_("{cheap}: {least} a year, all costs spread.")
    return joined_sentences(
        _(told, cheap=names(cheap), dear=names(dear), least=money(least), most=money(most)),
        _hours(view),
    )


def _hours(view: View) -> str:
    """Say between what an hour's cost lies."""
    costs = [view.option(tag.id).likely.cost_per_hour for tag in view.tags.values()]
    known = sorted(round(cost) for cost in costs if cost is not None)
    if not known:
        return ""
    low, high = view.formats.money(known[0]), view.formats.money(known[-1])
    if low == high:
        return _("An hour costs {low}.", low=low)
    return _("An hour costs {low} to {high}.", low=low, high=high)


def figure_rows(view: View) -> list[tuple[str, list[str]]]:
    """Return the rows of the table, an option a cell."""
    tags = list(view.tags.values())
    rows = [
        (_("A year, all costs"), [yearly(view, tag) for tag in tags]),
        (
            _("More or less than {baseline}", baseline=view.baseline.short),
            [_against(view, tag) for tag in tags],
        ),
        (_("An hour, all costs"), [hourly(view, tag) for tag in tags]),
        (_("In 16 of 20 futures between"), [_range(view, tag) for tag in tags]),
        (_("Up front"), [upfront(view, tag) for tag in tags]),
        (_("Loan, a month"), [_loan(view, tag) for tag in tags]),
        (_("Paid back over"), [_loan_runs(view, tag) for tag in tags]),
    ]
    return [row for row in rows if any(cell != NONE for cell in row[1])]


def _against(view: View, tag: OptionTag) -> str:
    if tag is view.baseline:
        return NONE
    return view.formats.change(pay_words.yearly(view, tag).difference)


def _range(view: View, tag: OptionTag) -> str:
    """Write between what the middle 16 of 20 futures have an hour's cost."""
    spread = view.uncertain(tag.id).range.cost_per_hour
    if spread is None:
        return NONE
    low, high = (view.formats.money(to_step(end, 1.0)) for end in (spread.p10, spread.p90))
    return _("{low} to {high}", low=low, high=high)


def _loan(view: View, tag: OptionTag) -> str:
    funded = view.option(tag.id).funded
    return view.formats.money(funded.loan_payment if funded else None)


def _loan_runs(view: View, tag: OptionTag) -> str:
    loan = view.series(tag.id).loan
    return duration(len(loan.payments)) if loan else NONE


def by_hours(view: View) -> dict[str, list[float | None]]:
    """Return each option's cost an hour at the curve's hours; None where little is flown."""
    likely = view.case.scenario.aircraft.hours_per_year.likely
    hours = view.figures.by_hours.hours
    return {
        each: [
            value if at >= LEAST * likely else None for value, at in zip(values, hours, strict=True)
        ]
        for each, values in view.figures.by_hours.cost_per_hour.items()
    }


def dearer_or_cheaper(view: View, shown: Mapping[str, Sequence[float | None]]) -> str:
    """Say that an hour costs less the more it flies, where all curves drawn agree."""
    money, falls = view.formats.money, []
    for values in shown.values():
        there = [value for value in values if value is not None]
        steps = [after - before for before, after in pairwise(there)]
        falls.append(bool(there) and money(there[0]) != money(there[-1]) and max(steps) < 0)
    if falls and all(falls):
        return _("The more it flies, the less an hour costs.")
    return _("What an hour costs, by the hours flown.")
