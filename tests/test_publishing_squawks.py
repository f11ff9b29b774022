"""The section on how often units fail: the log in words, and what each option makes of it."""

from pathlib import Path

from panelworth import views
from panelworth.publishing.pages.airplane_squawks import squawks_section
from panelworth.publishing.view import View
from test_engine_failures import failing_case

SINCE = "squawks_since = 2023-01-01"


def viewed(folder: Path, rows: str, gyro: str = "cost = 300, days = 3.65") -> View:
    """Return the view of a folder with a log."""
    [view] = views([failing_case(folder, gyro=gyro, since=SINCE, squawks=rows)])
    return view


def test_the_section_says_how_often_and_how_weak_that_is(tmp_path: Path) -> None:
    rows = "2024-01-01,Gyro,,,\n2025-06-01,Gyro,,,\n2025-12-01,Gyro,,,\n"
    section = squawks_section(viewed(tmp_path, rows))
    assert section is not None
    assert section.answer[0] == "The log has 3 failures in 3 years. Most often: Gyro (3)."
    assert section.answer[1] == (
        "They have become neither more nor less frequent. So few are weak evidence."
    )
    assert section.table is not None
    # 3.5/3.0034 failures a year: 350 and 4.25 days; the refit takes the gyro out in July
    assert section.table.rows[0] == ["Keep", "$350", "4.3"]
    assert section.table.rows[1][0] == "Refit"
    assert section.table.rows[1][1] == "$87"


def test_a_trend_is_told_with_its_chance(tmp_path: Path) -> None:
    rows = "".join(f"2025-{month:02d}-15,Gyro,,,\n" for month in range(3, 12))
    section = squawks_section(viewed(tmp_path, rows))
    assert section is not None
    assert section.answer[1].startswith("They have become")
    assert section.answer[1].endswith(
        "a year more frequent; by chance alone in fewer than 1 of 20."
    )


def test_two_failures_say_nothing_about_a_trend(tmp_path: Path) -> None:
    section = squawks_section(viewed(tmp_path, "2024-01-01,Gyro,,,\n"))
    assert section is not None
    assert section.answer[1] == "So few say nothing about whether it gets worse."
