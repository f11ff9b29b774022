"""Words that formulas return or compare with; all are translated here, so that formulas agree.

Formulas add up rows by such words. Therefore the translations of one list must differ from one
another: "project" from "purchase". If two of a list are equal, the whole list stays English.
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
# Marks that have a meaning in a formula, in a condition of SUMIFS or in a list of choices.
MARKS = str.maketrans(dict.fromkeys('",*?~<>='))


def word(text: str) -> str:
    """Translate a word, without the marks that have a meaning in a formula."""
    own_list = next((words for words in LISTS if text in words), (text,))
    translated = {_translated(each).casefold() for each in own_list}  # spreadsheets ignore case
    distinct = len(translated) == len(own_list) and "" not in translated
    return _translated(text) if distinct else text


def _translated(text: str) -> str:
    return _(text).translate(MARKS).strip()


def yes_or_no(*, yes: bool) -> str:
    """Return the word for yes or no."""
    return word(YES if yes else NO)
