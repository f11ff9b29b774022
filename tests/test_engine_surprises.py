"""What may turn up: an allowance in the likely view, an event in the trials; worked out by head.

as_of is 2026-01-01. Work: 1000, certain. Corrosion: 2000 with a chance of 0.25, then 3 weeks more.
Planned: 2026-03-02 and 4 weeks, so back on 2026-03-30.
"""

from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.cash_flow.surprises import event_path
from panelworth.engine.evaluate import evaluate
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.plausible.warning import likely_outlay
from panelworth.publishing.figures_object import figures_object
from small_cases import CLUB, case_in, drawn_trials

HEAD = "date,option,item,kind,amount,low,high,final\n"
OPTION = """
title = "Refit"
kind = "retrofit"
[schedule]
start = 2026-03-02
weeks_down = 4
{happened}
[[items]]
name = "Work"
cost = 1000
[[surprises]]
name = "Corrosion"
chance = {chance}
cost = {cost}
weeks = 3
{more}
"""
TRIALS = 4000


def surprise_case(  # noqa: PLR0913 (each names a part of the files)
    folder: Path,
    *rows: str,
    chance: str = "0.25",
    cost: str = "2000",
    more: str = "",
    happened: str = "",
    rest: str = CLUB,
    correlation: float = 0.0,
) -> Case:
    """Read a folder in which something may turn up."""
    folder.mkdir(exist_ok=True)
    (folder / "ledger.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    option = OPTION.format(chance=chance, cost=cost, more=more, happened=happened)
    return case_in(folder, {"refit": option}, rest=rest, trials=TRIALS, correlation=correlation)


def outlays(case: Case) -> np.ndarray:
    """Return the outlay in every drawn trial."""
    return np.broadcast_to(
        flows_of(case, "refit", drawn_trials(case, 0, TRIALS)).project.outlay, TRIALS
    )


def test_the_likely_view_has_an_allowance_and_no_weeks(tmp_path: Path) -> None:
    case = surprise_case(tmp_path)
    figures = evaluate(case).options["refit"]
    assert figures.likely.project == figures.likely.outlay == pytest.approx(1500.0)
    assert likely_outlay(case, "refit") == pytest.approx(1500.0)
    assert figures.downtime is not None
    assert figures.downtime.finish == "2026-03-30"
    # It turns up in a quarter of the futures: in the worst fifth it is back three weeks later.
    assert figures.downtime.finish_p80 == "2026-04-20"


def test_a_trial_has_the_whole_cost_and_weeks_or_nothing(tmp_path: Path) -> None:
    case = surprise_case(tmp_path)
    flows = flows_of(case, "refit", drawn_trials(case, 0, TRIALS))
    outlay = flows.project.outlay
    assert set(outlay.tolist()) == {1000.0, 3000.0}
    happened = outlay == 3000.0
    # Against the binomial law: 4,000 draws with a chance of 0.25
    low, high = stats.binom(TRIALS, 0.25).interval(0.999)
    assert low <= happened.sum() <= high
    assert flows.context.dates[0].weeks.tolist() == [7.0 if each else 4.0 for each in happened]
    assert evaluate(case).uncertainty.options["refit"].budget_p80 == 3000.0


def test_the_mean_of_the_trials_is_the_allowance(tmp_path: Path) -> None:
    case = surprise_case(tmp_path, chance="[0.1, 0.25, 0.4]", cost="[1500, 2000, 2500]")
    mean = float(outlays(case).mean())
    error = float(outlays(case).std()) / TRIALS**0.5
    assert mean == pytest.approx(1500.0, abs=4 * error)


def test_the_draws_do_not_depend_on_other_surprises(tmp_path: Path) -> None:
    more = '[[surprises]]\nname = "Wiring"\nchance = 0.5\ncost = 100\nweeks = 1\n'
    one, two = surprise_case(tmp_path / "a"), surprise_case(tmp_path / "b", more=more)
    path = event_path("refit", one.options["refit"].surprises[0])
    first, second = (drawn_trials(case, 0, TRIALS).values[path] for case in (one, two))
    assert (first == second).all()


def test_its_cost_moves_with_the_option_s_other_costs(tmp_path: Path) -> None:
    case = surprise_case(tmp_path, cost="[1000, 2000, 3000]", correlation=0.9)
    text = (tmp_path / "options" / "refit.toml").read_text(encoding="utf-8")
    ranged = text.replace("cost = 1000\n", "cost = [500, 1000, 1500]\n", 1)
    case = case_in(tmp_path, {"refit": ranged}, rest=CLUB, trials=TRIALS, correlation=0.9)
    trials, option = drawn_trials(case, 0, TRIALS), case.options["refit"]
    cost = option.items[0].cost
    assert cost is not None
    rank, _ = stats.spearmanr(trials.of(cost), trials.of(option.surprises[0].cost))
    assert rank > 0.8


@pytest.mark.parametrize(
    ("rows", "likely", "drawn", "weeks"),
    [
        # An estimate says that it has turned up, with its price and its weeks.
        (["2025-12-01,refit,Corrosion,estimate,2600,,,"], 3600.0, {3600.0}, 7.0),
        # With invoices alone it has not got a price of its own yet: at least what is invoiced.
        (["2025-12-01,refit,Corrosion,invoice,700,,,yes"], 1700.0, {1700.0}, 7.0),
        # A final invoice of 0 says that it has not.
        (["2025-12-01,refit,Corrosion,invoice,0,,,yes"], 1000.0, {1000.0}, 4.0),
    ],
)
def test_a_row_says_that_it_has_happened(
    tmp_path: Path, rows: list[str], likely: float, drawn: set[float], weeks: float
) -> None:
    case = surprise_case(tmp_path, *rows)
    flows = flows_of(case, "refit", likely_trial(case))
    assert flows.project.outlay.tolist() == [pytest.approx(likely)]
    assert flows.context.dates[0].weeks.tolist() == [weeks]
    assert set(outlays(case).tolist()) == drawn


def test_a_chance_of_0_changes_nothing_and_one_of_1_is_an_item(tmp_path: Path) -> None:
    without = OPTION.format(chance="0.5", cost="2000", more="", happened="")
    without = without[: without.index("[[surprises]]")]
    plain = evaluate(case_in(tmp_path / "a", {"refit": without}, rest=CLUB, trials=200))
    never = evaluate(surprise_case(tmp_path / "b", chance="0"), trials=200)
    one, other = (figures_object(figures)["options"]["refit"] for figures in (plain, never))
    assert one == other
    always = outlays(surprise_case(tmp_path / "c", chance="1"))
    assert set(always.tolist()) == {3000.0}


def test_the_project_says_whether_it_turned_up(tmp_path: Path) -> None:
    vote = '\n[decision]\nchosen = "refit"\non = 2026-01-20\nstatus = 2026-03-20\n'
    started = "started = 2026-03-02"
    open_ = evaluate(surprise_case(tmp_path / "a", happened=started, rest=CLUB + vote)).project
    row = "2026-03-10,refit,Corrosion,quote,2500,,,"
    found = evaluate(surprise_case(tmp_path / "b", row, happened=started, rest=CLUB + vote)).project
    gone = evaluate(
        surprise_case(tmp_path / "c", more="resolved = false", happened=started, rest=CLUB + vote)
    ).project
    assert open_ is not None
    assert found is not None
    assert gone is not None
    assert [item.forecast for item in open_.status.items] == pytest.approx([1000.0, 500.0])
    assert (open_.status.items[1].voted, open_.status.items[1].low, open_.status.items[1].high) == (
        pytest.approx((500.0, 0.0, 2000.0))
    )
    assert (open_.status.finish, open_.status.finish_p80) == ("2026-03-30", "2026-04-20")
    assert found.status.items[1].state == "happened"
    assert found.status.forecast.likely == pytest.approx(3500.0)
    assert (found.status.finish, found.status.finish_p80) == ("2026-04-20", "2026-04-20")
    assert gone.status.forecast.likely == gone.status.forecast.p80 == pytest.approx(1000.0)
    # When it was decided the allowance counted; on the status date it is known to be gone.
    steps = [(str(point.day), point.outlay) for point in gone.history]
    assert steps == [("2026-01-20", 1500.0), ("2026-03-20", 1000.0)]
    assert gone.status.finish_p80 == "2026-03-30"
