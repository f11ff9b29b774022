"""The marks of options: each number has a shape, so that options do not differ by colour alone.

WCAG 2.2, 1.4.1: colour is not the only visual means. The marks are paths and not characters, which
some phones show as emoji. The shapes are those of the charts, in the same order.
"""

from collections.abc import Iterable

# Paths that begin at the centre of the mark, in a square of 12.
SHAPES = (
    "m-5.2 0a5.2 5.2 0 1 0 10.4 0a5.2 5.2 0 1 0-10.4 0z",
    "m-4.9-4.9h9.8v9.8h-9.8z",
    "m0-5.6l5.8 10.4h-11.6z",
    "m0-6l5.8 6l-5.8 6l-5.8-6z",
    "m0 5.6l5.8-10.4h-11.6z",
    "m-1.9-5.4h3.8v3.5h3.5v3.8h-3.5v3.5h-3.8v-3.5h-3.5v-3.8h3.5z",
    "m5.6 0l-10.4 5.8v-11.6z",
    "m-5.6 0l10.4-5.8v11.6z",
)


def shape(number: int) -> str:
    """Return the shape of an option by its number, from 1."""
    return SHAPES[(number - 1) % len(SHAPES)]


def marks(number: int, places: Iterable[tuple[float, float]]) -> str:
    """Return one path with a mark at each place."""
    outline = shape(number)
    return "".join(f"M{_coordinate(x)} {_coordinate(y)}{outline}" for x, y in places)


def _coordinate(value: float) -> str:
    return f"{round(value, 1):g}"
