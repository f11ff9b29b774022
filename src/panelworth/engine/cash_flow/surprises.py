"""What may turn up once the panel is open: whether it happens, what it costs, how long it takes.

Likely view: an allowance of chance·cost, and no weeks. In a drawn trial it happens or not, then
with its whole cost and its weeks. Once the ledger has a row on it, it has happened in every trial,
and its weeks count in the likely view as well. The project's method, section 8.
"""

import numpy as np

from panelworth.engine.cash_flow.calendar import MoreWeeks
from panelworth.engine.trials import Array, Trials
from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger import LedgerStatus
from panelworth.model.ledger_targets import surprise_target
from panelworth.model.option import Option
from panelworth.model.surprise import Surprise, has_happened


def event_path(option_id: str, surprise: Surprise) -> str:
    """Return the path of the event in drawn trials: 1 where it happens, 0 elsewhere."""
    return surprise_target(option_prefix(option_id), surprise).path


def share_of_cost(
    trials: Trials, option_id: str, surprise: Surprise, status: LedgerStatus | None
) -> Array:
    """Return the share of its cost that counts, shape (T or 1,).

    1 or 0 in drawn trials and where the ledger settles it; the chance in the likely view.
    """
    happened = has_happened(status)
    if happened is not None:
        return np.full(1, float(happened))
    event = trials.values.get(event_path(option_id, surprise))
    return trials.of(surprise.chance) if event is None else event


def weeks_of(case: Case, option_id: str, option: Option, trials: Trials) -> MoreWeeks:
    """Return the weeks that surprises add to the weeks down.

    At likely values only those of what has already happened.
    """
    drawn, likely = np.zeros(1), 0.0
    for surprise in option.surprises:
        path = event_path(option_id, surprise)
        happened = has_happened(case.ledger_statuses.get(path))
        if happened:
            drawn = drawn + trials.of(surprise.weeks)
            likely += surprise.weeks.likely
        elif happened is None and path in trials.values:
            drawn = drawn + trials.values[path] * trials.of(surprise.weeks)
    return MoreWeeks(drawn=drawn, likely=likely)
