"""A preview on this machine alone: serves a site from memory.

It listens on 127.0.0.1 only and writes nothing to disc. A page of another site or of another port
cannot read it: a request that names another host is refused (a stranger's name can be made to lead
to 127.0.0.1), and so is one that the browser says comes from elsewhere (`Sec-Fetch-Site`, W3C
Fetch Metadata), be it a link. Browsers that do not say so keep the answers from others by
`Cross-Origin-Resource-Policy` (Fetch standard) and `frame-ancestors` (CSP level 3).

A page asks once in half a second which build is shown. Server-sent events would hold a connection
for each tab, and browsers open no more than six to one server.
"""

import asyncio
import mimetypes
import os
import re
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Thread
from typing import cast

from starlette.applications import Starlette
from starlette.datastructures import Headers
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send
from uvicorn import Config, Server
from uvicorn.protocols.http.h11_impl import H11Protocol

from panelworth.publishing.site.preview_state import BUILD, PreviewState, file_at

HOST = "127.0.0.1"
OWN_NAMES = re.compile(r"(?ai:localhost|127\.0\.0\.1|\[::1\])(:[0-9]{1,5})?")
OWN_SITE = ("same-origin", "none")  # none: the reader typed the address, or a program opened it
SENT_WITH_ALL = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'self'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
PATIENCE = 10.0  # seconds for a request and its answer together
MOST = 400  # connections at once
TYPES = mimetypes.MimeTypes()  # those of Python, whatever this machine's own list says
TYPES.add_type("text/javascript", ".js")  # RFC 9239; Python before 3.12 has its old name


@contextmanager
def serving(state: PreviewState, port: int) -> Iterator[str]:
    """Serve a preview in the background and yield its address; OSError where the port is taken."""
    listening = _listening(port)
    address = f"http://{HOST}:{listening.getsockname()[1]}/"
    server = Server(_config(state))
    thread = Thread(target=server.run, args=([listening],))
    thread.start()
    try:
        yield address
    finally:
        server.should_exit = True
        thread.join()


def _listening(port: int) -> socket.socket:
    try:
        return socket.create_server((HOST, port))
    except OSError as error:  # its text names the address a second time
        raise OSError(error.errno, os.strerror(error.errno or 0)) from error


def _config(state: PreviewState) -> Config:
    """Set the server up: as quiet as it can be, without anything that the preview does not use."""
    return Config(
        app_of(state),
        http=Connection,
        ws="none",
        lifespan="off",
        loop="asyncio",
        headers=list(SENT_WITH_ALL.items()),
        server_header=False,
        log_config=None,
        log_level="error",
        access_log=False,
    )


def app_of(state: PreviewState) -> Starlette:
    """Make the application that answers with what the preview shows."""

    async def build(_: Request) -> Response:
        return PlainTextResponse(str(state.shown.build))

    async def file(request: Request) -> Response:
        named = file_at(request.path_params["path"], state.shown)
        if named is None:
            return PlainTextResponse("There is no such page.", status_code=404)
        name, content = named
        return Response(content, headers={"Content-Type": content_type(name)})

    return Starlette(
        routes=[Route(f"/{BUILD}", build), Route("/{path:path}", file)],
        middleware=[Middleware(Guard)],
    )


def content_type(name: str) -> str:
    """Return a file's media type by its name, text as UTF-8."""
    kind = TYPES.guess_type(name)[0] or "application/octet-stream"
    text = kind.startswith("text/") or kind.endswith(("javascript", "json", "xml"))
    return f"{kind}; charset=utf-8" if text else kind


class Guard:
    """Refuses what does not come from the preview's own pages or from the reader."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it and say why."""
        why = refusal(Headers(scope=scope))
        app = PlainTextResponse(why, status_code=403) if why else self.app
        await app(scope, receive, send)


def refusal(headers: Headers) -> str:
    """Say why a request is refused, "" where it is not."""
    hosts = headers.getlist("host")
    if len(hosts) != 1 or not OWN_NAMES.fullmatch(hosts[0]):
        return "This preview is for this machine: it answers to localhost and 127.0.0.1 only."
    if any(site not in OWN_SITE for site in headers.getlist("sec-fetch-site")):
        return "This preview answers no other site: type its address into the browser."
    return ""


class Connection(H11Protocol):
    """A connection of uvicorn that ends when a request and its answer take too long.

    uvicorn itself limits only the time between requests. Where there are too many connections, the
    one that would end first ends at once, so that slow clients keep nobody out.
    """

    deadline: asyncio.TimerHandle

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to count the time, and make room."""
        super().connection_made(transport)
        self._count()
        if len(self.connections) > MOST:
            mine = cast("set[Connection]", self.connections)
            first = min(mine, key=lambda connection: connection.deadline.when())
            self.connections.discard(first)
            first.transport.abort()

    def on_response_complete(self) -> None:
        """Count the time of the next request."""
        self._count()
        super().on_response_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """Count no longer."""
        self.deadline.cancel()
        super().connection_lost(exc)

    def shutdown(self) -> None:
        """End at once as the preview ends: a slow client must not hold it."""
        self.transport.abort()

    def _count(self) -> None:
        if hasattr(self, "deadline"):
            self.deadline.cancel()
        self.deadline = self.loop.call_later(PATIENCE, self.transport.abort)
