"""The preview and its clients: other sites, slow clients, many at once, broken requests."""

import asyncio
import http.client
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from panelworth import templates_folder
from panelworth.publishing.site import preview
from panelworth.publishing.site.preview import serving
from panelworth.publishing.site.preview_state import PreviewState
from small_cases import case_in, refit
from terminals import as_in_a_terminal, awaited

LARGE = b"x" * 8_000_000  # more than the buffers between two sockets hold
OWN = "Host: localhost\r\n"


@pytest.fixture
def port(capfd: pytest.CaptureFixture[str]) -> Iterator[int]:
    """Serve a page and a large file; whatever clients do, the terminal stays free."""
    state = PreviewState(templates_folder())
    state.show({"index.html": b"<body>here</body>", "large.bin": LARGE})
    with serving(state, 0) as url:
        yield int(url.rstrip("/").rpartition(":")[2])
    assert capfd.readouterr() == ("", "")


def answer(port: int, request: bytes) -> bytes:
    """Send a request as it is and return all that comes back before the connection ends."""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as client:
        found = b""
        with suppress(ConnectionError):  # it closes while more is sent than it takes
            client.sendall(request)
            with suppress(OSError):
                client.shutdown(socket.SHUT_WR)
            while part := client.recv(65536):
                found += part
        return found


def status(port: int, headers: str, path: str = "/", method: str = "GET") -> str:
    """Return the status of an answer to a request with these header lines."""
    sent = f"{method} {path} HTTP/1.1\r\n{headers}Connection: close\r\n\r\n"
    return answer(port, sent.encode("latin-1")).partition(b" ")[2][:3].decode()


@pytest.mark.parametrize(
    ("host", "expected"),
    [
        *((name, "200") for name in ("localhost", "LOCALHOST", "LocalHost:8000", "127.0.0.1")),
        *((name, "200") for name in ("127.0.0.1:80", "[::1]", "[::1]:8000")),
        *((name, "403") for name in ("attacker.example", "attacker.example:8000", "localhost.")),
        *((name, "403") for name in ("127.0.0.1.example", "localhost.example", "x.localhost")),
        *((name, "403") for name in ("127.0.0.2", "127.1", "[::]", "::1", "2130706433")),
        *((name, "403") for name in ("", "localhost:8000:8000", "localhost@attacker.example")),
        *((name, "403") for name in ("localhost, attacker.example", "localhost:x", "locahost")),
        ("ſocalhoſt".encode().decode("latin-1"), "403"),  # an old s
    ],
)
def test_it_answers_to_the_names_of_this_machine_alone(port: int, host: str, expected: str) -> None:
    """DNS rebinding: a stranger's name that leads to 127.0.0.1 must not read the preview."""
    assert status(port, f"Host: {host}\r\n") == expected


def test_a_request_without_a_host_or_with_two_is_refused(port: int) -> None:
    """RFC 9112, section 3.2: 400 to an HTTP/1.1 request that has none, or more than one."""
    assert status(port, "") == "400"
    assert status(port, f"{OWN}Host: attacker.example\r\n") == "400"
    assert answer(port, b"GET / HTTP/1.0\r\n\r\n").partition(b" ")[2][:3] == b"403"


@pytest.mark.parametrize(
    ("headers", "expected"),
    [
        ("", "200"),  # a browser that does not say, or another program
        ("Sec-Fetch-Site: none\r\n", "200"),
        ("Sec-Fetch-Site: same-origin\r\n", "200"),
        ("Sec-Fetch-Site: same-site\r\n", "403"),  # another port of this machine
        ("Sec-Fetch-Site: cross-site\r\n", "403"),
        ("Sec-Fetch-Site: cross-site\r\nSec-Fetch-Dest: script\r\n", "403"),
        ("Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: navigate\r\n", "403"),
        ("Sec-Fetch-Site: none\r\nSec-Fetch-Site: cross-site\r\n", "403"),
        ("Sec-Fetch-Site: same-origin, cross-site\r\n", "403"),
        ("sec-fetch-site:   cross-site  \r\n", "403"),
        ("Sec-Fetch-Site: \r\n", "403"),
    ],
)
@pytest.mark.parametrize("path", ["/", "/large.bin", "/preview/build", "/gone"])
def test_no_other_site_or_port_is_answered(
    port: int, headers: str, expected: str, path: str
) -> None:
    """W3C Fetch Metadata Request Headers, section 2.4: the four values of Sec-Fetch-Site."""
    found = status(port, OWN + headers, path)
    assert found == ("404" if (expected, path) == ("200", "/gone") else expected)


@pytest.mark.parametrize(
    ("headers", "path", "method"),
    [
        (OWN, "/", "GET"),
        (OWN, "/large.bin", "HEAD"),
        (OWN, "/preview/build", "GET"),
        (OWN, "/gone", "GET"),
        (OWN, "/", "POST"),
        ("Host: attacker.example\r\n", "/", "GET"),
        (f"{OWN}Sec-Fetch-Site: cross-site\r\n", "/", "GET"),
    ],
)
def test_every_answer_is_kept_from_other_origins(
    port: int, headers: str, path: str, method: str
) -> None:
    sent = f"{method} {path} HTTP/1.1\r\n{headers}Connection: close\r\n\r\n"
    head = answer(port, sent.encode()).partition(b"\r\n\r\n")[0].decode().lower().splitlines()
    assert "cross-origin-resource-policy: same-origin" in head
    assert "content-security-policy: frame-ancestors 'self'" in head
    assert "x-content-type-options: nosniff" in head
    assert "cache-control: no-store" in head
    assert not any(line.startswith(("access-control-", "server:")) for line in head)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE", "BREW"])
def test_nothing_but_reading_is_allowed(port: int, method: str) -> None:
    assert status(port, OWN, method=method) == "405"


async def _slow(port: int, number: int) -> asyncio.StreamWriter:
    """Open one of three kinds of slow client: silent, amid its header, not reading the answer."""
    _, writer = await asyncio.open_connection("127.0.0.1", port, limit=1)
    writer.write(
        [b"", b"GET / HTTP/1.1\r\nHo", b"GET /large.bin HTTP/1.1\r\n%s\r\n"][number % 3].replace(
            b"%s", OWN.encode()
        )
    )
    return writer


async def _quick(port: int) -> bytes:
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    writer.write(f"GET / HTTP/1.1\r\n{OWN}Connection: close\r\n\r\n".encode())
    found = await reader.read()
    writer.close()
    return found


@pytest.mark.parametrize("slow", [0, 300, 450])
def test_slow_clients_keep_nobody_waiting(port: int, slow: int) -> None:
    async def crowd() -> tuple[list[bytes], float]:
        threads = threading.active_count()
        held = [await _slow(port, number) for number in range(slow)]
        start = time.perf_counter()
        async with asyncio.timeout(15):
            answers = await asyncio.gather(*(_quick(port) for _ in range(200)))
        seconds = time.perf_counter() - start
        assert threading.active_count() == threads
        for each in held:
            each.transport.abort()
        return answers, seconds

    answers, _ = awaited(crowd())
    assert [each[:15] for each in answers] == [b"HTTP/1.1 200 OK"] * 200


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_slow_client_is_let_go(port: int, number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(preview, "TIMEOUT", 0.5)

    async def waits() -> None:
        writer = await _slow(port, number)
        async with asyncio.timeout(10):
            while not writer.transport.is_closing():
                await asyncio.sleep(0.1)
                writer.write(b"h")  # a byte now and then is no progress

    awaited(waits())


def test_a_client_that_asks_again_in_time_stays(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(preview, "TIMEOUT", 1.0)
    client = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    client.connect()
    held = client.sock
    for _ in range(5):
        client.request("GET", "/preview/build")
        assert client.getresponse().read() == b"1"
        assert client.sock is held
        time.sleep(0.4)
    client.close()


@pytest.mark.parametrize(
    "request_",
    [
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",  # a browser that tries https
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET /\x00 HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost\r\nX: " + b"y" * 200_000 + b"\r\n\r\n",
        b"GET /" + b"y" * 200_000 + b" HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n",
        b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 5\r\n\r\nab",
        b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\nZ\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost\r\nConnection: upgrade\r\nUpgrade: websocket\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\nGET",
        b"GET http://attacker.example/ HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /%00%ff/../..//etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"\r\n\r\n",
        b"",
    ],
)
def test_a_broken_request_breaks_nothing(port: int, request_: bytes) -> None:
    found = answer(port, request_)
    assert found[9:13] in (b"", b"200 ", b"400 ", b"403 ", b"404 ", b"405 "), found[:20]
    assert b"root:" not in found
    assert status(port, OWN) == "200"


def test_clients_that_leave_amid_an_answer_are_not_told_of(port: int) -> None:
    for _ in range(30):
        with socket.create_connection(("127.0.0.1", port)) as client:
            client.sendall(f"GET /large.bin HTTP/1.1\r\n{OWN}\r\n".encode())
            client.recv(10)
    assert status(port, OWN) == "200"


def test_it_ends_at_once_whatever_clients_hold() -> None:
    state = PreviewState(templates_folder())
    state.show({"large.bin": LARGE})
    with serving(state, 0) as url:
        port = int(url.rstrip("/").rpartition(":")[2])
        clients = [socket.create_connection(("127.0.0.1", port)) for _ in range(30)]
        for client in clients:
            client.sendall(f"GET /large.bin HTTP/1.1\r\n{OWN}\r\n".encode())
        start = time.perf_counter()
    assert time.perf_counter() - start < 3
    for client in clients:
        client.close()


@pytest.mark.parametrize("amid", ["nothing", "a build", "a client's request"])
def test_ctrl_c_ends_it_without_a_word_whatever_it_does(tmp_path: Path, amid: str) -> None:
    """Ctrl-C reaches every process of the terminal's group."""
    folder = tmp_path / "small"
    case_in(folder, {"refit": refit("cost = 5")})
    command = [sys.executable, "-m", "panelworth", "serve", folder, "--port", "0"]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    process = subprocess.Popen(
        command,
        **pipes,
        start_new_session=True,
        preexec_fn=as_in_a_terminal,  # noqa: PLW1509 (it takes no lock)
    )
    assert process.stdout.readline() == "build 1 shown\n"
    port = int(process.stdout.readline().rstrip("/\n").rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port)) as client:
        if amid == "a client's request":
            client.sendall(b"GET / HTTP/1.1\r\nHo")
        if amid == "a build":
            (folder / "options" / "refit.toml").touch()
            time.sleep(1)
        os.killpg(process.pid, signal.SIGINT)
        _, told = process.communicate(timeout=30)
    assert process.returncode == 0
    assert [line for line in told.splitlines() if ": warning: " not in line] == []


def test_no_other_command_loads_the_server() -> None:
    loaded = "import sys, panelworth.__main__, panelworth; print(*sys.modules)"
    found = subprocess.run(
        [sys.executable, "-c", loaded], check=True, capture_output=True, text=True
    )
    assert {"panelworth.__main__"} <= set(found.stdout.split())
    assert {"starlette", "uvicorn", "h11", "asyncio"} & set(found.stdout.split()) == set()
