"""Only plain files are read: pipes, devices and sockets are told of, and nobody waits for them."""

import os
import socket
import time
from pathlib import Path

import pytest

from folder_cases import FOLDER, read_folder
from panelworth.plain_files import ReadFailure, contents, names_in
from panelworth.problems import Collector
from panelworth.reading.edition import read_editions
from panelworth.reading.vote import read_vote
from strategies import write_folder

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes among these files")
FILES = {**FOLDER, "notes/keep.md": "A note.\n", "needs.toml": "", "ballots.csv": ""}
FOUND = "error: expected a file that can be read, found"


def piped(path: Path) -> Path:
    """Put a pipe that nobody writes to in the place of a file."""
    path.unlink(missing_ok=True)
    os.mkfifo(path)
    return path


@pytest.mark.parametrize("name", sorted(FILES))
def test_a_pipe_in_the_place_of_any_file_is_told_at_once(tmp_path: Path, name: str) -> None:
    folder = write_folder(tmp_path / "club", FILES)
    piped(folder / name)
    begun = time.monotonic()
    case, said = read_folder(folder)
    assert time.monotonic() - begun < 5
    assert case is None
    assert f"{name}: {FOUND} a pipe" in said


@pytest.mark.parametrize("name", ["options", "notes"])
@pytest.mark.parametrize(("kind", "found"), [("pipe", "a file"), ("file", "a file")])
def test_what_is_no_folder_in_a_folder_s_place_is_told(
    tmp_path: Path, name: str, kind: str, found: str
) -> None:
    files = {key: text for key, text in FOLDER.items() if not key.startswith(f"{name}/")}
    folder = write_folder(tmp_path / "club", files)
    (folder / name).write_text("")
    if kind == "pipe":
        piped(folder / name)
    case, said = read_folder(folder)
    assert case is None
    assert said == [f"{name}: error: expected a folder that can be read, found {found}"]


def test_devices_sockets_links_to_them_and_endless_files_are_not_read(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to("/dev/zero")
    (tmp_path / "long").write_bytes(b"x" * 1001)
    (tmp_path / "there").write_bytes(b"x" * 1000)
    with socket.socket(socket.AF_UNIX) as listening:
        here = Path.cwd()
        os.chdir(tmp_path)  # the path of a socket may be no longer than 107 bytes
        listening.bind("socket")
        os.chdir(here)
        found = [contents(tmp_path / name, 1000) for name in ("link", "socket", "long", "none")]
    assert [each.found for each in found if isinstance(each, ReadFailure)] == [
        *("a device", "a socket", "1,001 bytes", "No such file or directory"),
    ]
    assert contents(tmp_path / "there", 1000) == b"x" * 1000
    assert isinstance(contents(Path("/dev/null"), 10), ReadFailure)


def test_a_vote_and_what_a_site_keeps_are_not_read_from_pipes(tmp_path: Path) -> None:
    for name in ("vote.csv", "edition.json", "edition-before.json"):
        piped(tmp_path / name)
    found = Collector()
    assert read_vote(tmp_path / "vote.csv", None, found) is None
    _, problems = read_editions(tmp_path, "club")
    problems += found.problems
    assert [Path(problem.file).name for problem in problems] == ["edition.json", "vote.csv"]
    assert {problem.found for problem in problems} == {"a pipe"}


def test_a_file_given_as_a_scenario_folder_is_told(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "club", FOLDER)
    _, said = read_folder(folder / "scenario.toml")
    assert said == [
        (
            f"{folder}/scenario.toml: error: expected a folder that can be read, found a file; "
            "name the folder that holds scenario.toml"
        )
    ]


def test_links_in_a_circle_end(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "club", FOLDER)
    (folder / "notes").symlink_to(folder)
    case, _ = read_folder(folder)
    assert case is not None
    (tmp_path / "round").symlink_to(tmp_path / "round")
    _, [told] = read_folder(tmp_path / "round")
    assert "found a link that leads to itself" in told
    assert isinstance(names_in(tmp_path / "round"), ReadFailure)
