"""The raises that members are asked for, in words: how much, and for how long.

A raise that was worked out is rounded up to whole units of money where a person reads it; one that
an option's file states is told as it stands there.
"""

import math
from collections.abc import Mapping

from panelworth.engine.results.figures import Funded
from panelworth.model.scenario import MONTHS
from panelworth.publishing.formats import month, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words

KEYS = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}
KINDS = {
    "dues": N_("{sum} a month more in dues"),
    "hourly_rate": N_("{sum} an hour more"),
    "assessment": N_("{sum} each, once"),
}
ENDS = {
    "dues": N_("The raise in dues runs through {month}."),
    "hourly_rate": N_("The raise an hour runs through {month}."),
}


def up(view: View, amount: float) -> str:
    """Write a raise rounded up to whole units of money; a cent's residue is cleared first."""
    return view.formats.money(math.ceil(round(amount, 2)))


def solved_kind(view: View, tag: OptionTag) -> str:
    """Return which raise of an option is worked out; "" where none is."""
    return view.case.options[tag.id].funding.solve or "" if view.club else ""


def solved_amount(view: View, tag: OptionTag) -> float | None:
    """Return the raise that was worked out; None where none is, or none holds the floor."""
    return amounts(view, tag).get(solved_kind(view, tag))


def amounts(view: View, tag: OptionTag) -> dict[str, float | None]:
    """Return the raises of an option by their kind; None where one can fund nothing."""
    return _amounts(level_words.funded(view, tag))


def _amounts(funded: Funded | None) -> dict[str, float | None]:
    return {kind: getattr(funded, key) for kind, key in KEYS.items()} if funded else {}


def raises(view: View, tag: OptionTag) -> list[str]:
    """List all that members are asked for, each for how long; solved ones in whole units."""
    return _listed(view, tag, amounts(view, tag))


def _listed(view: View, tag: OptionTag, found: Mapping[str, float | None]) -> list[str]:
    terms, scenario, said = view.case.options[tag.id].funding, view.case.scenario, []
    for kind, amount in found.items():
        if not amount:
            continue
        solved = kind == terms.solve
        sum_ = up(view, amount) if solved else view.formats.measure(amount, "money")
        told = _(KINDS[kind], sum=sum_)
        if kind != "assessment":
            years = terms.years_of(kind, scenario)
            told = _(
                "{more} for {years} (through {month})",
                more=told,
                years=plural(years, "year", "years"),
                month=month(scenario.as_of, MONTHS * years),
            )
        said.append(told)
    return said


def raise_ends(view: View, tag: OptionTag) -> dict[str, int]:
    """Return after how many years each raise of dues or of the rate is over, by its kind.

    One that runs to the horizon does not end within the years counted, and is left out.
    """
    terms, scenario = view.case.options[tag.id].funding, view.case.scenario
    ends = {
        kind: terms.years_of(kind, scenario)
        for kind, amount in amounts(view, tag).items()
        if amount and kind in ENDS
    }
    return {kind: end for kind, end in ends.items() if end < scenario.years}


def raises_end(view: View, tag: OptionTag) -> list[str]:
    """Say when each raise is over; nothing of one that runs to the horizon."""
    return [
        _(ENDS[kind], month=month(view.case.scenario.as_of, MONTHS * years))
        for kind, years in raise_ends(view, tag).items()
    ]
