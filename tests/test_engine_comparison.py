"""Paybacks are looked for from the option's last project flow on, money received too."""

from pathlib import Path

import pytest

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.returns.comparison import last_project_month
from panelworth.engine.trials import likely_trial
from small_cases import case_in, refit

SCHEDULE = "[schedule]\norder = 2026-02-01\nstart = 2026-04-01\nweeks_down = 6"
CREDIT = '[[credits]]\nname = "Old radios"\namount = 500\nwhen = "{when}"'


@pytest.mark.parametrize(("when", "month"), [("order", 1), ("start", 3), ("finish", 4)])
def test_the_last_project_flow_may_be_money_that_comes_in(
    tmp_path: Path, when: str, month: int
) -> None:
    """Month 0 is January: the order is in February, the start in April, the finish in May."""
    option = refit('cost = 2000\nwhen = "order"', rest=f"{CREDIT.format(when=when)}\n{SCHEDULE}")
    case = case_in(tmp_path, {"refit": option})
    assert last_project_month(flows_of(case, "refit", likely_trial(case))) == month
