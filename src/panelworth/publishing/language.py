"""The language and conventions a page is written in.

Texts stand in the code in English, marked by `_`, `N_`, `ngettext` or `plural`. A catalogue has
them in another language. Numbers, money and days follow the locale.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from gettext import NullTranslations

ENGLISH = "en"


@dataclass(frozen=True, kw_only=True)
class Language:
    """A locale of Unicode's CLDR, such as en_IE, and the texts by their English ones."""

    locale: str = "en_US"
    texts: NullTranslations = field(default_factory=NullTranslations, compare=False)

    @property
    def tag(self) -> str:
        """The language as HTML names it: "en-IE"."""
        return self.locale.replace("_", "-")


_spoken: ContextVar[Language] = ContextVar("spoken", default=Language())  # noqa: B039 (frozen)


def spoken() -> Language:
    """Return the language that is spoken here and now."""
    return _spoken.get()


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Speak a language within a block."""
    before = _spoken.set(language)
    try:
        yield
    finally:
        _spoken.reset(before)


def _(text: str, /, **values: object) -> str:
    """Return a text in the language spoken, with values in its braces.

    >>> _("{count} of {whole} are done", count=2, whole=9)
    '2 of 9 are done'
    """
    translation = spoken().texts.gettext(text) if text else ""
    return translation.format(**values) if values else translation


def ngettext(one: str, many: str, count: int) -> str:
    """Return the form of a text that goes with a count in the language spoken.

    >>> ngettext("month", "months", 3)
    'months'
    """
    return spoken().texts.ngettext(one, many, count)


def after_colon(text: str) -> str:
    """Write a text that follows a colon: small in English; other languages have their own rules.

    >>> after_colon("Hull rate")
    'hull rate'
    """
    english = spoken().locale.partition("_")[0] == ENGLISH
    return text[:1].lower() + text[1:] if english else text


def N_(text: str, /) -> str:  # noqa: N802 (the name that gettext gives it)
    """Mark a text that is said later: a constant, made before any language is spoken."""
    return text
