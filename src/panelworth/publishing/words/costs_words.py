"""An owner's costs in words: a year, an hour, up front, and by the hours flown."""

from collections.abc import Sequence
from itertools import pairwise

from panelworth.engine.results.figures import (
    Series,
)
from panelworth.publishing.formats import NONE, Formats, duration
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import pay_words
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.level_words import BAND, FUTURES
from panelworth.publishing.words.rounding import to_step
from panelworth.publishing.words.sentences import joined_sentences


def lead(view: View) -> str:
    """Say which options cost least and most a year, and the range of costs an hour."""
    years = {tag: pay_words.yearly(view, tag).total for tag in view.tags.values()}
    least, most = min(years.values()), max(years.values())
    money = view.formats.money
    cheap, dear = ([tag for tag, sum_ in years.items() if sum_ == end] for end in (least, most))
    text = N_("{cheap} costs {least} a year, all costs spread; {dear} costs {most}.")
    if least == most:
        text = N_("{cheap}: {least} a year, all costs spread.")
    return joined_sentences(
        _(text, cheap=names(cheap), dear=names(dear), least=money(least), most=money(most)),
        _hours(view),
    )


def _hours(view: View) -> str:
    """Write the range of the likely costs an hour."""
    costs = [view.option(tag.id).likely.cost_per_hour for tag in view.tags.values()]
    known = [cost for cost in costs if cost is not None]
    if not known:
        return ""
    low, high = view.formats.money(min(known)), view.formats.money(max(known))
    if low == high:
        return _("An hour costs {low}.", low=low)
    return _("An hour costs {low} to {high}.", low=low, high=high)


def cost_rows(view: View) -> list[tuple[str, list[str]]]:
    """Return the rows of the table, one cell for each option."""
    tags = list(view.tags.values())
    rows = [
        (_("A year, all costs"), [pay_words.yearly_cell(view, tag) for tag in tags]),
        (
            _("More or less than {baseline}", baseline=view.baseline.short),
            [_against(view, tag) for tag in tags],
        ),
        (_("An hour, all costs"), [pay_words.hourly_cell(view, tag) for tag in tags]),
        (
            _("In {count} of {all} futures between", count=BAND, all=FUTURES),
            [_range(view, tag) for tag in tags],
        ),
        (_("Up front"), [pay_words.upfront_cell(view, tag) for tag in tags]),
        (_("Loan, a month"), [_loan(view, tag) for tag in tags]),
        (_("Paid back over"), [_loan_runs(view.series(tag.id)) for tag in tags]),
    ]
    return [row for row in rows if any(cell != NONE for cell in row[1])]


def _against(view: View, tag: OptionTag) -> str:
    if tag is view.baseline:
        return NONE
    return view.formats.change(pay_words.yearly(view, tag).difference)


def _range(view: View, tag: OptionTag) -> str:
    """Write the range of costs an hour in the middle 16 of 20 futures."""
    spread = view.uncertain(tag.id).range.cost_per_hour
    if spread is None:
        return NONE
    low, high = (view.formats.money(to_step(end, 1.0)) for end in (spread.p10, spread.p90))
    return _("{low} to {high}", low=low, high=high)


def _loan(view: View, tag: OptionTag) -> str:
    funded = view.option(tag.id).funded
    return view.formats.money(funded.loan_payment if funded else None)


def _loan_runs(series: Series) -> str:
    loan = series.loan
    return duration(len(loan.payments)) if loan else NONE


def dearer_or_cheaper(formats: Formats, curves: Sequence[Sequence[float | None]]) -> str:
    """Return the chart's title; if all curves fall, it says that more flying costs less an hour."""
    if curves and all(
        _falls(formats, [cost for cost in curve if cost is not None]) for curve in curves
    ):
        return _("The more it flies, the less an hour costs.")
    return _("What an hour costs, by the hours flown.")


def _falls(formats: Formats, costs: Sequence[float]) -> bool:
    """Say whether costs fall throughout, and far enough that the first and last sums differ."""
    if not costs or formats.money(costs[0]) == formats.money(costs[-1]):
        return False
    return all(after < before for before, after in pairwise(costs))
