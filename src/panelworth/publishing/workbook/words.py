"""Words that formulas result in or compare with: said once, so that all formulas agree on them.

Formulas add up by them, so a translation must keep those of one list apart, "project" from
"purchase"; a list that one does not keep apart stays English.
"""

from typing import Literal

from panelworth.publishing.language import noted, say

Kind = Literal["project", "purchase", "credits", "sale"]
KINDS: dict[Kind, str] = {
    "project": noted("project"),
    "purchase": noted("purchase"),
    "credits": noted("credits"),
    "sale": noted("sale"),
}
MOMENTS = (noted("order"), noted("start"), noted("finish"))
FIRST_OUTLAY = noted("first outlay")
YES, NO = noted("yes"), noted("no")
NONE, NEVER, SEVERAL, NO_RAISE = "—", noted("never"), noted("several"), noted("none")
LISTS = (tuple(KINDS.values()), (FIRST_OUTLAY, *MOMENTS), (YES, NO), (NEVER, SEVERAL, NO_RAISE))
MARKS = str.maketrans(dict.fromkeys('",*?~<>='))


def word(text: str) -> str:
    """Say a word without the marks that mean something in a formula, a condition or a list."""
    together = next((each for each in LISTS if text in each), (text,))
    apart = {_plain(each).casefold() for each in together}  # spreadsheets ignore case
    return _plain(text) if len(apart) == len(together) and "" not in apart else text


def _plain(text: str) -> str:
    return say(text).translate(MARKS).strip()


def yes_or_no(*, yes: bool) -> str:
    """Say yes or no."""
    return word(YES if yes else NO)
