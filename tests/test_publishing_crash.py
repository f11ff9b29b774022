"""Killed at any moment, two at once, a full disc: the site is whole, the next build clears up."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from contextlib import nullcontext
from pathlib import Path

import pytest
from click.testing import CliRunner

from panelworth import __main__ as command
from panelworth import publish
from panelworth.__main__ import main
from panelworth.problems import render
from panelworth.publishing.site import folder as site
from small_cases import case_in, refit

OLD = {"index.html": b"old", "a/page.html": b"old too", site.MARKER: b"m"}
NEW = {"index.html": b"new", "a/page.html": b"new too", "b.txt": b"b", site.MARKER: b"m"}
# A build that kills itself with SIGKILL, as a person or the system would, at the nth call of a
# function: before it, or once it is done.
KILLED = """
import os, shutil, signal, sys
from pathlib import Path
from panelworth.publishing.site import folder as site

owner, name, nth, when = {"Path": Path, "shutil": shutil}[sys.argv[2]], *sys.argv[3:6]
real, calls = getattr(owner, name), []

def deadly(*given, **named):
    calls.append(given)
    if len(calls) == int(nth) and when == "before":
        os.kill(os.getpid(), signal.SIGKILL)
    answer = real(*given, **named)
    if len(calls) == int(nth) and when == "after":
        os.kill(os.getpid(), signal.SIGKILL)
    return answer

setattr(owner, name, deadly)
files = {"index.html": b"new", "a/page.html": b"new too", "b.txt": b"b", site.MARKER: b"m"}
with site.site_lock(Path(sys.argv[1]), lambda _: None):
    site.replace_site(files, Path(sys.argv[1]))
"""


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name within."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def written(out: Path, files: dict[str, bytes]) -> None:
    """Publish these files."""
    with site.site_lock(out, lambda _: None) as problem:
        assert problem is None
        site.replace_site(files, out)


@pytest.mark.parametrize(
    ("owner", "name", "nth", "when", "there"),
    [
        ("Path", "mkdir", 3, "after", OLD),
        ("Path", "write_bytes", 1, "before", OLD),
        ("Path", "write_bytes", 2, "after", OLD),
        ("Path", "write_bytes", 4, "after", OLD),
        ("Path", "rename", 1, "before", OLD),
        ("Path", "rename", 1, "after", None),
        ("Path", "rename", 2, "before", None),
        ("Path", "rename", 2, "after", NEW),
        ("shutil", "rmtree", 1, "before", NEW),
        ("shutil", "rmtree", 1, "after", NEW),
        ("Path", "unlink", 1, "before", NEW),
    ],
)
def test_a_killed_build_leaves_a_whole_site_and_the_next_clears_up(
    tmp_path: Path, owner: str, name: str, nth: int, when: str, there: dict[str, bytes] | None
) -> None:
    """Between the two renames no folder has the name, but both sites stand whole beside it."""
    out = tmp_path / "site"
    written(out, OLD)
    command = [sys.executable, "-c", KILLED, str(out), owner, name, str(nth), when]
    assert subprocess.run(command, check=False).returncode == -signal.SIGKILL
    if there is None:
        assert not out.exists()
        assert contents(tmp_path / ".site.old") == OLD
        assert contents(tmp_path / ".site.new") == NEW
    else:
        assert contents(out) == there
    with site.site_lock(out, lambda _: None):
        assert contents(out) == (OLD if there is None else there)
    written(out, NEW)
    assert contents(out) == NEW
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_even_a_build_of_broken_files_gives_the_old_site_its_name_back(tmp_path: Path) -> None:
    written(tmp_path / ".site.old", OLD)
    (tmp_path / ".site.new").mkdir()
    result = CliRunner().invoke(
        main, ["build", str(tmp_path / "none"), "--out", str(tmp_path / "site")]
    )
    assert result.exit_code == 1
    assert contents(tmp_path / "site") == OLD
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_build_killed_at_some_moment_is_made_good(tmp_path: Path) -> None:
    """The whole command, killed by the clock: wherever that falls, a whole site comes out."""
    case_in(tmp_path / "small", {"refit": refit("cost = 5")})
    out = tmp_path / "out" / "site"
    command = [sys.executable, "-m", "panelworth", "build", tmp_path / "small", "--out", out]
    subprocess.run(command, check=True, capture_output=True)
    before = contents(out)
    for seconds in (0.8, 2.0):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(seconds)
        process.kill()
        process.wait()
        subprocess.run(command, check=True, capture_output=True)
        assert contents(out) == before
        assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_two_builds_at_once_follow_each_other(tmp_path: Path) -> None:
    """Whichever comes second compares with what the first has published."""
    out, commands = tmp_path / "out" / "site", []
    for number, cost in enumerate((5, 6)):
        case_in(tmp_path / str(number) / "small", {"refit": refit(f"cost = {cost}")})
        folder = tmp_path / str(number) / "small"
        commands.append([sys.executable, "-m", "panelworth", "build", folder, "--out", out])
    running = [
        subprocess.Popen(each, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        for each in commands
    ]
    told = [each.communicate(timeout=120)[0] for each in running]
    assert [each.returncode for each in running] == [0, 0], told
    last, before = (
        json.loads((out / name).read_text()) for name in ("edition.json", "edition-before.json")
    )
    costs = [
        each["inputs"]["options"]["refit"]["items"][0]["cost"]["likely"] for each in (last, before)
    ]
    assert sorted(costs) == [5, 6]
    assert "ledger.html" in contents(out)
    assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_a_build_that_waits_in_vain_says_so_and_writes_nothing(tmp_path: Path) -> None:
    out, said = tmp_path / "site", []
    written(out, OLD)
    with (
        site.site_lock(out, said.append) as first,
        site.site_lock(out, said.append, timeout=0.3) as second,
    ):
        assert first is None
        assert second is not None
        assert render(second) == (
            f"{out}: error: --out: expected no other build at work on this site, found one that "
            "has not ended in 0.3 seconds; wait for it to end, or stop it, and build again"
        )
    assert set(said) == {"waiting for another build of this site to end"}
    assert contents(out) == OLD
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_the_file_of_a_lock_whose_build_is_gone_keeps_nobody_out(tmp_path: Path) -> None:
    (tmp_path / ".site.lock").write_text("")
    with site.site_lock(tmp_path / "site", lambda _: None, timeout=0.0) as problem:
        assert problem is None
    assert list(tmp_path.iterdir()) == []


def test_a_site_named_by_a_link_is_replaced_where_it_stands(tmp_path: Path) -> None:
    (tmp_path / "disc").mkdir()
    (tmp_path / "site").symlink_to(tmp_path / "disc" / "real")
    for files in (OLD, NEW):
        written(tmp_path / "site", files)
    assert (tmp_path / "site").is_symlink()
    assert contents(tmp_path / "disc" / "real") == NEW
    assert [path.name for path in (tmp_path / "disc").iterdir()] == ["real"]


def test_a_full_disc_is_told_without_a_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = case_in(tmp_path / "small", {"refit": refit("cost = 5")})
    out = tmp_path / "out" / "site"
    assert publish([case], out) == []
    before = contents(out)

    def full(*_: object) -> int:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(Path, "write_bytes", full)
    result = CliRunner().invoke(main, ["build", str(tmp_path / "small"), "--out", str(out)])
    assert result.exit_code == 1
    assert result.stderr.splitlines()[-2:] == [
        f"{out}: error: expected a folder that can be written, found No space left on device",
        "1 error; nothing was written",
    ]
    assert contents(out) == before
    assert [path.name for path in out.parent.iterdir()] == ["site"]


@pytest.mark.parametrize("moment", ["making the pages of small", "checking links", "writing"])
def test_a_site_whose_parent_is_removed_meanwhile_is_published_and_told_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    """The lock goes with the folder: that it cannot be taken away is no failure."""
    case_in(tmp_path / "small", {"refit": refit("cost = 5")})
    out = tmp_path / "out" / "site"
    gone = []

    def removing(text: str) -> None:
        if text == moment:
            shutil.rmtree(out.parent)
            gone.append(text)

    monkeypatch.setattr(command, "progress_line", lambda: nullcontext(removing))
    words = ["build", str(tmp_path / "small"), "--out", str(out), "--trials", "100"]
    result = CliRunner().invoke(main, words)
    assert (gone, result.exit_code) == ([moment], 0)
    assert "nothing was written" not in result.stderr
    assert result.stdout == f"{out / 'index.html'}: 1 published\n"
    assert "index.html" in contents(out)
    assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_what_cannot_be_cleared_away_is_no_failure_of_what_was_published(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "site"
    written(out, OLD)

    def refused(*_: object) -> None:
        raise OSError(13, os.strerror(13))

    with site.site_lock(out, lambda _: None):
        monkeypatch.setattr(shutil, "rmtree", refused)
        site.replace_site(NEW, out)
    monkeypatch.undo()
    assert contents(out) == NEW
    written(out, OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_lock_of_another_build_is_left_alone(tmp_path: Path) -> None:
    """Where the folder was removed and made anew, the lock that is there is not ours."""
    out, lock = tmp_path / "out" / "site", tmp_path / "out" / ".site.lock"
    with site.site_lock(out, lambda _: None):
        shutil.rmtree(out.parent)
        out.parent.mkdir()
        lock.write_text("")
    assert lock.exists()
