"""What is said of a line that is no TOML: what to write in its place.

TOML 1.0, https://toml.io/en/v1.0.0: what a hint proposes is parsed here by the standard library.
"""

import re
import tomllib
from pathlib import Path

import pytest

from folder_cases import FOLDER, read_files
from panelworth.reading.toml_hints import LONGEST_LINE, hint_for, hint_from_line

# As a person wrote it, and what the hint must propose, which is TOML.
PROPOSED = {
    "value = 17,000": "17000",
    "value = 1,234,567": "1234567",
    "value = 88 000": "88000",
    "value = 12'500": "12500",
    "value = 1,234.50": "1234.5",
    "value = 1.234,50": "1234.5",
    "value = 17,5": "17.5",
    "value = 0,05": "0.05",
    "value = $1,200": "1200",
    "value = 1,200 USD": "1200",
    "value = €1.200": "1200",
    "value = $1200 # likely": "1200",
    "value = 12 hours": "12",
    "value = 1.5e": "1.5",
    "value = .5": "0.5",
    "value = 5.": "5",
    "value = 007": "7",
    "discount = 5 %": "0.05",
    "discount = 5.5%": "0.055",
    "discount = -1,5 %": "-0.015",
    "discount = 0 %": "0",
    "cost = [5 %, 6 %, 7 %]": "0.05",
    "cost = { likely = $1,200 }": "1200",
    "as_of = 12/15/2026": "2026-12-15",
    "as_of = 15.12.2026": "2026-12-15",
    "as_of = 2026-1-5": "2026-01-05",
    "as_of = 2026/01/05": "2026-01-05",
    "final = yes": "true",
    "final = True": "true",
    "final = NO": "false",
    "title = Keep it": '"Keep it"',
}
ADVICE = {
    "as_of = 3/4/2026": "write the day as 2026-03-04 or 2026-04-03",
    "as_of = 2026-13-45": "write a day that the calendar has, such as 2026-10-31",
    "title = “Keep it”": "write straight quotation marks, \" or '",
    "title = ‘Keep it’": "write straight quotation marks, \" or '",
    'title = "Keep it': 'close the text with " on the same line',
    "title = 'Keep it": "close the text with ' on the same line",
    'title = "a "b" c"': 'end the value behind its second "; within text write \\"',
    'path = "C:\\Users"': "write each backslash twice, or use ' around the text",
    "years =": "write a value behind the =",
    "years = # ten": "write a value behind the =",
    "years == 10": "write one = alone",
    'kind "keep"': "write = between the key and its value",
    'kind: "keep"': "write = between the key and its value",
    "years 10": "write = between the key and its value",
    "hours per year = 10": "write a key in letters, digits, - and _, without spaces",
    "[items": "close the brackets: [table] for a table, [[list]] for an entry of a list",
    "[[items]": "close the brackets: [table] for a table, [[list]] for an entry of a list",
    "cost = [1, 2": "close the list with ], with commas between its entries",
    "cost = { low = 4": "write a table in { } on one line",
    "// a comment": "begin a comment with #",
}


@pytest.mark.parametrize("line", PROPOSED)
def test_a_value_written_as_people_do_is_proposed_as_toml(line: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(line)
    hint = hint_from_line(line)
    assert hint.endswith(f" {PROPOSED[line]}")
    assert tomllib.loads(f"value = {PROPOSED[line]}")


@pytest.mark.parametrize("line", ADVICE)
def test_a_line_that_is_no_toml_is_advised_on(line: str) -> None:
    with pytest.raises(tomllib.TOMLDecodeError):
        tomllib.loads(line)
    assert hint_from_line(line) == ADVICE[line]


@pytest.mark.parametrize("line", [*PROPOSED, *ADVICE])
def test_a_hint_stands_in_the_place_of_the_parser_s_words(tmp_path: Path, line: str) -> None:
    text = f"{FOLDER['options/keep.toml']}\n{line}\n\n[after]\n"
    _, said = read_files(tmp_path, {**FOLDER, "options/keep.toml": text})
    [told] = [each for each in said if each.startswith("options/keep.toml:")]
    assert not re.search(r"end of document|invalid|illegal|expected '", told)


def test_the_line_that_is_right_gets_no_hint_about_its_looks() -> None:
    """A list that is not closed is found on the next line, which is right in itself."""
    for line in ('title = "Keep it"', "years = 10", "[club]", ""):
        assert hint_for(line, "Unclosed array") == "close the list that begins above with ]"
        assert hint_for(line, "Something else") == "something else"


def test_what_stands_twice_is_told() -> None:
    twice = "this key is in the file twice: remove one of the two"
    assert hint_for("years = 10", "Cannot overwrite a value") == twice


def test_a_line_without_end_gets_no_hint() -> None:
    assert hint_from_line(f"value = {' ' * LONGEST_LINE}$1") == ""
