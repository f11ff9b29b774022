"""Words that formulas result in or compare with: said once, so that all formulas agree on them.

Formulas add up by them, so a translation must keep those of one list apart, "project" from
"purchase"; a list that one does not keep apart stays English.
"""

from typing import Literal

from panelworth.publishing.language import N_, _

Kind = Literal["project", "purchase", "credits", "sale"]
KINDS: dict[Kind, str] = {
    "project": N_("project"),
    "purchase": N_("purchase"),
    "credits": N_("credits"),
    "sale": N_("sale"),
}
MOMENTS = (N_("order"), N_("start"), N_("finish"))
FIRST_OUTLAY = N_("first outlay")
YES, NO = N_("yes"), N_("no")
NONE, NEVER, SEVERAL, NO_RAISE = "—", N_("never"), N_("several"), N_("none")
LISTS = (tuple(KINDS.values()), (FIRST_OUTLAY, *MOMENTS), (YES, NO), (NEVER, SEVERAL, NO_RAISE))
MARKS = str.maketrans(dict.fromkeys('",*?~<>='))


def word(text: str) -> str:
    """Say a word without the marks that mean something in a formula, a condition or a list."""
    together = next((each for each in LISTS if text in each), (text,))
    apart = {_plain(each).casefold() for each in together}  # spreadsheets ignore case
    return _plain(text) if len(apart) == len(together) and "" not in apart else text


def _plain(text: str) -> str:
    return _(text).translate(MARKS).strip()


def yes_or_no(*, yes: bool) -> str:
    """Say yes or no."""
    return word(YES if yes else NO)
