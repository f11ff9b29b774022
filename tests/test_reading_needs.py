"""needs.toml and ballots.csv: what is understood, and how what is not is worded."""

from pathlib import Path

import pytest

from panelworth.model.case import WrittenCase
from panelworth.problems import render
from panelworth.reading.folder import read_case

SCENARIO = """title = "T"
question = "Q?"
as_of = 2026-11-01
currency = "USD"
baseline = "keep"
years = 5
"""
EQUIPMENT = """[airplane]
empty_weight = 1500
empty_arm = 90
max_weight = 2400
envelope = [[80, 1000], [80, 2400], [95, 2400]]
stations = { "Front seats" = 85 }
[[units]]
name = "Navigator"
provides = ["gps approach", "moving map"]
"""
NEEDS = """[[needs]]
name = "Approaches"
functions = ["gps approach"]
[[needs]]
name = "Map in sight"
functions = ["moving map | gps approach"]
"""


def reading(folder: Path, **files: str) -> tuple[WrittenCase | None, list[str]]:
    """Write a folder and read it: the case, and the worded problems without the folder's name."""
    names = {"needs": "needs.toml", "ballots": "ballots.csv", "equipment": "equipment.toml"}
    (folder / "options").mkdir(exist_ok=True)
    (folder / "scenario.toml").write_text(SCENARIO)
    (folder / "options" / "keep.toml").write_text('title = "Keep"\nkind = "keep"\n')
    for key, text in {"equipment": EQUIPMENT, **files}.items():
        (folder / names[key]).write_text(text)
    case, problems = read_case(folder)
    return case, [render(each).removeprefix(f"{folder}/") for each in problems]


def test_ballots_are_read_by_their_headings_in_any_order_and_capitals(tmp_path: Path) -> None:
    rows = "MAP IN SIGHT,approaches\nx,\n1,X\n,\nno,yes\n"
    case, problems = reading(tmp_path, needs=NEEDS, ballots=rows)
    assert problems == []
    assert [(each.line, dict(each.marks)) for each in case.ballots] == [
        (2, {"Map in sight": 1}),
        (3, {"Approaches": 1, "Map in sight": 1}),
        (5, {"Approaches": 1}),
    ]


def test_ranks_are_read_where_needs_toml_says_so(tmp_path: Path) -> None:
    needs = f'ballots = "ranking"\n{NEEDS}'
    case, problems = reading(tmp_path, needs=needs, ballots="Approaches;Map in sight\n2;1\n;3\n")
    assert problems == []
    assert [dict(each.marks) for each in case.ballots] == [
        {"Approaches": 2, "Map in sight": 1},
        {"Map in sight": 3},
    ]


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        (
            "Member,Approaches,Map in sight\nA,x,\n",
            (
                "ballots.csv:1: error: member: expected the name of a need of needs.toml, found "
                '"member"; remove it: ballots carry no names'
            ),
        ),
        (
            "Aproaches,Map in sight\nx,\n",
            (
                "ballots.csv:1: error: aproaches: expected the name of a need of needs.toml, found "
                '"aproaches"; did you mean "Approaches"?'
            ),
        ),
        (
            "Approaches\nx\n",
            (
                "ballots.csv:1: error: Map in sight: expected this column, found "
                "nothing; add it to the first row"
            ),
        ),
        (
            "Approaches,Map in sight\nx,2\n",
            (
                'ballots.csv:2: error: Map in sight: expected x, 1 or an empty cell, found "2"; '
                'or set ballots = "ranking" in needs.toml'
            ),
        ),
        (
            "Approaches,Map in sight\nx,1,x\n",
            (
                "ballots.csv:2: error: expected as many cells as the first row has, found more: "
                '"x"; put text with commas in quotation marks'
            ),
        ),
        (
            "Approaches,Approaches,Map in sight\nx,1,x\n",
            (
                "ballots.csv:1: error: Approaches: expected one column for each need, found two; "
                "merge the two"
            ),
        ),
    ],
)
def test_a_bad_ballot_is_named(tmp_path: Path, rows: str, message: str) -> None:
    case, problems = reading(tmp_path, needs=NEEDS, ballots=rows)
    assert case is None
    assert message in problems


@pytest.mark.parametrize("cell", ["0", "1.5", "first", "²"])
def test_a_rank_is_a_whole_number_from_1(tmp_path: Path, cell: str) -> None:
    needs = f'ballots = "ranking"\n{NEEDS}'
    _, problems = reading(tmp_path, needs=needs, ballots=f"Approaches,Map in sight\n{cell},1\n")
    assert problems == [
        (
            f'ballots.csv:2: error: Approaches: expected a rank: 1, 2, 3 …, found "{cell}"; '
            'or set ballots = "approval" in needs.toml'
        )
    ]


def test_a_need_that_nobody_provides_is_pointed_out(tmp_path: Path) -> None:
    case, problems = reading(tmp_path, needs=NEEDS.replace('"moving map |', '"moving mop |'))
    assert case is not None
    assert problems == [
        (
            "needs.toml:6: warning: needs[Map in sight].functions[1]: expected a function that "
            'some unit provides, found "moving mop"; did you mean "moving map"?'
        )
    ]


def test_ballots_without_needs_are_pointed_out(tmp_path: Path) -> None:
    case, problems = reading(tmp_path, ballots="Approaches\nx\n")
    assert case is None
    assert problems == [
        (
            "ballots.csv: error: expected needs.toml in the same folder, found no such file; "
            "say what the needs take"
        )
    ]


@pytest.mark.parametrize("name", ["APPROACHES", "approaches ", "Approaches"])
def test_needs_that_a_ballot_cannot_tell_apart_are_refused(tmp_path: Path, name: str) -> None:
    _, problems = reading(tmp_path, needs=NEEDS.replace("Map in sight", name))
    hint = "" if name == "Approaches" else ': "Approaches" counts as the same name'
    assert problems == [
        (
            f"needs.toml:5: error: needs[{name}].name: expected each need to have its own name, "
            f'found "{name}"; rename one of the two{hint}'
        )
    ]


def test_an_envelope_is_written_as_a_list_of_corners(tmp_path: Path) -> None:
    case, problems = reading(tmp_path)
    assert problems == []
    assert case.equipment.airplane.envelope == ((80, 1000), (80, 2400), (95, 2400))


def test_inspections_by_hours_want_the_tach_of_today(tmp_path: Path) -> None:
    hourly = 'hourly = [{ name = "Oil", every = 50, done_at = 120 }]\n'
    wrong = EQUIPMENT.replace("[[units]]", f"{hourly}[[units]]")
    _, problems = reading(tmp_path, equipment=wrong)
    assert problems == [
        (
            "equipment.toml:7: error: airplane.hourly: expected tach together with inspections by "
            "hours, found none; add tach = …"
        )
    ]
    _, problems = reading(tmp_path, equipment=wrong.replace(hourly, f"tach = 110\n{hourly}"))
    assert problems == [
        (
            "equipment.toml:8: error: airplane.hourly[Oil].done_at: expected at most today's tach "
            "hours, 110, found 120"
        )
    ]


def test_a_circuit_and_an_adverse_loading_are_checked(tmp_path: Path) -> None:
    wrong = EQUIPMENT.replace(
        "[[units]]",
        'circuits = [{ name = "Heat", amps = 8, length = 12, volts = 12 }]\n[[units]]',
    )
    _, problems = reading(tmp_path, equipment=wrong)
    assert problems == [
        (
            "equipment.toml:7: error: airplane.circuits[Heat].volts: expected 14, 28, 115 or 200 "
            "volts, found 12; write the generator's voltage: 14 where the battery has 12, 28 where "
            "it has 24"
        )
    ]
    adverse = 'adverse = { aboard = { "Front seat" = 170 }, most = {}, minimum_fuel = 10 }'
    _, problems = reading(
        tmp_path, equipment=EQUIPMENT.replace("[[units]]", f"{adverse}\n[[units]]")
    )
    assert problems == [
        (
            "equipment.toml:7: error: airplane.adverse.aboard.Front seat: expected a station, "
            'found "Front seat"; did you mean "Front seats"?'
        ),
        (
            "equipment.toml:7: error: airplane.adverse.minimum_fuel: expected at most the usable "
            "fuel, 0, found 10"
        ),
    ]
