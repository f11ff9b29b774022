"""Gathers every text of the site: `python tests/texts.py` writes templates/texts/site.pot.

Translators begin with that file. It follows from the code, so it is not committed. The languages
beside it get what is new and lose what is gone; what was reworded is marked fuzzy, for a translator
to look at.
"""

import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from babel.messages import Catalog
from babel.messages.extract import DEFAULT_KEYWORDS, extract_from_dir
from babel.messages.pofile import read_po, write_po

from panelworth.model.case import record_classes
from panelworth.model.value import Record, declaration_of
from panelworth.publishing.formats import unit_text
from panelworth.publishing.pages.method import FILES

ROOT = Path(__file__).parents[1]
TEXTS = ROOT / "templates" / "texts"
# Which methods find the texts of which files, and which arguments of a function are texts.
METHODS = {"src/panelworth/publishing": ("**.py", "python"), "templates": ("**.html", "jinja2")}
OPTIONS = {"**.html": {"trimmed": "true", "extensions": "jinja2.ext.loopcontrols"}}
KEYWORDS = {**DEFAULT_KEYWORDS, "plural": (2, 3)}
HEAD = "# The texts of the site. A translation keeps the names in brackets as they are."
Text = tuple[str | tuple[str, ...], str]  # a text, or a text and its plural; and the file it is in


@cache
def gathered() -> Catalog:
    """Return every text of the site, once, with the files it is in."""
    catalog = Catalog(project="panelworth", header_comment=HEAD, fuzzy=False)
    for text, file in sorted({*_of_code(), *_of_declarations()}, key=str):
        catalog.add(text, locations=[(file, 0)])
    return catalog


def _of_code() -> Iterator[Text]:
    for folder, method in METHODS.items():
        found = extract_from_dir(ROOT / folder, [method], OPTIONS, keywords=KEYWORDS)
        yield from ((text, f"{folder}/{Path(file).as_posix()}") for file, _, text, _, _ in found)


def _of_declarations() -> Iterator[Text]:
    """Yield heading, labels, units and meanings of all that a user may write."""
    for file, kind in FILES.items():
        for record in record_classes(kind):
            yield from ((text, file) for text in _declared(record) if text)


def _declared(record: type[Record]) -> Iterator[str]:
    yield getattr(record, "heading", "")
    for key in record.model_fields if issubclass(record, Record) else ():
        declaration = declaration_of(record, key)
        yield from (declaration["label"], declaration["meaning"], unit_text(declaration["unit"]))


def write(catalog: Catalog, file: Path) -> None:
    """Write a catalogue, sorted."""
    with file.open("wb") as out:
        write_po(out, catalog, sort_output=True, ignore_obsolete=True, include_lineno=False)


def update(file: Path, texts: Catalog) -> None:
    """Give a language's catalogue the texts there are now."""
    with file.open("rb") as opened:
        catalog = read_po(opened, locale=file.stem)
    catalog.update(texts)
    write(catalog, file)


if __name__ == "__main__":
    texts = gathered()
    write(texts, TEXTS / "site.pot")
    for language in sorted(TEXTS.glob("*.po")):
        update(language, texts)
    sys.stdout.write(f"{len(texts)} texts\n")
