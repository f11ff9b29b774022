"""The JSON files: figures.json in the form that the project's method defines, and edition.json."""

import json
from collections.abc import Mapping
from dataclasses import asdict, is_dataclass

from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.model.edition import SCHEMA as EDITION
from panelworth.model.edition import inputs_object, with_trials
from panelworth.publishing.figures_object import figures_object
from panelworth.publishing.view import View


def figures_json(figures: Figures) -> str:
    """Write figures.json with indents; the same figures give the same bytes."""
    return json.dumps(figures_object(figures), indent=2, ensure_ascii=False, default=_plain) + "\n"


def edition_json(view: View) -> str:
    """Write edition.json: the figures and all their inputs, which the next build compares with.

    The number of trials is the one that was drawn, which can differ from the file's.
    """
    case = with_trials(view.case.written, view.figures.uncertainty.trials)
    edition = {
        "schema": EDITION,
        "figures": figures_object(view.figures),
        "inputs": inputs_object(case),
    }
    return json.dumps(edition, indent=1, ensure_ascii=False, default=_plain) + "\n"


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    if isinstance(value, Mapping):
        return dict(value)
    raise TypeError(f"no way to write {type(value)}")
