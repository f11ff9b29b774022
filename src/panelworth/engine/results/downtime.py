"""Frozen figures of the time away: what the plan loses, and the starts of the next months."""

from dataclasses import dataclass
from typing import Literal

from panelworth.engine.results.start import Refusal


@dataclass(frozen=True, kw_only=True)
class DowntimeFigures:
    """The `downtime` part of figures.json: what the planned schedule loses at likely values."""

    start: str
    finish: str
    finish_p80: str
    lost_hours: float
    lost_contribution: float
    lost_worth: float


@dataclass(frozen=True, kw_only=True)
class StartWeek:
    """One possible start, with the likely weeks down.

    `lost_worth_low` and `lost_worth_high` are the lower and the higher lost worth of weeks_down at
    its low and its high. `chance_fleet` is the chance that the downtime, with any overrun, reaches
    a day on which too many aircraft are down; `chance_blackout` that it reaches a blackout;
    `chance_conflict` that it reaches either. `chance_late` is the chance that the equipment arrives
    after the start. `room_weeks` is the time from the likely finish to the first such day, None
    without one. `slip_costs` is the additional lost worth if the finish is 1, 2, … 8 weeks later.
    """

    start: str
    finish: str
    lost_hours: float
    lost_contribution: float
    lost_worth: float
    lost_worth_low: float
    lost_worth_high: float
    refusals: tuple[Refusal, ...]
    chance_fleet: float
    chance_blackout: float
    chance_conflict: float
    chance_late: float
    room_weeks: float | None
    slip_costs: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Planner:
    """Every Monday as a possible start, the planned start, and the order of preference.

    `best_by_cost` and `best_by_risk` are indices into `weeks`, best first, without refused starts.
    `planned_extra_worth` and `planned_extra_hours` are what the planned start loses in addition to
    the best start by cost; None where every start is refused. `others_more` is the share by which
    the other aircraft fly more during the planned downtime; None where their hours are not known.
    """

    weeks: tuple[StartWeek, ...]
    planned: StartWeek
    ranked_by: Literal["lost_worth", "lost_hours"]
    best_by_cost: tuple[int, ...]
    best_by_risk: tuple[int, ...]
    planned_extra_worth: float | None
    planned_extra_hours: float | None
    others_more: float | None
