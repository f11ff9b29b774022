"""A site's folder: a build writes a new folder and then swaps the two.

The only module that writes to disc. A failed or killed build leaves the published site as it was.
During a build `.site.lock`, `.site.new` and `.site.old` are next to the folder `site`; afterwards
they are gone. See `replace_site` for what a crash can leave.
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
PATIENCE = 120.0  # seconds to wait for another build of the same site
GLANCE = 0.2  # seconds between two looks

try:
    import fcntl
except ImportError:  # not a POSIX system: two builds at once are then the user's to avoid
    fcntl = None  # type: ignore[assignment]


def foreign_folder_problem(out: Path) -> Problem | None:
    """Return the problem of a folder that panelworth has not written; None if replaceable."""
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
    out: Path, progress: Progress, *, patience: float = PATIENCE
) -> Iterator[Problem | None]:
    """Lock a site against other builds, and repair what a killed build left.

    Waits for a build at work; yields a problem if that does not end in time. The lock is the
    system's own (flock): it ends with the process that held it, so a stale lock
    file does not block.
    """
    _real(out).parent.mkdir(parents=True, exist_ok=True)
    lock = _beside(out, "lock")
    handle = _locked(lock, progress, patience)
    if handle is None:
        yield Problem(
            file=str(out),
            key="--out",
            expected="no other build at work on this site",
            found=f"one that has not ended in {patience:g} seconds",
            hint="wait for it to end, or stop it, and build again",
        )
        return
    try:
        _repair(out)
        yield None
    finally:
        _unlock(lock, handle)


def _unlock(lock: Path, handle: int) -> None:
    """Remove our lock file, if it is still there: its folder may have been removed meanwhile.

    It is removed while locked: a build that waits for it finds it gone and makes its own.
    """
    with suppress(OSError):
        if os.fstat(handle).st_ino == lock.stat().st_ino:
            lock.unlink()
    os.close(handle)


def _locked(lock: Path, progress: Progress, patience: float) -> int | None:
    """Return the open lock file once it is ours; None if that takes longer than `patience`."""
    ends = time.monotonic() + patience
    while True:
        handle = os.open(lock, os.O_RDWR | os.O_CREAT, 0o644)
        with suppress(OSError):
            if fcntl is not None:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if os.fstat(handle).st_ino == lock.stat().st_ino:
                return handle
        os.close(handle)
        if time.monotonic() >= ends:
            return None
        progress("waiting for another build of this site to end")
        time.sleep(GLANCE)


def _repair(out: Path) -> None:
    """Give the old site its name back if a killed build left none there, and clean up."""
    old, fresh = _beside(out, "old"), _beside(out, "new")
    if old.exists() and not _real(out).exists():
        old.rename(_real(out))
    for left in (old, fresh):
        if left.exists():
            shutil.rmtree(left)


def replace_site(files: Mapping[str, bytes], out: Path) -> None:
    """Write everything beside the site, to the disc itself, then exchange the two folders.

    Killed while it writes, or before, the site is the old one; killed after the second rename it
    is the new one; either way `_repair` clears the rest away. Between the two renames, which follow
    each other without anything in between, both sites are whole but neither has the name: the
    next build, or the next `panelworth build` that only fails, gives the old one its name back.

    No portable call exchanges two folders at once. A link to numbered folders could be swapped in
    one step, but then the site would no longer be a plain folder: copied to a stick, or kept
    under version control, it would be a dangling link. Replacing file by file never lacks a site,
    but a crash would leave pages of two editions side by side, whose figures contradict each
    other; a site that is briefly missing misleads nobody.
    """
    site, fresh, old = _real(out), _beside(out, "new"), _beside(out, "old")
    site.parent.mkdir(parents=True, exist_ok=True)
    try:
        _write(files, fresh)
        if site.exists():
            site.rename(old)
        fresh.rename(site)
    finally:
        with suppress(OSError):  # it says nothing of what was published; the next build clears up
            _repair(out)


def _write(files: Mapping[str, bytes], folder: Path) -> None:
    folder.mkdir()
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    _flush_to_disc(folder)


def _flush_to_disc(folder: Path) -> None:
    """Flush everything to the disc, so that a power cut loses nothing."""
    for path in (*folder.rglob("*"), folder):
        handle = os.open(path, os.O_RDONLY)
        with suppress(OSError):  # some systems cannot do it for folders
            os.fsync(handle)
        os.close(handle)


def _real(out: Path) -> Path:
    """Return the folder itself where the site is named by a link to it."""
    return out.resolve()


def _beside(out: Path, what: str) -> Path:
    site = _real(out)
    return site.with_name(f".{site.name}.{what}")


def write_file(content: bytes, path: Path) -> None:
    """Write one file beside its place, then put it there: a failure leaves what was there."""
    fresh = _beside(path, "new")
    try:
        fresh.write_bytes(content)
        fresh.replace(path)
    finally:
        fresh.unlink(missing_ok=True)


def write_new(files: Mapping[str, bytes], folder: Path) -> list[Problem]:
    """Write a new scenario folder; a folder with files in it is not changed."""
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
    fresh = _beside(folder, "new")
    folder.mkdir(parents=True, exist_ok=True)
    shutil.rmtree(fresh, ignore_errors=True)
    try:
        _write(files, fresh)
        for path in list(fresh.iterdir()):  # an empty folder may be where the user stands: it stays
            path.rename(folder / path.name)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return []
