"""The desk's files: written whole, inside the folder, never through a link; each change undone."""

import os
import shutil
import stat
from pathlib import Path

import pytest

from panelworth import read
from panelworth.problems import Problem
from panelworth.publishing.desk import disc
from panelworth.publishing.desk.disc import ScenarioFiles, fingerprint

ROOT = Path(__file__).parents[1]
FILE = "options/keep.toml"
OUTSIDE = [
    "../secret.toml",
    "options/../../secret.toml",
    "/etc/passwd",
    "options//etc/passwd",
    "options/..toml",
    "options/.hidden.toml",
    "options/a\n.toml",
    "options/a/b.toml",
    "notes/../scenario.toml",
    "scenario.toml\n",
    "other.toml",
    "scenario.TOML",
    "",
    ".",
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Copy the owner demo."""
    return Path(shutil.copytree(ROOT / "scenarios" / "brackenholt-owner", tmp_path / "ours"))


@pytest.fixture
def files(folder: Path) -> ScenarioFiles:
    """Return its files."""
    return ScenarioFiles(folder)


def write(files: ScenarioFiles, file: str, content: bytes | None) -> Problem | None:
    """Write one file as it is now known."""
    return files.write({file: content}, {file: files.content(file)}, file)


def snapshot(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Return every file with its content and mode."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mode)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_writes_are_undone_one_by_one_to_how_the_files_were(
    folder: Path, files: ScenarioFiles
) -> None:
    before = snapshot(folder)
    assert write(files, FILE, b"one") is None
    assert write(files, FILE, b"two") is None
    assert write(files, "options/other.toml", b"new") is None
    assert write(files, "notes/keep.md", None) is None
    assert (folder / FILE).read_bytes() == b"two"
    assert not (folder / "notes/keep.md").exists()
    assert [change.label for change in files.changes] == [
        *(FILE, FILE, "options/other.toml", "notes/keep.md")
    ]
    assert files.undo() is None
    assert files.undo() is None
    assert files.undo() is None
    assert (folder / FILE).read_bytes() == b"one"
    assert files.undo() is None
    assert files.undo() is None
    assert snapshot(folder) == before


def test_a_file_that_changed_meanwhile_is_neither_written_nor_undone(
    folder: Path, files: ScenarioFiles
) -> None:
    seen = files.content(FILE)
    (folder / FILE).write_bytes(b"theirs")
    problem = files.write({FILE: b"ours"}, {FILE: seen}, "")
    assert problem is not None
    assert "changed meanwhile" in problem.found
    assert (folder / FILE).read_bytes() == b"theirs"
    assert write(files, FILE, b"ours") is None
    (folder / FILE).write_bytes(b"theirs again")
    assert files.undo() is not None
    assert (folder / FILE).read_bytes() == b"theirs again"
    (folder / FILE).write_bytes(b"ours")
    assert files.undo() is None
    assert (folder / FILE).read_bytes() == b"theirs"


@pytest.mark.parametrize("mode", [0o644, 0o600, 0o664, 0o755])
def test_the_mode_of_a_file_is_kept(folder: Path, files: ScenarioFiles, mode: int) -> None:
    (folder / FILE).chmod(mode)
    assert write(files, FILE, b"x") is None
    assert stat.S_IMODE((folder / FILE).stat().st_mode) == mode


@pytest.mark.parametrize("name", OUTSIDE)
def test_only_files_of_the_format_are_read_and_written(
    folder: Path, files: ScenarioFiles, name: str
) -> None:
    (folder.parent / "secret.toml").write_bytes(b"secret")
    (folder / "other.toml").write_bytes(b"secret")
    before = snapshot(folder.parent)
    assert files.content(name) is None
    assert write(files, name, b"x") is not None
    assert snapshot(folder.parent) == before


def test_nothing_is_written_through_a_link(folder: Path, files: ScenarioFiles) -> None:
    outside = folder.parent / "outside"
    outside.mkdir()
    (outside / "keep.toml").write_bytes(b"secret")
    (folder / FILE).unlink()
    (folder / FILE).symlink_to(outside / "keep.toml")
    (folder / "fleet.toml").symlink_to(outside / "nothing")
    assert files.content(FILE) is None
    assert "keep" not in files.options()
    assert write(files, FILE, b"x") is not None
    assert write(files, "fleet.toml", b"x") is not None
    shutil.rmtree(folder / "options")
    (folder / "options").symlink_to(outside)
    assert files.content(FILE) is None
    assert write(files, FILE, b"x") is not None
    assert write(files, "options/new.toml", b"x") is not None
    assert snapshot(outside) == {
        "keep.toml": (b"secret", outside.joinpath("keep.toml").stat().st_mode)
    }


def test_a_failed_write_leaves_the_files_as_they_were(
    folder: Path, files: ScenarioFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second of two files cannot be replaced: the first one is put back."""
    before, replace = snapshot(folder), Path.replace

    def full(self: Path, target: Path) -> Path:
        if target.name == "refit.toml":
            raise OSError(28, os.strerror(28))
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", full)
    names = (FILE, "options/refit.toml")
    changes = dict.fromkeys(names, b"x")
    problem = files.write(changes, {name: files.content(name) for name in names}, "")
    assert problem is not None
    assert problem.found == "No space left on device"
    assert snapshot(folder) == before
    assert files.changes == []


def test_a_file_for_reading_only_is_not_replaced(folder: Path, files: ScenarioFiles) -> None:
    (folder / FILE).chmod(0o444)
    assert write(files, FILE, b"x") is not None


def test_a_change_is_checked_by_the_reader_before_it_is_written(
    folder: Path, files: ScenarioFiles
) -> None:
    before = snapshot(folder)
    assert problems_of(files) == []
    text = before["scenario.toml"][0].replace(b"years = 12", b'years = "twelve"')
    [problem] = problems_of(files, {"scenario.toml": text})
    assert (problem.file, problem.key) == ("scenario.toml", "years")
    assert "baseline" in {problem.key for problem in problems_of(files, {FILE: None})}
    assert snapshot(folder) == before


def problems_of(files: ScenarioFiles, changes: disc.Changes | None = None) -> list[Problem]:
    """Return the problems that the reader finds."""
    return files.problems(lambda folder: read(folder)[1], changes)


def test_the_fingerprint_tells_texts_apart() -> None:
    assert len({fingerprint(content) for content in (None, b"", b"a", b"b")}) == 4
