"""Hints for lines that are not valid TOML, from the mistakes that people often make.

The message of the parser alone rarely says what to do. So each rule here recognizes one mistake by
the text of the line. The rules of the format are those of TOML 1.0 (https://toml.io/en/v1.0.0).
The module `cells` knows how people write sums and days.
"""

import re
import tomllib
from collections.abc import Callable, Sequence

from panelworth.reading import cells

CURLY = re.compile("[“”„‟‘’‚‛«»]")
PAIR = re.compile(r"""(?P<key>[^=\[{#"']+?)\s*=\s*(?P<value>.*)""")
BARE = re.compile(r"[A-Za-z0-9_.\s-]+")
PERCENT = re.compile(r"(?P<number>[-+]?[\d.,]+)\s*%")
WITH_WORDS = re.compile(r"(?P<number>[-+]?\d+(?:\.\d+)?)\s*[A-Za-z€£$/][^\d,]*")
GROUPS = re.compile(r"[.,' ]\d{3}(?!\d)")
SHORT_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
HALF_NUMBER = re.compile(r"[-+]?(?:\d+\.|\.\d+|\d+(?:\.\d+)?[eE][-+]?)")
LEADING_ZEROS = re.compile(r"[-+]?0\d+(?:\.\d+)?")
WORD = re.compile(r"[^\W\d][^\"',\[\]{}]*")
NO_EQUALS = re.compile(r"[A-Za-z0-9_-]+\s*(?::|\s[\"'\[\d])")
YES_AND_NO = {"yes": "true", "on": "true", "true": "true"} | dict.fromkeys(
    ("no", "off", "false"), "false"
)
# Characters. PAIR tries every division of a run of spaces before a missing "=": its time grows with
# the square of the length.
LONGEST_LINE = 500
UNCLOSED = "close the text in quotation marks that begins above"
# Hints by the beginning of the parser's message, for mistakes that the line itself does not show.
HINTS_BY_MESSAGE = {
    "Unclosed array": "close the list that begins above with ]",
    "Unclosed inline table": "close the table that begins above with }, on its own line",
    "Cannot overwrite a value": "this key is in the file twice: remove one of the two",
    "Cannot declare": "this table is in the file twice: join the two",
    "Exceeds the limit": "write a number of fewer digits",
    "Unterminated string": UNCLOSED,
    "Expected \"'": UNCLOSED,  # for texts in single quotation marks, one or three
}


def hint_for(line: str, message: str) -> str:
    """Return what to do about the line where the parser stopped.

    `message` is the parser's reason. It is the hint if no rule knows the mistake.
    """
    hint = "" if _is_toml(line) else hint_from_line(line)
    known = (hint for start, hint in HINTS_BY_MESSAGE.items() if message.startswith(start))
    return hint or next(known, message[:1].lower() + message[1:])


def unclosed_line(lines: Sequence[str]) -> int:
    """Return the number of the last line with a text that is not closed; 0 if there is none.

    The parser looks for the end of such a text up to the end of the file, and reports that line.
    So the line is looked for here. The search starts at the end, since the parser has accepted
    the lines before the open text.
    """
    for number in range(len(lines), 0, -1):
        line = lines[number - 1].strip()
        odd = any(line.count(mark) % 2 for mark in ('"', "'"))
        if odd and not _is_toml(line) and hint_from_line(line).startswith("close the text"):
            return number
    return 0


def _is_toml(line: str) -> bool:
    """Return whether a line is valid by itself; then the mistake is in another line."""
    try:
        tomllib.loads(line)
    except (ValueError, RecursionError):
        return False
    return True


def hint_from_line(line: str) -> str:
    """Return what to do about a line that is not valid TOML; empty if no rule knows the mistake.

    >>> hint_from_line("value = 88,000"), hint_from_line("discount = 5 %")
    ('write the number without marks between thousands: 88000', 'write it as a fraction: 0.05')
    """
    if len(line) > LONGEST_LINE:
        return ""
    if CURLY.search(line):
        return "write straight quotation marks, \" or '"
    pair = PAIR.fullmatch(line)
    if pair is None:
        return _hint_without_pair(line)
    if not BARE.fullmatch(pair["key"]) or re.search(r"[^\s.]\s+[^\s.]", pair["key"]):
        return "write a key in letters, digits, - and _, without spaces"
    value = _without_comment(pair["value"]).rstrip(", ")
    return next((hint for rule in VALUE_RULES if (hint := rule(value))), "")


def _hint_without_pair(line: str) -> str:
    """Return the hint for a line that is not a key with a value."""
    if line.startswith("[") and line.count("[") != line.count("]"):
        return "close the brackets: [table] for a table, [[list]] for an entry of a list"
    if NO_EQUALS.match(line):
        return "write = between the key and its value"
    if line.startswith(("//", ";", "/*", "--")):
        return "begin a comment with #"
    return ""


def _without_comment(value: str) -> str:
    """Remove the comment after a value. A text is left as it is: it may contain a #."""
    return value if value.startswith(('"', "'")) else value.partition("#")[0]


def _empty_value_hint(value: str) -> str:
    if value.startswith("="):
        return "write one = alone"
    return "" if value else "write a value behind the ="


def _text_hint(value: str) -> str:
    mark = value[:1]
    if mark not in ('"', "'"):
        return ""
    if "\\" in value and mark == '"':
        return "write each backslash twice, or use ' around the text"
    if value.count(mark) % 2:
        return f"close the text with {mark} on the same line"
    return f"end the value behind its second {mark}; within text write \\{mark}"


def _percent_hint(value: str) -> str:
    match = PERCENT.fullmatch(value)
    number = _number_of(match["number"]) if match else None
    return "" if number is None else f"write it as a fraction: {number / 100:g}"


def _day_hint(value: str) -> str:
    """Return the hint for a day in another notation, with both days if it can mean two."""
    if match := SHORT_DAY.fullmatch(value):
        value = f"{match[1]}-{match[2]:0>2}-{match[3]:0>2}"
    days = cells.days_in(value, "")
    if not days:
        return "write a day that the calendar has, such as 2026-10-31" if match else ""
    return f"write the day as {' or '.join(map(str, days))}"


def _sum_hint(value: str) -> str:
    money = cells.money_in(value)
    if money is None or (money.digits.isdecimal() and not money.currency):
        return ""
    number = cells.number_of(money, {})
    if number is None:  # a comma or a point before three digits most likely separates thousands
        number = cells.number_of(money, {",": False, ".": False})
    parts = ["the number alone"] if money.currency else ["the number"]
    if GROUPS.search(money.digits):
        parts += ["without marks between thousands"]
    elif not money.digits.isdecimal():
        parts += ["with a point for decimals"]
    return f"write {' '.join(parts)}: {_toml_number(number)}"


def _number_hint(value: str) -> str:
    if HALF_NUMBER.fullmatch(value):
        number = _toml_number(float(value.rstrip("eE+-")))
        return f"write digits on both sides of a point, and behind an e: {number}"
    if LEADING_ZEROS.fullmatch(value):
        return f"write it without zeros in front: {_toml_number(float(value))}"
    if match := WITH_WORDS.fullmatch(value):
        return f"write the number alone: {match['number']}"
    return ""


def _word_hint(value: str) -> str:
    if boolean := YES_AND_NO.get(value.casefold()):
        return f"write {boolean}"
    return f'put text in quotation marks: "{value}"' if WORD.fullmatch(value) else ""


def _brackets_hint(value: str) -> str:
    """Return the hint for a list or a table on one line, else that for one of its values."""
    if value.startswith("{") and "}" not in value:
        return "write a table in { } on one line"
    if value.startswith("[") and value.count("[") > value.count("]"):
        return "close the list with ], with commas between its entries"
    if not value.startswith(("[", "{")):
        return ""
    parts = [part.partition("=")[2] or part for part in re.split(r",\s+|;", value.strip("[]{} "))]
    return next((hint for part in parts for rule in PART_RULES if (hint := rule(part.strip()))), "")


def _number_of(digits: str) -> float | None:
    money = cells.money_in(digits)
    return None if money is None else cells.number_of(money, {".": True, ",": True})


def _toml_number(number: float | None) -> str:
    """Write a number in TOML without an exponent; an example if the number is unknown.

    >>> _toml_number(88000.0), _toml_number(0.5)
    ('88000', '0.5')
    """
    if number is None:
        return "1234.50"
    return f"{number:.0f}" if number == int(number) else f"{number:.10f}".rstrip("0")


# The first rule with a hint counts, so narrow rules come first. A sum may have any sign or word
# beside its digits: "5 %" would be a sum too.
PART_RULES: tuple[Callable[[str], str], ...] = (
    *(_percent_hint, _day_hint, _number_hint, _sum_hint, _word_hint),
)
VALUE_RULES = (_empty_value_hint, _text_hint, *PART_RULES, _brackets_hint)
