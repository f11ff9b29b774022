"""The preview: for this machine alone, from memory, with one script that a published site lacks."""

import http.client
import shutil
import socket
from collections.abc import Iterator
from email.message import Message
from pathlib import Path

import pytest
from click.testing import CliRunner

from panelworth import templates_folder, views
from panelworth.__main__ import main, show_build
from panelworth.publishing.site.files import build_files
from panelworth.publishing.site.preview import serving
from panelworth.publishing.site.preview_state import PreviewState, with_script
from small_cases import case_in, refit

PAGE = b"<meta content=\"connect-src 'none'\"><body>told: connect-src 'none'</body>"


@pytest.fixture
def state() -> PreviewState:
    """Show two pages and two files."""
    found = PreviewState(templates_folder())
    found.show({"index.html": PAGE, "a/index.html": PAGE, "figures.json": b"{}", "b.js": b"1"})
    return found


@pytest.fixture
def address(state: PreviewState) -> Iterator[tuple[str, int]]:
    """Serve it on a free port."""
    with serving(state, 0) as url:
        host, _, port = url.removeprefix("http://").rstrip("/").partition(":")
        yield host, int(port)


def asked(address: tuple[str, int], path: str, host: str = "") -> tuple[int, Message, bytes]:
    """Ask the preview for a path, as a browser would, or one that names another host."""
    connection = http.client.HTTPConnection(*address, timeout=10)
    connection.request("GET", path, headers={"Host": host} if host else {})
    answer = connection.getresponse()
    found = answer.status, answer.headers, answer.read()
    connection.close()
    return found


def test_it_listens_on_this_machine_only(address: tuple[str, int]) -> None:
    assert address[0] == "127.0.0.1"
    with socket.socket() as other:
        other.settimeout(1)
        assert other.connect_ex(("127.0.0.2", address[1])) != 0


@pytest.mark.parametrize(
    ("path", "status", "kind"),
    [
        ("/", 200, "text/html; charset=utf-8"),
        ("/a/", 200, "text/html; charset=utf-8"),
        ("/a/index.html?x=1", 200, "text/html; charset=utf-8"),
        ("/figures.json", 200, "application/json; charset=utf-8"),
        ("/preview/preview.js?build=1", 200, "text/javascript; charset=utf-8"),
        ("/preview/build", 200, "text/plain; charset=utf-8"),
        ("/../secret", 404, "text/plain; charset=utf-8"),
        ("/%2e%2e/secret", 404, "text/plain; charset=utf-8"),
        ("/a", 404, "text/plain; charset=utf-8"),
    ],
)
def test_it_answers_with_the_files_of_the_site(
    address: tuple[str, int], path: str, status: int, kind: str
) -> None:
    found, headers, _ = asked(address, path)
    assert (found, headers["Content-Type"]) == (status, kind)
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("host", ["attacker.example", "attacker.example:8000", "127.0.0.1.example"])
def test_it_answers_no_page_of_the_web_that_goes_by_another_name(
    address: tuple[str, int], host: str
) -> None:
    """DNS rebinding: a stranger's name that leads to 127.0.0.1 must not read the preview."""
    assert asked(address, "/", host)[0] == 403


def test_a_page_gets_the_script_and_may_ask_this_server_alone() -> None:
    assert with_script(PAGE, 7) == (
        b"<meta content=\"connect-src 'self'\"><body>told: connect-src 'none'"
        b'<script src="/preview/preview.js?build=7" defer></script>\n</body>'
    )


def test_the_number_of_the_build_goes_up(state: PreviewState, address: tuple[str, int]) -> None:
    assert asked(address, "/preview/build")[2] == b"1"
    state.show({"index.html": b"<body>new</body>"})
    assert asked(address, "/preview/build")[2] == b"2"
    assert b"new" in asked(address, "/")[2]
    assert asked(address, "/a/")[0] == 404


def test_a_published_site_knows_nothing_of_the_preview(tmp_path: Path) -> None:
    found = views([case_in(tmp_path, {"refit": refit("cost = 5")})])
    files = build_files(found, templates=templates_folder(), progress=lambda _: None)
    assert [name for name in files if "preview" in name] == []
    for name, content in files.items():
        assert b"/preview/" not in content, name


def test_wrong_files_are_told_on_every_page_until_they_are_mended(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "small"
    case_in(folder, {"refit": refit("cost = 5")})
    good = (folder / "options" / "refit.toml").read_text()
    state = PreviewState(templates_folder())
    show_build(state, (folder,), tmp_path / "site", None)
    assert state.shown.problems == b""
    bad = good.replace("cost = 5", "cost = [5, 4, 3]")
    (folder / "options" / "refit.toml").write_text(bad)
    show_build(state, (folder,), tmp_path / "site", None)
    told = (
        f"{folder}/options/refit.toml:6: error: items[Item 0].cost: expected "
        "low ≤ likely ≤ high, found [5, 4, 3]; put the three in rising order"
    )
    assert told in capsys.readouterr().err
    with serving(state, 0) as url:
        address = ("127.0.0.1", int(url.rstrip("/").rpartition(":")[2]))
        for path in ("/", "/dates.html"):
            page = asked(address, path)[2].decode()
            assert f"<li><code>{told}</code></li>" in page
            assert "<p>1 error to correct. Save the file, and this page reloads.</p>" in page
            assert "/preview/preview.js?build=2" in page
        assert asked(address, "/assets/style.css")[0] == 200
        (folder / "options" / "refit.toml").write_text(good)
        show_build(state, (folder,), tmp_path / "site", None)
        assert b"A small question" in asked(address, "/dates.html")[2]
    assert not (tmp_path / "site").exists()


def test_a_scenario_that_is_gone_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "small"
    case_in(folder, {"refit": refit("cost = 5")})
    state = PreviewState(templates_folder())
    shutil.rmtree(folder)
    show_build(state, (folder,), tmp_path / "site", None)
    assert b"found no such folder" in state.shown.problems


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    case_in(tmp_path / "small", {"refit": refit("cost = 5")})
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        result = CliRunner().invoke(main, ["serve", str(tmp_path / "small"), "--port", str(port)])
    assert result.exit_code == 1
    assert result.stderr.splitlines()[-2:] == [
        (
            f"serve: error: --port: expected a port that is free, found {port}: Address already in "
            "use; name another with --port, or --port 0 for any"
        ),
        "1 error",
    ]


def test_a_folder_that_is_not_there_is_not_served_among_others(tmp_path: Path) -> None:
    folders = [str(tmp_path), str(tmp_path / "gone")]
    result = CliRunner().invoke(main, ["serve", *folders])
    assert result.exit_code == 1
    assert "expected a scenario folder with this file, found no such folder" in result.stderr
