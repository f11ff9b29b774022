"""The `airframe` part of figures.json: an option's weight and electrical load."""

from panelworth.engine.airplane.electrical import electrical_of
from panelworth.engine.airplane.weight import weight_of
from panelworth.engine.results.airplane import (
    AirframeFigures,
)
from panelworth.model.case import Case


def airframe_figures(case: Case, option_id: str) -> AirframeFigures | None:
    """Return the `airframe` part of an option; None where no airplane is described.

    The continuous load is that of the worst phase of flight at likely amps; load_share is its share
    of the alternator's rating, to compare with the 0.8 of AC 43.13-1B par 11-35a.
    """
    weight, electrical = weight_of(case, option_id), electrical_of(case, option_id)
    if electrical is None:
        return None
    return AirframeFigures(
        empty_weight_change=weight.empty_weight_change if weight else None,
        empty_cg=weight.empty_cg if weight else None,
        useful_load_change=weight.useful_load_change if weight else None,
        continuous_load=electrical.continuous_load,
        load_share=electrical.load_share,
    )
