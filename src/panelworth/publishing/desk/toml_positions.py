"""Where keys, values and tables are in the text of a TOML file, as ranges of bytes.

tomllib gives values without positions. tree-sitter gives positions without values. Edits need
both, so a text is parsed by both.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

KeyPath = tuple[str | int, ...]  # a number is the place in a list, from 0


@dataclass(kw_only=True)
class Section:
    """The part of a file under one header, or before the first one.

    `head` is the line [table] or [[list]]; None for the part before the first header.
    """

    path: KeyPath
    head: Node | None = None
    pairs: list[Node] = field(default_factory=list)

    @property
    def end(self) -> int:
        """The byte after its last pair, or after its header.

        What follows, such as a comment, may belong to the next header.
        """
        last = self.pairs[-1] if self.pairs else self.head
        return last.end_byte if last else 0


@dataclass(frozen=True, kw_only=True)
class Written:
    """A value in the text: its node, and the pair `key = value` (None for an entry of a list)."""

    value: Node
    pair: Node | None = None


@dataclass(frozen=True, kw_only=True)
class Dotted:
    """A table that only dotted keys define, such as `repairs.growth = 0.08`.

    `last` is its last pair, and `prefix` the part of the key before its own keys. `body` is what
    the pair is in: a section or an inline table.
    """

    last: Node
    prefix: tuple[str, ...]
    body: Section | Node


@dataclass(kw_only=True)
class Document:
    """A TOML text with its values and the positions of all its keys.

    `written` has values after a key or in a list. `tables` has where keys of a table are written.
    A table that only headers of inner tables define is in neither.
    """

    raw: bytes
    data: dict[str, Any]
    sections: list[Section] = field(default_factory=list)
    written: dict[KeyPath, Written] = field(default_factory=dict)
    tables: dict[KeyPath, Section | Node | Dotted] = field(default_factory=dict)

    @property
    def newline(self) -> bytes:
        """The line end of the file."""
        return b"\r\n" if b"\r\n" in self.raw else b"\n"

    def line_start(self, at: int) -> int:
        """Return the first byte of the line that has this byte."""
        return self.raw.rfind(b"\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """Return the byte after the line that has this byte, its line end included."""
        end = self.raw.find(b"\n", at)
        return len(self.raw) if end < 0 else end + 1

    def value(self, path: KeyPath) -> Any:  # noqa: ANN401 (whatever the file has)
        """Return the value at a path; None if there is none."""
        return value_at(self.data, path)

    def sections_of(self, path: KeyPath) -> list[Section]:
        """Return the sections of a table or an entry and of all tables within it."""
        return [part for part in self.sections if part.head and part.path[: len(path)] == path]


def value_at(data: object, path: KeyPath) -> Any:  # noqa: ANN401 (whatever the file has)
    """Return the value at a path within tables and lists; None if there is none."""
    for step in path:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            data = data[step]
        else:
            return None
    return data


def parsed(raw: bytes) -> Document:
    """Parse a text. Raises ValueError (also of tomllib) or RecursionError if it is not TOML."""
    document = Document(raw=raw, data=tomllib.loads(raw.decode()))
    top = Section(path=())
    document.sections.append(top)
    document.tables[()] = top
    last_entries: dict[KeyPath, int] = {}
    for node in _parser().parse(raw).root_node.named_children:
        if node.type == "pair":
            _add_pair(document, node, top)
        elif node.type in ("table", "table_array_element"):
            _add_section(document, node, last_entries)
    return document


@cache
def _parser() -> Parser:
    return Parser(Language(tree_sitter_toml.language()))


def _add_section(document: Document, node: Node, last_entries: dict[KeyPath, int]) -> None:
    """Add a [table] or an entry [[list]]; [list.table] belongs to the last entry of the list."""
    head, *pairs = inner(node)
    path: KeyPath = ()
    *outer, last = keys_of(head)
    for step in outer:
        path = (*path, step)
        path = (*path, last_entries[path]) if path in last_entries else path
    path = (*path, last)
    if node.type == "table_array_element":
        last_entries[path] = last_entries.get(path, -1) + 1
        path = (*path, last_entries[path])
    section = Section(path=path, head=head)
    document.sections.append(section)
    document.tables[path] = section
    for pair in pairs:
        _add_pair(document, pair, section)


def _add_pair(document: Document, pair: Node, body: Section | Node, path: KeyPath = ()) -> None:
    """Add a pair of a section, or of an inline table whose path is given."""
    if isinstance(body, Section):
        body.pairs.append(pair)
        path = body.path
    head, value = inner(pair)[:2]
    keys = keys_of(head)
    for depth in range(1, len(keys)):
        table = (*path, *keys[:depth])
        document.tables[table] = Dotted(last=pair, prefix=tuple(keys[:depth]), body=body)
    _add_value(document, (*path, *keys), Written(value=value, pair=pair))


def _add_value(document: Document, path: KeyPath, written: Written) -> None:
    document.written[path] = written
    if written.value.type == "inline_table":
        document.tables[path] = written.value
        for pair in inner(written.value):
            _add_pair(document, pair, written.value, path)
    elif written.value.type == "array":
        for number, entry in enumerate(inner(written.value)):
            _add_value(document, (*path, number), Written(value=entry))


def inner(node: Node) -> list[Node]:
    """Return the parts of a node without brackets, commas and comments."""
    return [child for child in node.named_children if child.type != "comment"]


def keys_of(node: Node) -> list[str]:
    """Return the parts of a key; tomllib decodes the escapes of a quoted one."""
    if node.type == "dotted_key":
        return [key for child in node.named_children for key in keys_of(child)]
    text = (node.text or b"").decode()
    return list(tomllib.loads(f"{text} = 0")) if node.type == "quoted_key" else [text]


def commas_after(node: Node) -> Iterator[Node]:
    """Yield the comma between this entry and the next one, or the end of its list."""
    following = node.next_sibling
    while following is not None and following.type in (",", "comment"):
        if following.type == ",":
            yield following
            return
        following = following.next_sibling
