"""Cautions: what the figures are not, and who decides.

The lines are marked here and translated where a page shows them (`cautions` in parts.html).
"""

from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)
from panelworth.publishing.formats import plural
from panelworth.publishing.language import N_, _

GUESSES = N_("Every figure follows from the inputs: where those are guesses, so is it.")
MONEY = (
    N_("Planning figures, not advice: ask your accountant, insurer and lender first."),
    GUESSES,
)
LIKELY = N_(
    "The likely view takes every input at its likely value, which is not an average: look at the "
    "ranges too."
)
TAX = N_(
    "Whether a club is exempt from tax, and how dues or a member's payments are taxed, is for the "
    "club's tax adviser."
)
RULES = N_(
    "Charging members or others for flights can change which operating and inspection rules apply; "
    "ask before rates change."
)
RESERVES = N_(
    "Money set aside for the engine is counted as spent when it is set aside; the overhaul paid "
    "from it is not counted again."
)
MAINTENANCE = (
    N_("The maker's data takes precedence over anything here, and local regulation over both."),
    N_("Only properly licensed persons may do, inspect or approve the work."),
    N_("Whether a change is major or minor is their call; nothing here is an approval."),
)
AIRPLANE = (
    N_("Weight, balance and electrical figures are for comparison only."),
    N_("The official record is the one the mechanic enters and signs."),
    N_("Inspection intervals follow US rules (14 CFR parts 43 and 91); other states differ."),
    N_("Check the current text of the rules and airworthiness directives."),
)
DOWNTIME = (
    N_(
        "A shop's word is not a date: the weeks down are a range, and what they lose is an "
        "estimate."
    ),
)
WEIGHED = N_(
    "After the work the airplane is weighed, or calculated from exact data, by who may do that; "
    "the record the mechanic enters and signs rules."
)
WEIGHT = (
    N_("Planning figures, not a weight-and-balance record: weights and arms are as the files say."),
    WEIGHED,
    N_("Load by the airplane's own papers and people's real weights before every flight."),
)
POWER = (
    N_(
        "The 80% rule is a rule of thumb (AC 43.13-1B 11-35a); it does not replace an electrical "
        "load analysis."
    ),
    N_(
        "Battery minutes assume a healthy battery at its stated capacity; age, cold and a high "
        "load reduce them."
    ),
)
FAILURES = (
    N_(
        "Planning figures, not a safety assessment: only what the files say depends on what is "
        "looked at, and two things may share a cause they do not name."
    ),
    N_(
        "What to do when something fails is in the airplane's handbook and your training, not here."
    ),
)
NEEDS = (
    N_("A share of wishes says how much of what was asked for is there, not what it is worth."),
)
NOT_COMPLETE = N_(
    "Which inspections an airplane needs depends on how it is used; this list is not complete."
)
INSPECTIONS = (
    N_(
        "Intervals follow US rules (14 CFR parts 43 and 91); other states differ. Check the "
        "current text, airworthiness directives and the maker's own limits."
    ),
    NOT_COMPLETE,
)
# One fixed line beside the figures of its kind. The method page has the cautions in full.
MONEY_LINE = N_("Planning figures: your accountant, insurer and lender decide.")
AIRPLANE_LINE = N_(
    "Planning figures: the maker's data, local regulation and a licensed mechanic decide."
)
FOOT = N_(
    "Planning figures, not advice: your accountant, insurer and lender decide about money; the "
    "maker's data, local regulation and licensed mechanics about the airplane."
)


def unfinished(*cases: Case) -> str:
    """Warn that values of the template have not been replaced yet; "" if all have."""
    count = sum(len(case.placeholders) for case in cases)
    if not count:
        return ""
    return _(
        "Not to be decided on: {values} of the template stand here that nobody has replaced yet.",
        values=plural(count, "placeholder", "placeholders"),
    )


def money_cautions(club: Club | None) -> list[str]:
    """Return the cautions of pages that show money."""
    lines = [*MONEY, LIKELY]
    return [*lines, TAX, RULES] if club else lines


def all_cautions(club: Club | None) -> list[tuple[str, list[str]]]:
    """Return every caution once, under its heading, for the method page."""
    return [
        (_("Money"), [*money_cautions(club), RESERVES]),
        (_("Work on the airplane"), [*MAINTENANCE, *DOWNTIME]),
        (_("Weight and power"), [AIRPLANE[0], *WEIGHT[1:], *POWER]),
        (_("Failures, inspections, wishes"), [*FAILURES, *INSPECTIONS, *NEEDS]),
    ]
