"""The terminal for tables and progress. Names from a user's files are shown unchanged."""

from rich.console import Console


def terminal(*, stderr: bool = False) -> Console:
    """Return a console that does not read brackets or colons in a text as markup."""
    return Console(stderr=stderr, markup=False, emoji=False)
