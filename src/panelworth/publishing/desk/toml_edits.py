"""Changes one key of a TOML text; every other byte stays as it is.

A text is changed by replacing ranges of bytes. A library that writes the whole file again would
move comments that belong to the next table. After each edit the text is parsed again, and the edit
counts only if its key has changed and nothing else.
"""

import re
import tomllib
from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from tree_sitter import Node

from panelworth.publishing.desk.toml_positions import (
    Document,
    Dotted,
    KeyPath,
    Section,
    Written,
    commas_after,
    inner,
    keys_of,
    parsed,
    value_at,
)
from panelworth.publishing.desk.toml_values import as_key, as_toml, same

ENDS = ("low", "likely", "high")
# The mark of an invented value at the end of its line. It goes when the value is replaced.
PLACEHOLDER = re.compile(rb"[ \t]*#[ \t]*placeholder[ \t]*(?=\r?\n?\Z)", re.IGNORECASE)
BOM = b"\xef\xbb\xbf"  # some editors of Windows begin a UTF-8 file with it
Splice = tuple[int, int, bytes]  # replace the bytes from a to b by these


@dataclass(frozen=True, kw_only=True)
class Put:
    """Give a key a value: a number, a text, a day, yes or no, a list, or a table."""

    path: KeyPath
    value: Any


@dataclass(frozen=True, kw_only=True)
class Remove:
    """Remove a key, so that its default counts; a table; or an entry of a list."""

    path: KeyPath


@dataclass(frozen=True, kw_only=True)
class Add:
    """Add a table at the end of a list of tables, which is made if there is none."""

    path: KeyPath
    entry: dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class AddTable:
    """Add an empty table, which may mean something: `[sell]` sells at the airplane's value."""

    path: KeyPath


Edit = Put | Remove | Add | AddTable


def edited(raw: bytes, edits: Sequence[Edit]) -> bytes | None:
    """Return a text with all edits made in this order; None if one cannot be made.

    None also if the text is not TOML, or if an edit would change more than its own key.
    """
    mark = BOM if raw.startswith(BOM) else b""
    text = raw.removeprefix(mark)
    try:
        for edit in edits:
            before = tomllib.loads(text.decode())
            text = _made(text, edit)
            if not _is_made(before, tomllib.loads(text.decode()), edit):
                return None
    except (ValueError, RecursionError, LookupError):
        return None
    return mark + text


def _as_table(value: object) -> dict[str, Any]:
    """Return a number or a range as the table that means the same.

    Raises ValueError for a list that is no range.
    """
    if isinstance(value, dict):
        return value
    if isinstance(value, list | tuple):
        return dict(zip(ENDS, value, strict=True))
    return {"likely": value}


def _is_made(before: dict[str, Any], after: dict[str, Any], edit: Edit) -> bool:
    """Return whether an edit changed its key as it should, and nothing else."""
    if isinstance(edit, Put):
        if same(after, _with(before, edit.path, edit.value)):
            return True
        is_table = isinstance(value_at(before, edit.path), dict)
        # A table under a header stays a table.
        return is_table and same(after, _with(before, edit.path, _as_table(edit.value)))
    if isinstance(edit, AddTable):
        return same(after, _with(before, edit.path, {}))
    if isinstance(edit, Add):
        entries = value_at(before, edit.path) or []
        return same(after, _with(before, edit.path, [*entries, edit.entry]))
    return _is_removed(before, after, edit.path)


def _is_removed(before: dict[str, Any], after: dict[str, Any], path: KeyPath) -> bool:
    """Return whether a key is gone, and nothing else but a table or list that only it defined."""
    expected = deepcopy(before)
    around = value_at(expected, path[:-1])
    if value_at(before, path) is not None:
        del around[path[-1]]
    return same(after, expected) or (
        around in ({}, []) and len(path) > 1 and _is_removed(before, after, path[:-1])
    )


def _with(data: dict[str, Any], path: KeyPath, value: object) -> dict[str, Any]:
    """Return a copy with a value at a path; missing tables are added."""
    whole = deepcopy(data)
    table: Any = whole
    for step in path[:-1]:
        table = table.setdefault(step, {}) if isinstance(table, dict) else table[step]
    table[path[-1]] = value
    return whole


def _made(text: bytes, edit: Edit) -> bytes:
    if isinstance(edit, Put):
        return _put(text, edit.path, edit.value)
    if isinstance(edit, Remove):
        return _removed(text, edit.path)
    if isinstance(edit, AddTable):
        return _inserted(text, edit.path, {})
    return _added(text, edit.path, edit.entry)


def _spliced(text: bytes, *splices: Splice) -> bytes:
    for start, end, new in sorted(splices, reverse=True):
        text = text[:start] + new + text[end:]
    return text


def _put(text: bytes, path: KeyPath, value: object) -> bytes:
    """Replace a value, or insert the key. Of tables and lists only what differs is replaced."""
    document = parsed(text)
    old, written = document.value(path), document.written.get(path)
    if old is None or same(old, value):
        return _inserted(text, path, value) if old is None else text
    if isinstance(old, dict) and (written is None or isinstance(value, dict)):
        return _put_table(text, path, old, _as_table(value))
    if written is None:
        raise LookupError(path)  # a list of [[tables]] is changed entry by entry
    if isinstance(old, list) and isinstance(value, list | tuple):
        return _put_list(text, path, old, list(value), written)
    return _replaced(text, written, value)


def _replaced(text: bytes, written: Written, value: object) -> bytes:
    start, end = written.value.start_byte, written.value.end_byte
    return _without_mark(text, end, (start, end, as_toml(value).encode()))


def _put_table(text: bytes, path: KeyPath, old: dict[str, Any], new: dict[str, Any]) -> bytes:
    for key in old.keys() - new.keys():
        text = _removed(text, (*path, key))
    for key, value in new.items():
        text = _put(text, (*path, key), value)
    return text


def _put_list(
    text: bytes, path: KeyPath, old: list[Any], new: list[Any], written: Written
) -> bytes:
    """Change a list of single values: entry by entry where most of it stays."""
    if len(old) == len(new):
        for number, value in enumerate(new):
            text = _put(text, (*path, number), value)
        return text
    kept = [value for value in old if value in new]
    if not kept or new[: len(kept)] != kept:
        return _replaced(text, written, new)
    for number in reversed([at for at, value in enumerate(old) if value not in new]):
        text = _removed(text, (*path, number))
    for value in new[len(kept) :]:
        text = _appended(parsed(text), parsed(text).written[path].value, value)
    return text


def _without_mark(text: bytes, at: int, *splices: Splice) -> bytes:
    """Make splices, and remove the mark of a placeholder at the end of the line."""
    end = text.find(b"\n", at)
    end = len(text) if end < 0 else end
    mark = PLACEHOLDER.search(text, at, end)
    return _spliced(text, *splices, *([(mark.start(), mark.end(), b"")] if mark else []))


def _inserted(text: bytes, path: KeyPath, value: object) -> bytes:
    """Insert a key into its table, which is made if it is missing."""
    document, outer = parsed(text), path[:-1]
    body, pair = document.tables.get(outer), f"{as_key(str(path[-1]))} = {as_toml(value)}".encode()
    if isinstance(body, Node):
        return _spliced(text, _into_inline(body, pair))
    if isinstance(body, Dotted):
        return _spliced(text, _after_dotted(document, body, pair))
    if isinstance(body, Section):
        if isinstance(value, dict) and not {"likely"} & value.keys():
            return _new_section(document, path, value, "[{}]")
        at = document.line_end(body.end) if body.pairs or body.head else _top(document)
        return _spliced(text, _line(document, at, pair))
    if document.value(outer) is None:
        return _inserted(text, outer, {path[-1]: value})
    return _section_before_inner(document, outer, pair)  # only inner tables' headers define it


def _after_dotted(document: Document, table: Dotted, pair: bytes) -> Splice:
    """Insert a pair after the last one of a table of dotted keys, with the same prefix."""
    pair = ".".join(map(as_key, table.prefix)).encode() + b"." + pair
    if isinstance(table.body, Section):
        return _line(document, document.line_end(table.last.end_byte), pair)
    end = _value_end(table.last)
    return end, end, b", " + pair


def _top(document: Document) -> int:
    """Return where the first key of a file goes: before the first header and its comment."""
    first = document.sections[1].head if len(document.sections) > 1 else None
    at = document.line_start(first.start_byte) if first else len(document.raw)
    while at and document.raw[document.line_start(at - 1) : at].lstrip().startswith(b"#"):
        at = document.line_start(at - 1)
    return at


def _line(document: Document, at: int, content: bytes) -> Splice:
    """Insert a line at the start of a line, or at the end of a file without a last line end."""
    lacks_end = at > 0 and document.raw[at - 1 : at] != b"\n"
    before, after = (document.newline, b"") if lacks_end else (b"", document.newline)
    return at, at, before + content + after


def _into_inline(table: Node, pair: bytes) -> Splice:
    """Insert a pair into an inline table, after its last one."""
    pairs = inner(table)
    if not pairs:
        return table.start_byte, table.end_byte, b"{ " + pair + b" }"
    end = _value_end(pairs[-1])
    return end, end, b", " + pair


def _value_end(pair: Node) -> int:
    return inner(pair)[1].end_byte


def _new_section(document: Document, path: KeyPath, table: dict[str, Any], head: str) -> bytes:
    """Add a section at the end of the one around it."""
    names = ".".join(as_key(step) for step in path if isinstance(step, str))
    lines = [head.format(names), *(f"{as_key(key)} = {as_toml(table[key])}" for key in table)]
    around = next(
        (path[:depth] for depth in range(len(path), 0, -1) if document.sections_of(path[:depth])),
        (),
    )
    inside = document.sections_of(around) if around else document.sections
    at = document.line_end(inside[-1].end) if around else len(document.raw)
    newline = document.newline
    gap = newline if at == 0 or document.raw[at - 1 : at] == b"\n" else newline * 2
    content = newline.join(line.encode() for line in lines) + newline
    return _spliced(document.raw, (at, at, (gap if at else b"") + content))


def _section_before_inner(document: Document, path: KeyPath, pair: bytes) -> bytes:
    """Add the header of a table that only inner headers define, before the first of them."""
    first = document.sections_of(path)[0].head
    if first is None:
        raise LookupError(path)
    names = ".".join(as_key(step) for step in path if isinstance(step, str)).encode()
    at, newline = document.line_start(first.start_byte), document.newline
    content = b"[" + names + b"]" + newline + pair + newline * 2
    return _spliced(document.raw, (at, at, content))


def _added(text: bytes, path: KeyPath, entry: dict[str, Any]) -> bytes:
    document = parsed(text)
    written = document.written.get(path)
    if written is not None:
        return _appended(document, written.value, entry)
    body = document.tables.get(path[:-1])
    if isinstance(body, Node | Dotted):  # no header may open a table that is written inline
        return _inserted(text, path, [entry])
    return _new_section(document, path, entry, "[[{}]]")


def _appended(document: Document, array: Node, value: object) -> bytes:
    """Append an entry to a list in brackets, on a line of its own if the last one has one."""
    raw, new, entries = document.raw, as_toml(value).encode(), inner(array)
    if not entries:
        return _spliced(raw, (array.start_byte, array.end_byte, b"[ " + new + b" ]"))
    last = entries[-1]
    start = document.line_start(last.start_byte)
    indent = raw[start : last.start_byte]
    comma = next(commas_after(last), None)
    if indent.strip():  # it shares its line
        end = comma.end_byte if comma else last.end_byte
        return _spliced(raw, (end, end, b" " + new if comma else b", " + new))
    if array.end_byte <= document.line_end(last.end_byte):  # the closing bracket is on its line
        end = comma.end_byte if comma else last.end_byte
        between = b"" if comma else b","
        return _spliced(raw, (end, end, between + document.newline + indent + new))
    at = document.line_end(last.end_byte)
    between_splices = [] if comma else [(last.end_byte, last.end_byte, b",")]
    own_line = (at, at, indent + new + b"," + document.newline)
    return _spliced(raw, own_line, *between_splices)


def _removed(text: bytes, path: KeyPath) -> bytes:
    document = parsed(text)
    written = document.written.get(path)
    if written is not None and written.pair is None:
        return _spliced(text, _without_entry(document, written.value))
    if written is not None and written.pair is not None:
        return _spliced(text, _without_pair(document, written.pair))
    splices = [_without_section(document, section) for section in document.sections_of(path)]
    if not splices:  # a table of dotted keys, or nothing
        pairs = {
            known.pair.start_byte: _without_pair(document, known.pair)
            for at, known in document.written.items()
            if known.pair is not None and at[: len(path)] == path
            if len(at) - len(keys_of(inner(known.pair)[0])) < len(path)
        }
        splices = list(pairs.values())
    return _spliced(text, *splices)


def _without_section(document: Document, section: Section) -> Splice:
    """Remove a header with its pairs, and the blank lines that follow."""
    start = document.line_start(section.head.start_byte if section.head else 0)
    end = document.line_end(section.end)
    while end < len(document.raw) and not document.raw[end : document.line_end(end)].strip():
        end = document.line_end(end)
    return start, end, b""


def _without_pair(document: Document, pair: Node) -> Splice:
    if pair.parent is not None and pair.parent.type == "inline_table":
        return _without_member(pair, inner(pair.parent), _value_end(pair))
    return document.line_start(pair.start_byte), document.line_end(pair.end_byte), b""


def _without_entry(document: Document, entry: Node) -> Splice:
    """Remove an entry of a list with its comma; with its line, if it has lines of its own."""
    array = entry.parent
    if array is None:
        raise LookupError
    start, comma = document.line_start(entry.start_byte), next(commas_after(entry), None)
    end = document.line_end(entry.end_byte)
    before = document.raw[start : entry.start_byte]
    after = document.raw[entry.end_byte : end].strip().removeprefix(b",").strip()
    if not before.strip() and (not after or after.startswith(b"#")):
        return start, end, b""
    if len(inner(array)) == 1 and comma:
        return entry.start_byte, comma.end_byte, b""
    return _without_member(entry, inner(array), entry.end_byte)


def _without_member(member: Node, members: list[Node], end: int) -> Splice:
    """Remove one of several members in brackets, with the comma after or before it."""
    at = next(number for number, one in enumerate(members) if one.start_byte == member.start_byte)
    if at + 1 < len(members):
        return member.start_byte, members[at + 1].start_byte, b""
    if at:
        before = members[at - 1]
        start = _value_end(before) if before.type == "pair" else before.end_byte
        if member.prev_sibling is not None and member.prev_sibling.type == ",":
            return start, end, b""
    return member.start_byte, end, b""
