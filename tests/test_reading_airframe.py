"""What equipment.toml says against what fuel weighs, in either system of units."""

from pathlib import Path

import pytest

from folder_cases import FOLDER, read_files

# Standard weights of the FAA's handbook for mechanics: gasoline 6 pounds a US gallon, turbine fuel
# 6.7 (FAA-H-8083-30, chapter 4; checks/airframe.md, SW-01 and SW-03); 6.14 at 32 °F and 5.9 by
# hydrometer (SW-05). Kilograms a litre: those times 0.45359237/3.785411784 (NIST SP 811).
# Gasoline for cars 0.72 to 0.775 at 15 °C (EN 228, from memory).
SOUND = {"us": [5.9, 6.0, 6.01, 6.14, 6.47, 6.7], "metric": [0.72, 0.70, 0.775, 0.735, 0.803]}


def said_of(folder: Path, units: str, weight: float) -> list[str]:
    """Read the folder in order with a fuel of this weight."""
    files = {
        **FOLDER,
        "scenario.toml": f'units = "{units}"\n{FOLDER["scenario.toml"]}',
        "equipment.toml": FOLDER["equipment.toml"].replace(
            "weight_per_unit = 6 ", f"weight_per_unit = {weight} "
        ),
    }
    case, said = read_files(folder, files)
    assert case is not None
    return said


@pytest.mark.parametrize("units", SOUND)
def test_what_fuel_weighs_is_taken_in_silence(tmp_path: Path, units: str) -> None:
    for number, weight in enumerate(SOUND[units]):
        assert said_of(tmp_path / str(number), units, weight) == []


@pytest.mark.parametrize(
    ("units", "weight", "hint"),
    [
        ("metric", 6.0, "6 is what it weighs in pounds a US gallon; here that is 0.719"),
        ("metric", 6.7, "6.7 is what it weighs in pounds a US gallon; here that is 0.803"),
        ("metric", 2.72, "2.72 is what it weighs in kilograms a US gallon; here that is 0.719"),
        ("metric", 1.585, "1.585 is what it weighs in pounds a litre; here that is 0.719"),
        ("us", 0.72, "0.72 is what it weighs in kilograms a litre; here that is 6.01"),
        ("us", 2.72, "2.72 is what it weighs in kilograms a US gallon; here that is 6"),
        ("us", 8.0, "8 is what it weighs in pounds an imperial gallon; here that is 6.66"),
        ("us", 12.0, "check the units and the kind of fuel: avgas weighs 6.0, turbine fuel 6.7"),
        (
            "metric",
            0.1,
            "check the units and the kind of fuel: avgas weighs 0.72, turbine fuel 0.80",
        ),
    ],
)
def test_what_no_fuel_weighs_is_asked_about_with_what_was_meant(
    tmp_path: Path, units: str, weight: float, hint: str
) -> None:
    expected = {
        "us": "between 5.4 and 7.2 pounds a gallon",
        "metric": "between 0.65 and 0.86 kilograms a litre",
    }
    place = "equipment.toml:5: warning: airplane.fuel.weight_per_unit"
    wish = f"expected {expected[units]}, the weight of fuel, found {weight:g}"
    assert said_of(tmp_path, units, weight) == [f"{place}: {wish}; {hint}"]
