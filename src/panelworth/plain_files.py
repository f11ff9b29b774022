"""Safe reading of a user's files: regular files only, up to a size. Failures are returned.

A pipe or a device could block the program for ever, or give bytes without end. So only regular
files are opened, and never more than a stated number of bytes is read.
"""

import errno
import os
import stat
from dataclasses import dataclass
from pathlib import Path

FILE, FOLDER = "a file that can be read", "a folder that can be read"
KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)
WORDS = {errno.ELOOP: "a link that leads to itself", errno.ENOTDIR: "a file"}
NO_RIGHT = (errno.EACCES, errno.EPERM)


@dataclass(frozen=True, kw_only=True)
class ReadFailure:
    """Why a file or a folder was not read: what was expected, what was found, what to do.

    `missing` is true if nothing has that name.
    """

    expected: str
    found: str
    hint: str = ""
    missing: bool = False


def contents(path: Path, most: int) -> bytes | ReadFailure:
    """Return the bytes of a regular file of at most `most` bytes, or why it was not read."""
    try:
        status = path.stat()
        if kind := _kind(status.st_mode):
            return ReadFailure(expected=FILE, found=kind)
        with path.open("rb") as file:
            # One byte more than allowed shows a file that has grown since its size was read.
            content = b"" if status.st_size > most else file.read(most + 1)
    except OSError as error:
        if error.errno == errno.ENOTDIR:  # a part of the path is a file: nothing has this name
            return ReadFailure(expected=FILE, found="none", missing=True)
        return _unread(path, FILE, error, "change its permissions so that you can read it")
    if (size := max(status.st_size, len(content))) > most:
        expected = f"a file of at most {most // 1_000_000} MB"
        return ReadFailure(expected=expected, found=f"{size:,} bytes")
    return content


def names_in(folder: Path) -> tuple[str, ...] | ReadFailure:
    """Return the sorted names in a folder, or why it was not read.

    Listing and entering a folder are two permissions: both are checked.
    """
    try:
        names = [path.name for path in folder.iterdir()]
        os.stat(os.path.join(folder, "."))  # noqa: PTH116, PTH118 (a path would drop the dot)
    except OSError as error:
        return _unread(
            folder, FOLDER, error, "change its permissions so that you can list and enter it"
        )
    return tuple(sorted(names))


def _unread(path: Path, expected: str, error: OSError, hint: str) -> ReadFailure:
    """Describe an error of the operating system; `hint` is used if a permission is missing."""
    missing = error.errno == errno.ENOENT
    if missing and os.path.lexists(path):
        return ReadFailure(expected=expected, found="a link that leads nowhere")
    hint = hint if error.errno in NO_RIGHT else ""
    return ReadFailure(expected=expected, found=reason(error), hint=hint, missing=missing)


def is_there(path: Path) -> bool:
    """Return whether anything has that name, also a broken link; False without permission."""
    return os.path.lexists(path)


def is_file(path: Path) -> bool:
    """Return whether it is a regular file; False without permission."""
    return os.path.isfile(path)  # noqa: PTH113 (the method of a path raises without permission)


def is_folder(path: Path) -> bool:
    """Return whether it is a folder; False without permission."""
    return os.path.isdir(path)  # noqa: PTH112 (the method of a path raises without permission)


def reason(error: OSError) -> str:
    """Return the reason of a system error in words."""
    return WORDS.get(error.errno or 0, error.strerror or str(error))


def _kind(mode: int) -> str:
    """Name the kind of a path that is not a regular file; empty for a regular file."""
    if stat.S_ISREG(mode):
        return ""
    return next((name for test, name in KINDS if test(mode)), "something that is not a file")
