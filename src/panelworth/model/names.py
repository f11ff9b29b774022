"""When two names are the same one: capitals, spaces and Unicode forms make no difference."""

import re
from unicodedata import normalize

GAPS = re.compile(r"[\s_-]+")


def folded(name: str) -> str:
    """Return what two names share that differ only in capitals, spaces or Unicode form.

    Canonical caseless matching: The Unicode Standard, section 3.13, D145; spaces besides.

    >>> folded(" Front  Seats") == folded("front seats")
    True
    """
    plain = normalize("NFD", normalize("NFD", name).casefold())
    return normalize("NFC", " ".join(plain.split()))


def as_heading(name: str) -> str:
    """Return a name as the heading of a column is told: dashes and "_" are spaces there.

    >>> as_heading("Tax-Included") == as_heading("tax included")
    True
    """
    return GAPS.sub("_", folded(name))
