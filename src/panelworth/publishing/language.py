"""The language and the conventions of a page.

Texts are in English in the code, marked by `_`, `N_`, `ngettext` or `plural`. A catalogue has their
translations. Numbers, money and days follow the locale.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from gettext import NullTranslations

ENGLISH = "en"


@dataclass(frozen=True, kw_only=True)
class Language:
    """A locale of Unicode's CLDR, such as en_IE, and its translations."""

    locale: str = "en_US"
    texts: NullTranslations = field(default_factory=NullTranslations, compare=False)

    @property
    def tag(self) -> str:
        """The language tag for HTML (BCP 47): "en-IE"."""
        return self.locale.replace("_", "-")


_current: ContextVar[Language] = ContextVar("current_language", default=Language())  # noqa: B039 (frozen)


def current_language() -> Language:
    """Return the current language."""
    return _current.get()


@contextmanager
def using_language(language: Language) -> Iterator[None]:
    """Make a language the current one within a `with` block."""
    before = _current.set(language)
    try:
        yield
    finally:
        _current.reset(before)


def _(text: str, /, **values: object) -> str:
    """Return a text in the current language, with values in its braces.

    >>> _("{count} of {whole} are done", count=2, whole=9)
    '2 of 9 are done'
    """
    translation = current_language().texts.gettext(text) if text else ""
    return translation.format(**values) if values else translation


def ngettext(one: str, many: str, count: int) -> str:
    """Return the plural form of a text for a count, in the current language.

    >>> ngettext("month", "months", 3)
    'months'
    """
    return current_language().texts.ngettext(one, many, count)


def after_colon(text: str) -> str:
    """Return a text that follows a colon: in English its first letter becomes lower case.

    Other languages have their own rules, such as capital nouns in German, and stay unchanged.

    >>> after_colon("Hull rate")
    'hull rate'
    """
    english = current_language().locale.partition("_")[0] == ENGLISH
    return text[:1].lower() + text[1:] if english else text


def N_(text: str, /) -> str:  # noqa: N802 (the name that gettext gives it)
    """Mark a text for translation where it is a constant; `_` translates it later."""
    return text
