"""What may not be read: one problem that names it, whatever a person may not do, never a failure.

Root may read everything: where the tests run as root they read as another user.
"""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from folder_cases import FOLDER, read_folder
from panelworth.problems import Collector, render
from panelworth.reading.edition import read_editions
from panelworth.reading.folder import inner_scenarios, read_case
from panelworth.reading.vote import read_vote
from strategies import write_folder

pytestmark = pytest.mark.skipif(os.name == "nt", reason="modes of files are those of POSIX")
NOBODY = 65534
FILES = {**FOLDER, "notes/keep.md": "A note.\n"}
TO_ENTER = "Permission denied; change its permissions so that you can list and enter it"
TO_READ = "Permission denied; change its permissions so that you can read it"


@contextmanager
def without_rights() -> Iterator[None]:
    """Be somebody to whom the modes of files apply."""
    root = os.geteuid() == 0
    if root:
        os.setegid(NOBODY)
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)
            os.setegid(0)


@pytest.fixture
def club() -> Iterator[Path]:
    """Write a folder that anybody may read, where anybody may come."""
    with tempfile.TemporaryDirectory() as place:
        Path(place).chmod(0o755)
        folder = write_folder(Path(place) / "club", FILES)
        read_case(folder)  # another user may not be able to load what the reading needs
        yield folder
        for path in (folder, *folder.iterdir()):
            path.chmod(0o755)


@pytest.mark.parametrize("mode", [0o000, 0o444, 0o111])
@pytest.mark.parametrize("name", ["", "options", "notes"])
def test_a_folder_that_may_not_be_entered_is_one_problem(club: Path, name: str, mode: int) -> None:
    (club / name).chmod(mode)
    with without_rights():
        case, problems = read_case(club)
    assert case is None
    place = f"{club}/{name}" if name else f"{club}"
    expected = f"error: expected a folder that can be read, found {TO_ENTER}"
    assert [render(problem) for problem in problems] == [f"{place}: {expected}"]


@pytest.mark.parametrize("name", sorted(FILES))
def test_a_file_that_may_not_be_read_is_one_problem(club: Path, name: str) -> None:
    (club / name).chmod(0)
    with without_rights():
        case, said = read_folder(club)
    assert case is None
    assert said == [f"{name}: error: expected a file that can be read, found {TO_READ}"]


def test_a_scenario_in_a_folder_that_may_not_be_entered_is_one_problem(club: Path) -> None:
    club.parent.chmod(0)
    with without_rights():
        _, problems = read_case(club)
    club.parent.chmod(0o755)
    expected = f"error: expected a folder that can be read, found {TO_ENTER}"
    assert [render(problem) for problem in problems] == [f"{club}: {expected}"]


def test_a_scenario_that_may_not_be_entered_is_not_left_out_of_several(club: Path) -> None:
    shut = write_folder(club.parent / "shut", FILES)
    shut.chmod(0)
    with without_rights():
        assert inner_scenarios(club.parent) == [club, shut]
    shut.chmod(0o755)


def test_votes_and_editions_that_may_not_be_read_are_told(club: Path) -> None:
    (club.parent / "edition.json").write_text("{}")
    club.parent.chmod(0)
    found = Collector()
    with without_rights():
        assert read_vote(club.parent / "vote.csv", None, found) is None
        _, problems = read_editions(club.parent, "club")
    club.parent.chmod(0o755)
    assert [problem.found for problem in (*found.problems, *problems)] == ["Permission denied"] * 3
