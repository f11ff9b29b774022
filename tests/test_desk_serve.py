"""`panelworth serve` opens the desk beside the preview, whose pages follow what the desk writes."""

import http.client
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from urllib.parse import urlencode

from desk_cases import HIDDEN
from small_cases import case_in, refit
from terminals import as_in_a_terminal

PATIENCE = 60.0  # seconds, on a busy machine


def asked(
    port: int, method: str, path: str, body: str = "", **headers: str
) -> tuple[int, http.client.HTTPMessage, str]:
    """Send one request to the program."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    connection.request(method, path, body=body or None, headers=headers)
    answer = connection.getresponse()
    found = answer.status, answer.headers, answer.read().decode()
    connection.close()
    return found


def test_what_the_desk_writes_shows_on_the_pages(tmp_path: Path) -> None:
    folder = tmp_path / "small"
    case_in(folder, {"refit": refit("cost = 5")})
    command = [sys.executable, "-m", "panelworth", "serve", folder, "--port", "0"]
    process = subprocess.Popen(
        [*command, "--site", tmp_path / "site", "--trials", "100"],
        stdout=subprocess.PIPE,
        text=True,
        preexec_fn=as_in_a_terminal,  # noqa: PLW1509 (it takes no lock)
    )
    assert process.stdout is not None
    try:
        lines = [process.stdout.readline() for _ in range(3)]
        printed = re.fullmatch(
            r"Change the figures here: http://127\.0\.0\.1:(\d+)(/desk/enter\?key=[\w-]{43,})\n",
            lines[2],
        )
        assert printed, lines
        port = int(printed[1])
        status, headers, _ = asked(port, "GET", printed[2])
        assert status == 303
        cookie = headers["Set-Cookie"].partition(";")[0]
        form_address = "/desk/small/scenario"
        form = dict(HIDDEN.findall(asked(port, "GET", form_address, Cookie=cookie)[2]))
        values = {"as_of": "2026-01-01", "currency": "USD", "baseline": "keep", "years": "2"}
        body = urlencode({**form, **values, "title": "A title from the desk"})
        kind, origin = "application/x-www-form-urlencoded", f"http://127.0.0.1:{port}"
        sent = {"Cookie": cookie, "Content-Type": kind, "Origin": origin}
        assert asked(port, "POST", form_address, body, **sent)[0] == 303
        ends = time.monotonic() + PATIENCE
        while "A title from the desk" not in asked(port, "GET", "/")[2]:
            assert time.monotonic() < ends
            time.sleep(0.2)
    finally:
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=30) == 0
        process.stdout.close()
    assert sorted(path.name for path in folder.rglob("*") if path.is_file()) == [
        *("keep.toml", "refit.toml", "scenario.toml")
    ]
