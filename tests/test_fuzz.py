"""The law on spoilt folders, held by some cases; many are by hand: python tests/fuzz.py 2000.

Run in a process of its own, so that a crash or a hang fails this test and no other.
"""

import subprocess
import sys
import time
import warnings
from contextlib import suppress
from pathlib import Path
from random import Random

import click
import pytest

import fuzz_commands
from fuzz import KINDS, Count, Fuzz
from fuzz_commands import Fault, not_numbers, run
from fuzz_folders import SMALL, of_ending, write
from fuzz_texts import SPOILS

SEEDS = (2026, 2027, 2028, 2029)
QUICK, LONG = 12, 90  # cases of each seed
FUZZ = Path(__file__).with_name("fuzz.py")


@pytest.mark.parametrize("seed", SEEDS)
def test_what_check_accepts_every_command_accepts_and_nothing_ends_in_a_traceback(
    request: pytest.FixtureRequest, seed: int
) -> None:
    cases = LONG if request.config.getoption("--long") else QUICK
    command = [sys.executable, str(FUZZ), str(cases), "--seed", str(seed), "--sample"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=900, check=False)
    assert done.returncode == 0, done.stdout + done.stderr[-20_000:]
    assert f"{cases} cases" in done.stdout


def test_every_kind_of_file_is_spoilt_and_in_every_way() -> None:
    assert set(KINDS) >= {"toml", "csv", "md", "files", "json", "po", "votes"}
    assert len(SEEDS) * QUICK / len(KINDS) >= 2  # so many cases of the rarest kind
    assert len(SEEDS) * LONG / len(KINDS) > 12
    for ways in SPOILS.values():
        assert len(set(ways)) >= 5


@pytest.mark.parametrize("ending", [".toml", ".csv", ".md"])
def test_a_seed_makes_the_same_case_again_and_another_seed_another(ending: str) -> None:
    spoil = of_ending(ending)
    assert spoil(Random("7/1"), SMALL) == spoil(Random("7/1"), SMALL)
    made = [str(spoil(Random(f"{seed}/1"), SMALL)) for seed in range(20)]
    assert len(set(made)) > 10


@click.group()
def broken() -> None:
    """Stand for a program with every fault there is."""


@broken.command()
def crash() -> None:
    """Raise."""
    raise ValueError("an error of our own")


@broken.command()
def hang() -> None:
    """Never end, and let nothing that can be caught end it."""
    while True:
        with suppress(Exception):
            time.sleep(60)


@broken.command()
def work() -> None:
    """Work for longer than is allowed."""
    begun = time.process_time()
    while time.process_time() < begun + 0.3:
        pass


@broken.command()
def mumble() -> None:
    """Say something about no file."""
    click.echo("/x/club/a.toml:3: error: years: expected a number, found nothing", err=True)
    click.echo("1 error; nothing was written", err=True)
    click.echo("something is wrong", err=True)


@broken.command()
def warn() -> None:
    """Let a library warn."""
    warnings.warn("overflow", RuntimeWarning, stacklevel=1)


@pytest.mark.parametrize(
    ("command", "kind"),
    [
        ("crash", "traceback"),
        ("hang", "over 5 s"),
        ("work", "over 5 s"),
        ("mumble", "message without a file"),
        ("warn", "warning"),
    ],
)
def test_each_fault_is_seen(monkeypatch: pytest.MonkeyPatch, command: str, kind: str) -> None:
    monkeypatch.setattr(fuzz_commands, "main", broken)
    monkeypatch.setattr(fuzz_commands, "LONG", 0.2)
    monkeypatch.setattr(fuzz_commands, "ASLEEP", 1.0)
    [fault] = run([command], [Path("/x/club")]).faults
    assert fault.kind == kind
    assert "/x/club/a.toml" not in fault.detail


def test_what_is_no_number_is_seen() -> None:
    assert not_numbers('{"a": [1.5, NaN, -Infinity], "b": null}') == ["NaN", "-Infinity"]


def test_a_folder_that_check_accepts_and_another_command_refuses_is_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path / "club", SMALL)
    one = Fuzz(1, tmp_path, thorough=False)
    one._accepts(1, tmp_path, "figures", tmp_path / "club", "--json", "--trials", "100")
    assert one.count.faults == []
    monkeypatch.setattr("panelworth.__main__.evaluate", lambda *_, **__: sys.exit(1))
    one._accepts(1, tmp_path, "figures", tmp_path / "club", "--json", "--trials", "100")
    [(_, fault)] = one.count.faults
    assert fault.kind == "refused"


def test_the_count_names_every_kind_of_fault() -> None:
    count = Count(faults=[(1, Fault("memory", "check", "3000 MB"))])
    assert count.told().endswith(
        "traceback 0, over 5 s 0, message without a file 0, refused 0, warning 0, not a number 0, "
        "memory 1"
    )
