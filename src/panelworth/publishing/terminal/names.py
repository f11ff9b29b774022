"""The terminal, for tables and progress: names out of a user's files are shown as they are."""

from rich.console import Console


def terminal(*, stderr: bool = False) -> Console:
    """Return a console that takes no brackets and no colons of a text for commands of its own."""
    return Console(stderr=stderr, markup=False, emoji=False)
