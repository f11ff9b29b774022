"""The grid of figures from which the sliders of a page interpolate."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Axis:
    """One slider: the inputs that it shifts, all by the same amount, and the grid of shifts."""

    key: str
    paths: tuple[str, ...]
    points: tuple[float, ...]
    likely: float
    step: float


@dataclass(frozen=True, kw_only=True)
class Grid:
    """The engine's figures at every grid point, by option and figure.

    The points are in row-major order: the last axis changes fastest. The figure is `benefit`.
    `error` is the largest difference between interpolation and engine at random points, in money.
    """

    axes: tuple[Axis, ...]
    figures: Mapping[str, Mapping[str, tuple[float, ...]]]
    error: float

    def gains(self, option: str, baseline: str) -> list[float]:
        """Return net_benefit at every grid point."""
        own, base = (self.figures[key]["benefit"] for key in (option, baseline))
        return [a - b for a, b in zip(own, base, strict=True)]
