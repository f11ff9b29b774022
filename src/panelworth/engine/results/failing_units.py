"""A unit that fails, as an option has it."""

from dataclasses import dataclass

from panelworth.model.value import Quantity


@dataclass(frozen=True, kw_only=True)
class FailingUnit:
    """A unit that fails, and the phases in whose finish it comes in and goes out.

    `installed_in` is None for a unit that is there today, `removed_in` for one that stays to the
    end. With `leaves_at_start` it counts up to the month of that phase's start: it goes with the
    airplane that is sold. `count_path` is the path of its uniform numbers in drawn trials: the same
    in every option that has the unit.
    """

    per_year: Quantity
    growth: Quantity
    cost: Quantity | None
    days: Quantity | None
    count_path: str
    installed_in: int | None = None
    removed_in: int | None = None
    leaves_at_start: bool = False
