"""The paths of random streams that belong to no input: counts of failures and of repairs."""

from panelworth.model.equipment import Unit


def failure_count_path(units: str, unit: Unit) -> str:
    """Return the path of a unit's uniform numbers, one a year; `units` is that of its list."""
    return f"{units}[{unit.name}].fails.count"


def repair_events_path(prefix: str) -> str:
    """Return the path of the uniform numbers of repairs, one a month.

    `prefix` is "" for today's repairs, and that of an option for those of its [after].
    """
    return f"{prefix}after.repairs.events" if prefix else "aircraft.repairs.events"
