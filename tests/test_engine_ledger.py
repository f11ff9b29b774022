"""The ledger against cases/ledger.toml, worked out by head, and against laws that always hold."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import law
from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import item_price, total
from panelworth.engine.evaluate import evaluate
from panelworth.engine.funding.funding_plan import funded_figures
from panelworth.engine.ledger.settlement import planned, settled
from panelworth.engine.returns.breakeven import break_evens
from panelworth.engine.returns.scale import tolerance_of
from panelworth.engine.trials import likely_trial, overrun_path, trials_with
from panelworth.model.case import Case, WrittenCase
from panelworth.model.ledger import KINDS, Entry, has_lapsed
from panelworth.model.ledger_targets import item_target
from small_cases import CLUB, case_in, drawn_trials, refit

CASES = Path(__file__).parent / "cases"
RULES = tomllib.loads((CASES / "ledger.toml").read_text(encoding="utf-8"))["case"]
HEAD = "date,option,item,kind,amount,low,high,tax_included,expires,final"
OPTION = refit(
    'cost = [800, 1000, 1500]\ntax = 0.1\nledger = "display"\nwhen = "order"',
    "hours = [8, 10, 14]\nrate = 50",
    rest='[[credits]]\nname = "Old unit sold"\namount = 200\n',
)
OPTION = OPTION.replace("Item 0", "Display").replace("Item 1", "Work")
TRIALS = 500


def case_with(folder: Path, rows: list[str], option: str = OPTION, rest: str = "") -> Case:
    """Read the option of cases/ledger.toml with these rows."""
    lines = [row.replace(",", ",refit,", 1) for row in rows]
    (folder / "ledger.csv").write_text("\n".join([HEAD, *lines]) + "\n", encoding="utf-8")
    return case_in(folder, {"refit": option}, rest=rest)


def likely_flows(case: Case) -> Flows:
    """Work out the option in the likely view."""
    return flows_of(case, "refit", likely_trial(case))


def flows_at(case: Case, end: str) -> Flows:
    """Work out the option with every range of the folder at one end."""
    values = {each.path: np.array([getattr(each.quantity, end)]) for each in case.inputs}
    return flows_of(case, "refit", trials_with(likely_trial(case), values))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule["what"])
def test_an_item_stands_at_what_was_worked_out_by_head(
    tmp_path: Path, rule: Mapping[str, Any]
) -> None:
    option = OPTION.replace("tax = 0.1", f"tax = {rule.get('taxes', 0.1)}")
    case = case_with(tmp_path, rule["rows"], option)
    flows = likely_flows(case)
    assert flows.project.project[0] == pytest.approx(rule["project"], abs=1e-9)
    assert flows.project.upfront[0] == pytest.approx(rule["upfront"], abs=1e-9)
    assert flows.rows["project"].sum() == pytest.approx(rule["due"], abs=1e-9)
    assert flows.rows["credits"].sum() == pytest.approx(rule.get("received_due", 200), abs=1e-9)
    at_ends = [flows_at(case, end) for end in ("low", "high")]
    ends = [flows.project.project[0] for flows in at_ends]
    assert ends == pytest.approx(rule["ends"], abs=1e-9)
    if "due_ends" in rule:
        due = [flows.rows["project"].sum() for flows in at_ends]
        assert due == pytest.approx(rule["due_ends"], abs=1e-9)


TAXED = 'cost = 900\ntax = [0.05, 0.1, 0.2]\ngroup = "equipment"\n'


def test_a_bill_paid_with_tax_in_has_no_spread_and_no_swing(tmp_path: Path) -> None:
    rows = ["2025-12-01,Item 0,invoice,1100,,,yes,,yes", "2025-12-02,Item 0,payment,1100,,,,,"]
    found = evaluate(case_with(tmp_path, rows, refit(TAXED))).options["refit"]
    drawn = evaluate(case_with(tmp_path, rows, refit(TAXED))).uncertainty.options["refit"]
    assert found.likely.outlay == pytest.approx(1100, abs=1e-9)
    assert drawn.budget_p80 == pytest.approx(1100, abs=1e-9)
    assert (found.swings, drawn.chance_likely_enough) == ((), 1.0)


def test_a_tax_range_moves_what_a_bill_with_tax_in_leaves_for_resale(tmp_path: Path) -> None:
    """A buyer pays half of the price before tax: 1100/1.05, 1100/1.2; the bill stays 1100."""
    rows = ["2025-12-01,Item 0,invoice,1100,,,yes,,yes"]
    (tmp_path / "options").mkdir()
    option = refit(TAXED)
    lines = [row.replace(",", ",refit,", 1) for row in rows]
    (tmp_path / "ledger.csv").write_text("\n".join([HEAD, *lines]) + "\n", encoding="utf-8")
    case = case_in(tmp_path, {"refit": option}, aircraft="resale_recovery = 0.5")
    (swing,) = evaluate(case).options["refit"].swings
    assert swing.input == "options.refit.items[Item 0].tax"
    assert swing.low == pytest.approx(0.5 * 1100 / 1.05 - 1100, abs=1e-9)
    assert swing.high == pytest.approx(0.5 * 1100 / 1.2 - 1100, abs=1e-9)


def test_a_price_on_the_ledger_is_the_input_in_place_of_hours_and_rate(tmp_path: Path) -> None:
    case = case_with(tmp_path, ["2025-12-01,Work,quote,640,620,700,,,"])
    ranges = {each.path: each.quantity for each in case.inputs}
    assert ranges["options.refit.items[Work].cost"].low == 620
    assert ranges["options.refit.items[Work].cost"].shape == "pert"
    assert not {"options.refit.items[Work].hours", "options.refit.items[Work].rate"} & set(ranges)
    swings = [swing.input for swing in evaluate(case).options["refit"].swings]
    assert swings == ["options.refit.items[Display].cost", "options.refit.items[Work].cost"]


def test_a_certain_price_is_no_range(tmp_path: Path) -> None:
    case = case_with(tmp_path, ["2025-12-01,Work,quote,640,,,,,"])
    swings = [swing.input for swing in evaluate(case).options["refit"].swings]
    assert swings == ["options.refit.items[Display].cost"]


def test_drawn_costs_follow_the_range_of_the_quote(tmp_path: Path) -> None:
    case = case_with(tmp_path, ["2025-12-01,Work,quote,640,620,700,,,"])
    drawn = drawn_trials(case, 0, TRIALS).values["options.refit.items[Work].cost"]
    assert 620 <= drawn.min() < 625
    # PERT: the mean is (low + 4 likely + high) / 6 (Malcolm et al., 1959); the error that of 500
    assert drawn.mean() == pytest.approx((620 + 4 * 640 + 700) / 6, abs=4 * 14 / TRIALS**0.5)


def test_a_loan_s_share_is_of_what_is_still_to_pay(tmp_path: Path) -> None:
    option = OPTION + "[funding.loan]\nshare = 0.5\nmonths = 10\n"
    rows = ["2025-12-01,display,quote,1000,,,,,", "2025-12-02,display,payment,400,,,,,"]
    case = case_with(tmp_path, rows, option)
    funded, _ = funded_figures(case, likely_flows(case), None)
    assert funded is not None
    assert funded.loan_payment == 60.0  # (1100 - 400 + 500) / 2 / 10, no interest


def test_the_reserve_is_cash_after_what_has_been_paid(tmp_path: Path) -> None:
    rows = ["2025-12-01,display,quote,1000,,,,,", "2025-12-02,display,payment,400,,,,,"]
    case = case_with(tmp_path, rows, rest=CLUB)
    _, months = funded_figures(case, likely_flows(case), None)
    assert months is not None
    assert months.balance[0] == pytest.approx(20000 - 1200 + 200)


def test_a_project_s_break_even_sees_what_is_already_paid(tmp_path: Path) -> None:
    """Half the price comes back: 500 + 500 s, against 1000 s of which 2000 is paid.

    Nothing is due up to s = 2, so the gap rises to 1500 there; then it is 2500 - 500 s: even at 5.
    """
    money_in = '[[credits]]\nname = "Old unit"\namount = 500\n'
    option = refit('cost = 1000\ngroup = "equipment"\nwhen = "order"', rest=money_in)
    (tmp_path / "ledger.csv").write_text(f"{HEAD}\n2025-12-02,refit,Item 0,payment,2000,,,,,\n")
    case = case_in(tmp_path, {"refit": option}, aircraft="resale_recovery = 0.5")
    even = break_evens(case, "refit", tolerance=tolerance_of(case))["project"]
    assert (even.value, even.side) == (pytest.approx(5.0), "at most")


def test_the_plan_is_the_option_file_s_own_with_what_is_paid_still_paid(tmp_path: Path) -> None:
    rows = [
        "2025-12-01,display,quote,1300,,,,,",
        "2025-12-02,display,payment,400,,,,,",
        "2025-12-01,Old unit sold,invoice,90,,,,,yes",
    ]
    flows = likely_flows(planned(case_with(tmp_path, rows)))
    assert flows.project.project[0] == pytest.approx(1600)
    assert flows.rows["project"].sum() == pytest.approx(1200)
    assert total(flows.project.credits)[0] == pytest.approx(200)


def test_a_quote_holds_on_its_last_day_and_lapses_the_day_after(tmp_path: Path) -> None:
    rows = [
        "2025-12-01,display,quote,1000,,,,2026-01-01,",
        "2025-12-01,Work,quote,9,,,,2025-12-31,",
    ]
    held, lapsed = case_with(tmp_path, rows).ledger
    assert [has_lapsed(each, date(2026, 1, 1)) for each in (held, lapsed)] == [False, True]


def test_settling_leaves_the_options_of_a_case_without_a_ledger_as_they_are(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": OPTION})
    assert case.options == case.written.options
    assert (case.ledger_statuses, case.job_prices) == ({}, {})


@st.composite
def rows_of_ledgers(draw: st.DrawFn) -> list[Entry]:
    """Write any rows on the two items."""
    found = []
    for line in range(2, 2 + draw(st.integers(1, 12))):
        kind = draw(st.sampled_from(KINDS))
        amount = draw(st.integers(0, 300_000)) / 100
        ranged = kind in ("quote", "estimate") and draw(st.booleans())
        found.append(
            Entry(
                line=line,
                date=date(2025, 11, 1) + timedelta(days=draw(st.integers(0, 120))),
                option="refit",
                item=draw(st.sampled_from(["display", "Display", "Work"])),
                kind=kind,
                amount=amount,
                low=amount / 2 if ranged else None,
                high=amount * 2 if ranged else None,
                tax_included=draw(st.booleans()),
                final=kind == "invoice" and draw(st.booleans()),
            )
        )
    return found


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> WrittenCase:
    """Read the option without a ledger."""
    return case_in(tmp_path_factory.mktemp("plain"), {"refit": OPTION}, correlation=0.3).written


@law(60)
@given(ledger=rows_of_ledgers())
def test_no_world_costs_less_than_the_invoices_and_no_flow_is_below_nothing(
    plain: WrittenCase, ledger: list[Entry]
) -> None:
    case = settled(replace(plain, ledger=tuple(ledger)))
    trials = drawn_trials(case, 0, TRIALS)
    context = option_context(case, "refit", trials)
    for item, tax in zip(context.option.items, (0.1, 0.0), strict=True):
        mine = [each for each in ledger if each.item in (item.name, item.ledger)]
        before = {"yes": 1 + tax, "no": 1.0}
        sums = {
            kind: sum(
                each.amount / before["yes" if each.tax_included else "no"]
                for each in mine
                if each.kind == kind
            )
            for kind in ("invoice", "credit")
        }
        price = item_price(context, context.phases[0], item)
        assert price.min() >= sums["invoice"] - sums["credit"] - 1e-6
        if any(each.final for each in mine):
            assert price == pytest.approx(sums["invoice"] - sums["credit"])
    flows = flows_of(case, "refit", trials)
    paid = [each for each in ledger if each.kind == "payment" and each.date <= date(2026, 1, 1)]
    credited = any(each.kind == "credit" for each in ledger)
    assert flows.rows["project"].min() >= 0.0
    if not paid and not credited:
        assert flows.project.to_pay == pytest.approx(flows.project.outlay)


@law(60)
@given(ledger=rows_of_ledgers())
def test_a_settled_case_keeps_the_case_as_written(plain: WrittenCase, ledger: list[Entry]) -> None:
    written = replace(plain, ledger=tuple(ledger))
    assert settled(written).written == written
    assert settled(settled(written).written) == settled(written)


@law(30)
@given(ledger=rows_of_ledgers(), scale=st.floats(0.0, 3.0))
def test_what_is_paid_and_what_is_due_are_what_it_costs(
    plain: WrittenCase, ledger: list[Entry], scale: float
) -> None:
    case = settled(replace(plain, ledger=tuple(ledger)))
    trials = trials_with(likely_trial(case), {overrun_path("refit"): np.array([scale])})
    flows = flows_of(case, "refit", trials)
    paid = sum(
        min(each.paid, costs)
        for item in case.options["refit"].items
        if (each := case.ledger_statuses.get(item_target("options.refit.", item).path))
        if (costs := _taxed(case, item, scale)) >= 0 and each.paid
    )
    if all(_taxed(case, item, scale) >= 0 for item in case.options["refit"].items):
        assert flows.project.to_pay[0] + paid == pytest.approx(flows.project.outlay[0])


def _taxed(case: Case, item: Any, scale: float) -> float:  # noqa: ANN401 (an item)
    context = option_context(case, "refit", likely_trial(case))
    return float(item_price(context, context.phases[0], item)[0]) * scale * (1 + item.tax.likely)
