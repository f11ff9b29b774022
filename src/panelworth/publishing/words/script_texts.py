"""Plural forms of the texts that a page's script fills in."""

from collections.abc import Callable

from babel import Locale

from panelworth.publishing.language import current_language

SAMPLES = range(100, -1, -1)  # whole numbers up to 100 cover all plural forms of a language


def forms(write: Callable[[int], str]) -> dict[str, str]:
    """Return the forms of a counted text by the plural categories of CLDR.

    >>> forms(lambda count: "month" if count == 1 else "months")
    {'other': 'months', 'one': 'month'}
    """
    category = Locale.parse(current_language().locale).plural_form
    return {category(count): write(count) for count in SAMPLES}
