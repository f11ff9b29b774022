"""One key of a file changes, and every other byte stays: comments, order, spaces, line ends."""

import tomllib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelworth.publishing.desk.toml_edits import Add, AddTable, Edit, Put, Remove, edited
from panelworth.publishing.desk.toml_positions import parsed, value_at
from panelworth.publishing.desk.toml_values import same

ROOT = Path(__file__).parents[1]
DEMOS = {
    path.relative_to(ROOT).as_posix(): path.read_bytes()
    for path in sorted((ROOT / "scenarios").rglob("*.toml"))
}
FILE = """# The club's file.
title = "T"   # shown on top
years = 10

[aircraft]   # the airplane
label = 'A'
fuel_price = [5, 6, 8]   # pump price
value = { low = 1, likely = 2, high = 3, note = "n" } # letter
fixed = [   # standing still
  { name = "Hangar", per_year = 100 },  # rent
  { name = "Tax", per_year = [1,2,3] } # last
]
flags = ["a", "b"]
repairs.per_year = 500
repairs.growth = 0.08

# Small jobs.
[[jobs]]
name = "Hoses"   # first
now = 9

[jobs.later]
likely = 4

# The second job.
[[jobs]]
name = "Wiring"
now = 10

[club.inner]
x = 1
"""
CASES: list[tuple[Edit, str, str]] = [
    (Put(path=("years",), value=12), "years = 10", "years = 12"),
    (Put(path=("title",), value='a "b"\nc'), '"T"   #', r'"a \"b\"\nc"   #'),
    (Put(path=("aircraft", "fuel_price"), value=[5, 6.5, 8]), "[5, 6, 8]", "[5, 6.5, 8]"),
    (Put(path=("aircraft", "fuel_price"), value=7), "[5, 6, 8]", "7"),
    (
        Put(path=("aircraft", "fuel_price"), value={"likely": 7, "source": "pump"}),
        "[5, 6, 8]",
        '{ likely = 7, source = "pump" }',
    ),
    (
        Put(path=("aircraft", "value"), value={"low": 1, "likely": 2.5, "high": 3, "note": "n"}),
        "likely = 2,",
        "likely = 2.5,",
    ),
    (
        Put(path=("aircraft", "value"), value={"low": 1, "likely": 2, "high": 3, "source": "s"}),
        'high = 3, note = "n" }',
        'high = 3, source = "s" }',
    ),
    (Remove(path=("aircraft", "value", "low")), "{ low = 1, likely", "{ likely"),
    (
        Put(path=("aircraft", "oil"), value=1),
        "growth = 0.08\n",
        "growth = 0.08\noil = 1\n",
    ),
    (Put(path=("aircraft", "repairs", "growth"), value=0.1), "growth = 0.08", "growth = 0.1"),
    (
        Put(path=("aircraft", "repairs", "each"), value=3),
        "repairs.growth = 0.08\n",
        "repairs.growth = 0.08\nrepairs.each = 3\n",
    ),
    (Remove(path=("aircraft", "repairs", "growth")), "repairs.growth = 0.08\n", ""),
    (
        Remove(path=("aircraft", "repairs")),
        "repairs.per_year = 500\nrepairs.growth = 0.08\n",
        "",
    ),
    (Remove(path=("aircraft", "fuel_price")), "fuel_price = [5, 6, 8]   # pump price\n", ""),
    (
        Put(path=("aircraft", "fixed", 1, "per_year"), value=[1, 2, 4]),
        "[1,2,3]",
        "[1,2,4]",
    ),
    (
        Put(path=("aircraft", "fixed", 0, "for_months"), value=12),
        "per_year = 100 }",
        "per_year = 100, for_months = 12 }",
    ),
    (
        Remove(path=("aircraft", "fixed", 0)),
        '  { name = "Hangar", per_year = 100 },  # rent\n',
        "",
    ),
    (
        Remove(path=("aircraft", "fixed", 1)),
        '  { name = "Tax", per_year = [1,2,3] } # last\n',
        "",
    ),
    (
        Add(path=("aircraft", "fixed"), entry={"name": "Data", "per_year": 5}),
        "[1,2,3] } # last\n",
        '[1,2,3] }, # last\n  { name = "Data", per_year = 5 },\n',
    ),
    (Put(path=("aircraft", "flags"), value=["a", "b", "c"]), '"b"]', '"b", "c"]'),
    (Put(path=("aircraft", "flags"), value=["b"]), '["a", "b"]', '["b"]'),
    (Put(path=("aircraft", "flags"), value=["a"]), '["a", "b"]', '["a"]'),
    (Put(path=("aircraft", "flags"), value=["c"]), '["a", "b"]', '["c"]'),
    (Put(path=("jobs", 0, "later"), value=5), "likely = 4", "likely = 5"),
    (
        Put(path=("jobs", 0, "later"), value=[1, 2, 3]),
        "likely = 4\n",
        "likely = 2\nlow = 1\nhigh = 3\n",
    ),
    (
        Remove(path=("jobs", 0)),
        '[[jobs]]\nname = "Hoses"   # first\nnow = 9\n\n[jobs.later]\nlikely = 4\n\n',
        "",
    ),
    (Remove(path=("jobs", 0, "later")), "[jobs.later]\nlikely = 4\n\n", ""),
    (
        Add(path=("jobs",), entry={"name": "Senders", "now": 1}),
        'name = "Wiring"\nnow = 10\n',
        'name = "Wiring"\nnow = 10\n\n[[jobs]]\nname = "Senders"\nnow = 1\n',
    ),
    (
        Put(path=("vote", "quorum"), value=0.5),
        "[club.inner]\nx = 1\n",
        "[club.inner]\nx = 1\n\n[vote]\nquorum = 0.5\n",
    ),
    (AddTable(path=("sell",)), "x = 1\n", "x = 1\n\n[sell]\n"),
    (
        Put(path=("club", "members"), value=9),
        "[club.inner]\n",
        "[club]\nmembers = 9\n\n[club.inner]\n",
    ),
    (
        Add(path=("aircraft", "due"), entry={"last": date(2025, 8, 15)}),
        "growth = 0.08\n",
        "growth = 0.08\n\n[[aircraft.due]]\nlast = 2025-08-15\n",
    ),
    (
        Put(path=("jobs", 0, "seen", "on"), value=date(2026, 1, 2)),
        "likely = 4\n",
        "likely = 4\n\n[jobs.seen]\non = 2026-01-02\n",
    ),
    (
        Put(path=("as_of",), value=date(2026, 1, 2)),
        "years = 10\n",
        "years = 10\nas_of = 2026-01-02\n",
    ),
    (Put(path=("aircraft", "a key"), value=True), "0.08\n", '0.08\n"a key" = true\n'),
]


@pytest.mark.parametrize(("edit", "old", "new"), CASES)
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_only_the_text_of_the_key_changes(
    edit: Edit, old: str, new: str, newline: str, mark: str
) -> None:
    assert FILE.count(old) == 1
    before = (mark + FILE).replace("\n", newline).encode()
    after = (mark + FILE.replace(old, new)).replace("\n", newline).encode()
    assert edited(before, [edit]) == after


@pytest.mark.parametrize(
    ("text", "edit", "expected"),
    [
        ("", Put(path=("years",), value=1), "years = 1\n"),
        ("# a\n\n# b\n[t]\n", Put(path=("years",), value=1), "# a\n\nyears = 1\n# b\n[t]\n"),
        ("a = 1", Put(path=("b",), value=1), "a = 1\nb = 1"),
        ("a = 1", Put(path=("t", "b"), value=1), "a = 1\n\n[t]\nb = 1\n"),
        ("[t]", Put(path=("t", "b"), value=1), "[t]\nb = 1"),
        ("t = {}", Put(path=("t", "b"), value=1), "t = { b = 1 }"),
        ("t = { a.x = 1 }", Put(path=("t", "a", "y"), value=2), "t = { a.x = 1, a.y = 2 }"),
        ("t = { a = 1 }", Remove(path=("t", "a")), "t = {  }"),
        ("l = []", Add(path=("l",), entry={"name": "x"}), 'l = [ { name = "x" } ]'),
        ("l = [1,]", Remove(path=("l", 0)), "l = []"),
        ("l = [1, 2,]", Remove(path=("l", 1)), "l = [1,]"),
        ("l = [1, 2]", Put(path=("l",), value=[1, 2, 3]), "l = [1, 2, 3]"),
        ("l = [1, 2,]", Put(path=("l",), value=[1, 2, 3]), "l = [1, 2, 3]"),
        ("l = [\n 1,\n 2]", Put(path=("l",), value=[1, 2, 3]), "l = [\n 1,\n 2,\n 3]"),
        ("l = [\n 1,\n 2\n]", Put(path=("l",), value=[1, 2, 3]), "l = [\n 1,\n 2,\n 3,\n]"),
        ("l = [\n 1, # a\n 2]", Put(path=("l",), value=[1]), "l = [\n 1, # a\n ]"),
        ("t = { s = 1 }", Add(path=("t", "l"), entry={"n": 1}), "t = { s = 1, l = [{ n = 1 }] }"),
        ("v = 1  # placeholder\nw = 1 # p\n", Put(path=("v",), value=2), "v = 2\nw = 1 # p\n"),
        ("[a.b]\nx = 1\n", Remove(path=("a", "b")), ""),
        ("a = 1\n", Remove(path=("b",)), "a = 1\n"),
        ("a = { likely = 1 }", Put(path=("a",), value=["x"]), 'a = ["x"]'),
    ],
)  # fmt: skip
def test_unusual_texts_are_changed_as_well(text: str, edit: Edit, expected: str) -> None:
    found = edited(text.encode(), [edit])
    assert found is not None
    assert found.decode() == expected


@pytest.mark.parametrize(
    ("text", "edit"),
    [
        ("a = [", Put(path=("a",), value=1)),
        ("a = 1", Put(path=("a", "b"), value=1)),
        ("[a]\nlikely = 1", Put(path=("a",), value=[1, 2])),
        ("[[t]]\nx = 1", Put(path=("t",), value=[1])),
        ("a = 1", Put(path=("a",), value=float("nan"))),
        ("a = 1", Put(path=("a",), value=object())),
        (f"a = {'[' * 3000}", Put(path=("b",), value=1)),
        ("a = 1\xff", Put(path=("b",), value=1)),
    ],
)
def test_what_cannot_be_changed_is_refused(text: str, edit: Edit) -> None:
    assert edited(text.encode("latin-1"), [edit]) is None


VALUES = st.one_of(
    st.integers(-(10**12), 10**12),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
    st.dates(date(1900, 1, 1), date(2999, 12, 31)),
    st.text(st.characters(codec="utf-8"), max_size=20),
    st.lists(st.floats(-1e9, 1e9), min_size=3, max_size=3).map(sorted),
    st.builds(
        lambda numbers, source: {
            **dict(zip(("low", "likely", "high"), sorted(numbers), strict=True)),
            "source": source,
        },
        st.lists(st.integers(0, 10**6), min_size=3, max_size=3),
        st.text(st.characters(codec="utf-8"), max_size=9),
    ),
)


def outside(raw: bytes, changed: bytes) -> tuple[bytes, bytes]:
    """Return the part of the old text and of the new one that differ."""
    start = next(
        (at for at, (a, b) in enumerate(zip(raw, changed, strict=False)) if a != b),
        min(len(raw), len(changed)),
    )
    most = min(len(raw), len(changed)) - start
    end = next((at for at in range(most) if raw[-1 - at] != changed[-1 - at]), most)
    return raw[start : len(raw) - end], changed[start : len(changed) - end]


@given(st.data())
def test_any_value_of_the_demos_may_get_any_other(data: st.DataObject) -> None:
    """The file's data differ at this key alone, and its text within that value's lines alone."""
    raw = DEMOS[data.draw(st.sampled_from(sorted(DEMOS)))]
    document = parsed(raw)
    paths = [path for path, at in document.written.items() if at.pair]
    path, value = data.draw(st.sampled_from(paths)), data.draw(VALUES)
    changed = edited(raw, [Put(path=path, value=value)])
    assert changed is not None
    after = tomllib.loads(changed.decode())
    assert same(value_at(after, path), value)
    rest = edited(changed, [Put(path=path, value=document.value(path))])
    assert rest is not None
    assert same(tomllib.loads(rest.decode()), document.data)
    at = document.written[path].value
    old, _ = outside(raw, changed)
    assert old in raw[at.start_byte : at.end_byte]


@given(st.data())
def test_any_key_or_entry_of_the_demos_may_be_removed(data: st.DataObject) -> None:
    raw = DEMOS[data.draw(st.sampled_from(sorted(DEMOS)))]
    document = parsed(raw)
    paths = [path for path in (*document.written, *document.tables) if path]
    path = data.draw(st.sampled_from(paths))
    changed = edited(raw, [Remove(path=path)])
    assert changed is not None
    expected = tomllib.loads(raw.decode())
    del value_at(expected, path[:-1])[path[-1]]
    after = tomllib.loads(changed.decode())
    assert same(after, expected) or value_at(expected, path[:-1]) in ({}, [])
    assert len(changed) < len(raw)
    if path in document.written:  # tables may be several parts of a file
        assert outside(raw, changed)[1] == b""
