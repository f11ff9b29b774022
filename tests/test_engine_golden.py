"""The engine against cases worked out by hand; the file of its name beside it holds the derivation.

The expected figures are the last table of each working, read from there, so that no copy of them
can drift. They are written to six decimals; a figure the table does not name must be absent.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path

import pytest

from panelworth.engine.evaluate import evaluate
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.reading.folder import read_case

GOLDEN = Path(__file__).parent / "golden"
CASES = ("club-retrofit", "owner-replace", "club-upkeep")
GROUPS = ("likely", "break_even", "break_even_why", "break_even_side", "to_be_whole", "funded")
SERIES = ("net", "hours", "members", "balance")
LAST_DECIMAL = 1e-6
Figure = tuple[float | str, ...]


def worked_out(case: str) -> dict[str, Figure]:
    """Read the last table of a working: "option figure" to its number, numbers or words."""
    text = (GOLDEN / f"{case}.md").read_text(encoding="utf-8")
    rows = [line.strip("| ").split(" | ") for line in text.splitlines() if line.startswith("| ")]
    table = rows[rows.index(["option", "figure", "value"]) + 1 :]
    return {f"{option} {figure}": as_written(value) for option, figure, value in table}


def as_written(value: str) -> Figure:
    """Read a cell of the table: numbers, or words as they stand."""
    try:
        return tuple(float(part) for part in value.split())
    except ValueError:
        return (value,)


def figures_of(case: str) -> Figures:
    """Read a golden folder, which has nothing wrong with it, and work out its figures."""
    read, problems = read_case(GOLDEN / case)
    assert read is not None
    assert problems == []
    return evaluate(settled(read))


def told(figures: Figures) -> Iterator[tuple[str, Figure]]:
    """Yield every figure that is there, named as the workings name it."""
    for option_id, option in figures.options.items():
        for group in GROUPS:
            held = getattr(option, group)
            values = held if isinstance(held, Mapping) else asdict(held) if held else {}
            parts = {f"parts.{key}": value for key, value in values.get("parts", {}).items()}
            for key, value in {**values, **parts}.items():
                if key != "parts":
                    yield f"{option_id} {group}.{key}", tupled(value)
        for bill in option.bills:
            yield f"{option_id} bills.{bill.name}.per_month", (bill.per_month,)
            yield f"{option_id} bills.{bill.name}.assessment", (bill.assessment,)
        for swing in option.swings:
            yield f"{option_id} swings.{swing.input}.low", (swing.low,)
            yield f"{option_id} swings.{swing.input}.high", (swing.high,)


def tupled(value: object) -> Figure:
    """Make every figure a tuple: none for an absent one, several for rates of return."""
    if value is None:
        return ()
    return value if isinstance(value, tuple) else (value,)


def alike(found: Figure, expected: Figure) -> bool:
    """Hold a figure to the six decimals of the working; words must be the same words."""
    if any(isinstance(part, str) for part in (*found, *expected)):
        return found == expected
    return found == pytest.approx(expected, rel=0, abs=LAST_DECIMAL)


@pytest.mark.parametrize("case", CASES)
def test_every_figure_is_the_one_worked_out_by_hand(case: str) -> None:
    expected = {key: each for key, each in worked_out(case).items() if " series." not in key}
    found = {key: value for key, value in told(figures_of(case)) if value}
    assert sorted(found) == sorted(expected)
    assert {key: found[key] for key in expected if not alike(found[key], expected[key])} == {}


@pytest.mark.parametrize("case", CASES)
def test_every_month_is_the_one_worked_out_by_hand(case: str) -> None:
    figures, expected = figures_of(case), worked_out(case)
    rows = {
        f"{option_id} series.{key}": getattr(series, key)
        for option_id, series in figures.series.items()
        for key in SERIES
    }
    for key, months in expected.items():
        if " series." in key:
            assert alike(rows[key], months), key


@pytest.mark.parametrize("case", CASES)
def test_the_widest_swing_stands_first(case: str) -> None:
    for option_id, option in figures_of(case).options.items():
        worked = [key for key in worked_out(case) if key.startswith(f"{option_id} swings.")]
        expected = [key.split(" swings.")[1].removesuffix(".low") for key in worked[::2]]
        assert [swing.input for swing in option.swings] == expected


@pytest.mark.parametrize("case", [each for each in CASES if each.startswith("club")])
def test_where_no_range_touches_the_cash_every_trial_is_the_likely_view(case: str) -> None:
    figures = figures_of(case)
    for option_id, option in figures.options.items():
        drawn, balance = figures.uncertainty.options[option_id], figures.series[option_id].balance
        assert drawn.reserve is not None
        assert balance is not None
        assert set(drawn.reserve.chance_below_floor_by_year) == {0.0}
        assert drawn.reserve.shortfall_p50 is None
        for band, expected in zip(drawn.reserve.reserve_by_year, balance[::12], strict=True):
            assert (band.p10, band.p50, band.p90) == pytest.approx([expected] * 3)
        assert drawn.budget_p80 == pytest.approx(option.likely.outlay)
