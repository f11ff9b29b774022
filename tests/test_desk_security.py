"""The desk answers its own pages in one browser of this machine, and nobody else."""

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest

from desk_cases import OpenDesk, contents, opened
from panelworth.publishing.desk.server import entrance

FORM = "application/x-www-form-urlencoded"
RATES = "scenario/rates"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    """Open a desk; whatever a test sends, no other test sees its folder."""
    with opened(tmp_path) as found:
        yield found


def change(desk: OpenDesk) -> dict[str, str]:
    """Return a form that would change a file."""
    page = desk.get(RATES)
    return {**page.values, **page.forms[0], "rates.discount:likely": "0.055"}


def test_the_printed_address_sets_a_cookie_and_leads_to_one_without_the_secret(
    desk: OpenDesk,
) -> None:
    reply = desk.enter()
    assert reply.status == 303
    assert reply.headers["Location"] == "/desk/"
    name, *parts = reply.headers["Set-Cookie"].split("; ")
    assert name.startswith(f"panelworth-desk-{desk.port}=")
    assert set(parts) == {"HttpOnly", "Path=/", "SameSite=strict"}
    assert desk.desk.access.key not in reply.headers["Set-Cookie"]
    assert reply.headers["Referrer-Policy"] == "no-referrer"
    assert reply.headers["Cache-Control"] == "no-store"


def test_two_desks_have_other_secrets_and_other_cookies(tmp_path: Path) -> None:
    with opened(tmp_path / "a") as one, opened(tmp_path / "b") as other:
        assert one.desk.access.key != other.desk.access.key
        assert len(one.desk.access.key) >= 43  # 256 bits in base 64
        assert one.cookie.partition("=")[0] != other.cookie.partition("=")[0]
        other.cookie = f"{other.cookie.partition('=')[0]}={one.cookie.partition('=')[2]}"
        assert other.get().status == 403


@pytest.mark.parametrize("key", ["", "x", "%C3%A9", "%00", "key"])
def test_nobody_enters_without_the_secret(desk: OpenDesk, key: str) -> None:
    reply = desk.ask("GET", entrance("", desk.desk).partition("=")[0] + f"={key}")
    assert reply.status == 403
    assert reply.headers["Set-Cookie"] is None


@pytest.mark.parametrize(
    "path", ["/desk/", "/desk/ours/", "/desk/ours/scenario/rates", "/desk/ours/nothing", "/desk/x/"]
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_without_the_cookie_the_desk_answers_403(desk: OpenDesk, path: str, method: str) -> None:
    known = desk.cookie
    for cookie in ("", f"{known}x", known.partition("=")[0] + "=", "other=1"):
        desk.cookie = cookie
        reply = desk.ask(method, path, headers={"Origin": desk.origin, "Content-Type": FORM})
        assert reply.status == (405 if (method, path) == ("POST", "/desk/") else 403), cookie
        assert "Discount" not in reply.text


def test_a_form_of_the_desk_itself_is_taken(desk: OpenDesk) -> None:
    assert desk.post(RATES, change(desk)).status == 303
    assert b"likely = 0.055" in (desk.folder / "scenario.toml").read_bytes()


FOREIGN = [
    {"Origin": "null"},
    {"Origin": ""},
    {"Origin": "http://127.0.0.1"},
    {"Origin": "http://127.0.0.1:1"},
    {"Origin": "https://attacker.example"},
    {"Origin": "{origin}.attacker.example"},
    {"Origin": "{origin}0"},
    {"Origin": "https://127.0.0.1:{port}"},
    {"Origin": "http://localhost:{port}"},  # another name than the one that was asked
    {"Host": "localhost:{port}"},
    {"Host": "127.0.0.1:1", "Origin": "http://127.0.0.1:1"},
    {"Host": "attacker.example", "Origin": "http://attacker.example"},
    {"Host": "attacker.example:{port}", "Origin": "http://attacker.example:{port}"},
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
    {"Content-Type": "text/plain"},
    {"Content-Type": "multipart/form-data; boundary=x"},
    {"Content-Type": "application/json"},
    {"Content-Type": ""},
]


@pytest.mark.parametrize("headers", FOREIGN)
def test_a_form_from_elsewhere_is_refused_though_it_has_cookie_and_token(
    desk: OpenDesk, headers: dict[str, str]
) -> None:
    before = contents(desk.folder)
    filled = {
        name: text.format(origin=desk.origin, port=desk.port) for name, text in headers.items()
    }
    assert desk.post(RATES, change(desk), **filled).status == 403
    assert contents(desk.folder) == before


def test_without_an_origin_the_referrer_decides_or_the_browser_says_so(desk: OpenDesk) -> None:
    form, own = change(desk), desk.origin
    headers = [
        ({}, 403),
        ({"Referer": "https://attacker.example/"}, 403),
        ({"Referer": f"{own}.attacker.example/"}, 403),
        ({"Referer": f"{own}0/"}, 403),
        ({"Referer": own.replace("http", "https") + "/"}, 403),
        ({"Sec-Fetch-Site": "none"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Referer": f"{own}/"}, 403),
        ({"Sec-Fetch-Site": "same-origin"}, 303),
    ]
    for extra, expected in headers:
        sent = {"Content-Type": FORM, **extra}
        reply = desk.ask("POST", f"/desk/ours/{RATES}", urlencode(form), sent)
        assert reply.status == expected, extra
    form = {**change(desk), "rates.discount:likely": "0.05"}
    sent = {"Content-Type": FORM, "Referer": f"{own}/desk/ours/{RATES}"}
    assert desk.ask("POST", f"/desk/ours/{RATES}", urlencode(form), sent).status == 303


@pytest.mark.parametrize("token", [None, "", "x", "0" * 64])
def test_a_form_without_its_token_is_refused(desk: OpenDesk, token: str | None) -> None:
    before, form = contents(desk.folder), change(desk)
    form.pop("token")
    assert desk.post(RATES, form if token is None else {**form, "token": token}).status == 403
    assert contents(desk.folder) == before


def test_the_token_of_another_form_or_another_run_is_refused(
    desk: OpenDesk, tmp_path: Path
) -> None:
    form = change(desk)
    other = desk.get("scenario/club").forms[0]["token"]
    assert desk.post(RATES, {**form, "token": other}).status == 403
    with opened(tmp_path / "second") as second:
        token = second.get(RATES).forms[0]["token"]
    assert desk.post(RATES, {**form, "token": token}).status == 403


PATHS = [
    *("../secret", "%2e%2e/secret", "..%2fsecret", "scenario/../../secret", "options/../keep"),
    *("options/..%2f..%2fsecret", "options/%2e%2e%2fkeep", "options/.hidden", "options/linked"),
    *("options//keep", "/etc/passwd", "options/keep%00", "options/KEEP", "options/keep.toml"),
    *("options", "options/", "options/full.equipment", "scenario/aircraft/fixed/0"),
    *("scenario/aircraft/fixed/99", "scenario/aircraft/fixed/-1", "scenario/aircraft/fixed/%C2%B2"),
    *("scenario/aircraft/fixed/1/name", "scenario/nothing", "scenario/title", "scenario/__class__"),
    *("equipment", "ledger.csv", "notes/full.md", "options/full/installs/1/name", "scenario/1"),
]


@pytest.mark.parametrize("path", PATHS)
def test_an_address_that_the_model_does_not_have_means_nothing(desk: OpenDesk, path: str) -> None:
    (desk.folder.parent / "secret.toml").write_text('title = "a secret"\n')
    (desk.folder / "options" / "linked.toml").symlink_to(desk.folder.parent / "secret.toml")
    (desk.folder / "options" / ".hidden.toml").write_text('title = "a secret"\n')
    reply = desk.get(path)
    assert reply.status == 404
    assert "a secret" not in reply.text


@pytest.mark.parametrize("scenario", ["..", "%2e%2e", "other", "%2Fetc", "ours%2F..", "OURS"])
def test_no_folder_but_those_that_are_served_is_opened(desk: OpenDesk, scenario: str) -> None:
    (desk.folder.parent / "other").mkdir()
    (desk.folder.parent / "other" / "scenario.toml").write_text('title = "a secret"\n')
    reply = desk.ask("GET", f"/desk/{scenario}/scenario")
    assert reply.status == 404
    assert "a secret" not in reply.text


@pytest.mark.parametrize(
    "new", ["../new", "a/b", "/etc/new", "", ".x", "a.b", "é", "x\ny", "x" * 200]
)
def test_a_new_option_stays_inside_the_folder(desk: OpenDesk, new: str) -> None:
    before = contents(desk.folder.parent)
    token = desk.get("new-option").forms[0]
    reply = desk.post("new-option", {**token, "from": "full", "title": "T", "id": new})
    assert reply.status == 422
    assert contents(desk.folder.parent) == before


def test_a_link_in_the_folder_is_neither_shown_nor_written(desk: OpenDesk) -> None:
    outside = desk.folder.parent / "secret.toml"
    outside.write_bytes((desk.folder / "scenario.toml").read_bytes())
    form = change(desk)
    (desk.folder / "scenario.toml").unlink()
    (desk.folder / "scenario.toml").symlink_to(outside)
    before = outside.read_bytes()
    assert desk.get(RATES).status == 404
    assert desk.post(RATES, form).status == 404
    assert outside.read_bytes() == before


PAGES = ["/desk/ours/", "/desk/ours/scenario/rates", "/desk/ours/gone", "/desk/assets/style.css"]


@pytest.mark.parametrize("path", [*PAGES, "/desk/desk.js", "/desk/enter"])
@pytest.mark.parametrize("entered", [True, False])
def test_every_answer_keeps_frames_scripts_and_caches_away(
    desk: OpenDesk, path: str, *, entered: bool
) -> None:
    desk.cookie = desk.cookie if entered else ""
    headers = desk.ask("GET", path).headers
    [policy] = headers.get_all("Content-Security-Policy")
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == rules["base-uri"] == rules["frame-ancestors"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == rules["form-action"] == "'self'"
    assert "unsafe" not in policy
    assert set(headers.get_all("Cache-Control")) == {"no-store"}
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"


def test_pages_have_no_script_or_style_of_their_own(desk: OpenDesk) -> None:
    for rest in (
        "",
        "scenario/aircraft",
        "options/full",
        "options/full/items",
        "new-option",
        "ledger",
    ):
        page = desk.get(rest).text
        assert page.count("<script") == page.count("<script src=")
        assert "<style" not in page
        assert " style=" not in page
        assert " on" not in page.partition("<body>")[0]


def test_what_a_file_says_cannot_become_markup(desk: OpenDesk) -> None:
    bad = "</textarea><script>alert(1)</script>\"'>"
    assert desk.save("scenario", {"title": bad, "question": bad * 3}).status == 303
    for rest in ("", "scenario", "options/full"):
        assert "<script>alert" not in desk.get(rest).text
    assert desk.get("scenario").values["title"] == bad


def test_a_form_that_is_too_large_is_refused(desk: OpenDesk) -> None:
    form = change(desk)
    assert desk.post(RATES, {**form, "x": "y" * 1_100_000}).status in (403, 413)
    assert desk.post(RATES, {**form, **{f"x{n}": "" for n in range(6000)}}).status == 413


def test_preview_pages_keep_their_own_policy(desk: OpenDesk) -> None:
    headers = desk.ask("GET", "/").headers
    assert headers.get_all("Content-Security-Policy") == ["frame-ancestors 'self'"]
