"""Words that formulas result in or compare with: said once, so that all formulas agree on them.

A catalogue must keep those of one list apart from each other: "project" from "purchase", "order"
from "start".
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
MARKS = str.maketrans(dict.fromkeys('",*?~<>='))


def word(text: str) -> str:
    """Say a word without the marks that mean something in a formula, a condition or a list."""
    return say(text).translate(MARKS)


def yes_or_no(*, yes: bool) -> str:
    """Say yes or no."""
    return word(YES if yes else NO)
