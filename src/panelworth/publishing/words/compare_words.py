"""Every figure that options are compared by, one row a figure, and how they stand as planned.

Where a planned start is refused, figures are from the first allowed one, if it has them.
"""

import math
from collections.abc import Callable
from datetime import date

from panelworth.engine.results.trials import OptionUncertainty, Spread
from panelworth.model.scenario import MONTHS
from panelworth.publishing.formats import (
    NONE,
    UNITS,
    about,
    floored,
    near_day,
    number,
    plural,
    signed,
)
from panelworth.publishing.language import _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words, pay_words, raise_words
from panelworth.publishing.words.failure_words import count_ending
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.ledger_words import lapsed_note
from panelworth.publishing.words.rounding import money_step, outcome, to_step, width

Told = str | list[str]  # a list has an entry a kind of member
FigureRow = tuple[Told, list[Told]]
RULE, HUNDRED = "IFR", 100


def figure_rows(view: View) -> list[FigureRow]:
    """Return the rows that some option has a figure for, an option a cell."""
    found = [*_costs(view), *_outcomes(view), *_airplane(view)]
    return [row for row in found if any(cell != NONE for cell in row[1])]


def _row(view: View, label: Told, tell: Callable[[OptionTag], Told]) -> FigureRow:
    return label, [tell(tag) for tag in view.tags.values()]


def _costs(view: View) -> list[FigureRow]:
    rows = [
        _row(view, _("To pay up front, likely"), lambda tag: upfront(view, tag)),
        _row(view, _asked(view), lambda tag: grant_words.enough(view, tag) or NONE),
    ]
    if view.club:
        kinds = pay_words.member_kinds(view)
        label = [_("A month: {kind}", kind=kind) for kind in kinds]
        if kinds:
            rows.append(_row(view, label, lambda tag: _monthly(view, tag)))
            rows.append(_row(view, _("Once, each member"), lambda tag: _once(view, tag)))
    else:
        rows.append(_row(view, _("A year, all costs"), lambda tag: yearly(view, tag)))
    rows.append(_row(view, _("An hour, all costs"), lambda tag: hourly(view, tag)))
    return rows


def upfront(view: View, tag: OptionTag) -> str:
    """Write what is likely to be paid up front, no finer than it is sure."""
    amount, spread = view.option(tag.id).likely.upfront, view.uncertain(tag.id).range.upfront
    return view.formats.money(to_step(amount, money_step(width(spread))))


def _asked(view: View) -> str:
    """Name what is asked of members, or what an owner sets aside."""
    return _("To grant: enough in 16 of 20") if view.club else _("To set aside, for 16 of 20")


def _monthly(view: View, tag: OptionTag) -> Told:
    sums = [pay_words.monthly(view, tag, n) for n in range(len(pay_words.member_kinds(view)))]
    return [view.formats.money(each.total) if each else _("not known") for each in sums]


def _once(view: View, tag: OptionTag) -> str:
    asked = level_words.bills(view, tag)[0].assessment
    return raise_words.up(view, asked) if asked else NONE


def yearly(view: View, tag: OptionTag) -> str:
    """Write an owner's cost a year."""
    return view.formats.money(pay_words.yearly(view, tag).total)


def hourly(view: View, tag: OptionTag) -> str:
    """Write what an hour costs, all costs spread; a dash where it does not fly."""
    return view.formats.money(view.option(tag.id).likely.cost_per_hour)


def _outcomes(view: View) -> list[FigureRow]:
    worse, better = _("2 of 20 futures worse than"), _("2 of 20 futures better than")
    average = _("Ahead of {baseline}, on average", baseline=view.baseline.short)

    def gap(find: Callable[[Spread], float]) -> Callable[[OptionTag], str]:
        def tell(tag: OptionTag) -> str:
            if tag is view.baseline:
                return NONE
            return outcome(view, find(level_words.drawn(view, tag).range.net_benefit))

        return tell

    rows = [
        _row(view, average, gap(lambda spread: spread.mean)),
        _row(view, worse, gap(lambda spread: spread.p10)),
        _row(view, better, gap(lambda spread: spread.p90)),
        _row(view, _("Paid back within, years"), lambda tag: _payback(view, tag)),
    ]
    if view.club:
        within = plural(view.case.scenario.floor_years, "year", "years")
        label = _("Reserve under its floor in {years}, of 20", years=within)
        rows.append(_row(view, label, lambda tag: _below(level_words.drawn(view, tag))))
    return rows


def _payback(view: View, tag: OptionTag) -> str:
    """Write within how many years it is paid back: no finer than that is it sure."""
    if tag is view.baseline:
        return NONE
    months = view.option(tag.id).likely.payback_months
    if months is None:
        return _("never")
    return str(max(math.ceil(months / MONTHS), 1))


def _below(found: OptionUncertainty) -> str:
    """Write in how many of 20 futures the reserve falls under its floor."""
    share = found.chance_below_floor
    if share is None:
        return NONE
    count = level_words.twentieths(share)
    if share > 0.0 and count == 0:
        return _("fewer than 1")
    if share < 1.0 and count == level_words.FUTURES:
        return _("nearly all")
    return str(count)


def _airplane(view: View) -> list[FigureRow]:
    asked = _("Of what members asked for, %") if view.club else _("Of what was asked for, %")
    return [
        _row(view, _("Weeks away, likely"), lambda tag: _away(view, tag)),
        _row(view, asked, lambda tag: _share(view, tag)),
        _row(
            view,
            _("Single failures that end IFR flight"),
            lambda tag: _failures(view, tag),
        ),
        _row(
            view,
            _("Useful load against today's, {unit}", unit=UNITS[view.formats.units]["weight"]),
            lambda tag: _load(view, tag),
        ),
    ]


def _away(view: View, tag: OptionTag) -> str:
    if not any(option.schedule for option in view.case.options.values()):
        return NONE
    schedule = view.case.options[tag.id].schedule
    return about(schedule.weeks_down.likely if schedule else 0)


def _share(view: View, tag: OptionTag) -> str:
    found = view.figures.airplane.capability
    share = found.share.get(tag.id) if found else None
    return NONE if share is None else number(to_step(share * HUNDRED, 1.0))


def _failures(view: View, tag: OptionTag) -> str:
    """Count the units that take something listed for instrument flight by failing alone."""
    found = view.figures.airplane.failures.get(tag.id)
    if found is None or not found.failures:
        return NONE
    count = count_ending(found, RULE)
    return _("not equipped") if count is None else str(count)


def _load(view: View, tag: OptionTag) -> str:
    """Write the change in useful load in whole units, rounded down."""
    found = view.figures.airplane.weight.get(tag.id)
    if found is None or found.useful_load_change is None:
        return NONE
    return signed(number(floored(found.useful_load_change, 0)))


def warnings(view: View) -> dict[str, str]:
    """Return what stands beside an option's name: a start that is refused, prices that lapsed."""
    found = {
        tag.id: "; ".join(each for each in (_start(view, tag), lapsed_note(view, tag)) if each)
        for tag in view.tags.values()
    }
    return {option_id: text for option_id, text in found.items() if text}


def _start(view: View, tag: OptionTag) -> str:
    later = level_words.allowed(view, tag)
    if later:
        day = near_day(date.fromisoformat(later.start), view.case.scenario.as_of)
        return _("from {day}", day=day)
    return _("cannot start as planned") if level_words.refused(view, tag) else ""


def refused_note(view: View) -> str:
    """Say which figures of options that cannot start as planned are still of that plan."""
    tags = [tag for tag in view.tags.values() if level_words.allowed(view, tag)]
    if not tags:
        return ""
    if not view.club:
        return _(
            "{options} cannot start as planned: costs, payback and sliders are of that plan.",
            options=names(tags),
        )
    return _(
        "{options} cannot start as planned: up front, hour, payback and sliders are of that plan.",
        options=names(tags),
    )


def standing(view: View) -> str:
    """Say which option leads as planned, or which are too close to call, by the engine's rule."""
    if not view.others:
        return ""
    best = level_words.bring_most(view)
    if len(best) == 1:
        return _("As planned, {option} ends ahead of the others.", option=best[0].short)
    return _("As planned, {options} are too close to call.", options=names(best))


def most_form(count: int) -> str:
    """Return the form that goes with how many options bring most, for the page's script."""
    return ngettext(
        "With {moved}: {options} likely brings most.",
        "With {moved}: {options} likely bring most, and the same.",
        count,
    )
