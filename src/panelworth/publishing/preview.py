"""A preview on this machine alone: serves a site from memory and reloads it as files are saved.

Nothing is written to disc. It listens on 127.0.0.1 only, and answers no request that names
another host, so that no page of the web can read it through the browser. Into each page goes one
script, and the page's policy lets it ask this server, and nothing else, which build is shown.
"""

import mimetypes
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from urllib.parse import unquote, urlsplit

from panelworth.problems import Problem, render
from panelworth.publishing.formats import plural
from panelworth.publishing.gathering import assets
from panelworth.publishing.language import say
from panelworth.publishing.layout import Layout
from panelworth.publishing.site import Files

HOST = "127.0.0.1"
BUILD, SCRIPT = "preview/build", "preview/preview.js"
CLOSED, ASKING = b"connect-src 'none'", b"connect-src 'self'"
END = b"</body>"


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One build: its number, its files, and the page that stands for all others, if any."""

    build: int = 0
    files: Files = field(default_factory=dict)
    problems: bytes = b""


class Shelf:
    """What the preview shows: put on it whole, so that no request sees half of two builds."""

    def __init__(self, templates: Path) -> None:
        self.templates = templates
        self.shown = Shown()
        self.good: Files = {}  # the last site without problems, whose pictures may be taken over

    def show(self, files: Files) -> None:
        """Put a site on the shelf."""
        self.good = files
        self._put(files, b"")

    def show_problems(self, problems: list[Problem]) -> None:
        """Put the problems on the shelf in the place of every page."""
        self._put(assets(self.templates), problems_page(problems, self.templates))

    def _put(self, files: Files, problems: bytes) -> None:
        script = {SCRIPT: (self.templates / "preview.js").read_bytes()}
        build = self.shown.build + 1
        self.shown = Shown(build=build, files={**files, **script}, problems=problems)


def found(shown: Shown, path: str) -> tuple[str, bytes] | None:
    """Return the name and content at a path of the site, None where there is nothing."""
    if path == BUILD:
        return "build.txt", str(shown.build).encode()
    name = f"{path}index.html" if not path or path.endswith("/") else path
    is_page = name.endswith(".html")
    content = shown.problems if is_page and shown.problems else shown.files.get(name)
    if content is None:
        return None
    return name, with_script(content, shown.build) if is_page else content


def with_script(page: bytes, build: int) -> bytes:
    """Put the reloading script into a page, and let the page ask this server for the build."""
    script = f'<script src="/{SCRIPT}?build={build}" defer></script>\n'.encode()
    before, _, after = page.replace(CLOSED, ASKING, 1).rpartition(END)
    return before + script + END + after


def problems_page(problems: list[Problem], templates: Path) -> bytes:
    """Make the page that stands for the site while its files cannot be read."""
    count = sum(problem.severity == "error" for problem in problems)
    errors = plural(count, "error", "errors")
    page = Layout.of(templates).render(
        "problems.html",
        {
            "root": "/",
            "site_title": say("Preview"),
            "page_title": say("Problems"),
            "lead": say("{errors} to mend; save, and this page follows.", errors=errors),
            "lines": [render(problem) for problem in problems],
        },
    )
    return page.encode()


@contextmanager
def serving(shelf: Shelf, port: int) -> Iterator[str]:
    """Serve a shelf in the background and yield its address; OSError where the port is taken."""
    server = ThreadingHTTPServer((HOST, port), _handler(shelf))
    server.daemon_threads = True
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://{HOST}:{server.server_address[1]}/"
    finally:
        server.shutdown()
        server.server_close()


def _handler(shelf: Shelf) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        """Answers GET from the shelf and says nothing on the terminal."""

        def do_GET(self) -> None:
            """Answer one request."""
            host = (self.headers.get("Host") or "").partition(":")[0]
            path = unquote(urlsplit(self.path).path).removeprefix("/")
            if host not in (HOST, "localhost"):
                self._answer(HTTPStatus.FORBIDDEN, "x.txt", b"This preview is for this machine.")
            elif there := found(shelf.shown, path):
                self._answer(HTTPStatus.OK, *there)
            else:
                self._answer(HTTPStatus.NOT_FOUND, "x.txt", b"There is no such page.")

        def _answer(self, status: HTTPStatus, name: str, content: bytes) -> None:
            kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
            text = kind.startswith("text/") or kind.endswith(("javascript", "json"))
            self.send_response(status)
            self.send_header("Content-Type", f"{kind}; charset=utf-8" if text else kind)
            self.send_header("Content-Length", str(len(content)))
            self.send_header("Cache-Control", "no-store")
            self.send_header("X-Content-Type-Options", "nosniff")
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: object) -> None:
            """Keep the terminal free for problems."""

    return Handler
