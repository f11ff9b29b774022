"""The day for which the project page is stated."""

from datetime import date

from panelworth.model.case import Folder
from panelworth.model.ledger_targets import named_options


def status_date(folder: Folder) -> date:
    """Return the status date of a folder with a decision.

    As [decision] states it, else the day of the chosen option's newest row in the ledger, but not
    before the decision.
    """
    decision = folder.scenario.decision
    if decision is None:
        raise ValueError("without a decision there is no status date")
    if decision.status is not None:
        return decision.status
    days = [
        entry.date
        for entry in folder.ledger
        if decision.chosen in named_options(entry.option, folder.options)
    ]
    return max([decision.on, *days])
