"""Reads text files and TOML files, with the line of every key for messages.

Values come from tomllib of the standard library, which does not report lines. tree-sitter parses
the text a second time for the lines alone.
"""

import re
import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any
from unicodedata import normalize

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from panelworth.model.value import as_written
from panelworth.plain_files import ReadFailure, contents
from panelworth.problems import FORBIDDEN, Collector, Problem, visible

LARGEST_FILE = 1_000_000  # bytes; a scenario file has a few kilobytes, so a larger one is a mistake
# Parts of a dotted key, and levels of tables and lists. A scenario's keys have up to four parts.
# The time to parse a key grows with the square of its parts, so longer ones are refused before.
DEEPEST = 50
# Possessive quantifiers (++, *+) never backtrack, so that the search takes linear time.
PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+"""
DEEP_KEY = re.compile(rf"(?<![\w-])(?:{PART}){{{DEEPEST - 1}}}")
KeyPath = tuple[str | int, ...]


@dataclass(frozen=True, kw_only=True)
class TomlTable:
    """A parsed TOML file: its name for messages, data, the line of each key path, its text.

    `cached_names` has the name and the value of key paths, so that names take linear time.
    """

    file: str
    data: dict[str, Any]
    lines: dict[KeyPath, int] = field(default_factory=dict)
    text: str = ""
    cached_names: dict[KeyPath, tuple[str, Any]] = field(
        default_factory=dict, repr=False, compare=False
    )

    def line(self, path: KeyPath) -> int:
        """Return the line of a key, or that of the nearest table around it; 0 if there is none."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 0)

    def value(self, path: KeyPath) -> Any:  # noqa: ANN401 (whatever the user wrote)
        """Return the value at a key path; None if there is none."""
        value: Any = self.data
        for step in path:
            value = _entry(value, step)
        return value

    def name(self, path: KeyPath) -> str:
        """Write a key path as figures.json does: list entries by name, or by number without one."""
        known, text, value = path, "", self.data
        while known and known not in self.cached_names:
            known = known[:-1]
        if known:
            text, value = self.cached_names[known]
        for depth in range(len(known), len(path)):
            step = path[depth]
            value = _entry(value, step)
            if isinstance(step, int):
                name = value.get("name") if isinstance(value, dict) else None
                text += f"[{name if isinstance(name, str) else step + 1}]"
            else:
                text += f".{step}" if text else step
            self.cached_names[path[: depth + 1]] = text, value
        return text


def _entry(value: Any, step: str | int) -> Any:  # noqa: ANN401 (whatever the user wrote)
    """Return an entry of a table or a list; None if there is none."""
    if isinstance(value, dict):
        return value.get(step)
    if isinstance(value, list) and isinstance(step, int) and step < len(value):
        return value[step]
    return None


def read_bytes(path: Path, file: str, collector: Collector) -> bytes | None:
    """Read a file of at most `LARGEST_FILE` bytes. Returns None and adds a problem if it fails."""
    raw = contents(path, LARGEST_FILE)
    if not isinstance(raw, ReadFailure):
        return raw
    collector.add(Problem(file=file, key="", expected=raw.expected, found=raw.found, hint=raw.hint))
    return None


def read_text(path: Path, file: str, collector: Collector) -> str | None:
    """Read a UTF-8 file. Returns None and adds a problem if it cannot be read.

    A byte order mark is removed, and every line end becomes a newline. The text is normalized to
    the composed form of Unicode (NFC): "é" can be one character or two, and names in several files
    must be equal.
    """
    raw = read_bytes(path, file, collector)
    if raw is None:
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        byte = f"the byte 0x{raw[error.start]:02x}"
        hint = 'save the file again with the encoding "UTF-8"'
        collector.add(
            Problem(file=file, line=line, key="", expected="UTF-8 text", found=byte, hint=hint)
        )
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if forbidden := FORBIDDEN.search(text):
        line = text.count("\n", 0, forbidden.start()) + 1
        hint = 'remove it, or save the file again with the encoding "UTF-8"'
        expected, found = "text without control characters", visible(forbidden[0])
        collector.add(
            Problem(file=file, line=line, key="", expected=expected, found=found, hint=hint)
        )
        return None
    return normalize("NFC", text)


def read_table(path: Path, file: str, collector: Collector) -> TomlTable | None:
    """Parse a TOML file. Returns None and adds a problem if it is not valid TOML."""
    text = read_text(path, file, collector)
    if text is None:
        return None
    if deep := DEEP_KEY.search(text):
        line = text.count("\n", 0, deep.start()) + 1
        collector.add(_too_deep(file, line))
        return None
    try:
        return TomlTable(file=file, data=tomllib.loads(text), lines=_lines(text), text=text)
    except RecursionError:
        collector.add(_too_deep(file, 0))
    except ValueError as error:  # TOMLDecodeError, or Python's limit on the digits of a number
        collector.add(_not_toml(text, file, str(error)))
    return None


def _too_deep(file: str, line: int) -> Problem:
    expected, found = "tables and lists a few levels deep", f"more than {DEEPEST} levels"
    return Problem(file=file, line=line, key="", expected=expected, found=found)


def _not_toml(text: str, file: str, message: str) -> Problem:
    """Make the problem of a syntax error. The line is known only from the message of tomllib."""
    from panelworth.reading.toml_hints import hint_for, unclosed_line  # noqa: PLC0415

    reason, _, place = message.partition(" (at ")
    digits = place.removeprefix("line ").partition(",")[0]
    lines = text.removesuffix("\n").split("\n")
    line = int(digits) if digits.isdigit() else unclosed_line(lines)
    line = min(line or len(lines), len(lines))
    source = lines[line - 1].strip()
    return Problem(
        file=file,
        line=line,
        key="",
        expected='TOML, such as: key = 12, key = "text" or [table]',
        found=as_written(source) if source else "the end of the file",
        hint=hint_for(source, reason),
    )


@cache
def _parser() -> Parser:
    return Parser(Language(tree_sitter_toml.language()))


def _lines(text: str) -> dict[KeyPath, int]:
    """Return the line of each key path, with list entries by position from 0."""
    lines: dict[KeyPath, int] = {}
    last_entries: dict[KeyPath, int] = {}  # the position of the last [[entry]] of each list so far
    for node in _parser().parse(text.encode()).root_node.named_children:
        if node.type == "pair":
            _pair(node, (), lines)
        elif node.type in ("table", "table_array_element"):
            _table(node, lines, last_entries)
    return lines


def _table(node: Node, lines: dict[KeyPath, int], last_entries: dict[KeyPath, int]) -> None:
    """Add the lines of a [table] or a [[list]] entry and of its keys.

    [list.table] after [[list]] belongs to the last entry of the list (TOML 1.0, array of tables).
    """
    head, *rest = [child for child in node.named_children if child.type != "comment"]
    path: KeyPath = ()
    keys = _key(head)
    for step in keys[:-1]:
        path = (*path, step)
        path = (*path, last_entries[path]) if path in last_entries else path
    path = (*path, keys[-1])
    if node.type == "table_array_element":
        last_entries[path] = last_entries.get(path, -1) + 1
        lines.setdefault(path, head.start_point.row + 1)
        path = (*path, last_entries[path])
    lines[path] = head.start_point.row + 1
    for pair in rest:
        _pair(pair, path, lines)


def _pair(node: Node, path: KeyPath, lines: dict[KeyPath, int]) -> None:
    """Add the lines of a key and of the keys within its value.

    A dotted key also defines the tables around it: they keep the line where they are first named.
    """
    head, value = [child for child in node.named_children if child.type != "comment"][:2]
    for step in _key(head):
        path = (*path, step)
        lines.setdefault(path, head.start_point.row + 1)
    _value(value, path, lines)


def _value(node: Node, path: KeyPath, lines: dict[KeyPath, int]) -> None:
    """Add the lines of the entries of a value; RecursionError if they are nested too deep."""
    if len(path) > DEEPEST:
        raise RecursionError
    children = [child for child in node.named_children if child.type != "comment"]
    if node.type == "inline_table":
        for pair in children:
            _pair(pair, path, lines)
    elif node.type == "array":
        for number, child in enumerate(children):
            lines[*path, number] = child.start_point.row + 1
            _value(child, (*path, number), lines)


def _key(node: Node) -> list[str]:
    """Return the parts of a key; tomllib decodes the escapes of a quoted one, as in the data."""
    if node.type == "dotted_key":
        return [step for child in node.named_children for step in _key(child)]
    text = (node.text or b"").decode()
    return list(tomllib.loads(f"{text} = 0")) if node.type == "quoted_key" else [text]
