"""The workbook speaks the site's language too: in cells, charts, prompts, prints and formulas."""

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from gettext import NullTranslations
from xml.etree import ElementTree as ET

from panelworth.model.ledger import KINDS as KINDS_OF_ROWS
from panelworth.publishing.language import Language, using_language
from panelworth.publishing.view import View
from panelworth.publishing.workbook.document import workbook_of
from panelworth.publishing.workbook.ledger_sheet import COLUMNS, YES
from panelworth.publishing.workbook.names import TITLES
from panelworth.publishing.workbook.words import KINDS, word, yes_or_no
from test_publishing_texts import LOCALE, Bracketed, own, unsaid  # noqa: F401 (a fixture)

SHOWN = {"t", "oddFooter"}  # of cells, comments and charts; of prints
HEARD = {"prompt", "promptTitle", "descr"}
FORMULAS = {"f", "formula1"}  # of cells; choices of a cell
LITERAL = re.compile(r'"((?:[^"]|"")*)"')
NOTHING = re.compile(r"(?!)")
# One of each kind, to see that all are read: a cell, an axis, a print, a prompt, choices, results.
READ = {"⟦The options compared⟧", "⟦Month⟧", "&L&A&R⟦Page &P of &N⟧", "⟦Oil for one tach hour.⟧"}
LEDGER = {*COLUMNS, *KINDS_OF_ROWS, YES}  # words of the file, as which that sheet can be saved
WORKED = {"⟦yes⟧,⟦no⟧", "⟦never⟧", "⟦finish⟧"}


def elements(workbook: bytes) -> Iterator[tuple[str, ET.Element]]:
    """Yield every element of a workbook's parts by its name."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as file:
        for name in file.namelist():
            if name.startswith("xl/") and name.endswith(".xml"):
                for element in ET.fromstring(file.read(name)).iter():  # noqa: S314 (our own)
                    yield element.tag.rpartition("}")[2], element


def read_in(workbook: bytes) -> Iterator[str]:
    """Yield the texts that a reader sees or hears, but for the names of cells."""
    parts = list(elements(workbook))
    names = {element.get("name") for tag, element in parts if tag == "definedName"}
    for tag, element in parts:
        if tag in SHOWN and element.text not in names:
            yield _whole(element.text or "")
        yield from (_whole(text) for name, text in element.items() if name in HEARD)


def _whole(text: str) -> str:
    """Return a text that was cut, for room or into two rows, with its brackets made whole."""
    opened, closed = text.count("⟦"), text.count("⟧")
    return "⟦" * (closed - opened) + text + "⟧" * (opened - closed)


def worked_in(workbook: bytes) -> Iterator[str]:
    """Yield what formulas result in and compare with; none of it is a user's."""
    for tag, element in elements(workbook):
        if tag in FORMULAS:
            yield from LITERAL.findall(element.text or "")
        elif tag == "c" and element.get("t") == "str":
            yield from (part.text or "" for part in element if part.tag.endswith("}v"))


def test_every_word_of_the_workbook_is_said_in_the_language_spoken(
    owner: View,
    club: View,
    own: re.Pattern[str],  # noqa: F811
) -> None:
    titles, ledger = "|".join(TITLES.values()), "|".join((*LEDGER, *owner.tags, *club.tags))
    kept = re.compile(rf"{own.pattern}|^(?:{titles})(?=:| …:)|^(?:{ledger})$")
    for view in (owner, club):
        workbook = workbook_of(replace(view, language=Language(locale=LOCALE, texts=Bracketed())))
        read, worked = set(read_in(workbook)), set(worked_in(workbook))
        assert [text for text in read if unsaid(text, kept)] == []
        assert [text for text in worked if unsaid(text, NOTHING)] == []
        assert READ - read | WORKED - worked == set()


class Careless(NullTranslations):
    """A language that has one word for two, and marks in its words."""

    def gettext(self, message: str) -> str:
        """Return a text, badly translated."""
        translations = {"project": "Vorhaben", "purchase": "vorhaben", "yes": '"ja"', "no": "nein*"}
        return translations.get(message, message)


def test_words_that_formulas_add_up_by_stay_apart_in_any_language() -> None:
    with using_language(Language(locale="de_DE", texts=Careless())):
        assert [word(each) for each in KINDS.values()] == list(KINDS.values())
        assert [yes_or_no(yes=True), yes_or_no(yes=False)] == ["ja", "nein"]
