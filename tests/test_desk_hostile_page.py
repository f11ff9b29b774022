"""A hostile page on another port of this machine, in a browser that has the desk open.

Chromium sends the desk's cookie to every port of 127.0.0.1, and a page there may send forms, fetch,
frame, open windows and load files of the desk as scripts, styles or pictures.
"""

from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from desk_cases import OpenDesk, contents, opened
from panelworth.publishing.desk.server import entrance

PAGE = b"<!DOCTYPE html><title>hostile</title><body>hostile</body>"
FORM = """([address, values, kind]) => {
  const form = Object.assign(document.createElement("form"), { method: "post", action: address });
  form.enctype = kind;
  for (const [name, value] of Object.entries(values)) {
    form.append(Object.assign(document.createElement("input"), { name, value }));
  }
  document.body.append(form);
  form.submit();
}"""
FETCH = """async ([address, options]) => {
  try {
    const answer = await fetch(address, options);
    return [answer.type, answer.status, await answer.text()];
  } catch (error) { return ["error", 0, ""]; }
}"""
FRAME = """(address) => new Promise((done) => {
  const frame = Object.assign(document.createElement("iframe"), { src: address });
  frame.onload = () => {
    let inside = null;
    try { inside = frame.contentDocument.body.innerText; } catch {}
    done(inside ?? "hidden");
  };
  document.body.append(frame);
})"""
LOAD = """([tag, address]) => new Promise((done) => {
  const element = document.createElement(tag);
  element.onload = () => done("loaded");
  element.onerror = () => done("refused");
  if (tag === "link") element.rel = "stylesheet";
  element[tag === "link" ? "href" : "src"] = address;
  document.head.append(element);
})"""


class Hostile(BaseHTTPRequestHandler):
    """Answers every request with the hostile page, and keeps the cookies that it gets."""

    def do_GET(self) -> None:
        """Answer."""
        self.server.cookies.append(self.headers.get("Cookie", ""))
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(PAGE)))
        self.end_headers()
        self.wfile.write(PAGE)

    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenDesk]:
    """Open a desk."""
    with opened(tmp_path_factory.mktemp("desk")) as found:
        yield found


@pytest.fixture(scope="module")
def hostile() -> Iterator[ThreadingHTTPServer]:
    """Serve the hostile page on another port."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), Hostile)
    server.cookies = []
    thread = Thread(target=server.serve_forever)
    thread.start()
    yield server
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture(scope="module")
def context(chromium: Browser, desk: OpenDesk) -> Iterator[BrowserContext]:
    """Enter the desk in a browser, as its user does."""
    found = chromium.new_context()
    page = found.new_page()
    page.goto(entrance(desk.address, desk.desk))
    assert page.url == f"{desk.address}desk/ours/"
    page.close()
    yield found
    found.close()


@pytest.fixture
def page(context: BrowserContext, hostile: ThreadingHTTPServer) -> Iterator[Page]:
    """Open the hostile page in the same browser."""
    found = context.new_page()
    found.goto(f"http://127.0.0.1:{hostile.server_port}/")
    assert found.inner_text("body") == "hostile"
    yield found
    found.close()


def values(desk: OpenDesk) -> dict[str, str]:
    """Return a form with everything that the desk asks for, as if its page had been read."""
    shown = desk.get("scenario/rates")
    return {**shown.values, **shown.forms[0], "rates.discount:likely": "0.055", "do": "save"}


def test_the_user_s_own_form_is_taken_by_the_same_browser(
    context: BrowserContext, desk: OpenDesk
) -> None:
    """So what follows fails for its origin alone."""
    page = context.new_page()
    page.goto(f"{desk.address}desk/ours/scenario/rates")
    before = contents(desk.folder)
    page.fill("[name='rates.discount:likely']", "0.052")
    page.click("text=Save")
    page.wait_for_url("**/scenario/rates?done=saved")
    assert contents(desk.folder) != before
    page.click("text=Undo it")
    page.wait_for_url("**/scenario/rates?done=undone")
    assert contents(desk.folder) == before
    page.close()


def test_the_cookie_goes_to_the_other_port_but_does_not_help_there(
    page: Page, hostile: ThreadingHTTPServer, desk: OpenDesk
) -> None:
    assert desk.cookie in hostile.cookies
    assert page.evaluate("document.cookie") == ""  # HttpOnly


@pytest.mark.parametrize(
    "kind", ["application/x-www-form-urlencoded", "text/plain", "multipart/form-data"]
)
@pytest.mark.parametrize(
    "rest", ["scenario/rates", "undo", "new-option", "options/full", "ledger", "begin"]
)
def test_a_form_is_refused(page: Page, desk: OpenDesk, kind: str, rest: str) -> None:
    before, address = contents(desk.folder), f"{desk.address}desk/ours/{rest}"
    with page.expect_navigation():
        page.evaluate(FORM, [address, {**values(desk), "do": "remove"}, kind])
    assert page.inner_text("body").startswith("This preview answers no other site")
    assert contents(desk.folder) == before


@pytest.mark.parametrize(
    "options",
    [
        {"credentials": "include"},
        {"credentials": "include", "mode": "no-cors"},
        {"credentials": "include", "method": "POST"},
        {"credentials": "include", "method": "POST", "mode": "no-cors"},
        {"credentials": "include", "method": "POST", "referrerPolicy": "no-referrer"},
        {"credentials": "include", "method": "POST", "headers": {"X-Own": "1"}},
        {"credentials": "include", "headers": {"Origin": "x", "Sec-Fetch-Site": "same-origin"}},
    ],
)
def test_a_request_by_script_reads_and_changes_nothing(
    page: Page, desk: OpenDesk, options: dict[str, object]
) -> None:
    before = contents(desk.folder)
    if options.get("method"):
        pairs = "&".join(f"{name}={value}" for name, value in values(desk).items())
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        options = {**options, "body": pairs, "headers": {**kind, **options.get("headers", {})}}
    for rest in ("scenario/rates", ""):
        answer = page.evaluate(FETCH, [f"{desk.address}desk/ours/{rest}", options])
        assert answer[2] == ""
        assert answer[0] in ("error", "opaque")
    assert contents(desk.folder) == before


@pytest.mark.parametrize("path", ["desk/", "desk/ours/", "desk/ours/scenario/rates", ""])
def test_no_page_is_framed_or_read_in_a_window(page: Page, desk: OpenDesk, path: str) -> None:
    assert page.evaluate(FRAME, f"{desk.address}{path}") == "hidden"
    [*_, frame] = page.frames
    assert "Discount" not in frame.content()
    assert frame.url.startswith("chrome-error:") or "answers no other site" in frame.content()
    with page.expect_popup() as popup:
        page.evaluate("(address) => { window.opened = open(address); }", f"{desk.address}{path}")
    popup.value.wait_for_load_state()
    assert "answers no other site" in popup.value.content()
    popup.value.close()


@pytest.mark.parametrize("tag", ["script", "link", "img"])
def test_no_file_is_loaded_into_another_page(page: Page, desk: OpenDesk, tag: str) -> None:
    for path in ("desk/ours/", "desk/desk.js", "desk/desk.css", "desk/assets/style.css"):
        assert page.evaluate(LOAD, [tag, f"{desk.address}{path}"]) == "refused"


def test_pages_of_the_preview_may_be_framed_by_the_desk_alone(
    context: BrowserContext, desk: OpenDesk
) -> None:
    page: Page = context.new_page()
    page.set_viewport_size({"width": 1600, "height": 900})
    page.goto(f"{desk.address}desk/ours/scenario/rates")
    frame = page.wait_for_selector("iframe.preview").content_frame()
    assert frame is not None
    frame.wait_for_load_state()
    assert frame.url == desk.address + "index.html"
    assert page.evaluate(FRAME, f"{desk.address}desk/ours/") == "hidden"
    page.close()


def test_a_name_that_leads_here_reads_nothing(desk: OpenDesk, tmp_path: Path) -> None:
    """DNS rebinding: the request is sent to this server under a stranger's name."""
    for host in ("attacker.example", f"attacker.example:{desk.port}", f"127.0.0.2:{desk.port}"):
        reply = desk.ask("GET", "/desk/ours/", headers={"Host": host})
        assert reply.status == 403
        assert "Rates" not in reply.text
    assert not list(tmp_path.iterdir())
