"""The desk on files that hold anything at all, and forms with anything typed: no page breaks."""

import tomllib
from collections.abc import Iterator
from datetime import UTC, date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk_cases import OpenDesk, contents, opened
from panelworth.publishing.desk.desk import Ask
from panelworth.publishing.desk.form_page import show_form, take_form
from panelworth.publishing.desk.overview_page import show_scenario, take_undo
from panelworth.publishing.desk.places import name_of, place_of
from panelworth.publishing.desk.toml_edits import Put, edited
from panelworth.publishing.desk.toml_positions import parsed

SCENARIO, OPTION = "scenario.toml", "options/full.toml"
ODD = st.sampled_from(
    [
        *(0, -1, 10**30, 1e300, True, "", "x", 'a"b\nc', "</textarea>", [], [1], [1, 2, 3], ["a"]),
        *({}, {"likely": "x"}, {"a": 1}, [{}], [{"name": 3}], [[1]], [{"name": "x", "cost": []}]),
        *(date(1, 1, 1), {"low": 1, "likely": True, "high": "x", "source": 5}),
    ]
)
RAW = [b"nan", b"inf", b"07:32:00", b"1979-05-27T07:32:00Z", b"0x1f", b"'''\n'''", b"[[],{}]"]
TYPED = st.one_of(
    st.sampled_from(["", "1", "0.5", "5 %", "1e400", "-", "1,5", "2027-02-30", "yes", "new"]),
    st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=12),
)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenDesk]:
    """Open a desk; each example begins with the files as they were."""
    with opened(tmp_path_factory.mktemp("odd")) as found:
        yield found


@pytest.fixture(scope="module")
def known(desk: OpenDesk) -> dict[str, bytes]:
    """Keep the files as they were."""
    return contents(desk.folder)


def restore(desk: OpenDesk, known: dict[str, bytes]) -> None:
    """Write the files as they were."""
    for name in (SCENARIO, OPTION):
        (desk.folder / name).write_bytes(known[name])


def forms(raw: bytes, file: str) -> list[str]:
    """Return the addresses of the forms that a file's keys belong to."""
    document = parsed(raw)
    found = {
        place.address
        for path in document.written
        if (place := place_of(file, name_of(document.data, path), document.data))
    }
    return sorted(found)


@given(data=st.data())
def test_every_page_shows_whatever_a_file_holds(
    desk: OpenDesk, known: dict[str, bytes], data: st.DataObject
) -> None:
    restore(desk, known)
    file = data.draw(st.sampled_from([SCENARIO, OPTION]))
    document = parsed(known[file])
    path = data.draw(st.sampled_from([path for path in document.written if len(path) < 5]))
    if data.draw(st.booleans()):
        at = document.written[path].value
        raw = data.draw(st.sampled_from(RAW))
        changed = known[file][: at.start_byte] + raw + known[file][at.end_byte :]
    else:
        changed = edited(known[file], [Put(path=path, value=data.draw(ODD))]) or b""
    (desk.folder / file).write_bytes(changed)
    assert show_scenario(desk.desk, Ask(scenario="ours")).status == 200
    found = data.draw(st.sampled_from(forms(known[file], file)))
    for rest in (found, found.rpartition("/")[0]):
        answer = show_form(desk.desk, Ask(scenario="ours", rest=rest))
        assert answer.status in (200, 404)
    restore(desk, known)


@given(data=st.data())
def test_whatever_is_typed_is_refused_or_changes_its_own_keys_alone(
    desk: OpenDesk, known: dict[str, bytes], data: st.DataObject
) -> None:
    restore(desk, known)
    file = data.draw(st.sampled_from([SCENARIO, OPTION]))
    rest = data.draw(st.sampled_from(forms(known[file], file)))
    page = desk.get(rest)
    names = [name for name in page.values if name not in ("token", "fingerprint", "back")]
    chosen = data.draw(st.lists(st.sampled_from(names or [""]), max_size=3))
    changes = {name: data.draw(TYPED) for name in chosen}
    form = {**page.values, **(page.forms or [{}])[0], **changes, "do": "save"}
    answer = take_form(desk.desk, Ask(scenario="ours", rest=rest, form=form))
    assert answer.status in (200, 422)
    after = contents(desk.folder)
    assert {name for name in after if after[name] != known[name]} <= {file}
    written = tomllib.loads(after[file].decode())
    if not answer.location:
        assert after == known
    keys = {name.partition(":")[0].split(".")[0] for name in changes}
    before = tomllib.loads(known[file].decode())
    assert {key for key in before | written if before.get(key) != written.get(key)} <= keys
    if after != known:
        take_undo(desk.desk, Ask(scenario="ours", rest="undo", form={"back": rest}))
        assert contents(desk.folder) == known


@pytest.mark.parametrize(
    "raw", [b"a = [", b"\xff\xfe", b"", b"# nothing\n", b"[" * 5000, b"a" * 2_000_000]
)
def test_a_file_that_cannot_be_read_is_shown_with_its_problem(
    desk: OpenDesk, known: dict[str, bytes], raw: bytes
) -> None:
    (desk.folder / SCENARIO).write_bytes(raw)
    assert desk.get().status == 200
    assert desk.get("options/full").status == 200
    page = desk.get("scenario/rates")
    assert page.status in (200, 404)
    assert "Error" in page.text
    restore(desk, known)


def test_times_and_days_with_a_time_are_shown_as_they_are() -> None:
    from panelworth.publishing.desk.places import scenario_place  # noqa: PLC0415

    [as_of] = [one for one in scenario_place().fields if one.key == "as_of"]
    moment = datetime(2027, 1, 2, 3, 4, tzinfo=UTC)
    assert as_of.typed(moment)[""] == "2027-01-02T03:04:00+00:00"
    assert as_of.typed(time(3, 4))[""] == "03:04:00"
    assert as_of.value({"": "2027-01-02T03:04"}, None)[1]
