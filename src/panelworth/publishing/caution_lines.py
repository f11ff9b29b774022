"""What every page that could mislead must say: the usual cautions, and who decides instead."""

from panelworth.publishing.view import View

MONEY = (
    "Planning figures, not advice: ask your accountant, insurer and lender first.",
    "Every figure follows from the inputs on the inputs page. Where those are guesses, so is it.",
)
LIKELY = (
    "Likely values are the most probable ones, and costs lean upward: the likely view flatters "
    "a project. Look at the ranges too."
)
TAX = (
    "Whether a club is exempt from tax, and how dues or a member's payments are taxed, is for the "
    "club's tax adviser."
)
RULES = (
    "Charging members or others for flights can change which operating and inspection rules apply; "
    "ask before rates change."
)
RESERVES = (
    "Money set aside for the engine is counted as spent when it is set aside; the overhaul paid "
    "from it is not counted again."
)
MAINTENANCE = (
    "The maker's data takes precedence over anything here, and local regulation over both.",
    "Only properly licensed persons may do, inspect or approve the work.",
    "Whether a change is major or minor is their call; nothing here is an approval.",
)
AIRPLANE = (
    "Weight, balance and electrical figures are for comparison only.",
    "The official record is the one the mechanic enters and signs.",
    "Inspection intervals follow US rules (14 CFR parts 43 and 91); other states differ.",
    "Check the current text of the rules and airworthiness directives.",
)
FOOT = (
    "Planning figures, not advice: your accountant, insurer and lender decide about money; the "
    "maker's data, local regulation and licensed mechanics about the airplane."
)


def money_cautions(view: View) -> list[str]:
    """Return the cautions of pages that show money."""
    lines = [*MONEY, LIKELY]
    return [*lines, TAX, RULES] if view.club else lines


def all_cautions(view: View) -> list[tuple[str, list[str]]]:
    """Return every caution under its heading, for the page of cautions."""
    return [
        ("Money", [*money_cautions(view), RESERVES]),
        ("Work on the airplane", list(MAINTENANCE)),
        ("Weight, power, inspections", list(AIRPLANE)),
    ]
