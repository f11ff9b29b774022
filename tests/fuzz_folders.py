"""Sound folders, and ways to spoil one: what a text says, what a file is, which files there are."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from io import BytesIO
from pathlib import Path
from random import Random

from babel.messages import Catalog
from babel.messages.pofile import write_po

from fuzz_texts import SPOILS, one_value, ranges_ended
from texts import gathered

ROOT = Path(__file__).parents[1]
CASES = ROOT / "tests" / "cases"
GOLDEN = ROOT / "tests" / "golden"


class Odd(Enum):
    """What may stand where a file should be."""

    FOLDER = "a folder"
    FIFO = "a FIFO"
    LOOP = "a link to itself"
    NOWHERE = "a link to nothing"
    NO_END = "a link to a device that never ends"
    UNREADABLE = "a link to what no one can read"
    LOCKED = "a file without rights"


Files = dict[str, bytes | Odd]


@dataclass(frozen=True)
class Kind:
    """A kind of case: what is spoilt, and how likely it is chosen."""

    name: str
    spoil: Callable[[Random, Files], Files]


def folder_files(folder: Path) -> Files:
    """Return the files of a folder by their names in it."""
    found = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


NEEDS = b"""ballots = "approval"
[[needs]]
name = "A gyro"
functions = ["Alternator | Standby battery"]
[[needs]]
name = "A map"
functions = ["moving map"]
"""
SMALL: Files = {
    **folder_files(CASES / "folder"),
    "needs.toml": NEEDS,
    "ballots.csv": b"A gyro,A map\nx,\nx,x\n,x\n",
    "notes/refit.md": b"*Invented.*\n\nSee [the other](option-keep.html) and **this**.\n",
    "notes/scenario.md": b"# A question\n\n- one\n- two\n",
}
CLUB = folder_files(ROOT / "scenarios" / "quillmeadow-club")
OWNER = folder_files(ROOT / "scenarios" / "brackenholt-owner")
SOUND: list[Files] = [
    *[SMALL] * 5,
    folder_files(CASES / "rich"),
    *[folder_files(GOLDEN / name) for name in ("club-retrofit", "club-upkeep", "owner-replace")],
    CLUB,
    OWNER,
]  # fmt: skip
VOTES = [b"keep,refit,newer\nx,,x\n,x,\nx,x,\n", b"keep,refit,newer\n1,2,3\n2,1,\n1,1,2\n3,,1\n"]
ODD_NAMES = [
    "options/Refit.toml", "options/KEEP.toml", "options/a b.toml", "options/ledger.toml",
    "options/é.toml", "options/full.txt", "options/.hidden.toml", "options/x.equipment.toml",
    "ledger-east.csv", "ledger.CSV", "Scenario.toml", "notes/nobody.md", "notes/keep.txt",
    "notes/sub/x.md", "x" * 200 + ".toml", "options/x\ny.toml", "options/-.toml",
    "options/con.toml", "notes/\x1b[31m.md", "squawks.csv", "options/%s.toml",
]  # fmt: skip


def of_ending(*endings: str) -> Callable[[Random, Files], Files]:
    """Return a way to spoil the text of a file with one of these endings."""

    def spoil(rng: Random, files: Files) -> Files:
        names = [name for name in files if name.endswith(endings)]
        for _ in range(rng.choice([1, 1, 1, 2])):
            name = rng.choice(names)
            content = files[name]
            if isinstance(content, bytes):
                spoilt = rng.choice(SPOILS[Path(name).suffix])(rng, content)
                files = {**files, name: spoilt}
        return files

    return spoil


def one_step(rng: Random, files: Files) -> Files:
    """Put one value of a TOML file at an extreme, or end the ranges of one."""
    name = rng.choice([name for name in files if name.endswith(".toml")])
    spoil = ranges_ended if rng.random() < 0.05 else one_value
    return {**files, name: spoil(rng, bytes(files[name]))}


def odd_file(rng: Random, files: Files) -> Files:
    """Take a file away, or put something else in its place."""
    name = rng.choice([*files])
    if rng.random() < 0.2:
        return {each: content for each, content in files.items() if each != name}
    return {**files, name: rng.choice([*Odd])}


def other_files(rng: Random, files: Files) -> Files:
    """Take a file away, put something else in its place, or add one that nobody expects."""
    name = rng.choice([*files])
    match rng.randrange(4):
        case 0:
            return {each: content for each, content in files.items() if each != name}
        case 1:
            return {**files, rng.choice(ODD_NAMES): files[name]}
        case 2:
            folder = Path(name).parts[0]
            left = {each: content for each, content in files.items() if not each.startswith(folder)}
            return {**left, folder: rng.choice([*Odd])}
        case _:
            return {**files, name: rng.choice([*Odd])}


def write(folder: Path, files: Mapping[str, bytes | Odd]) -> None:
    """Write files into a new folder, and what stands in the place of some."""
    folder.mkdir(parents=True)
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            _write_odd(path, content)


def _write_odd(path: Path, odd: Odd) -> None:
    match odd:
        case Odd.FOLDER:
            path.mkdir()
        case Odd.FIFO:
            os.mkfifo(path)
        case Odd.LOOP:
            path.symlink_to(path.name)
        case Odd.NOWHERE:
            path.symlink_to("nothing-here")
        case Odd.NO_END:
            path.symlink_to("/dev/zero")
        case Odd.UNREADABLE:
            path.symlink_to("/proc/self/mem")  # reading it fails, for root too
        case Odd.LOCKED:
            path.write_bytes(b"")
            path.chmod(0)


def catalogue(part: int) -> bytes:
    """Return a German catalogue of every seventh text, which says what the English does."""
    german, out = Catalog(locale="de"), BytesIO()
    for number, message in enumerate(gathered()):
        english = [message.id] if isinstance(message.id, str) else message.id
        strings = tuple(f"Ä {each}" for each in english) if number % 7 == part % 7 else ()
        if message.id:
            string = strings if len(english) > 1 else "".join(strings)
            german.add(message.id, string, locations=message.locations)
    write_po(out, german)
    return out.getvalue()
