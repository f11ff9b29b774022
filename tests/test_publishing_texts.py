"""Every text of the site can be said in another language: nothing a reader sees is left out.

The site is built in a language that puts every text in brackets. What stands outside of them must
be a number, a name of the user's files, or what a locale gives: money, a day, a unit.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import is_dataclass, replace
from gettext import NullTranslations
from html.parser import HTMLParser
from typing import Literal, get_origin

import pytest
from babel import Locale
from pydantic import BaseModel

import texts
from panelworth import templates_folder
from panelworth.publishing.language import Language
from panelworth.publishing.pages.method import FILES
from panelworth.publishing.site.files import build_files
from panelworth.publishing.site.folder import Files
from panelworth.publishing.view import View

INNERMOST = re.compile(r"⟦[^⟦⟧]*⟧")
MARKDOWN = re.compile(r"^[#>*+-]+ |[*_`]+")
WORD = re.compile(r"[^\W\d_]{2,}")
SPOKEN = {"alt", "aria-label", "title", "placeholder", "data-label", "data-wrong"}
IDS = {"option", "source_lines", "ledger_statuses", "written", "inputs", "baseline", "phase"}
SHARED = {"og:title", "og:description", "og:image:alt"}
UNREAD = {"code", "style", "script"}
LOCALE = "de_DE"  # not English, so that an English word is never taken for the locale's own
MONTHS = Locale.parse(LOCALE).months["format"]
OF_A_LOCALE = {
    *MONTHS["wide"].values(),
    *(name.removesuffix(".") for name in MONTHS["abbreviated"].values()),
    *("und", "oder"),  # of lists
    *("USD", "EUR", "gal", "lb", "kg", "mm", "in", "Ah"),
}
# Of a specification or a page's data, what nobody reads.
NAMES = {"test", "filter", "labelexpr", "calculate", "font", "labelfont", "titlefont"}


class Bracketed(NullTranslations):
    """A language that says everything in brackets, and keeps what it was asked to say."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: set[str | tuple[str, str]] = set()

    def gettext(self, message: str) -> str:
        """Return a text in brackets."""
        self.asked.add(message)
        return f"⟦{message}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the English form in brackets."""
        self.asked.add((msgid1, msgid2))
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


class Reader(HTMLParser):
    """Gathers what a reader reads or hears of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.read: list[str] = []
        self.heard: list[str] = []
        self.data: list[str] = []
        self._within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take note of what is said instead of shown."""
        named = dict(attrs)
        self.heard += [value for name, value in attrs if name in SPOKEN and value]
        told = named.get("name") == "description" or named.get("property") in SHARED
        if tag == "meta" and told:
            self.heard.append(named.get("content") or "")
        if tag in UNREAD:
            self._within.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Leave a part that is not read."""
        if self._within and self._within[-1] == tag:
            self._within.pop()

    def handle_data(self, data: str) -> None:
        """Take a text, or the data of a script."""
        if not self._within:
            self.read.append(data)
        elif self._within[-1] == "script" and data.strip():
            self.data.append(data)


@pytest.fixture(scope="module")
def brackets() -> Bracketed:
    """Return the language in brackets."""
    return Bracketed()


@pytest.fixture(scope="module")
def site(owner: View, club: View, brackets: Bracketed) -> Files:
    """Make the site of both demos in brackets."""
    language = Language(locale=LOCALE, texts=brackets)
    views = [replace(view, language=language) for view in (owner, club)]
    return build_files(views, templates=templates_folder(), progress=lambda _: None)


def own_texts(value: object) -> Iterator[str]:
    """Yield every text that users wrote in their files: no ids, and no choices of ours."""
    if isinstance(value, str):
        yield from (value, *value.splitlines())
    for each in parts_of(value):
        yield from own_texts(each)


def parts_of(value: object) -> Iterable[object]:
    """Return what a record, a mapping or a list holds."""
    if isinstance(value, BaseModel):
        declared = type(value).model_fields.items()
        kinds = {key: get_origin(each.annotation) for key, each in declared if key not in IDS}
        return [getattr(value, key) for key, kind in kinds.items() if kind is not Literal]
    if is_dataclass(value):
        held = [each for key, each in vars(value).items() if key not in IDS]
        return [[*each.values()] if isinstance(each, Mapping) else each for each in held]
    if isinstance(value, Mapping):
        return [*value.keys(), *value.values()]
    return value if isinstance(value, list | tuple | set | frozenset) else ()


@pytest.fixture(scope="module")
def own(owner: View, club: View) -> re.Pattern[str]:
    """Return a pattern of all that no language changes: the users' texts, and a locale's names."""
    found = {text.strip() for view in (owner, club) for text in own_texts(view.case)}
    found |= {part.strip() for text in found for part in MARKDOWN.split(text)}
    found |= {*OF_A_LOCALE, *FILES, owner.case.name, club.case.name}
    longest_first = sorted((text for text in found if len(text) > 1), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")


def outside(text: str) -> str:
    """Return what is left of a text once everything in brackets is gone."""
    while (rest := INNERMOST.sub("", text)) != text:
        text = rest
    return text


def unsaid(text: str, own: re.Pattern[str]) -> list[str]:
    """Return the words of a text that no language would change."""
    return WORD.findall(own.sub("", outside(text)))


def told_by(data: object, name: str = "") -> Iterator[str]:
    """Yield the texts of a script's data that have a space in them: words, not names."""
    if isinstance(data, dict):
        for key, each in data.items():
            yield from told_by(each, key)
    elif isinstance(data, list):
        for each in data:
            yield from told_by(each, name)
    elif isinstance(data, str) and name.lower() not in NAMES and " " in data.strip():
        yield data


def left_out(site: Files, own: re.Pattern[str]) -> dict[str, list[str]]:
    """Return, page by page, what is not said in the language spoken."""
    found = {}
    for name, content in site.items():
        if not name.endswith(".html"):
            continue
        reader = Reader()
        reader.feed(content.decode())
        data = [text for each in reader.data for text in told_by(json.loads(each))]
        told = ["\n".join(reader.read), *reader.heard, *data]
        words = [word for text in told for word in unsaid(text, own)]
        if words:
            found[name] = words
    return found


def test_every_word_of_every_page_is_said_in_the_language_spoken(
    site: Files, own: re.Pattern[str]
) -> None:
    assert left_out(site, own) == {}


def test_every_chart_speaks_it_too_and_what_else_pages_load_later(
    site: Files, own: re.Pattern[str]
) -> None:
    found = {}
    for name, content in site.items():
        if name.endswith(".js") and "assets/" not in name:
            given = json.loads(content.decode().partition(" = ")[2].rstrip(";\n"))
            words = [word for text in told_by(given) for word in unsaid(text, own)]
            if words:
                found[name] = words
    assert found == {}


@pytest.mark.usefixtures("site")
def test_every_text_that_the_site_asks_for_is_among_those_gathered_for_translators(
    brackets: Bracketed,
) -> None:
    known = {message.id for message in texts.gathered()}
    assert {text for text in brackets.asked if text not in known} == set()


def test_what_is_left_out_is_found() -> None:
    own = re.compile("we know")
    assert unsaid("⟦It costs ⟦5 hours⟧ more⟧, as we know: 12", own) == ["as"]


class Marked(NullTranslations):
    """A language whose texts are full of marks that mean something in a page."""

    def gettext(self, message: str) -> str:
        """Return a text between marks."""
        return f'"{message}" <b> &amp'


class Attributes(HTMLParser):
    """Gathers the names of attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take note of a tag's attributes."""
        del tag
        self.names |= {name for name, _ in attrs}


def test_no_text_breaks_out_of_an_attribute(club: View) -> None:
    marked = replace(club, language=Language(texts=Marked()))
    found = Attributes()
    for name, content in build_files(
        [marked], templates=templates_folder(), progress=lambda _: None
    ).items():
        if name.endswith(".html"):
            found.feed(content.decode())
    assert [name for name in found.names if not re.fullmatch(r"[a-zA-Z][\w:-]*", name)] == []
