"""Texts that a page's script completes: all forms of a counted text, for the script to choose."""

from collections.abc import Callable

from babel import Locale

from panelworth.publishing.language import spoken

SAMPLES = range(100, -1, -1)  # whole numbers up to 100 have every form a language has


def forms(write: Callable[[int], str]) -> dict[str, str]:
    """Return a counted text's forms by the plural categories of CLDR, of the language spoken.

    >>> forms(lambda count: "month" if count == 1 else "months")
    {'other': 'months', 'one': 'month'}
    """
    category = Locale.parse(spoken().locale).plural_form
    return {category(count): write(count) for count in SAMPLES}
