"""The frames that a notebook gets, beside the figures they are made from."""

import numpy_financial as npf
import pytest

from panelworth import frames
from panelworth.publishing.frames import Frames
from panelworth.publishing.view import View


@pytest.fixture(scope="module")
def made(club: View) -> Frames:
    return frames(club.case, club.figures)


def test_every_flow_is_a_row_of_its_own(club: View, made: Frames) -> None:
    assert made.flows.columns.tolist() == ["option", "month", "row", "value"]
    assert not made.flows.duplicated(["option", "month", "row"]).any()
    months = made.flows.groupby(["option", "row"])["month"].agg(["min", "max", "size"])
    assert set(months.itertuples(index=False, name=None)) == {(0, 120, 121)}
    assert set(made.flows["option"]) == set(club.tags)


def test_the_club_s_cash_follows_from_the_net_flows(club: View, made: Frames) -> None:
    """numpy-financial's npv of the frame's net, with the end value, is the figure npv."""
    monthly = (1 + club.case.scenario.rates.discount.likely) ** (1 / 12) - 1
    figure = made.figures.set_index(["option", "figure"])["value"]
    for option in club.tags:
        rows = made.flows.query("option == @option and row == 'net'").sort_values("month")
        flows = rows["value"].astype(float).to_numpy().copy()
        flows[-1] += figure[option, "likely.end_value"]
        assert npf.npv(monthly, flows) == pytest.approx(figure[option, "likely.npv"], abs=0.01)


def test_spreads_outcomes_and_reserve_are_those_of_the_trials(club: View, made: Frames) -> None:
    trials = club.figures.uncertainty.options["full"]
    spread = made.spreads.set_index(["option", "figure", "statistic"])["value"]
    assert spread["full", "net_benefit", "p50"] == trials.range.net_benefit.p50
    outcomes = made.outcomes.query("option == 'full'")["net_benefit"]
    assert outcomes.is_monotonic_increasing
    assert tuple(outcomes) == trials.outcomes
    assert trials.reserve is not None
    reserve = made.reserve.query("option == 'full'").set_index("year")
    assert reserve.loc[3, "p10"] == trials.reserve.reserve_by_year[3].p10


def test_the_ledger_has_a_row_for_each_row(club: View, made: Frames) -> None:
    assert made.ledger["line"].tolist() == [entry.line for entry in club.case.ledger]
    assert made.ledger["amount"].tolist() == [entry.amount for entry in club.case.ledger]


def test_an_owner_has_no_reserve_and_an_hour_costs_less_the_more_it_flies(owner: View) -> None:
    made = frames(owner.case, owner.figures)
    assert made.reserve.empty
    for _, curve in made.hours.groupby("option"):
        assert curve["cost_per_hour"].dropna().is_monotonic_decreasing
