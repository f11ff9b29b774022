"""The folder in order of cases/folder, one text of it changed, and what is said when it is read."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from panelworth.model.case import WrittenCase
from panelworth.problems import render
from panelworth.reading.folder import read_case
from strategies import write_folder

CASES = Path(__file__).parent / "cases"
FOLDER = {
    path.relative_to(CASES / "folder").as_posix(): path.read_text(encoding="utf-8")
    for path in sorted((CASES / "folder").rglob("*.*"))
}


def read_files(tmp_path: Path, files: Mapping[str, Any]) -> tuple[WrittenCase | None, list[str]]:
    """Read a folder with these files; problems as they are shown, without the folder's place."""
    return read_folder(write_folder(tmp_path / "club", files))


def read_folder(folder: Path) -> tuple[WrittenCase | None, list[str]]:
    """Read a folder; problems as they are shown, without the folder's place."""
    case, problems = read_case(folder)
    return case, [render(problem).removeprefix(f"{folder}/") for problem in problems]


def written(file: str, old: str, new: str) -> dict[str, Any]:
    """Return the folder with one text of one file written differently."""
    assert old in FOLDER[file]
    return {**FOLDER, file: FOLDER[file].replace(old, new, 1)}
