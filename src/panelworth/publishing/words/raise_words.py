"""The raises that members are asked for, in words: how much, and for how long.

A solved raise is rounded up to whole units of money for readers; a raise that an option file states
is written as in the file.
"""

from panelworth.engine.results.figures import (
    Funded,
)
from panelworth.engine.results.leading import LeadingFigures
from panelworth.model.case import Case
from panelworth.publishing.formats import Formats, month_after_years, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.words.rounding import up_to_whole

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


def up(formats: Formats, amount: float) -> str:
    """Write a raise rounded up to whole units of money, without errors below a cent."""
    return formats.money(up_to_whole(amount))


def solved_kind(case: Case, option_id: str) -> str:
    """Return the kind of raise that is solved for an option; "" if none is."""
    return case.options[option_id].funding.solve or "" if case.scenario.club else ""


def solved_amount(case: Case, leading: LeadingFigures) -> float | None:
    """Return the solved raise; None if there is none, or none holds the floor."""
    return amounts(leading.funded).get(solved_kind(case, leading.option))


def amounts(funded: Funded | None) -> dict[str, float | None]:
    """Return the raises of an option by their kind; None if no amount is enough."""
    return {kind: getattr(funded, key) for kind, key in KEYS.items()} if funded else {}


def raises(case: Case, formats: Formats, leading: LeadingFigures) -> list[str]:
    """List the raises with how long they run; solved ones in whole units."""
    terms, scenario = case.options[leading.option].funding, case.scenario
    texts = []
    for kind, amount in amounts(leading.funded).items():
        if not amount:
            continue
        text = _(KINDS[kind], sum=written(formats, amount, solved=kind == terms.solve))
        if kind != "assessment":
            years = terms.years_of(kind, scenario)
            text = _(
                "{more} for {years} (through {month})",
                more=text,
                years=plural(years, "year", "years"),
                month=month_after_years(scenario.as_of, years),
            )
        texts.append(text)
    return texts


def written(formats: Formats, amount: float, *, solved: bool) -> str:
    """Write a raise: in whole units if it was solved, else as in the option file."""
    return up(formats, amount) if solved else formats.measure(amount, "money")


def raise_ends(case: Case, leading: LeadingFigures) -> dict[str, int]:
    """Return after how many years each raise of dues or of the rate ends, by its kind.

    One that runs to the horizon does not end within the years counted, and is left out.
    """
    terms, scenario = case.options[leading.option].funding, case.scenario
    ends = {
        kind: terms.years_of(kind, scenario)
        for kind, amount in amounts(leading.funded).items()
        if amount and kind in ENDS
    }
    return {kind: end for kind, end in ends.items() if end < scenario.years}


def raises_end(case: Case, leading: LeadingFigures) -> list[str]:
    """Return a sentence on the end of each raise that ends before the horizon."""
    return [
        _(ENDS[kind], month=month_after_years(case.scenario.as_of, years))
        for kind, years in raise_ends(case, leading).items()
    ]
