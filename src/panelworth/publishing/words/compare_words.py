"""The table of figures that options are compared by, and which option leads as planned.

Where a planned start is refused, figures are those of the first allowed start, if there are any.
"""

from collections.abc import Callable, Mapping

from panelworth.engine.results.airplane import (
    AirplaneFigures,
)
from panelworth.engine.results.airplane_sums import count_ending
from panelworth.engine.results.trials import OptionUncertainty, Spread
from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)
from panelworth.publishing.formats import (
    NONE,
    UNITS,
    about,
    floored,
    number,
    plural,
    signed,
)
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words, pay_words, raise_words
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.level_words import ABOVE, ENOUGH, FUTURES
from panelworth.publishing.words.outcome_words import outcome
from panelworth.publishing.words.rounding import percents, years_up

Cell = str | list[str]  # a list has one entry for each kind of member
FigureRow = tuple[Cell, list[Cell]]
RULE = "IFR"  # the rule for flight in cloud


def promise(club: Club | None) -> str:
    """Say in a few words what the page is for, where another page links to it."""
    if club:
        return _("Move prices, hours, members; every figure")
    return _("Move prices, hours; every figure")


def comparison_rows(view: View) -> list[FigureRow]:
    """Return the rows of the table, a cell for each option; rows without figures are left out."""
    rows = [*_costs(view), *_outcomes(view), *_airplane(view)]
    return [row for row in rows if any(cell != NONE for cell in row[1])]


def _row(
    tags: Mapping[str, OptionTag], label: Cell, write: Callable[[OptionTag], Cell]
) -> FigureRow:
    return label, [write(tag) for tag in tags.values()]


def _costs(view: View) -> list[FigureRow]:
    rows = [
        _row(
            view.tags, _("To pay up front, likely"), lambda tag: pay_words.upfront_cell(view, tag)
        ),
        _row(
            view.tags,
            _asked(view.club),
            lambda tag: grant_words.enough(view.formats, view.leading(tag).trials) or NONE,
        ),
    ]
    if view.club:
        kinds = pay_words.member_kinds(view)
        label = [_("A month: {kind}", kind=kind) for kind in kinds]
        if kinds:
            rows.append(_row(view.tags, label, lambda tag: _monthly(view, tag)))
            rows.append(_row(view.tags, _("Once, each member"), lambda tag: _once(view, tag)))
    else:
        rows.append(
            _row(view.tags, _("A year, all costs"), lambda tag: pay_words.yearly_cell(view, tag))
        )
    rows.append(
        _row(view.tags, _("An hour, all costs"), lambda tag: pay_words.hourly_cell(view, tag))
    )
    return rows


def _asked(club: Club | None) -> str:
    """Label the sum that members grant or that an owner sets aside."""
    text = N_("To grant: enough in {count} of {all}")
    if not club:
        text = N_("To set aside, for {count} of {all}")
    return _(text, count=ENOUGH, all=FUTURES)


def _monthly(view: View, tag: OptionTag) -> Cell:
    places = range(len(pay_words.member_kinds(view)))
    bills = [pay_words.monthly(view, tag, place) for place in places]
    return [view.formats.money(bill.total) if bill else _("not known") for bill in bills]


def _once(view: View, tag: OptionTag) -> str:
    asked = view.leading(tag).bills[0].assessment
    return raise_words.up(view.formats, asked) if asked else NONE


def _outcomes(view: View) -> list[FigureRow]:
    worse = _("{count} of {all} futures worse than", count=ABOVE, all=FUTURES)
    better = _("{count} of {all} futures better than", count=ABOVE, all=FUTURES)
    average = _("Ahead of {baseline}, on average", baseline=view.baseline.short)

    def against_baseline(statistic: Callable[[Spread], float]) -> Callable[[OptionTag], str]:
        def write(tag: OptionTag) -> str:
            if tag is view.baseline:
                return NONE
            return outcome(view, statistic(view.leading(tag).trials.range.net_benefit))

        return write

    rows = [
        _row(view.tags, average, against_baseline(lambda spread: spread.mean)),
        _row(view.tags, worse, against_baseline(lambda spread: spread.p10)),
        _row(view.tags, better, against_baseline(lambda spread: spread.p90)),
        _row(view.tags, _("Paid back within, years"), lambda tag: _payback(view, tag)),
    ]
    if view.club:
        within = plural(view.case.scenario.floor_years, "year", "years")
        label = _("Reserve under its floor in {years}, of {all}", years=within, all=FUTURES)
        rows.append(_row(view.tags, label, lambda tag: _below(view.leading(tag).trials)))
    return rows


def _payback(view: View, tag: OptionTag) -> str:
    """Write the payback in whole years; months would look more precise than it is."""
    if tag is view.baseline:
        return NONE
    months = view.option(tag.id).likely.payback_months
    if months is None:
        return _("never")
    return str(years_up(months))


def _below(trials: OptionUncertainty) -> str:
    """Write in how many of 20 futures the reserve falls under its floor."""
    share = trials.chance_below_floor
    return NONE if share is None else level_words.count_text(share)


def _airplane(view: View) -> list[FigureRow]:
    asked = _("Of what members asked for, %") if view.club else _("Of what was asked for, %")
    return [
        _row(view.tags, _("Weeks away, likely"), lambda tag: _away(view.case, tag)),
        _row(view.tags, asked, lambda tag: _share(view.figures.airplane, tag)),
        _row(
            view.tags,
            _("Single failures that end IFR flight"),
            lambda tag: _failures(view.figures.airplane, tag),
        ),
        _row(
            view.tags,
            _("Useful load against today's, {unit}", unit=UNITS[view.formats.units]["weight"]),
            lambda tag: _load(view.figures.airplane, tag),
        ),
    ]


def _away(case: Case, tag: OptionTag) -> str:
    if not any(option.schedule for option in case.options.values()):
        return NONE
    schedule = case.options[tag.id].schedule
    return about(schedule.weeks_down.likely if schedule else 0)


def _share(airplane: AirplaneFigures, tag: OptionTag) -> str:
    capability = airplane.capability
    share = capability.share.get(tag.id) if capability else None
    return NONE if share is None else number(percents(share))


def _failures(airplane: AirplaneFigures, tag: OptionTag) -> str:
    """Count the units whose single failure takes a function that IFR requires."""
    failures = airplane.failures.get(tag.id)
    if failures is None or not failures.failures:
        return NONE
    count = count_ending(failures, RULE)
    return _("not equipped") if count is None else str(count)


def _load(airplane: AirplaneFigures, tag: OptionTag) -> str:
    """Write the change in useful load in whole units, rounded down."""
    weight = airplane.weight.get(tag.id)
    if weight is None or weight.useful_load_change is None:
        return NONE
    return signed(number(floored(weight.useful_load_change, 0)))


def standing(view: View) -> str:
    """Say which option leads as planned, or which are too close to call, by the engine's rule."""
    if not view.others:
        return ""
    best = level_words.bring_most(view)
    if len(best) == 1:
        return _("As planned, {option} ends ahead of the others.", option=best[0].short)
    return _("As planned, {options} are too close to call.", options=names(best))


def most_form(count: int) -> str:
    """Return the plural form for the number of options that bring most, for the page's script."""
    return ngettext(
        "With {moved}: {options} likely brings most.",
        "With {moved}: {options} likely bring most, and the same.",
        count,
    )
