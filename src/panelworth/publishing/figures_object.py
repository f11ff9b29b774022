"""The object of figures.json: every figure under the key that the project's method defines."""

from dataclasses import asdict
from typing import Any

from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.engine.results.squawks import SquawkFigures
from panelworth.engine.results.trials import OptionUncertainty, ReserveTrials

SCHEMA = "panelworth-figures/2"


def figures_object(figures: Figures) -> dict[str, Any]:
    """Return the object that figures.json holds: money unrounded, absent parts null."""
    options = {
        option_id: {
            **asdict(option),
            **_of_trials(figures.uncertainty.options[option_id]),
        }
        for option_id, option in figures.options.items()
    }
    return {
        "schema": SCHEMA,
        "scenario": figures.scenario,
        "as_of": figures.as_of,
        "currency": figures.currency,
        "baseline": figures.baseline,
        "years": figures.years,
        "options": options,
        "squawks": _squawks(figures.squawks) if figures.squawks else None,
        "project": asdict(figures.project.status) if figures.project else None,
    }


def _squawks(log: SquawkFigures) -> dict[str, Any]:
    """Return the log of failures; a unit's rate has its likely value and its two ends."""
    figures = {key: getattr(log, key) for key in SquawkFigures.__dataclass_fields__}
    figures["units"] = {
        name: {
            "count": unit.count,
            "per_year": {key: getattr(unit.per_year, key) for key in ("low", "likely", "high")},
        }
        for name, unit in log.units.items()
    }
    return figures


def _of_trials(trials: OptionUncertainty) -> dict[str, Any]:
    # An owner has the keys too, with null: readers of the file need no case of their own.
    reserve = dict.fromkeys(ReserveTrials.__dataclass_fields__)
    return {
        "range": asdict(trials.range),
        "budget_p80": trials.budget_p80,
        "chance_beats_baseline": trials.chance_beats_baseline,
        "chance_best": trials.chance_best,
        "regret": trials.regret,
        "outcomes": trials.outcomes,
        "ahead_of": dict(trials.ahead_of),
        **(asdict(trials.reserve) if trials.reserve else reserve),
    }
