"""Gathers every text of the site: `python tests/texts.py` writes templates/texts/site.pot.

The languages beside it get what is new and lose what is gone; what was reworded is marked fuzzy,
for a translator to look at. Run it after a change of a text; a test tells when it was forgotten.
"""

import io
import sys
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path

from babel.messages import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from panelworth.model.case import records
from panelworth.model.value import Record, about
from panelworth.publishing.formats import unit_text
from panelworth.publishing.pages.method import FILES

ROOT = Path(__file__).parents[1]
TEXTS = ROOT / "templates" / "texts"
SITE = TEXTS / "site.pot"
# Which arguments are texts; a pair is one text with its plural.
MARKS = {
    **dict.fromkeys(("_", "N_", "gettext"), None),
    **dict.fromkeys(("ngettext", "counted"), (1, 2)),
    "plural": (2, 3),
}
JINJA = {"**.html": {"trimmed": "true", "silent": "false", "extensions": "jinja2.ext.loopcontrols"}}
HEAD = "# The texts of the site. A translation keeps the names in brackets as they are."
LONG_AGO = datetime(2026, 1, 1, tzinfo=UTC)  # no day of its own, so that it changes with texts only
Text = tuple[str | tuple[str, ...], str]  # a text and the file it is in


def gathered() -> Catalog:
    """Return every text of the site, once, with the files it is in."""
    catalog = Catalog(
        project="panelworth",
        version="0.1",
        header_comment=HEAD,
        creation_date=LONG_AGO,
        revision_date=LONG_AGO,
        fuzzy=False,
    )
    for text, file in sorted({*_of_code(), *_of_templates(), *_of_declarations()}, key=str):
        catalog.add(text, locations=[(file, 0)])
    return catalog


def _of_code() -> Iterator[Text]:
    yield from _extracted("src/panelworth/publishing", ("**.py", "python"))


def _of_templates() -> Iterator[Text]:
    yield from _extracted("templates", ("**.html", "jinja2"))


def _extracted(folder: str, method: tuple[str, str]) -> Iterator[Text]:
    for file, _, text, _, _ in extract_from_dir(ROOT / folder, [method], JINJA, keywords=MARKS):
        yield text, f"{folder}/{Path(file).as_posix()}"


def _of_declarations() -> Iterator[Text]:
    """Yield heading, labels, units and meanings of all that a user may write."""
    for file, kind in FILES.items():
        for record in records(kind):
            yield from ((text, file) for text in _declared(record) if text)


def _declared(record: type[Record]) -> Iterator[str]:
    yield getattr(record, "heading", "")
    for key in record.model_fields if issubclass(record, Record) else ():
        said = about(record, key)
        yield from (said["label"], said["meaning"], unit_text(said["unit"]))


def written(catalog: Catalog) -> bytes:
    """Return a catalogue as its file has it: sorted, and nothing in it that changes by itself."""
    out = io.BytesIO()
    write_po(
        *(out, catalog), width=100, sort_output=True, ignore_obsolete=True, include_lineno=False
    )
    lines = out.getvalue().splitlines(keepends=True)
    return b"".join(line for line in lines if not line.startswith(b'"Generated-By'))


def languages() -> Iterable[Path]:
    """Return the catalogues there are."""
    return sorted(TEXTS.glob("*.po"))


def followed(file: Path, texts: Catalog) -> bytes:
    """Return a language's catalogue with the texts there are now."""
    with file.open("rb") as opened:
        catalog = read_po(opened, locale=file.stem)
    catalog.update(texts, update_header_comment=False, update_creation_date=False)
    return written(catalog)


if __name__ == "__main__":
    texts = gathered()
    SITE.write_bytes(written(texts))
    for language in languages():
        language.write_bytes(followed(language, texts))
    sys.stdout.write(f"{len(texts)} texts\n")
