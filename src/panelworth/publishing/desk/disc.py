"""Reads and writes the files of one scenario folder for the desk; undo; a copy for checks.

Besides `publishing/site/folder.py` this is the only module that writes to disc. It writes only
files of the format, only inside the folder, and never through a symbolic link. A file is replaced
as a whole, so that a crash leaves the old file or the new one.
"""

import hashlib
import os
import re
import secrets
import stat
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from panelworth.plain_files import ReadFailure, contents, names_in, reason
from panelworth.problems import Problem

Changes = Mapping[str, bytes | None]  # new content by file; None removes the file
T = TypeVar("T")
Read = Callable[[Path], list[Problem]]
OPTION = "options/{}.toml"
EQUIPMENT = "options/{}.equipment.toml"
OPTION_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,99}")
NAME = re.compile(
    rf"(?:scenario|equipment|fleet|needs)\.toml|(?:ledger|squawks|ballots)\.csv"
    rf"|options/{OPTION_ID.pattern}(?:\.equipment)?\.toml|notes/{OPTION_ID.pattern}\.md"
)
FOLDERS = ("", "options", "notes")
READ_ENDINGS = (".toml", ".csv", ".md", ".xlsx", ".ods")
LARGEST = 1_000_000  # bytes: the reader takes no larger text
LARGEST_COPY = 20_000_000  # bytes; a spreadsheet may be larger than a text
MOST_KNOWN = 4  # texts of a folder whose problems are kept
NEW_FILE = 0o644
WRITABLE = 0o222  # a file without any of these rights is protected, from the superuser too
FILE = "a file inside the scenario folder that can be written"


@dataclass(frozen=True, kw_only=True)
class Change:
    """One change that was written: what it was, and each file before and after it."""

    label: str
    before: dict[str, bytes | None]
    after: dict[str, bytes | None]


@dataclass
class ScenarioFiles:
    """The files of one scenario folder while the desk is open, and the changes made to them."""

    folder: Path
    changes: list[Change] = field(default_factory=list)
    _known: dict[tuple[Read, str], list[Problem]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.folder = self.folder.resolve()

    def content(self, file: str) -> bytes | None:
        """Return the bytes of a file; None if there is none, or none that the desk may write."""
        path = self._path(file)
        if path is None or not _is_plain(path):
            return None
        raw = contents(path, LARGEST)
        return None if isinstance(raw, ReadFailure) else raw

    def options(self) -> list[str]:
        """Return the ids of all options that have a plain file, in order."""
        names = names_in(self.folder / "options")
        if isinstance(names, ReadFailure):
            return []
        ids = [name.removesuffix(".toml") for name in names if name.endswith(".toml")]
        return [
            name
            for name in ids
            if OPTION_ID.fullmatch(name) and self.content(OPTION.format(name)) is not None
        ]

    def problems(self, read: Read, changes: Changes | None = None) -> list[Problem]:
        """Return the problems of the folder, with changes that are not written yet.

        The files are copied to a temporary folder, where the same reader reads them. The problems
        of the last few texts are kept: a folder with a long ledger takes seconds to read.
        """
        whole = self._with(changes)
        digest = hashlib.sha256(repr(sorted(whole.items())).encode()).hexdigest()
        if (read, digest) not in self._known:
            self._known = dict(list(self._known.items())[1 - MOST_KNOWN :])
            problems, copy = _on_copy_of(
                self.folder.name, whole, lambda folder: (read(folder), str(folder))
            )
            self._known[read, digest] = [
                replace(problem, file=problem.file.removeprefix(copy).removeprefix("/"))
                for problem in problems
            ]
        return self._known[read, digest]

    def on_copy(self, work: Callable[[Path], T], changes: Changes | None = None) -> T:
        """Return what a function makes of a temporary copy, with changes not written yet."""
        return _on_copy_of(self.folder.name, self._with(changes), work)

    def _with(self, changes: Changes | None) -> dict[str, bytes | None]:
        return {**dict(self._copied()), **(changes or {})}

    def write(self, changes: Changes, before: Changes, label: str) -> Problem | None:
        """Write files and remember how they were. Returns the problem; then nothing is written.

        `before` has each file as the change was made from: one that differs now is not replaced.
        """
        for file in changes:
            if problem := self._unwritable(file, before[file]):
                return problem
        done: dict[str, bytes | None] = {}
        try:
            for file, content in changes.items():
                self._replace(file, content)
                done[file] = content
        except OSError as error:
            for file in done:
                with suppress(OSError):
                    self._replace(file, before[file])
            return _problem(file, reason(error))
        change = Change(label=label, before=dict(before), after=dict(changes))
        self.changes.append(change)
        return None

    def undo(self) -> Problem | None:
        """Undo the last change. Returns the problem, for example that a file changed since."""
        if not self.changes:
            return None
        change = self.changes.pop()
        problem = self.write(change.before, change.after, change.label)
        if problem is None:
            self.changes.pop()  # the undoing itself
        else:
            self.changes.append(change)
        return problem

    def _copied(self) -> Iterator[tuple[str, bytes]]:
        """Yield what the reader may read: plain files, and links that stay inside the folder."""
        for inner in FOLDERS:
            names = names_in(self.folder / inner)
            for name in () if isinstance(names, ReadFailure) else names:
                path = self.folder / inner / name
                within = Path(os.path.realpath(path)).is_relative_to(self.folder)
                if within and name.endswith(READ_ENDINGS):
                    raw = contents(path, LARGEST_COPY)
                    if not isinstance(raw, ReadFailure):
                        yield f"{inner}/{name}" if inner else name, raw

    def _path(self, file: str) -> Path | None:
        """Return where a file is; None for a name that the format does not have, or a link."""
        path = self.folder / file
        if not NAME.fullmatch(file) or (path.parent != self.folder and path.parent.is_symlink()):
            return None
        return path

    def _unwritable(self, file: str, expected: bytes | None) -> Problem | None:
        """Return why a file cannot be written, or None."""
        path = self._path(file)
        if path is None or (os.path.lexists(path) and not _is_plain(path)):
            return _problem(file, "a link, or another name")
        known = self.content(file)
        if known != expected or (known is None and path.exists()):  # a file that is too large
            return replace(
                _problem(file, "another text: it was changed meanwhile"), expected="the same text"
            )
        if path.exists() and not (os.access(path, os.W_OK) and path.stat().st_mode & WRITABLE):
            return _problem(file, "a file that is for reading only")
        return None

    def _replace(self, file: str, content: bytes | None) -> None:
        """Replace or remove a file in one step. Raises OSError."""
        path = self.folder / file
        if content is None:
            path.unlink()
            _flush(path.parent)
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        mode = stat.S_IMODE(path.stat().st_mode) if path.exists() else NEW_FILE
        with _new_file(path.parent, mode) as (new, handle):
            with os.fdopen(handle, "wb") as opened:
                opened.write(content)
                opened.flush()
                os.fsync(opened.fileno())
            new.replace(path)
        _flush(path.parent)


def fingerprint(content: bytes | None) -> str:
    """Return a short text that differs if the content does; "" if there is no file."""
    return "" if content is None else hashlib.sha256(content).hexdigest()[:32]


@contextmanager
def _new_file(folder: Path, mode: int) -> Iterator[tuple[Path, int]]:
    """Open a new file of this folder with a name that is not read; removed if it remains."""
    path = folder / f".{secrets.token_hex(8)}.tmp"
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        path.chmod(mode)
        yield path, handle
    finally:
        path.unlink(missing_ok=True)


def _flush(folder: Path) -> None:
    """Flush a folder's list of names to the disc, so that a power failure loses nothing."""
    with suppress(OSError):  # some systems cannot flush a folder
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _is_plain(path: Path) -> bool:
    """Return whether it is a regular file itself, not a link to one."""
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except OSError:
        return False


def _problem(file: str, found: str) -> Problem:
    return Problem(file=file, key="", expected=FILE, found=found)


def _on_copy_of(name: str, files: Changes, work: Callable[[Path], T]) -> T:
    """Return what a function makes of a temporary folder of this name with these files."""
    with TemporaryDirectory(prefix="panelworth-") as temporary:
        copy = Path(temporary).resolve() / name
        for file, content in files.items():
            if content is not None:
                (copy / file).parent.mkdir(parents=True, exist_ok=True)
                (copy / file).write_bytes(content)
        return work(copy)
