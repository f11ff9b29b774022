"""Catalogues: the texts of a language, one gettext file in templates/texts.

The format is gettext's: https://www.gnu.org/software/gettext/manual/html_node/PO-Files.html
"""

import io
import re
from collections import defaultdict
from collections.abc import Iterator
from gettext import GNUTranslations
from pathlib import Path
from string import Formatter

from babel.messages import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po

from panelworth.problems import Problem
from panelworth.publishing.language import Language

FOLDER = "texts"
OF_TEMPLATES = re.compile(r"%\((\w+)\)s")


class Texts(GNUTranslations):
    """Compiled texts that can be sent to another process."""

    def __init__(self, compiled: bytes) -> None:
        """Take the bytes of a gettext .mo file."""
        self._compiled = compiled
        super().__init__(io.BytesIO(compiled))

    def __reduce__(self) -> tuple[type["Texts"], tuple[bytes]]:
        """Make them again from their bytes; their rule of plurals cannot be sent as it is."""
        return Texts, (self._compiled,)


def language_of(locale: str, templates: Path) -> Language:
    """Return a locale's language with its catalogue; without one its texts are in English."""
    file = catalogue_of(locale, templates)
    if file is None:
        return Language(locale=locale)
    return Language(locale=locale, texts=texts_of(file, locale))


def catalogue_of(locale: str, templates: Path) -> Path | None:
    """Return the file with a locale's texts: its own or its language's; None if there is none."""
    names = (locale, locale.partition("_")[0])
    files = [templates / FOLDER / f"{name}.po" for name in names]
    return next((file for file in files if file.is_file()), None)


def texts_of(file: Path, locale: str) -> Texts:
    """Read a catalogue; what it leaves out or marks as fuzzy stays English."""
    compiled = io.BytesIO()
    write_mo(compiled, _read(file, locale))
    return Texts(compiled.getvalue())


def _read(file: Path, locale: str) -> Catalog:
    with file.open("rb") as opened:
        return read_po(opened, locale=locale, abort_invalid=True)


def unfit_catalogue(file: Path, locale: str) -> list[Problem]:
    """Tell what of a locale's texts cannot be said."""
    try:
        catalogue = _read(file, locale)
    except (PoFileError, ValueError) as error:
        expected, hint = "a gettext file", "open it in an editor of gettext files"
        return [Problem(file=str(file), key="", expected=expected, found=str(error), hint=hint)]
    return [
        Problem(
            file=str(file),
            line=message.lineno or 0,
            key="msgstr",
            expected="the names to be filled in as the English text has them",
            found=f'"{text}"',
            hint="keep each name and its brackets; a percent sign in a template is written twice",
        )
        for message in catalogue
        for text in _unfit(message)
    ]


def _unfit(message: Message) -> Iterator[str]:
    """Yield what a message says with other names than the English, or in no sensible form.

    A form of a counted text may leave names out: "one day" needs no number.
    """
    if not message.id or message.fuzzy:
        return
    english = [message.id] if isinstance(message.id, str) else [*message.id]
    said = [message.string] if isinstance(message.string, str) else [*message.string]
    names = set().union(*map(_names, english))
    of_template = any(file.endswith(".html") for file, _ in message.locations)
    for text in filter(None, said):
        try:
            found = _names(text) if names else set()
            if of_template:
                _ = text % defaultdict(str)
        except (ValueError, TypeError):
            yield text
            continue
        if not found <= names or (len(english) == 1 and found != names):
            yield text


def _names(text: str) -> set[str]:
    """Return the names in a text's brackets.

    >>> sorted(_names("{count} of {whole}")), _names("%(years)s years")
    (['count', 'whole'], {'years'})
    """
    in_braces = {name for _, name, _, _ in Formatter().parse(text) if name is not None}
    return in_braces | set(OF_TEMPLATES.findall(text))
