"""What a user may well mean is not asked about; and ranges that follow each other in any way."""

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder_cases import FOLDER, read_files, written
from laws import law

RANGE = "{ low = 200, likely = 300, high = 400"
SCENARIO, REFIT, NEWER = "scenario.toml", "options/refit.toml", "options/newer.toml"
MEANT = [
    ("members leave with their hours", REFIT,
     "hours_lost_per_year = 2", "hours_per_year_change = -7", "joined = 2", "joined = -1"),
    ("members leave, and the hours are given anew", REFIT,
     "hours_lost_per_year = 2", "hours_per_year = 210", "joined = 2", "joined = -1"),
    ("some may leave, but likely nobody", REFIT, "joined = 2", "joined = [-3, 0, 2]"),
    ("the old airplane is sold at its value", NEWER, "price = 82000\n", ""),
    ("the old airplane is given away", NEWER, "price = 82000", "price = 0"),
    ("the old airplane is traded in", NEWER, "[sell]\nprice = 82000\n",
     '[[credits]]\nname = "Old one"\namount = 80000\ntrade_in = true\n'),
    ("a raise of 0 beside a solved one", REFIT,
     'solve = "dues"', 'solve = "dues"\ndues_increase = 0'),
    ("a stated raise beside a solved one of another kind", REFIT,
     'solve = "dues"', 'solve = "dues"\nassessment_per_member = 100\nhourly_rate_increase = 3'),
    ("a chance at its bound, over the whole horizon", REFIT,
     'solve = "dues"', 'solve = "dues"\nsolve_chance = 0.99\nraise_years = 2'),
    ("a floor held over the whole horizon", SCENARIO,
     "members = 10", "members = 10\nfloor_years = 2"),
    ("a start in the month of as_of, and nothing to be down for", REFIT,
     "order = 2026-12-01\nstart = 2027-01-11\nweeks_down = 6", "start = 2026-11-20"),
    ("a price follows the paper of an item with hours and a rate", REFIT,
     "cost = 14200", "hours = 100\nrate = 142",
     "amount = 300",
     f'amount = {RANGE}, like = "options.refit.items[Display].cost" }}'),
    ("a price follows one of another option", REFIT, "amount = 300",
     f'amount = {RANGE}, like = "options.newer.sell.price" }}'),
]  # fmt: skip


@pytest.mark.parametrize("meant", MEANT, ids=lambda meant: meant[0])
def test_what_is_meant_is_not_asked_about(tmp_path: Path, meant: tuple[str, ...]) -> None:
    _, file, *texts = meant
    text = FOLDER[file]
    for old, new in zip(texts[::2], texts[1::2], strict=True):
        assert old in text
        text = text.replace(old, new, 1)
    case, said = read_files(tmp_path, {**FOLDER, file: text})
    assert said == []
    assert case is not None


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("aircraft.hours_per_year", []),
        (
            "equipment.units[Old gyro].amps",
            [
                (
                    "equipment.toml:21: error: units[Old gyro].amps.like: expected the path of an "
                    'input that takes a range, found "equipment.units[Old gyro].amps"; name '
                    "another input, or remove like"
                )
            ],
        ),
    ],
)
def test_a_range_of_equipment_may_follow_inputs_alone(
    tmp_path: Path, path: str, told: list[str]
) -> None:
    """No figure is drawn from a unit's amps, so there is no draw to follow."""
    amps = f'amps = {{ low = 1, likely = 2, high = 3, like = "{path}" }}\n'
    name = 'name = "Old gyro"\n'
    assert read_files(tmp_path, written("equipment.toml", name, f"{name}{amps}"))[1] == told


KEYS = ("value", "hours_lost_per_year", "fuel_price", "oil_per_hour", "other_per_hour")
FOLLOWS = st.dictionaries(st.sampled_from(KEYS), st.sampled_from(KEYS))


@law(40)
@given(FOLLOWS)
def test_ranges_may_follow_each_other_in_any_way_but_in_a_circle(follows: dict[str, str]) -> None:
    """A range ends in a circle when as many steps as there are ranges lead to no end."""
    ends = {}
    for key in KEYS:
        end = key
        for _ in KEYS:
            end = follows.get(end, end)
        ends[key] = end
    circle = any(end in follows for end in ends.values())
    lines = [
        f'{key} = {{ low = 1, likely = 2, high = 3, like = "aircraft.{follows[key]}" }}'
        if key in follows
        else f"{key} = [1, 2, 3]"
        for key in KEYS
    ]
    files = written(SCENARIO, "value = 88000", "\n".join(lines))
    with TemporaryDirectory() as place:
        case, said = read_files(Path(place), files)
    assert (case is None) == circle
    told = ["does not lead back to this input" in line for line in said]
    assert all(told)
    assert bool(told) == circle
    if case is not None:
        roots = {f"aircraft.{key}": f"aircraft.{end}" for key, end in ends.items() if end != key}
        assert dict(case.roots) == roots
