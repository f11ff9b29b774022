"""Names in formulas: sheets' titles, and cells' names made from the paths of inputs.

They are English in every language, as keys of files are: formulas refer to them.
"""

import re
import unicodedata

LONGEST = 240  # of 255 characters; room for what tells two apart
TITLES = {
    "readme": "Read me", "compare": "Compare", "charts": "Charts", "inputs": "Inputs",
    "project": "Project", "steps": "Steps", "months": "Months", "loans": "Loans", "rates": "Rates",
}  # fmt: skip
NO_LETTER = re.compile(r"[^A-Za-z0-9_.]")


def name_of(path: str) -> str:
    """Make a spreadsheet's name from a path: brackets become dots, what is no letter a low line.

    >>> name_of("options.full.items[Left display].cost")
    'options.full.items.Left_display.cost'
    """
    letters = unicodedata.normalize("NFKD", path)
    plain = "".join(each for each in letters if not unicodedata.combining(each))
    return NO_LETTER.sub("_", plain.replace("[", ".").replace("]", ""))[:LONGEST]


def told_apart(name: str, taken: set[str]) -> str:
    """Return the name, numbered where it is taken already; spreadsheets ignore its case.

    >>> told_apart("fixed.hangar", {"fixed.hangar"})
    'fixed.hangar_2'
    """
    number, found = 1, name
    while found.lower() in taken:
        number += 1
        found = f"{name}_{number}"
    return found
