"""Rows of the cash flow that a benefit is made of, month by month from the files alone.

Written out in plain numbers from the project's method, section 3, beside the engine's arrays.
Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

from typing import Any

import numpy as np
import pytest
from hypothesis import given

from laws import benefit_of, discounted, law, size_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.figures import (
    Series,
)
from strategies import Folder, case_of, folders

Row = list[float]
HOURLY = ("oil_per_hour", "engine_reserve_per_hour", "other_per_hour")


def likely(value: Any) -> float:  # noqa: ANN401 (a number or a range, as a file has it)
    """Return the likely value of what a file says."""
    if isinstance(value, dict):
        value = value["likely"]
    return float(value[1] if isinstance(value, list) else value)


def said(table: dict[str, Any], key: str) -> float:
    """Return the likely value of a key, 0 where it is left out."""
    return likely(table.get(key, 0.0))


def prices(folder: Folder, key: str = "inflation") -> Row:
    """Return e(m) or ef(m) for the months 1..H, and 1 for month 0."""
    scenario = folder["scenario.toml"]
    rates = scenario["rates"]
    rate = likely(rates.get(key, rates["inflation"]))
    return [(1.0 + rate) ** (max(m - 1, 0) // 12) for m in range(12 * scenario["years"] + 1)]


def worth(folder: Folder, series: Series) -> Row:
    """Hours at worth_per_hour, else a club's rate of today, else an owner's hourly running cost."""
    airplane, dear = folder["scenario.toml"]["aircraft"], prices(folder)
    fuel = prices(folder, "fuel_inflation")
    burned = said(airplane, "fuel_per_hour") * said(airplane, "fuel_price")
    rest = sum(said(airplane, key) for key in HOURLY)
    if "worth_per_hour" in airplane or "club" in folder["scenario.toml"]:
        rest = likely(airplane.get("worth_per_hour", airplane.get("hourly_rate", 0.0)))
        burned = 0.0
    return [
        hours * (burned * f + rest * e)
        for hours, f, e in zip(series.hours, fuel, dear, strict=True)
    ]


def newcomers(folder: Folder, series: Series) -> Row:
    """Return dues and joining fees of those who are not members today."""
    club, people = folder["scenario.toml"].get("club"), series.members
    if club is None:
        return [0.0] * len(people)
    dues, fee = said(club, "dues_per_month"), said(club, "joining_fee")
    return [
        ((now - club["members"]) * dues + max(now - before, 0.0) * fee) * e
        for now, before, e in zip(people, people[:1] + people[:-1], prices(folder), strict=True)
    ]


def fixed(folder: Folder, series: Series, option: dict[str, Any]) -> Row:
    """Return today's lines, each to its end or to the finish where dropped, then the added ones."""
    dropped = option["after"].get("dropped_fixed", [])
    finish, end = series.finish_month, len(series.net)
    stretches = [
        (line, 1, line.get("for_months", end), finish if line["name"] in dropped else end)
        for line in folder["scenario.toml"]["aircraft"].get("fixed", [])
    ]
    stretches += [
        (line, finish + 1, finish + line.get("for_months", end), end)
        for line in option["after"].get("added_fixed", [])
    ]

    def paid(month: int) -> float:
        lines = (line for line, first, *ends in stretches if first <= month <= min(ends))
        return sum(likely(line["per_year"]) / 12 for line in lines)

    return [paid(month) * e for month, e in enumerate(prices(folder))]


def value_tax(folder: Folder, series: Series, option: dict[str, Any]) -> Row:
    """Return the tax on what the airplane is worth in each month, for the days there is one."""
    airplane, finish = folder["scenario.toml"]["aircraft"], series.finish_month
    later = {**airplane, **option["after"]}
    old, new = (1.0 + said(each, "value_change") for each in (airplane, later))
    replaced = option["kind"] == "replace"

    def owed(month: int) -> float:
        since = max(month - finish, 0) / 12
        value = said(airplane, "value") * old ** (min(month, finish) / 12) * new**since
        if replaced and month > finish:
            value = likely(option["buy"]["price"]) * new**since
        elif replaced:
            value *= 1.0 - series.factors["down"][min(month, len(series.factors["down"]) - 1)]
        return said(later if month > finish else airplane, "value_tax") / 12 * value

    return [0.0, *(owed(month) for month in range(1, len(series.net)))]


def written_out(folder: Folder, series: Series, option: dict[str, Any]) -> dict[str, Row]:
    """Return the rows by their names."""
    return {
        "worth": worth(folder, series),
        "newcomers": newcomers(folder, series),
        "fixed": fixed(folder, series, option),
        "value_tax": value_tax(folder, series, option),
    }


@law(25)
@given(folders())
def test_rows_are_those_written_out_by_the_month(folder: Folder) -> None:
    figures = evaluate(case_of(folder), trials=100)
    for option_id, series in figures.series.items():
        option = folder[f"options/{option_id}.toml"]
        for name, row in written_out(folder, series, option).items():
            assert series.rows[name][1:] == pytest.approx(row[1:], rel=1e-9, abs=1e-6), name
            assert series.rows[name][0] == 0.0


@law(25)
@given(folders())
def test_what_comes_in_is_every_credit_and_the_sale_after_its_cost(folder: Folder) -> None:
    """A trade-in is a credit at the price it states: no selling cost is taken from it."""
    figures = evaluate(case_of(folder), trials=100)
    airplane = folder["scenario.toml"]["aircraft"]
    for option_id, series in figures.series.items():
        option = folder[f"options/{option_id}.toml"]
        credited = sum(likely(each["amount"]) for each in option["credits"])
        assert sum(series.rows["credits"]) == pytest.approx(credited)
        sold = option.get("sell", {"price": 0.0})
        price = likely(sold.get("price", airplane["value"]))
        kept = 1.0 - said(airplane, "selling_cost")
        assert sum(series.rows["sale"]) == pytest.approx(price * kept)


def borrowed(series: Series) -> Row:
    """Return a loan's cash by month, what is still owed taken off at the end."""
    cash = [0.0] * len(series.net)
    if series.loan is None:
        return cash
    first, last = series.loan.drawn_month, len(cash) - 1
    stream = [series.loan.principal, *(-each for each in series.loan.payments)]
    for month, each in enumerate(stream[: last - first + 1], first):
        cash[month] += each
    cash[last] -= [series.loan.principal, *series.loan.balances][: last - first + 1][-1]
    return cash


@law(25)
@given(folders())
def test_net_benefit_is_what_rows_resale_and_loan_are_worth_today(folder: Folder) -> None:
    """Σ (worth + newcomers - cost)·d + end·d(H) + loan, less the same of the baseline."""
    case = case_of(folder)
    figures = evaluate(case, trials=100)

    def worth_today(option_id: str) -> float:
        series, likely_figures = figures.series[option_id], figures.options[option_id].likely
        flows = benefit_of(series) + np.array(borrowed(series))
        flows[-1] += likely_figures.end_value
        return discounted(case, tuple(flows.tolist()))

    for option_id, option in figures.options.items():
        expected = worth_today(option_id) - worth_today("keep")
        near = 1e-9 * size_of(case, option_id)
        assert option.likely.net_benefit == pytest.approx(expected, rel=0, abs=near)
