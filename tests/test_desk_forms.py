"""The desk's forms: made of declarations, saved key by key, shown again where a value is wrong."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from desk_cases import OpenDesk, contents, opened
from panelworth.model.case import record_classes
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Quantity, Record, declaration_of
from panelworth.publishing.desk.fields import record_of, type_of
from panelworth.publishing.desk.places import Place, option_place, place_at, scenario_place
from panelworth.publishing.desk.routes import PAGES

DEMOS = ("quillmeadow-club", "brackenholt-owner")


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    """Open a desk on the club's folder."""
    with opened(tmp_path) as found:
        yield found


def places(place: Place) -> Iterator[Place]:
    """Yield every form within a place, with the first entry of each list."""
    yield place
    for inner in place.entry(0).inner() if place.kind == "list" else place.inner():
        yield from places(inner)
    if place.kind == "list":
        yield place.entry(0)


def addresses(desk: OpenDesk) -> list[str]:
    """Return every form that a visitor of the desk can reach by its links."""
    known, open_ = set(), [""]
    while open_:
        for path in re.findall(r'href="/desk/ours/([^"?#]*)"', desk.get(open_.pop()).text):
            if path not in known:
                known.add(path)
                open_.append(path)
    return sorted(known - {page.rest for page in PAGES})  # those are pages of their own


def lines_changed(before: bytes, after: bytes) -> tuple[list[bytes], list[bytes]]:
    """Return the lines that are gone and those that are new."""
    old, new = before.splitlines(), after.splitlines()
    return [line for line in old if line not in new], [line for line in new if line not in old]


@pytest.mark.parametrize(
    ("root", "top"), [(Scenario, scenario_place()), (Option, option_place("full"))]
)
def test_every_declared_key_has_a_field(root: type[Record], top: Place) -> None:
    fields = {(one.record, one.key) for place in places(top) for one in place.fields}
    declared = {
        (record, key)
        for record in record_classes(root)
        if issubclass(record, Record)
        for key, field in record.model_fields.items()
        if record_of(type_of(field.annotation)[0]) is None
    }
    assert len(declared) > 40
    assert declared - fields == set()


@pytest.mark.parametrize("demo", DEMOS)
def test_every_form_shows_its_file_and_saving_it_unchanged_writes_nothing(
    tmp_path: Path, demo: str
) -> None:
    with opened(tmp_path, demo) as desk:
        before, found = contents(desk.folder), addresses(desk)
        assert len(found) > 50
        for address in found:
            page = desk.get(address)
            assert page.status == 200, address
            place = place_at(address, desk.desk.folders()["ours"].options())
            assert place is not None
            if place.kind in ("list", "new"):
                continue
            if place.optional and "not in the file" in page.text:
                continue
            assert desk.save(address, {}).status == 303, address
        assert contents(desk.folder) == before


def test_each_field_has_the_declared_words_and_a_label_of_its_own(desk: OpenDesk) -> None:
    for address in ("scenario", "scenario/club", "options/full/schedule"):
        page = desk.get(address).text
        place = place_at(address, ["full"])
        assert place is not None
        for one in place.fields:
            declaration = declaration_of(one.record, one.key)
            assert declaration["label"] in page
            assert declaration["meaning"].split("'")[0] in page
        labelled = set(re.findall(r'<label for="([^"]+)"', page))
        typed = set(re.findall(r'<(?:input|select|textarea) id="([^"]+)"', page))
        assert typed == labelled
        assert len(typed) == len(re.findall(r"<(?:input id|select|textarea)", page))


def test_one_number_changes_in_one_line(desk: OpenDesk) -> None:
    before = (desk.folder / "scenario.toml").read_bytes()
    reply = desk.save("scenario/rates", {"rates.discount:likely": "5.5 %"})
    assert reply.headers["Location"] == "/desk/ours/scenario/rates?done=saved"
    after = (desk.folder / "scenario.toml").read_bytes()
    [old], [new] = lines_changed(before, after)
    assert new == old.replace(b"likely = 0.05,", b"likely = 0.055,")
    page = desk.get("scenario/rates?done=saved").text
    assert "<b>Saved.</b>" in page
    assert "Last change: Discount rate <small>(scenario.toml)</small>" in page


def test_number_range_and_source_are_written_as_short_as_they_can_be(desk: OpenDesk) -> None:
    def written() -> str:
        return re.search(rb"^oil_per_hour = .*$", read(desk), re.MULTILINE)[0].decode()

    name = "aircraft.oil_per_hour"
    for changes, expected in [
        ({":low": "1", ":likely": "1.5", ":high": "2"}, "[1, 1.5, 2]"),
        ({":source": 'bill "7"'}, '{ low = 1, likely = 1.5, high = 2, source = "bill \\"7\\"" }'),
        ({":low": "", ":high": ""}, '{ likely = 1.5, source = "bill \\"7\\"" }'),
        ({":shape": "uniform"}, '{ likely = 1.5, source = "bill \\"7\\"", shape = "uniform" }'),
        ({":source": "", ":shape": ""}, "1.5"),
    ]:
        typed = {name + part: text for part, text in changes.items()}
        assert desk.save("scenario/aircraft", typed).status == 303
        assert written() == f"oil_per_hour = {expected}"
    typed = {f"{name}:likely": ""}
    assert desk.save("scenario/aircraft", typed).status == 303
    assert b"oil_per_hour" not in read(desk)


def test_what_a_form_does_not_send_stays(desk: OpenDesk) -> None:
    before = read(desk)
    form = {**desk.get("scenario/club").forms[0], "club.members": "40"}
    assert desk.post("scenario/club", form).status == 303
    assert read(desk) == before.replace(b"members = 36", b"members = 40")


def read(desk: OpenDesk, file: str = "scenario.toml") -> bytes:
    """Return a file's bytes."""
    return (desk.folder / file).read_bytes()


WRONG = [
    ("scenario/aircraft", "aircraft.selling_cost:likely", "5", "a number between 0 and 1"),
    ("scenario/rates", "rates.discount:likely", "ten", "a number such as 14200 or 0.05"),
    ("scenario/rates", "rates.discount:likely", "1,5", "a number such as 14200 or 0.05"),
    ("scenario/rates", "rates.discount:likely", "nan", "a number such as 14200 or 0.05"),
    ("scenario/rates", "rates.discount:low", "", "the likely number alone, or all three"),
    ("scenario/rates", "rates.discount:low", "0.06", "low ≤ likely ≤ high"),
    ("scenario", "years", "1.5", "a whole number"),
    ("scenario", "years", "", "this key"),
    ("scenario", "title", "x" * 300, "at most 200 characters"),
    ("scenario", "currency", "dollars", "a three-letter ISO 4217 code"),
    ("scenario", "baseline", "nothing", "the id of an option"),
    ("scenario", "as_of", "tomorrow", "a day such as 2027-03-15"),
    ("scenario", "as_of", "0001-01-01", "a day from the year 1900 on"),
    ("scenario/aircraft", "aircraft.season", "1 2 3", "twelve weights"),
    ("options/full/items/1", "items.0.group", "food", "&#34;equipment&#34;"),
    ("options/full/items/1", "items.0.hours:likely", "9", "either cost, or hours with rate"),
    ("options/full/items/1", "items.0.name", "Two-axis autopilot", "its own name"),
    ("options/full/after", "after.dropped_fixed", "No such cost", "Expected"),
    ("options/full/funding/loan", "funding.loan.months", "0", "a number between 1 and 600"),
]


@pytest.mark.parametrize(("address", "name", "text", "reason"), WRONG)
def test_a_wrong_value_is_shown_at_its_field_and_not_written(
    desk: OpenDesk, address: str, name: str, text: str, reason: str
) -> None:
    before = contents(desk.folder)
    reply = desk.save(address, {name: text})
    assert reply.status == 422
    assert contents(desk.folder) == before
    assert reply.values[name] == text or "<select" in reply.text
    where = re.findall(r'<div class="wrong"[^>]*>(.*?)</div>', reply.text, re.DOTALL)
    at_form = re.findall(r'<div class="wrong form-wrong"[^>]*>(.*?)</div>', reply.text, re.DOTALL)
    assert any(reason in found for found in [*where, *at_form]), [where, at_form]
    for field_id in re.findall(r'<div class="wrong" id="([^"]+)"', reply.text):
        described = re.findall(rf'aria-describedby="[^"]*{re.escape(field_id)}[^"]*"', reply.text)
        assert described
        assert 'aria-invalid="true"' in reply.text


def test_what_is_wrong_elsewhere_does_not_prevent_saving_and_is_listed(desk: OpenDesk) -> None:
    broken = read(desk).replace(b"years = 10 ", b'years = "ten" ')
    assert broken != read(desk)
    (desk.folder / "scenario.toml").write_bytes(broken)
    assert desk.save("scenario/rates", {"rates.discount:likely": "0.055"}).status == 303
    page = desk.get("scenario/rates")
    assert '<a href="/desk/ours/scenario">years</a>' in page.text
    assert "Expected a whole number, found &#34;ten&#34;." in page.text
    assert desk.save("scenario", {"years": "12"}).status == 303
    assert b"years = 12 " in read(desk)


def test_a_file_that_changed_meanwhile_is_shown_and_not_overwritten(desk: OpenDesk) -> None:
    page = desk.get("scenario/club")
    form = {**page.values, **page.forms[0], "club.members": "40", "do": "save"}
    theirs = read(desk).replace(b"members = 36", b"members = 38")
    (desk.folder / "scenario.toml").write_bytes(theirs)
    reply = desk.post("scenario/club", form)
    assert reply.status == 422
    assert read(desk) == theirs
    assert "scenario.toml changed after this form was made" in reply.text
    assert reply.values["club.members"] == "40"
    assert "In the file now: 38" in reply.text
    assert reply.text.count("In the file now") == 1
    assert desk.post("scenario/club", {**form, **reply.forms[0]}).status == 303
    assert read(desk) == theirs.replace(b"members = 38", b"members = 40")


def test_a_placeholder_loses_its_mark_with_a_new_value(desk: OpenDesk) -> None:
    marked = read(desk).replace(
        b"oil_per_hour = 1.2", b'oil_per_hour = { likely = 1.2, source = "placeholder" }'
    )
    marked = marked.replace(b"years = 10 ", b"years = 10 # placeholder\n#")
    (desk.folder / "scenario.toml").write_bytes(marked)
    assert desk.save("scenario/aircraft", {"aircraft.oil_per_hour:likely": "1.4"}).status == 303
    assert b"oil_per_hour = 1.4\n" in read(desk)
    assert desk.save("scenario", {"years": "9"}).status == 303
    assert b"years = 9\n" in read(desk)


@pytest.mark.parametrize(
    ("address", "required"),
    [
        ("scenario/vote", {}),
        ("scenario/decision", {"decision.chosen": "full", "decision.on": "2026-12-01"}),
        ("options/full/after/insurance", {"after.insurance.hull_rate:likely": "0.011"}),
    ],
)
def test_an_optional_table_is_added_removed_and_both_undone(
    desk: OpenDesk, address: str, required: dict[str, str]
) -> None:
    known = contents(desk.folder)
    if address != "options/full/after/insurance":
        assert "This part is not in the file." in desk.get(address).text
    assert desk.save(address, required).status == 303
    assert contents(desk.folder) != known
    assert "This part is not in the file." not in desk.get(address).text
    assert desk.do(address, "remove").status == 303
    undo(desk)
    undo(desk)
    assert contents(desk.folder) == known


def test_an_empty_table_that_means_something_is_written(desk: OpenDesk) -> None:
    """An empty [sell] sells at the airplane's value."""
    before = (desk.folder / "options/replace.toml").read_bytes()
    assert desk.do("options/replace/sell", "remove").status == 303
    assert b"[sell]" not in read(desk, "options/replace.toml")
    assert desk.save("options/replace/sell", {}).status == 303
    assert read(desk, "options/replace.toml").endswith(b"\n[sell]\n")
    undo(desk)
    undo(desk)
    assert read(desk, "options/replace.toml") == before


def undo(desk: OpenDesk, back: str = "") -> str:
    """Undo the last change, and return where that leads to."""
    token = desk.desk.access.token("/desk/ours/undo")
    reply = desk.post("undo", {"token": token, "back": back})
    assert reply.status in (303, 409), reply.text
    return reply.headers["Location"] or reply.text


def test_undo_leads_back_to_pages_of_this_desk_only(desk: OpenDesk) -> None:
    assert undo(desk, "scenario/rates") == "/desk/ours/scenario/rates?done=undone"
    for back in ("https://attacker.example", "//attacker.example", "../../x", "options/none", ""):
        assert undo(desk, back) == "/desk/ours/?done=undone"


def test_undo_of_a_file_that_changed_since_says_so(desk: OpenDesk) -> None:
    assert desk.save("scenario/club", {"club.members": "40"}).status == 303
    theirs = read(desk) + b"# theirs\n"
    (desk.folder / "scenario.toml").write_bytes(theirs)
    assert "scenario.toml was not changed back." in undo(desk)
    assert read(desk) == theirs


def test_every_quantity_of_a_form_has_three_numbers_and_a_source() -> None:
    [*found] = [one for one in scenario_place().step("aircraft").fields if one.kind == "quantity"]
    assert len(found) > 15
    assert all(set(one.typed(None)) == {"", *Quantity.model_fields} for one in found)


def test_the_schedule_of_the_chosen_option_leads_to_the_status_date(desk: OpenDesk) -> None:
    """A start after the status date is refused there, and must be mended in the other form."""
    link = 'href="/desk/ours/scenario/decision">Status date'
    assert link not in desk.get("options/full/schedule").text
    decision = {"decision.chosen": "full", "decision.on": "2026-12-01"}
    desk.save("scenario/decision", {**decision, "decision.status": "2026-12-20"})
    happened = {"schedule.ordered": "2026-12-07", "schedule.started": "2027-01-25"}
    page = desk.save("options/full/schedule", happened)
    assert page.status == 422
    assert link in page.text
    assert link not in desk.get("options/part/schedule").text
    desk.save("scenario/decision", {"decision.status": "2027-01-25"})
    assert desk.save("options/full/schedule", happened).status == 303
