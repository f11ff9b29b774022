"""The month of the lowest balance is the first, whatever floating point adds or takes."""

from pathlib import Path

import numpy as np
import pytest

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.funding import funding_plan
from panelworth.engine.trials import likely_trial
from small_cases import CLUB, case_in, refit


def test_of_months_that_are_equally_low_the_first_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """0.1 + 0.2 is 0.3 and a little more: the later month is no lower."""
    case = case_in(tmp_path, {"refit": refit("cost = 5")}, rest=CLUB)
    flows = flows_of(case, "refit", likely_trial(case))
    balance = np.array([[9.0, 0.1 + 0.2, 0.3, 9.0]])
    assert balance[0, 1] > balance[0, 2]
    monkeypatch.setattr(funding_plan, "balances", lambda *_: balance)
    figures, _ = funding_plan.funded_figures(case, flows, None)
    assert figures is not None
    assert figures.lowest_balance_month == 1
