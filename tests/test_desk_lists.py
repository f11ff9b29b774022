"""Lists and options of the desk: one row an entry, added, copied, removed; each undone."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from desk_cases import OpenDesk, contents, opened

ITEMS = "options/full/items"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    """Open a desk on the club's folder."""
    with opened(tmp_path) as found:
        yield found


def data(desk: OpenDesk, file: str = "options/full.toml") -> dict[str, Any]:
    """Return what a file says."""
    return tomllib.loads((desk.folder / file).read_text("utf-8"))


def undo(desk: OpenDesk) -> None:
    """Undo the last change."""
    token = desk.desk.access.token("/desk/ours/undo")
    assert desk.post("undo", {"token": token, "back": ""}).status == 303


LISTS = [
    ("scenario/aircraft/fixed", "scenario.toml", ("aircraft", "fixed")),
    ("scenario/aircraft/recurring", "scenario.toml", ("aircraft", "recurring")),
    ("scenario/club/profiles", "scenario.toml", ("club", "profiles")),
    ("scenario/jobs", "scenario.toml", ("jobs",)),
    (ITEMS, "options/full.toml", ("items",)),
    ("options/full/credits", "options/full.toml", ("credits",)),
    ("options/full/installs", "options/full.toml", ("installs",)),
    ("options/full/after/added_fixed", "options/full.toml", ("after", "added_fixed")),
]


@pytest.mark.parametrize(("address", "file", "keys"), LISTS)
def test_an_entry_is_copied_and_removed(
    desk: OpenDesk, address: str, file: str, keys: tuple[str, ...]
) -> None:
    def entries() -> list[dict[str, Any]]:
        found: Any = data(desk, file)
        for key in keys:
            found = found[key]
        return found

    before, known = contents(desk.folder), entries()
    reply = desk.do(address, "copy-0")
    assert reply.headers["Location"] == f"/desk/ours/{address}/{len(known) + 1}?done=added"
    copied = {**known[0], "name": f"{known[0]['name']} (copy)"}
    copied.pop("ledger", None)  # two items cannot share one
    assert entries() == [*known, copied]
    assert desk.do(address, "copy-0").status == 303
    assert entries()[-1]["name"] == f"{known[0]['name']} (copy 2)"
    assert desk.do(f"{address}/{len(known) + 2}", "remove").status == 303
    assert desk.do(address, f"remove-{len(known)}").status == 303
    assert entries() == known
    assert desk.do(address, "remove-0").status == 303
    if len(known) > 1:
        assert entries() == known[1:]
    for _ in range(5):
        undo(desk)
    assert contents(desk.folder) == before


def test_an_entry_is_added_where_there_is_none_yet(desk: OpenDesk) -> None:
    before = (desk.folder / "options/keep.toml").read_bytes()
    assert "There are none yet." in desk.get("options/keep/credits").text
    changes = {"credits.name": "Old radio", "credits.amount:likely": "500", "credits.when": "order"}
    reply = desk.save("options/keep/credits/new", changes)
    assert reply.headers["Location"] == "/desk/ours/options/keep/credits?done=added"
    after = (desk.folder / "options/keep.toml").read_bytes()
    entry = b'\n[[credits]]\nname = "Old radio"\namount = 500\nwhen = "order"\n'
    assert after == before + entry
    assert "Amount: 500" in desk.get("options/keep/credits").text


def test_a_new_entry_with_a_wrong_value_is_not_added(desk: OpenDesk) -> None:
    before = contents(desk.folder)
    reply = desk.save(f"{ITEMS}/new", {"items.name": "Radio", "items.tax:likely": "7"})
    assert reply.status == 422
    assert "a number between 0 and 1" in reply.text
    assert reply.values["items.name"] == "Radio"
    reply = desk.save(f"{ITEMS}/new", {"items.cost:likely": "7"})
    assert reply.status == 422
    assert "Expected this key, found nothing." in reply.text
    reply = desk.save(f"{ITEMS}/new", {"items.name": "Two-axis autopilot"})
    assert reply.status == 422
    assert contents(desk.folder) == before


def test_a_row_of_an_older_page_is_not_removed(desk: OpenDesk) -> None:
    page = desk.get(ITEMS)
    assert desk.do(ITEMS, "remove-0").status == 303
    before = contents(desk.folder)
    for do in ("remove-0", "copy-0"):
        reply = desk.post(ITEMS, {**page.forms[-1], "do": do})
        assert reply.status == 422
        assert "changed after this page was made" in reply.text
    assert contents(desk.folder) == before


@pytest.mark.parametrize("do", ["remove-99", "copy-99", "remove-x", "copy", "save", "drop", ""])
def test_a_button_that_no_page_has_changes_nothing_else(desk: OpenDesk, do: str) -> None:
    before = contents(desk.folder)
    assert desk.do("scenario/aircraft/fixed", do).status < 500
    after = tomllib.loads((desk.folder / "scenario.toml").read_text())
    assert len(after["aircraft"]["fixed"]) >= 3
    if do not in ("remove-x", "copy"):
        assert contents(desk.folder) == before


def test_a_new_option_begins_as_a_copy_of_an_old_one(desk: OpenDesk) -> None:
    before = contents(desk.folder)
    token = desk.get("new-option?from=replace")
    assert '<option value="replace" selected>' in token.text
    form = {**token.forms[0], "from": "replace", "title": "Sell it later", "id": "later"}
    reply = desk.post("new-option", form)
    assert reply.headers["Location"] == "/desk/ours/options/later?done=added"
    old, new = data(desk, "options/replace.toml"), data(desk, "options/later.toml")
    old.pop("short")
    assert new == {**old, "title": "Sell it later"}
    equipment = before["options/replace.equipment.toml"]
    assert contents(desk.folder)["options/later.equipment.toml"] == equipment
    assert "Sell it later" in desk.get().text
    undo(desk)
    assert contents(desk.folder) == before


@pytest.mark.parametrize(
    ("form", "reason"),
    [
        ({"from": "none", "title": "T", "id": "x"}, "Choose the option to begin with."),
        ({"from": "full", "title": " ", "id": "x"}, "what members will call the option"),
        ({"from": "full", "title": "T", "id": "full"}, "There is an option with this id."),
        ({"from": "full", "title": "T", "id": "FULL"}, "There is an option with this id."),
        ({"from": "full", "title": "T", "id": "ledger"}, "a file name that has no other meaning"),
        ({"from": "full", "title": "x" * 300, "id": "x"}, "at most 200 characters"),
    ],
)
def test_a_new_option_that_cannot_be_is_not_made(
    desk: OpenDesk, form: dict[str, str], reason: str
) -> None:
    before = contents(desk.folder)
    reply = desk.post("new-option", {**desk.get("new-option").forms[0], **form})
    assert reply.status == 422
    assert reason in reply.text
    assert contents(desk.folder) == before


def test_an_option_gets_another_title_and_is_removed_and_comes_back(desk: OpenDesk) -> None:
    before = contents(desk.folder)
    assert desk.save("options/replace", {"title": "Sell it"}).status == 303
    assert data(desk, "options/replace.toml")["title"] == "Sell it"
    reply = desk.do("options/replace", "remove")
    assert reply.headers["Location"] == "/desk/ours/?done=removed"
    assert not {name for name in contents(desk.folder) if name.startswith("options/replace")}
    page = desk.get().text
    assert "Last change: The option “Sell it”" in page
    assert "options/replace.toml, options/replace.equipment.toml" in page
    undo(desk)
    undo(desk)
    assert contents(desk.folder) == before


def test_the_baseline_and_the_scenario_are_not_removed(desk: OpenDesk) -> None:
    before = contents(desk.folder)
    reply = desk.do("options/keep", "remove")
    assert reply.status == 422
    assert "This option is the baseline" in reply.text
    for rest in ("scenario", "scenario/rates", "options/full/after"):
        assert desk.do(rest, "remove").status == 422
    assert contents(desk.folder) == before


def test_several_scenarios_have_a_desk_each(tmp_path: Path) -> None:
    with opened(tmp_path) as one:
        other = tmp_path / "an other & one"
        (other / "options").mkdir(parents=True)
        (other / "scenario.toml").write_bytes((one.folder / "scenario.toml").read_bytes())
        one.desk.scenarios = lambda: [one.folder, other]
        page = one.ask("GET", "/desk/").text
        assert '<a href="/desk/an%20other%20%26%20one/">' in page
        reply = one.ask("GET", "/desk/an%20other%20%26%20one/scenario/rates")
        assert reply.status == 200
        assert 'href="/an%20other%20%26%20one/index.html"' in reply.text
        address = "/desk/an%20other%20%26%20one/scenario/rates"
        assert f'action="{address.replace("&", "&amp;")}"' in reply.text
