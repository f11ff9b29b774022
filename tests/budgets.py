"""How long a page may be: words in `main`, and phone screens of 360 × 740.

They are for four options; each further one adds a row to a picture and 40 words. Cautions, and
what stands folded, are not counted.
"""

BUDGETS: dict[str, tuple[int, float]] = {
    "index.html": (350, 3.0),
    "risk.html": (380, 4.0),
    "dates.html": (260, 3.0),
    "option.html": (350, 3.5),
    "airplane.html": (900, 9.0),
    "bill.html": (200, 2.5),
    "costs.html": (200, 2.5),
    "compare.html": (280, 3.0),
    "ledger.html": (600, 6.0),
    "method.html": (700, 7.0),
    "project.html": (350, 4.0),
    "closing.html": (350, 3.5),
    "handout.html": (700, 6.0),
}
