"""Connects the desk's pages to the web server of the preview.

Every request needs the cookie of this run; one that writes also needs its form's token and the
origin of this server (`access.py`). Pages run in a thread of their own, so that the preview goes on
answering.
"""

import mimetypes
from dataclasses import replace
from functools import partial
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from panelworth.publishing.desk.desk import ROOT, Answer, Ask, Desk
from panelworth.publishing.desk.routes import PAGES, Page, Respond
from panelworth.publishing.site.files import assets

ENTER = f"{ROOT}enter"
LARGEST_FORM = 1_000_000  # bytes; the reader takes no larger file
MOST_INPUTS = 5_000
HEADERS = {
    "Cache-Control": "no-store",
    # Files of this server only; no frame may show the desk, and forms are sent to it only.
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        "font-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; "
        "frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    # With no-referrer, browsers would send the desk's own forms with "Origin: null" (Fetch
    # standard, section 3.2). With same-origin no other site gets a referrer either.
    "Referrer-Policy": "same-origin",
}
NO_COOKIE = (
    "The desk opens by the address that panelworth serve printed: it has the key of this run. "
    "Open that address, or start panelworth serve again."
)
OWN_FILES = {
    f"desk/{name}": name
    for name in ("desk.css", "desk.js", "ledger.css", "ledger.js", "first_run.css")
}


def desk_routes(desk: Desk) -> list[BaseRoute]:
    """Return the routes of the desk: the entrance, its styles and scripts, its pages."""
    files = {f"desk/{name}": content for name, content in assets(desk.templates).items()}
    files |= {
        name: (desk.templates / "desk" / file).read_bytes() for name, file in OWN_FILES.items()
    }

    async def enter(request: Request) -> Response:
        if not desk.access.knows_key(request.query_params.get("key", "")):
            return _refused(NO_COOKIE)
        headers = {**HEADERS, "Referrer-Policy": "no-referrer"}  # its address has the secret
        response = RedirectResponse(ROOT, status_code=303, headers=headers)
        response.set_cookie(
            cookie_name(request), desk.access.cookie, path="/", httponly=True, samesite="strict"
        )
        return response

    async def file(request: Request) -> Response:
        name = request.url.path.removeprefix("/")
        if name not in files:
            return PlainTextResponse("There is no such file.", status_code=404, headers=HEADERS)
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        kind = "text/javascript" if name.endswith(".js") else kind
        return Response(files[name], media_type=kind, headers=HEADERS)

    return [
        Route(ENTER, enter, methods=["GET"]),
        *(Route(f"/{name}", file) for name in files),
        *(
            Route(page.pattern, partial(_answered, desk, page), methods=page.methods)
            for page in PAGES
        ),
    ]


def entrance(address: str, desk: Desk) -> str:
    """Return the address that opens the desk, with its secret."""
    return f"{address.rstrip('/')}{ENTER}?key={desk.access.key}"


def cookie_name(request: Request) -> str:
    """Return the name of the cookie: with the port, since every port of a machine gets cookies."""
    return f"panelworth-desk-{request.scope['server'][1]}"


async def _answered(desk: Desk, page: Page, request: Request) -> Response:
    """Answer a request for a page, or take its form."""
    if not desk.access.admits(request.cookies.get(cookie_name(request), "")):
        return _refused(NO_COOKIE)
    ask = Ask(
        scenario=request.path_params.get("scenario", ""),
        rest=request.path_params.get("rest", page.rest),
        query=dict(request.query_params),
    )
    respond = page.get
    if request.method == "POST":
        form = await _form(request)
        if form is None:
            return _refused("This form is too large.", 413)
        # A header that is sent twice matches nothing.
        headers = {key: ", ".join(request.headers.getlist(key)) for key in request.headers}
        port, token = request.scope["server"][1], form.get("token", "")
        if reason := desk.access.write_refusal(ask.address, token, headers, port):
            return _refused(reason)
        ask, respond = replace(ask, form=form), page.post
    if respond is None:
        return _refused("This address has no page of its own.", 405)
    answer = await run_in_threadpool(_in_turn, desk, respond, ask)
    if answer.location:
        return RedirectResponse(answer.location, status_code=303, headers=HEADERS)
    return Response(answer.page, status_code=answer.status, media_type="text/html", headers=HEADERS)


def _in_turn(desk: Desk, respond: Respond, ask: Ask) -> Answer:
    with desk.lock:
        return respond(desk, ask)


async def _form(request: Request) -> dict[str, str] | None:
    """Return what a form has; None if it is too large."""
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > LARGEST_FORM:
            return None
    try:
        text = body.decode("latin-1")  # a form is ASCII; what is not cannot be sent by a browser
        return dict(parse_qsl(text, keep_blank_values=True, max_num_fields=MOST_INPUTS))
    except ValueError:  # too many inputs
        return None


def _refused(reason: str, status: int = 403) -> Response:
    return PlainTextResponse(reason, status_code=status, headers=HEADERS)
