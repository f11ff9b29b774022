"""The terminal for tables and progress. Names from a user's files are shown unchanged."""

from rich.console import Console


def terminal(*, stderr: bool = False, width: int | None = None) -> Console:
    """Return a console that does not read brackets or colons in a text as markup.

    `width` is that of the terminal if left out.
    """
    return Console(stderr=stderr, width=width, markup=False, emoji=False, highlight=False)
