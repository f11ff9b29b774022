"""The folder of a site: a build writes a new folder and then exchanges the two.

This is the only module that writes to disc. A failed or killed build leaves the published site as
it was. During a build `.site.lock`, `.site.new` and `.site.old` are next to the folder `site`; they
are removed at the end. `replace_site` explains what a crash can leave.
"""

import os
import shutil
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from panelworth.problems import Problem

Files = dict[str, bytes]
Progress = Callable[[str], None]
MARKER = ".panelworth"
MARKER_TEXT = "This folder is written by panelworth; each build replaces it whole.\n"
LOCK_TIMEOUT = 120.0  # seconds to wait for another build of the same site
POLL_INTERVAL = 0.2  # seconds between two attempts to lock

try:
    import fcntl
except ImportError:  # not a POSIX system: there the user must avoid two builds at once
    fcntl = None  # type: ignore[assignment]


def foreign_folder_problem(out: Path) -> Problem | None:
    """Return a problem for a folder that panelworth has not written; None if it may be replaced."""
    if not out.exists() or (out.is_dir() and (not any(out.iterdir()) or (out / MARKER).is_file())):
        return None
    return Problem(
        file=str(out),
        key="--out",
        expected="a new or empty folder, or one that panelworth has written",
        found="other files",
        hint="name another folder, or empty this one yourself",
    )


@contextmanager
def site_lock(
    out: Path, progress: Progress, *, timeout: float = LOCK_TIMEOUT
) -> Iterator[Problem | None]:
    """Lock a site against other builds, and repair what a killed build left.

    Waits for another build; yields a problem if that does not end in time. It is a lock of the
    operating system (flock), which ends with its process, so that the lock file of a killed build
    does not block.
    """
    _real(out).parent.mkdir(parents=True, exist_ok=True)
    lock = _beside(out, "lock")
    handle = _lock(lock, progress, timeout)
    if handle is None:
        yield Problem(
            file=str(out),
            key="--out",
            expected="no other build at work on this site",
            found=f"one that has not ended in {timeout:g} seconds",
            hint="wait for it to end, or stop it, and build again",
        )
        return
    try:
        _repair(out)
        yield None
    finally:
        _unlock(lock, handle)


def _unlock(lock: Path, handle: int) -> None:
    """Remove our lock file, if it still exists: its folder may have been removed meanwhile.

    It is removed while it is locked: a build that waits for it sees that, and makes a new file.
    """
    with suppress(OSError):
        if os.fstat(handle).st_ino == lock.stat().st_ino:
            lock.unlink()
    os.close(handle)


def _lock(lock: Path, progress: Progress, timeout: float) -> int | None:
    """Wait for the lock and return its open file; None if that takes longer than `timeout`."""
    ends = time.monotonic() + timeout
    while True:
        handle = os.open(lock, os.O_RDWR | os.O_CREAT, 0o644)
        with suppress(OSError):
            if fcntl is not None:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            # Another build may have removed this file before we locked it: then we try again.
            if os.fstat(handle).st_ino == lock.stat().st_ino:
                return handle
        os.close(handle)
        if time.monotonic() >= ends:
            return None
        progress("waiting for another build of this site to end")
        time.sleep(POLL_INTERVAL)


def _repair(out: Path) -> None:
    """Restore the old site if a killed build left none, and remove temporary folders."""
    old, new = _beside(out, "old"), _beside(out, "new")
    if old.exists() and not _real(out).exists():
        old.rename(_real(out))
    for folder in (old, new):
        if folder.exists():
            shutil.rmtree(folder)


def replace_site(files: Mapping[str, bytes], out: Path) -> None:
    """Write the new site into a folder beside the old one, then exchange the two folders.

    A build that is killed before the first rename leaves the old site, and after the second rename
    the new one; `_repair` removes the rest. Between the two renames, which follow each other at
    once, both folders are complete but neither has the site's name. The next build, even one that
    fails, then restores the old site.

    Why not otherwise: no portable call exchanges two folders in one step. A symbolic link to
    numbered folders could be changed in one step, but the site would no longer be a plain folder
    that can be copied or kept under version control. Replacing file by file could leave pages of
    two editions with contradicting figures after a crash; a site that is missing for a moment is
    less harmful.
    """
    site, new, old = _real(out), _beside(out, "new"), _beside(out, "old")
    site.parent.mkdir(parents=True, exist_ok=True)
    try:
        _write(files, new)
        if site.exists():
            site.rename(old)
        new.rename(site)
    finally:
        with suppress(OSError):  # the site is published by now; the next build repairs again
            _repair(out)


def _write(files: Mapping[str, bytes], folder: Path) -> None:
    folder.mkdir()
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    _flush_to_disc(folder)


def _flush_to_disc(folder: Path) -> None:
    """Flush all files to the disc, so that a power failure loses nothing."""
    for path in (*folder.rglob("*"), folder):
        handle = os.open(path, os.O_RDONLY)
        with suppress(OSError):  # some systems cannot flush a folder
            os.fsync(handle)
        os.close(handle)


def _real(out: Path) -> Path:
    """Return the folder itself where `out` is a symbolic link to it."""
    return out.resolve()


def _beside(out: Path, suffix: str) -> Path:
    site = _real(out)
    return site.with_name(f".{site.name}.{suffix}")


def write_file(content: bytes, path: Path) -> None:
    """Write one file; after a failure the former file is unchanged.

    It is written beside its place and then renamed, which is one step for the system.
    """
    new = _beside(path, "new")
    try:
        new.write_bytes(content)
        new.replace(path)
    finally:
        new.unlink(missing_ok=True)


def write_new(files: Mapping[str, bytes], folder: Path) -> list[Problem]:
    """Write a new scenario folder. Returns the problems; a folder with files is not changed."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        return [
            Problem(
                file=str(folder),
                key="DIR",
                expected="a folder that is new or empty",
                found="files in it" if folder.is_dir() else "a file",
                hint="name another folder",
            )
        ]
    new = _beside(folder, "new")
    folder.mkdir(parents=True, exist_ok=True)
    shutil.rmtree(new, ignore_errors=True)
    try:
        _write(files, new)
        # The folder itself is kept: it may be the working directory of the user's shell.
        for path in list(new.iterdir()):
            path.rename(folder / path.name)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return []
