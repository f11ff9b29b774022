"""TOML files with the line of every key, refused politely when they cannot be read.

Values come from the standard library's parsers; tree-sitter only tells on which line each stands.
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

from panelworth.model.value import shown
from panelworth.plain_files import ReadFailure, contents
from panelworth.problems import FORBIDDEN, Collector, Problem, visible

LARGEST_FILE = 1_000_000  # bytes; a scenario file is a few kilobytes, so this is a mistake
DEEPEST = 50  # parts of a dotted key; a scenario's keys have up to four, and the time to parse
# one grows with the square of its parts.
PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+"""
DEEP_KEY = re.compile(rf"(?<![\w-])(?:{PART}){{{DEEPEST - 1}}}")
KeyPath = tuple[str | int, ...]


@dataclass(frozen=True, kw_only=True)
class TomlTable:
    """A parsed TOML file: its name for messages, data, the line of each key path, its text.

    `named` keeps the name of each key path that was asked for, and what stands there.
    """

    file: str
    data: dict[str, Any]
    lines: dict[KeyPath, int] = field(default_factory=dict)
    text: str = ""
    named: dict[KeyPath, tuple[str, Any]] = field(default_factory=dict, repr=False, compare=False)

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
        known, text, here = path, "", self.data
        while known and known not in self.named:
            known = known[:-1]
        if known:
            text, here = self.named[known]
        for depth in range(len(known), len(path)):
            step = path[depth]
            here = _step(here, step)
            if isinstance(step, int):
                called = here.get("name") if isinstance(here, dict) else None
                text += f"[{called if isinstance(called, str) else step + 1}]"
            else:
                text += f".{step}" if text else step
            self.named[path[: depth + 1]] = text, here
        return text


def _step(here: Any, step: str | int) -> Any:  # noqa: ANN401 (whatever the user wrote)
    if isinstance(here, dict):
        return here.get(step)
    if isinstance(here, list) and isinstance(step, int) and step < len(here):
        return here[step]
    return None


def read_text(path: Path, file: str, collector: Collector) -> str | None:
    """Read a plain UTF-8 file; None and a problem if it cannot be read.

    A byte order mark is dropped; every way to end a line becomes a newline. The text comes in
    Unicode's composed form, so that a name is found however it was typed.
    """
    raw = contents(path, LARGEST_FILE)
    if isinstance(raw, ReadFailure):
        problem = Problem(file=file, key="", expected=raw.expected, found=raw.found, hint=raw.hint)
        collector.add(problem)
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
    if unfit := FORBIDDEN.search(text):
        line = text.count("\n", 0, unfit.start()) + 1
        hint = 'remove it, or save the file again with the encoding "UTF-8"'
        expected, found = "text without control characters", visible(unfit[0])
        collector.add(
            Problem(file=file, line=line, key="", expected=expected, found=found, hint=hint)
        )
        return None
    return normalize("NFC", text)


def read_table(path: Path, file: str, collector: Collector) -> TomlTable | None:
    """Parse a TOML file; None and a problem where it is not TOML."""
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
    except ValueError as error:  # TOMLDecodeError is one; so is that of a number too long to read
        collector.add(_not_toml(text, file, str(error)))
    return None


def _too_deep(file: str, line: int) -> Problem:
    expected, found = "tables and lists a few levels deep", f"more than {DEEPEST} levels"
    return Problem(file=file, line=line, key="", expected=expected, found=found)


def _not_toml(text: str, file: str, message: str) -> Problem:
    from panelworth.reading.toml_hints import hint_for, unclosed_line  # noqa: PLC0415

    what, _, place = message.partition(" (at ")
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
        found=shown(source) if source else "the end of the file",
        hint=hint_for(source, what),
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
    head, *rest = [child for child in node.named_children if child.type != "comment"]
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
    """Take down the lines of a key and of what its value holds."""
    head, value = [child for child in node.named_children if child.type != "comment"][:2]
    for step in _key(head):
        where = (*where, step)
        lines.setdefault(where, head.start_point.row + 1)
    _value(value, where, lines)


def _value(node: Node, where: KeyPath, lines: dict[KeyPath, int]) -> None:
    """Take down the lines of what a value holds; RecursionError where that nests too deep."""
    if len(where) > DEEPEST:
        raise RecursionError
    children = [child for child in node.named_children if child.type != "comment"]
    if node.type == "inline_table":
        for pair in children:
            _pair(pair, where, lines)
    elif node.type == "array":
        for number, child in enumerate(children):
            lines[*where, number] = child.start_point.row + 1
            _value(child, (*where, number), lines)


def _key(node: Node) -> list[str]:
    if node.type == "dotted_key":
        return [step for child in node.named_children for step in _key(child)]
    text = (node.text or b"").decode()
    return list(tomllib.loads(f"{text} = 0")) if node.type == "quoted_key" else [text]
