"""The preview: a server for this computer only that serves a site from memory.

It listens on 127.0.0.1 only and writes nothing to disc. No page of another site or of another port
can read the preview:

- A request with another name in its Host header is refused. Otherwise a foreign site could read the
  preview through a name that resolves to 127.0.0.1 (DNS rebinding).
- A request from another site is refused, also if it only follows a link. The browser states this in
  `Sec-Fetch-Site` (W3C Fetch Metadata).
- For browsers without this header, `Cross-Origin-Resource-Policy` (Fetch standard) and
  `frame-ancestors` (CSP level 3) keep the responses from other sites.

Each page asks every half second which build is shown. Server-sent events would keep one connection
open for each tab, and browsers open at most six connections to one server.
"""

import asyncio
import mimetypes
import os
import re
import socket
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from threading import Thread
from typing import cast

from starlette.applications import Starlette
from starlette.datastructures import Headers, MutableHeaders
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import BaseRoute, Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn import Config, Server
from uvicorn.protocols.http.h11_impl import H11Protocol

from panelworth.publishing.site.preview_state import BUILD, PreviewState, file_at

HOST = "127.0.0.1"
ALLOWED_HOSTS = re.compile(r"(?ai:localhost|127\.0\.0\.1|\[::1\])(:[0-9]{1,5})?")
ALLOWED_SITES = ("same-origin", "none")  # none: the address was typed, or a program opened it
FRAMING = "Content-Security-Policy"
FRAMED_BY_ITSELF = "frame-ancestors 'self'"  # the desk shows pages beside its forms
RESPONSE_HEADERS = {
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
TIMEOUT = 10.0  # seconds for a request and its response together
MOST_CONNECTIONS = 400  # at the same time
# Python's own list only: the system's list differs from computer to computer.
TYPES = mimetypes.MimeTypes()
TYPES.add_type("text/javascript", ".js")  # RFC 9239; Python before 3.12 has the old type


@contextmanager
def serving(state: PreviewState, port: int, routes: Sequence[BaseRoute] = ()) -> Iterator[str]:
    """Serve a preview in a background thread and yield its address.

    `routes` are other pages of the same server, which come first. Raises OSError if the port is in
    use.
    """
    listening = _listening(port)
    address = f"http://{HOST}:{listening.getsockname()[1]}/"
    server = Server(_config(state, routes))
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
    except OSError as error:
        # The text of this error repeats the address, which the message to the user has already.
        raise OSError(error.errno, os.strerror(error.errno or 0)) from error


def _config(state: PreviewState, routes: Sequence[BaseRoute]) -> Config:
    """Return the server's settings: no log, and nothing that the preview does not use."""
    return Config(
        app_of(state, routes),
        http=Connection,
        ws="none",
        lifespan="off",
        loop="asyncio",
        headers=list(RESPONSE_HEADERS.items()),
        server_header=False,
        log_config=None,
        log_level="error",
        access_log=False,
    )


def app_of(state: PreviewState, routes: Sequence[BaseRoute] = ()) -> Starlette:
    """Return the application that serves other routes, and else what the preview shows."""

    async def build(_: Request) -> Response:
        return PlainTextResponse(str(state.shown.build))

    async def file(request: Request) -> Response:
        served = file_at(request.path_params["path"], state.shown)
        if served is None:
            return PlainTextResponse("There is no such page.", status_code=404)
        name, content = served
        return Response(content, headers={"Content-Type": content_type(name)})

    return Starlette(
        routes=[*routes, Route(f"/{BUILD}", build), Route("/{path:path}", file)],
        middleware=[Middleware(Guard)],
    )


def content_type(name: str) -> str:
    """Return a file's media type by the ending of its name; texts are UTF-8."""
    kind = TYPES.guess_type(name)[0] or "application/octet-stream"
    text = kind.startswith("text/") or kind.endswith(("javascript", "json", "xml"))
    return f"{kind}; charset=utf-8" if text else kind


class Guard:
    """Middleware that refuses requests from other sites and for other hosts.

    It also says who may frame a response, unless the response has a policy of its own.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it with the reason."""
        reason = refusal(Headers(scope=scope))
        app = PlainTextResponse(reason, status_code=403) if reason else self.app
        await app(scope, receive, partial(_send_with_policy, send))


async def _send_with_policy(send: Send, message: Message) -> None:
    if message["type"] == "http.response.start":
        MutableHeaders(scope=message).setdefault(FRAMING, FRAMED_BY_ITSELF)
    await send(message)


def refusal(headers: Headers) -> str:
    """Return why a request with these headers is refused; "" if it is not."""
    hosts = headers.getlist("host")
    if len(hosts) != 1 or not ALLOWED_HOSTS.fullmatch(hosts[0]):
        return "This preview is for this machine: it answers to localhost and 127.0.0.1 only."
    if any(site not in ALLOWED_SITES for site in headers.getlist("sec-fetch-site")):
        return "This preview answers no other site: type its address into the browser."
    return ""


class Connection(H11Protocol):
    """A connection of uvicorn that is closed when a request and its response take too long.

    uvicorn limits only the time between requests. With too many connections the oldest request is
    closed at once, so that slow clients do not block others.
    """

    deadline: asyncio.TimerHandle

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start the timer, and close one connection if there are too many."""
        super().connection_made(transport)
        self._restart_timer()
        if len(self.connections) > MOST_CONNECTIONS:
            # uvicorn shares this set among all connections of the server.
            connections = cast("set[Connection]", self.connections)
            first = min(connections, key=lambda connection: connection.deadline.when())
            self.connections.discard(first)
            first.transport.abort()

    def on_response_complete(self) -> None:
        """Restart the timer for the next request."""
        self._restart_timer()
        super().on_response_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop the timer."""
        self.deadline.cancel()
        super().connection_lost(exc)

    def shutdown(self) -> None:
        """Close at once when the preview ends: it must not wait for a slow client."""
        self.transport.abort()

    def _restart_timer(self) -> None:
        if hasattr(self, "deadline"):
            self.deadline.cancel()
        self.deadline = self.loop.call_later(TIMEOUT, self.transport.abort)
