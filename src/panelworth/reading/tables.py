"""TOML files with the line of every key, refused politely when they cannot be read.

Values come from the standard library's parsers; tree-sitter only tells on which line each stands.
"""

import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any
from unicodedata import normalize

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from panelworth.problems import Collector, Problem

LARGEST_FILE = 1_000_000  # bytes; a scenario file is a few kilobytes, so this is a mistake
KeyPath = tuple[str | int, ...]


@dataclass(frozen=True, kw_only=True)
class Table:
    """A parsed TOML file: its name for messages, data, the line of each key path, its text."""

    file: str
    data: dict[str, Any]
    lines: dict[KeyPath, int] = field(default_factory=dict)
    text: str = ""

    def line(self, path: KeyPath) -> int:
        """Return the line of a key, or that of the nearest table around it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 0)

    def value(self, path: KeyPath) -> Any:  # noqa: ANN401 (whatever the user wrote)
        """Return what stands at a key path, None where nothing does."""
        here: Any = self.data
        for step in path:
            here = _step(here, step)
        return here

    def name(self, path: KeyPath) -> str:
        """Word a key path as figures name it: list entries by their name, else by number."""
        text, here = "", self.data
        for step in path:
            here = _step(here, step)
            if isinstance(step, int):
                called = here.get("name") if isinstance(here, dict) else None
                text += f"[{called if isinstance(called, str) else step + 1}]"
            else:
                text += f".{step}" if text else step
        return text


def _step(here: Any, step: str | int) -> Any:  # noqa: ANN401 (whatever the user wrote)
    if isinstance(here, dict):
        return here.get(step)
    if isinstance(here, list) and isinstance(step, int) and step < len(here):
        return here[step]
    return None


def read_text(path: Path, file: str, found: Collector) -> str | None:
    """Read a UTF-8 file, byte order mark and CRLF accepted; None and a problem if it cannot be.

    Its text comes in Unicode's composed form, so that a name is found however it was typed.
    """
    try:
        size = path.stat().st_size
        if size > LARGEST_FILE:
            limit = f"a file of at most {LARGEST_FILE // 1_000_000} MB"
            found.add(Problem(file=file, key="", expected=limit, found=f"{size:,} bytes"))
            return None
        return normalize("NFC", path.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError as error:
        line = path.read_bytes()[: error.start].count(b"\n") + 1
        byte = f"the byte 0x{error.object[error.start]:02x}"
        hint = 'save the file again with the encoding "UTF-8"'
        found.add(
            Problem(file=file, line=line, key="", expected="UTF-8 text", found=byte, hint=hint)
        )
    except OSError as error:
        reason = error.strerror or "nothing"
        found.add(Problem(file=file, key="", expected="a file that can be read", found=reason))
    return None


def read_table(path: Path, file: str, found: Collector) -> Table | None:
    """Parse a TOML file; None and a problem where it is not TOML."""
    text = read_text(path, file, found)
    if text is None:
        return None
    try:
        return Table(file=file, data=tomllib.loads(text), lines=_lines(text), text=text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        found.add(_not_toml(text, file, str(error)))
        return None


def _not_toml(text: str, file: str, message: str) -> Problem:
    what, _, place = message.partition(" (at line ")
    digits = place.partition(",")[0]
    line = int(digits) if digits.isdigit() else text.count("\n") + 1
    written = text.splitlines()[line - 1].strip()[:60] if text.splitlines()[line - 1 : line] else ""
    return Problem(
        file=file,
        line=line,
        key="",
        expected='TOML, such as: key = 12, key = "text" or [table]',
        found=f'"{written}"' if written else "the end of the file",
        hint=what[:1].lower() + what[1:],
    )


@cache
def _parser() -> Parser:
    return Parser(Language(tree_sitter_toml.language()))


def _lines(text: str) -> dict[KeyPath, int]:
    """Map each key path, list entries by position, to its line."""
    lines: dict[KeyPath, int] = {}
    seen: dict[KeyPath, int] = {}
    for node in _parser().parse(text.encode()).root_node.named_children:
        if node.type == "pair":
            _pair(node, (), lines)
        elif node.type in ("table", "table_array_element"):
            _table(node, lines, seen)
    return lines


def _table(node: Node, lines: dict[KeyPath, int], seen: dict[KeyPath, int]) -> None:
    head, *rest = [each for each in node.named_children if each.type != "comment"]
    where: KeyPath = ()
    keys = _key(head)
    for step in keys[:-1]:
        where = (*where, step)
        where = (*where, seen[where]) if where in seen else where
    where = (*where, keys[-1])
    if node.type == "table_array_element":
        seen[where] = seen.get(where, -1) + 1
        lines.setdefault(where, head.start_point.row + 1)
        where = (*where, seen[where])
    lines[where] = head.start_point.row + 1
    for pair in rest:
        _pair(pair, where, lines)


def _pair(node: Node, where: KeyPath, lines: dict[KeyPath, int]) -> None:
    head, value = [each for each in node.named_children if each.type != "comment"][:2]
    for step in _key(head):
        where = (*where, step)
        lines.setdefault(where, head.start_point.row + 1)
    _value(value, where, lines)


def _value(node: Node, where: KeyPath, lines: dict[KeyPath, int]) -> None:
    children = [each for each in node.named_children if each.type != "comment"]
    if node.type == "inline_table":
        for pair in children:
            _pair(pair, where, lines)
    elif node.type == "array":
        for number, each in enumerate(children):
            lines[*where, number] = each.start_point.row + 1
            _value(each, (*where, number), lines)


def _key(node: Node) -> list[str]:
    if node.type == "dotted_key":
        return [step for each in node.named_children for step in _key(each)]
    text = (node.text or b"").decode()
    return list(tomllib.loads(f"{text} = 0")) if node.type == "quoted_key" else [text]
