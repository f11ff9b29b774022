"""Comparison of names, and short names of options."""

import re
from collections import Counter
from collections.abc import Mapping
from unicodedata import normalize

SHORT_WORDS, SHORT_LETTERS = 2, 16  # so that names fit into charts on a phone
GAPS = re.compile(r"[\s_-]+")


def folded(name: str) -> str:
    """Return a form of a name that ignores capitals, extra spaces and Unicode form.

    It is the canonical caseless matching of The Unicode Standard, section 3.13, D145. Runs of
    spaces are joined besides.

    >>> folded(" Front  Seats") == folded("front seats")
    True
    """
    plain = normalize("NFD", normalize("NFD", name).casefold())
    return normalize("NFC", " ".join(plain.split()))


def heading_key(name: str) -> str:
    """Return the key of a column heading: dashes, spaces and "_" are the same there.

    >>> heading_key("Tax-Included") == heading_key("tax included")
    True
    """
    return GAPS.sub("_", folded(name))


def is_short(name: str) -> bool:
    """Return whether a name has at most two words and 16 letters."""
    return len(name) <= SHORT_LETTERS and len(name.split()) <= SHORT_WORDS


def short_names(options: Mapping[str, tuple[str, str]]) -> dict[str, str]:
    """Return a short name for each option, by id, from its short name and its title.

    Without a written short name it is the start of the title. Options with equal names get
    their ids.

    >>> short_names({"part": ("", "Refit part of it"), "full": ("Refit all", "Refit all of it")})
    {'part': 'Refit part', 'full': 'Refit all'}
    """
    names = {key: short or _start_of(title) or key for key, (short, title) in options.items()}
    counts = Counter(folded(name) for name in names.values())
    return {key: name if counts[folded(name)] == 1 else key for key, name in names.items()}


def _start_of(title: str) -> str:
    """Return the first words of a title; "" if the first one is too long.

    A second word of three letters or fewer is left out: it is often an article.

    >>> _start_of("Keep the old panel going"), _start_of("Rebuild"), _start_of("Sell, then buy")
    ('Keep', 'Rebuild', 'Sell then')
    """
    words = [word.strip(".,;:!?()") for word in title.split()][:SHORT_WORDS]
    if len(words) == SHORT_WORDS and len(words[1]) <= SHORT_LETTERS // 5:
        words = words[:1]
    start = " ".join(words)
    return start if is_short(start) else words[0] if is_short(words[0]) else ""
