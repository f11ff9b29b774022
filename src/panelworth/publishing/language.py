"""The language and conventions a page is written in: numbers, money and days follow its locale."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Language:
    """A locale of Unicode's CLDR, such as en_IE."""

    locale: str = "en_US"

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
