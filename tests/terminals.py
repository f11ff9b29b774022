"""Programs started as a terminal starts them, wherever the tests themselves run."""

import signal


def as_in_a_terminal() -> None:
    """Let Ctrl-C reach a program: what runs in the background has it switched off."""
    signal.signal(signal.SIGINT, signal.default_int_handler)
