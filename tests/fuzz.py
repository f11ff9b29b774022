"""Spoils copies of sound folders at random and holds every command to the law of fuzz_commands.py.

    python tests/fuzz.py 2000 --seed 7        the long run: every command for each accepted folder
    python tests/fuzz.py --seed 7 --only 123  one case again; its folder is kept and named

`tests/test_fuzz.py` runs some fifty cases, with a sample of the slower commands.
"""

import shutil
import sys
from argparse import ArgumentParser
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random
from tempfile import mkdtemp
from unittest.mock import patch

from fuzz_commands import (
    LARGER,
    LONG,
    MUCH,
    STUCK,
    SVG,
    Fault,
    Run,
    StuckError,
    limited,
    limited_memory,
    most_memory,
    not_numbers,
    run,
)
from fuzz_folders import (
    CLUB,
    OWNER,
    ROOT,
    SMALL,
    SOUND,
    VOTES,
    Files,
    catalogue,
    odd_file,
    of_ending,
    one_step,
    other_files,
    write,
)
from panelworth import read, views
from panelworth.publishing.site.json_files import edition_json

KINDS = [
    *["toml"] * 6,
    *["climb"] * 6,
    *["csv"] * 4,
    *["md"] * 2,
    *["files"] * 2,
    *["json"] * 2,
    "po",
    "votes",
]
FAULTS = (
    *("traceback", "over 5 s", "message without a file", "refused"),
    *("warning", "not a number", "memory"),
)
NAME = "club"
STEPS = 8  # spoils tried one upon the other; in the long run four times as many
FEW = ["--trials", "100"]
# How often a slower command is run for an accepted folder in the short run: once in so many.
SAMPLED = {"brief": 5, "breakeven": 6, "changes": 8, "build": 24, "handout": 30}


@dataclass
class Count:
    """What a run has found."""

    cases: int = 0
    folders: int = 0
    accepted: int = 0
    commands: Counter[str] = field(default_factory=Counter)
    faults: list[tuple[int, Fault]] = field(default_factory=list)

    def told(self) -> str:
        """Sum up in one line."""
        kinds = Counter(fault.kind for _, fault in self.faults)
        found = ", ".join(f"{kind} {kinds[kind]}" for kind in FAULTS)
        ran = ", ".join(f"{name} {number}" for name, number in sorted(self.commands.items()))
        accepted = f"{self.accepted} of {self.folders} folders accepted"
        return f"{self.cases} cases, {accepted}; {ran}; {found}"


@dataclass
class Fuzz:
    """A run: its seed, where it works, and whether every command is run for each folder."""

    seed: int
    place: Path
    thorough: bool
    count: Count = field(default_factory=Count)
    times: float = 1.0  # the work that is allowed

    def case(self, number: int) -> None:
        """Make the case of a number, and run on it what there is to run."""
        rng = Random(f"{self.seed}/{number}")
        kind = KINDS[number % len(KINDS)]
        here = self.place / str(number)
        self.count.cases += 1
        before, self.times = most_memory(), 1.0
        match kind:
            case "votes":
                self._votes(rng, here, number)
            case "json":
                self._editions(rng, here, number)
            case "po":
                self._translated(rng, here, number)
            case "climb":
                base = rng.choice(SOUND)
                self.times = LARGER if base in (CLUB, OWNER) else 1.0
                self._climb(rng, here / NAME, base)
                self._folder(rng, here, number, base)
            case _:
                base = rng.choice([SMALL, CLUB, OWNER] if kind in ("md", "csv") else SOUND)
                spoil = other_files if kind == "files" else of_ending(f".{kind}")
                write(here / NAME, spoil(rng, base))
                self.times = LARGER if base in (CLUB, OWNER) else 1.0
                built = kind == "md" and (
                    self.thorough or rng.random() < 0.5
                )  # notes show in pages
                self._folder(rng, here, number, base, built=built)
        if most_memory() > max(MUCH, before + 1):
            self._add(number, Fault("memory", str(here), f"{most_memory():.0f} MB"))

    def _add(self, number: int, *faults: Fault) -> None:
        self.count.faults += [(number, fault) for fault in faults]

    def _run(self, number: int, here: Path, *arguments: object) -> Run:
        words = [str(each) for each in arguments]
        self.count.commands[words[0]] += 1
        done = run(words, [here], self.times)
        self._add(number, *done.faults)
        return done

    def _accepts(self, number: int, here: Path, *arguments: object) -> Run:
        """Run a command that must accept what `check` has accepted."""
        done = self._run(number, here, *arguments)
        if done.code != 0 and not done.faults:
            self._add(number, Fault("refused", " ".join(map(str, arguments)), done.said[:300]))
        return done

    def _folder(
        self, rng: Random, here: Path, number: int, base: Files, *, built: bool = False
    ) -> None:
        """Hold every command to what `check` says of a folder."""
        folder = here / NAME
        checked = self._run(number, here, "check", folder)
        self.count.folders += 1
        if checked.code != 0 or checked.faults:
            return
        self.count.accepted += 1
        figures = self._accepts(number, here, "figures", folder, "--json", *FEW)
        if figures.code == 0 and (found := not_numbers(figures.out)):
            self._add(number, Fault("not a number", f"figures {folder}", f"{len(found)} times"))
        chosen = [
            each for each, often in SAMPLED.items() if self.thorough or rng.randrange(often) == 0
        ]
        if built and "build" not in chosen:
            chosen.append("build")
        for command in chosen:
            self._more(rng, here, number, base, command)

    def _more(self, rng: Random, here: Path, number: int, base: Files, command: str) -> None:
        folder = here / NAME
        match command:
            case "brief":
                self._accepts(number, here, "brief", folder, *FEW)
                self._accepts(number, here, "figures", folder, *FEW)
            case "breakeven":
                case, _ = read(folder)
                others = (
                    [each for each in case.options if each != case.scenario.baseline]
                    if case
                    else []
                )
                if case and others:
                    path = rng.choice(case.inputs).path
                    self._accepts(number, here, "breakeven", folder, rng.choice(others), path)
            case "changes":
                write(
                    here / "site", {"edition.json": edition(SOUND.index(base)), ".panelworth": b""}
                )
                self._accepts(number, here, "changes", folder, "--site", here / "site")
            case "build":
                more = ["--address", "https://example.org/x"] if rng.random() < 0.3 else []
                self._accepts(number, here, "build", folder, "--out", here / "site", *FEW, *more)
            case _:
                out = ["--out", here / "h.pdf", *FEW]
                self._accepts(number, here, "handout", folder, *out)
                if rng.random() < 0.2:  # refused for an owner, in words that name a file
                    self._run(number, here, "handout", folder, *out, "--ballot")

    def _climb(self, rng: Random, folder: Path, files: Files) -> None:
        """Spoil a folder several times, each time so that it is still accepted, or fails to be."""
        others = of_ending(".toml", ".csv")
        write(folder, files)
        for _ in range(STEPS * (4 if self.thorough else 1)):
            tried = others(rng, files) if rng.random() < 0.2 else one_step(rng, files)
            shutil.rmtree(folder)
            write(folder, tried)
            with suppress(StuckError), limited(STUCK * self.times * LONG):
                try:
                    accepted = read(folder)[0] is not None
                except Exception:  # noqa: BLE001 (this is what is looked for: check will meet it)
                    return
                files = tried if accepted else files
        shutil.rmtree(folder)
        write(folder, files)

    def _editions(self, rng: Random, here: Path, number: int) -> None:
        """Spoil what a site keeps: it is told of, and everything goes on without it."""
        one = rng.choice([0, SOUND.index(CLUB), SOUND.index(OWNER)])
        self.times = LARGER if one else 1.0
        site: Files = {
            "edition.json": edition(one),
            "edition-before.json": edition(one),
        }
        spoil = odd_file if rng.random() < 0.15 else of_ending(".json")
        write(here / "site", {".panelworth": b"", **spoil(rng, site)})
        changed = {
            **SOUND[one],
            **of_ending(".toml")(rng, {"scenario.toml": SOUND[one]["scenario.toml"]}),
        }
        write(here / NAME, changed if rng.random() < 0.3 else SOUND[one])
        if self._run(number, here, "check", here / NAME).code == 0:
            self._run(number, here, "changes", here / NAME, "--site", here / "site")
            if self.thorough or rng.randrange(3) == 0:
                self._accepts(number, here, "build", here / NAME, "--out", here / "site", *FEW)

    def _translated(self, rng: Random, here: Path, number: int) -> None:
        """Spoil a catalogue of texts."""
        folder = ROOT / "templates"
        templates = here / "templates"
        shutil.copytree(folder, templates, copy_function=lambda old, new: Path(new).symlink_to(old))
        spoil = odd_file if rng.random() < 0.15 else of_ending(".po")
        (templates / "texts").rename(here / "english")  # its place is for what is spoilt
        write(templates / "texts", spoil(rng, {"de.po": catalogue(number % 7)}))
        write(
            here / NAME,
            {**SMALL, "scenario.toml": b'locale = "de_DE"\n' + bytes(SMALL["scenario.toml"])},
        )
        with (
            patch("panelworth.templates_folder", return_value=templates),
            patch("panelworth.__main__.templates_folder", return_value=templates),
        ):
            self._folder(rng, here, number, SMALL, built=True)

    def _votes(self, rng: Random, here: Path, number: int) -> None:
        """Spoil members' votes."""
        files: Files = {
            f"{n}.csv": vote for n, vote in enumerate(rng.sample(VOTES, rng.randint(1, 2)))
        }
        spoil = odd_file if rng.random() < 0.1 else of_ending(".csv")
        write(here, spoil(rng, files))
        found = sorted(here.iterdir())
        if found:
            self._run(number, here, "tally", *found)


@cache
def edition(one: int) -> bytes:
    """Return the edition of a sound folder."""
    folder = Path(mkdtemp()) / NAME
    write(folder, SOUND[one])
    case, problems = read(folder)
    assert case is not None, problems
    shutil.rmtree(folder.parent)
    return edition_json(views([case], trials=100)[0]).encode()


def fuzz(
    numbers: range | list[int], seed: int, place: Path, *, thorough: bool, keep: bool = False
) -> Count:
    """Run cases; each works in a folder of its own, which is removed afterwards unless kept."""
    one = Fuzz(seed, place, thorough)
    blank = "panelworth.publishing.site.files.rendered"
    with patch(blank, return_value=SVG), limited_memory():
        for number in numbers:
            seen = len(one.count.faults)
            one.case(number)
            for _, fault in one.count.faults[seen:]:
                sys.stderr.write(f"{number}: {fault.kind}: {fault.command}: {fault.detail}\n")
            if not keep:
                shutil.rmtree(place / str(number), ignore_errors=True)
    return one.count


def command_line() -> None:
    """Run as the command line asks; exit code 1 where the law was broken."""
    parser = ArgumentParser(description="Spoil folders at random and run every command on them.")
    parser.add_argument("cases", type=int, nargs="?", default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="the number of one case, kept for a look")
    parser.add_argument("--sample", action="store_true", help="slower commands for a sample alone")
    given = parser.parse_args()
    place = Path(mkdtemp(prefix="fuzz-"))
    keep = given.only is not None
    numbers = [given.only] if keep else range(given.cases)
    count = fuzz(numbers, given.seed, place, thorough=not given.sample, keep=keep)
    print(f"seed {given.seed}: {count.told()}")
    if keep:
        print(f"kept: {place / str(given.only)}")
    else:
        shutil.rmtree(place)
    sys.exit(bool(count.faults))


if __name__ == "__main__":
    command_line()
