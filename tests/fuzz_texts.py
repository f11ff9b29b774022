"""Ways to spoil the text of a file, as people, spreadsheets and broken discs do.

A spoil takes the file's bytes and a generator of random numbers, and returns other bytes. `SPOILS`
lists them by the file's ending; those that leave a sound file most of the time come more often.
"""

import json
import re
from collections.abc import Callable
from datetime import date
from random import Random
from typing import Any

from fuzz_words import CELLS, EXTREME, FACTORS, JSON_VALUES, SNIPPETS, WORDS

Spoil = Callable[[Random, bytes], bytes]

# A value in a TOML file: a text, a day, a number, a truth value.
VALUE = re.compile(
    r'"[^"\n]*"|\d{4}-\d\d-\d\d|(?<![\w."-])-?\d+(?:\.\d+)?(?![\w."-])|\btrue\b|\bfalse\b'
)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
DAY = re.compile(r"\d{4}-\d\d-\d\d")


def as_text(content: bytes) -> str:
    """Read bytes as text; what is no text is left out."""
    return content.decode("utf-8", errors="ignore")


def values_of(text: str) -> list[re.Match[str]]:
    """Return the values of a TOML text, those in comments left out."""
    return [
        found
        for found in VALUE.finditer(text)
        if "#" not in text[text.rfind("\n", 0, found.start()) + 1 : found.start()]
    ]


def put(text: str, found: re.Match[str], instead: str) -> str:
    """Put another text in the place of one that was found."""
    return text[: found.start()] + instead + text[found.end() :]


def milder(rng: Random, value: str) -> str:
    """Return another value of the same kind that somebody could have meant."""
    if DAY.fullmatch(value):
        moved = date.fromisoformat(value).toordinal() + rng.choice(
            [-4000, -400, -30, -1, 1, 30, 400, 4000]
        )
        return date.fromordinal(max(1, moved)).isoformat()
    if not NUMBER.fullmatch(value):
        return value
    number = float(value) * rng.choice(FACTORS)
    plain = f"{number:.0f}" if "." not in value else f"{number:.6f}"
    return plain if rng.random() < 0.7 else f"[{number * 0.5}, {number}, {number * 2}]"


def other_values(rng: Random, content: bytes) -> bytes:
    """Change numbers and days to others that may be right."""
    text = as_text(content)
    for _ in range(rng.randint(1, 5)):
        if found := values_of(text):
            one = rng.choice(found)
            text = put(text, one, milder(rng, one.group()))
    return text.encode()


def extreme_values(rng: Random, content: bytes) -> bytes:
    """Put what nobody should write in the place of one or two values."""
    text = as_text(content)
    for _ in range(rng.randint(1, 2)):
        if found := values_of(text):
            one = rng.choice(found)
            text = put(
                text,
                one,
                rng.choice(extremes(one.group()) if rng.random() < 0.6 else EXTREME + WORDS),
            )
    return text.encode()


def one_value(rng: Random, content: bytes) -> bytes:
    """Put one value at an extreme of its kind, or near where it was."""
    text = as_text(content)
    found = values_of(text)
    if not found:
        return content
    one = rng.choice(found)
    value = one.group()
    other = rng.choice(extremes(value)) if rng.random() < 0.75 else milder(rng, value)
    return put(text, one, other).encode()


def extremes(value: str) -> list[str]:
    """Return extremes of the same kind as a value."""
    if value.startswith('"'):
        return WORDS
    kind = DAY if DAY.fullmatch(value) else re.compile(r"-?[\d._]+(e-?\d+)?")
    return [each for each in EXTREME if kind.fullmatch(each)] or EXTREME


def ranges_ended(rng: Random, content: bytes) -> bytes:
    """Make most ranges certain, so that few or none are left to draw."""
    share = rng.choice([0.7, 1.0])

    def middle(found: re.Match[str]) -> str:
        return found.group(1) if rng.random() < share else found.group()

    listed = r"\[ *-?[\d.]+, *(-?[\d.]+), *-?[\d.]+ *\]"
    table = r"\{ low = -?[\d.]+, likely = (-?[\d.]+), high = [^}]*\}"
    return re.sub(table, middle, re.sub(listed, middle, as_text(content))).encode()


def key_misspelt(rng: Random, content: bytes) -> bytes:
    """Change a letter of a key, or leave it away."""
    text = as_text(content)
    keys = list(re.finditer(r"(?m)(?<=^)\w+(?= *=)|(?<=[{,] )\w+(?= *=)", text))
    if not keys:
        return content
    one = rng.choice(keys)
    at = rng.randrange(len(one.group()))
    word = one.group()[:at] + rng.choice(["", "x", "_", "é"]) + one.group()[at + 1 :]
    return put(text, one, word).encode()


def lines_moved(rng: Random, content: bytes) -> bytes:
    """Delete, double or exchange lines."""
    lines = as_text(content).splitlines(keepends=True)
    for _ in range(rng.randint(1, 3)):
        if not lines:
            break
        one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
        match rng.randrange(3):
            case 0:
                del lines[one]
            case 1:
                lines.insert(other, lines[one])
            case _:
                lines[one], lines[other] = lines[other], lines[one]
    return "".join(lines).encode()


def tables_moved(rng: Random, content: bytes) -> bytes:
    """Delete a table of a TOML file, double it, or repeat it under many names."""
    blocks = re.split(r"(?m)^(?=\[)", as_text(content))
    at = rng.randrange(len(blocks))
    match rng.randrange(3):
        case 0:
            del blocks[at]
        case 1:
            blocks.insert(at, re.sub(r'name = "', 'name = "Another ', blocks[at], count=1))
        case _:
            many = [re.sub(r'name = "', f'name = "{n} ', blocks[at], count=1) for n in range(40)]
            blocks[at : at + 1] = many
    return "".join(blocks).encode()


def lines_added(rng: Random, content: bytes) -> bytes:
    """Add what does not belong: unknown keys, tables, a text that never ends."""
    added = [
        "unknown = 1",
        "[unknown]\nx = 1",
        "[[unknown]]",
        '[after]\n"fuel price" = 1',
        "x = [",
        'x = """',
        "[a.b.c.d]",
        "a.b.c = 1",
        "[jobs]",
        "[items]",
        "[club]",
        '[[items]]\nname = "Display"',
        "=",
        "[[",
        "\t",
        "[funding]\nsolve = 'dues'",
        "[schedule]\nstart = 2027-01-11",
        "[review]",
        "[sell]",
        "[buy]\nprice = 1",
    ]
    lines = as_text(content).splitlines()
    lines.insert(rng.choice([0, len(lines), rng.randint(0, len(lines))]), rng.choice(added))
    return "\n".join(lines).encode()


def cut_short(rng: Random, content: bytes) -> bytes:
    """Keep the beginning of a file alone."""
    return content[: rng.choice([0, rng.randint(0, len(content))])]


def bytes_changed(rng: Random, content: bytes) -> bytes:
    """Put random bytes over some of a file."""
    at = rng.randint(0, len(content))
    return content[:at] + rng.randbytes(rng.randint(1, 8)) + content[at + rng.randint(0, 8) :]


def written_otherwise(rng: Random, content: bytes) -> bytes:
    """Write the same text as other programs do."""
    text = as_text(content)
    ways = [
        lambda: b"\xef\xbb\xbf" + content,
        lambda: text.encode("utf-16"),
        lambda: text.replace("\n", "\r\n").encode(),
        lambda: text.replace("\n", "\r").encode(),
        lambda: text.encode("latin-1", errors="replace"),
        lambda: text.replace('"', "”").encode(),
        lambda: text.replace(" ", "\u00a0").encode(),
        lambda: text.replace("e", "é").encode(),
    ]
    return rng.choice(ways)()


def other_cells(rng: Random, content: bytes) -> bytes:
    """Put other cells into a table."""
    lines = as_text(content).splitlines()
    for _ in range(rng.randint(1, 3)):
        if not lines:
            break
        row = rng.randrange(len(lines)) if rng.random() < 0.2 else rng.randrange(len(lines)) or -1
        cells = lines[row].split(",")
        cell = rng.choice(CELLS)
        column = rng.randrange(len(cells))
        quoted = '"' + cell.replace('"', '""') + '"'
        cells[column] = quoted if rng.random() < 0.7 else cell
        lines[row] = ",".join(cells)
    return ("\n".join(lines) + "\n").encode()


def table_turned(rng: Random, content: bytes) -> bytes:
    """Write a table with other separators or order of columns, rows many times, quotes open."""
    lines = as_text(content).splitlines()
    ways = [
        lambda: "\n".join(line.replace(",", ";") for line in lines),
        lambda: "\n".join(line.replace(",", "\t") for line in lines),
        lambda: "\n".join(lines[:1] + lines[1:] * 100),
        lambda: "\n".join(",".join(reversed(line.split(","))) for line in lines),
        lambda: "\n".join(line + "," * 5000 for line in lines),
        lambda: "\n".join(lines).replace(",", ',"', 1),
        lambda: "\n".join(lines[:1]),
        lambda: "sep=;\n" + "\n".join(lines),
        lambda: "\n" * 3 + "\n".join(lines),
        lambda: "\n".join([*lines, "," * 3, "Total,,,,5"]),
    ]
    return (rng.choice(ways)() + "\n").encode()


def snippet_added(rng: Random, content: bytes) -> bytes:
    """Put something into a note that Markdown or HTML may stumble over."""
    text = as_text(content)
    for _ in range(rng.randint(1, 2)):
        at = rng.choice([0, len(text), rng.randint(0, len(text))])
        text = text[:at] + rng.choice(["", "\n\n"]) + rng.choice(SNIPPETS) + "\n\n" + text[at:]
    return text.encode()


def json_changed(rng: Random, content: bytes) -> bytes:
    """Put another value, of any kind, somewhere into a JSON file, or take one away."""
    try:
        whole = json.loads(content)
    except (RecursionError, ValueError):  # it is spoilt as far as it can be
        return content
    for _ in range(rng.randint(1, 3)):
        here = whole
        while True:
            keys: list[Any] = list(here) if isinstance(here, dict) else list(range(len(here)))
            if not keys:
                break
            key = rng.choice(keys)
            if isinstance(here[key], dict | list) and here[key] and rng.random() < 0.8:
                here = here[key]
                continue
            if rng.random() < 0.3:
                del here[key]
            else:
                here[key] = rng.choice(JSON_VALUES)
            break
    return json.dumps(whole).encode()


def json_deep(rng: Random, content: bytes) -> bytes:
    """Write JSON that is nested too deep, or whose numbers are too long."""
    text = as_text(content)
    deep = rng.choice(["[" * 100_000, '{"a":' * 100_000, "[" * 900 + "]" * 900, "1" * 5000])
    found = list(re.finditer(r"-?\d+(?:\.\d+)?", text))
    return (put(text, rng.choice(found), deep) if found and rng.random() < 0.6 else deep).encode()


def catalogue_changed(rng: Random, content: bytes) -> bytes:
    """Spoil the heading of a catalogue, or the names in a translation."""
    text = as_text(content)
    ways = [
        ("charset=utf-8", "charset=klingon"),
        ("charset=utf-8", "charset=utf-16"),
        ("charset=utf-8", "charset="),
        ("charset=utf-8", "charset=idna"),
        ("charset=utf-8", "charset=rot13"),
        ("nplurals=2", "nplurals=0"),
        ("nplurals=2", "nplurals=99999"),
        ("plural=(n != 1)", "plural=n/0"),
        ("plural=(n != 1)", "plural=("),
        ("plural=(n != 1)", "plural=" + "(" * 5000),
        ("plural=(n != 1)", "plural=7"),
        ("{", "{{"),
        ("}", ""),
        ("{", "{x."),
        ("%(", "%"),
        (")s", ")d"),
        ("Ä ", "<b>"),
        ("Ä ", '\\"'),
        ("Ä ", "\\x"),
        ("msgstr", "msgst"),
        ("msgid", "msgctxt"),
        ("Ä ", "%"),
        ("Ä ", "{0}"),
        ("Ä ", "\\u202e"),
        ("PO-Revision", "X"),
        ("PO-Revision-Date: ", "PO-Revision-Date: 99999-"),
        ("Language: de", "Language: xx_YY"),
    ]
    old, new = rng.choice(ways)
    at = rng.choice([found.start() for found in re.finditer(re.escape(old), text)] or [0])
    return (text[:at] + text[at:].replace(old, new, rng.choice([1, -1]))).encode()


ANY: list[Spoil] = [lines_moved, cut_short, bytes_changed, written_otherwise]
SPOILS: dict[str, list[Spoil]] = {
    ".toml": [
        *[other_values] * 8,
        *[extreme_values] * 6,
        ranges_ended,
        key_misspelt,
        tables_moved,
        tables_moved,
        lines_added,
        *ANY,
    ],
    ".csv": [*[other_cells] * 8, table_turned, table_turned, *ANY],
    ".md": [*[snippet_added] * 10, *ANY],
    ".json": [*[json_changed] * 6, json_deep, *ANY],
    ".po": [*[catalogue_changed] * 10, *ANY],
}
