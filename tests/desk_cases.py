"""A desk that is open on a copy of a demo, and requests to it as a browser sends them."""

import http.client
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from email.message import Message
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

from panelworth import read, templates_folder
from panelworth.publishing.desk.desk import Desk
from panelworth.publishing.desk.server import desk_routes, entrance
from panelworth.publishing.site.preview import serving
from panelworth.publishing.site.preview_state import PreviewState

ROOT = Path(__file__).parents[1]
HIDDEN = re.compile(r'<input type="hidden" name="(token|fingerprint)" value="([^"]*)"')


@dataclass
class Reply:
    """What the server answered."""

    status: int
    headers: Message
    text: str

    @property
    def forms(self) -> list[dict[str, str]]:
        """The hidden inputs of each form of the page that changes its own place."""
        found = re.findall(r"<form.*?</form>", self.text, re.DOTALL)
        return [dict(HIDDEN.findall(form)) for form in found if 'name="back"' not in form]

    @property
    def values(self) -> dict[str, str]:
        """The inputs of the page with what they show, as a browser would send them."""
        values = {
            unescape(name): unescape(value)
            for name, value in re.findall(r'<input[^>]* name="([^"]+)" value="([^"]*)"', self.text)
        }
        for name, text in re.findall(
            r'<textarea[^>]* name="([^"]+)"[^>]*>\n(.*?)</textarea>', self.text, re.DOTALL
        ):
            values[unescape(name)] = unescape(text)
        for name, inner in re.findall(
            r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', self.text, re.DOTALL
        ):
            chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', inner)
            values[unescape(name)] = unescape(chosen[1] or chosen[2]) if chosen else ""
        return values


@dataclass
class OpenDesk:
    """A desk on a folder `ours`, at a port; `cookie` is what a browser keeps."""

    desk: Desk
    address: str
    folder: Path
    cookie: str = ""

    @property
    def port(self) -> int:
        """The port that it listens on."""
        return int(self.address.rstrip("/").rpartition(":")[2])

    @property
    def origin(self) -> str:
        """The origin of its own pages."""
        return self.address.rstrip("/")

    def ask(
        self, method: str, path: str, body: str = "", headers: dict[str, str] | None = None
    ) -> Reply:
        """Send a request with exactly these headers, and the cookie if there is one."""
        sent = {"Cookie": self.cookie} if self.cookie else {}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        connection.request(method, path, body=body or None, headers={**sent, **(headers or {})})
        answer = connection.getresponse()
        reply = Reply(answer.status, answer.headers, answer.read().decode("utf-8", "replace"))
        connection.close()
        return reply

    def enter(self) -> Reply:
        """Enter by the address that is printed, and keep the cookie."""
        reply = self.ask("GET", entrance("", self.desk))
        self.cookie = (reply.headers["Set-Cookie"] or "").partition(";")[0]
        return reply

    def get(self, rest: str = "") -> Reply:
        """Show a page of the scenario."""
        return self.ask("GET", f"/desk/ours/{rest}")

    def post(self, rest: str, form: dict[str, str], **headers: str) -> Reply:
        """Send a form as a page of the desk does."""
        usual = {
            "Content-Type": "application/x-www-form-urlencoded",
            "Origin": self.origin,
        }
        return self.ask("POST", f"/desk/ours/{rest}", urlencode(form), {**usual, **headers})

    def save(self, rest: str, changes: dict[str, str]) -> Reply:
        """Change inputs of the form at an address and send it, with all its other inputs."""
        page = self.get(rest)
        assert page.status == 200, page.text
        assert changes.keys() <= page.values.keys(), changes
        form = {**page.values, **page.forms[0], **changes, "do": "save"}
        form.pop("back", None)
        return self.post(rest, form)

    def do(self, rest: str, what: str) -> Reply:
        """Press a button of a page, such as `remove` or `copy-2`."""
        return self.post(rest, {**self.get(rest).forms[-1], "do": what})


@contextmanager
def opened(tmp_path: Path, demo: str = "quillmeadow-club") -> Iterator[OpenDesk]:
    """Open a desk on a copy of a demo, and enter it."""
    folder = Path(shutil.copytree(ROOT / "scenarios" / demo, tmp_path / "ours"))
    desk = Desk(
        lambda: [folder],
        lambda one: read(one)[1],
        templates_folder(),
        lambda one: case.ledger if (case := read(one)[0]) else (),
    )
    with serving(PreviewState(templates_folder()), 0, desk_routes(desk)) as address:
        found = OpenDesk(desk, address, folder)
        found.enter()
        yield found


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
