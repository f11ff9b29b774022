"""Catalogues: the texts of a language, one gettext file in templates/texts.

The format is gettext's: https://www.gnu.org/software/gettext/manual/html_node/PO-Files.html
"""

import io
import re
from collections import defaultdict
from collections.abc import Iterator
from functools import lru_cache
from gettext import GNUTranslations
from pathlib import Path
from string import Formatter
from typing import TYPE_CHECKING

from panelworth.plain_files import ReadFailure, contents
from panelworth.problems import Problem
from panelworth.publishing.language import Language

if TYPE_CHECKING:
    from babel.messages import Catalog, Message

FOLDER = "texts"
LARGEST = 10_000_000  # bytes of a catalogue
MOST_COUNTED = 1000  # numbers that a rule of plurals is tried with
# How many forms of a counted text; Unicode's CLDR knows six categories of plurals in any language.
PLURALS, MOST_FORMS = re.compile(rb"nplurals\s*=\s*(\d{1,9})"), 6
OF_TEMPLATES = re.compile(r"%\((\w+)\)s")


def language_of(locale: str, templates: Path) -> Language:
    """Return a locale's language; its texts are in English without a sound catalogue."""
    file = catalogue_of(locale, templates)
    read = _read(file, locale) if file else ""
    return (
        Language(locale=locale) if isinstance(read, str) else Language(locale=locale, texts=read[1])
    )


def catalogue_of(locale: str, templates: Path) -> Path | None:
    """Return the file with a locale's texts: its own or its language's; None if there is none."""
    names = (locale, locale.partition("_")[0])
    files = [templates / FOLDER / f"{name}.po" for name in names]
    return next((file for file in files if file.is_file()), None)


def _read(file: Path, locale: str) -> "tuple[Catalog, GNUTranslations] | str":
    """Read a catalogue, or say what keeps it from being used at all."""
    content = contents(file, LARGEST)
    return content.found if isinstance(content, ReadFailure) else _understood(content, locale)


@lru_cache(maxsize=4)  # each command asks for it more than once
def _understood(content: bytes, locale: str) -> "tuple[Catalog, GNUTranslations] | str":
    """Compile a catalogue; what it leaves out or marks as fuzzy stays English.

    Its rule of plurals is tried: it is an expression that runs, and may divide by 0.
    """
    from babel.messages.mofile import write_mo  # noqa: PLC0415 (most folders have no catalogue)
    from babel.messages.pofile import PoFileError, read_po  # noqa: PLC0415

    forms = PLURALS.search(content)
    if forms and int(forms.group(1)) > MOST_FORMS:
        return forms.group().decode()
    compiled, nothing = io.BytesIO(), ""
    try:
        catalogue = read_po(io.BytesIO(content), locale=locale, abort_invalid=True)
        write_mo(compiled, catalogue)
        compiled.seek(0)
        texts = GNUTranslations(compiled)
        for count in range(MOST_COUNTED):
            texts.ngettext(nothing, nothing, count)
    except (PoFileError, ValueError, LookupError, ArithmeticError, RecursionError) as error:
        return str(error)
    return catalogue, texts


def catalogue_problems(file: Path, locale: str) -> list[Problem]:
    """Tell what of a locale's texts cannot be said, or warn that none can be."""
    read = _read(file, locale)
    if isinstance(read, str):
        hint = "texts stay English; open it in an editor of gettext files"
        return [
            Problem(
                file=str(file),
                key="",
                expected="a gettext file",
                found=read,
                hint=hint,
                severity="warning",
            )
        ]
    return [
        Problem(
            file=str(file),
            line=message.lineno or 0,
            key="msgstr",
            expected="the names to be filled in as the English text has them",
            found=f'"{text}"',
            hint="keep each name and its brackets; a percent sign in a template is written twice",
        )
        for message in read[0]
        for text in _unfit(message)
    ]


def _unfit(message: "Message") -> Iterator[str]:
    """Yield what a message says with other names than the English, or in no sensible form.

    A form of a counted text may leave names out: "one day" needs no number.
    """
    if not message.id or message.fuzzy:
        return
    english = [message.id] if isinstance(message.id, str) else [*message.id]
    said = [message.string] if isinstance(message.string, str) else [*message.string]
    try:
        names = set().union(*map(_names, english))
    except ValueError:  # no text of the site has such braces: nobody asks for it
        return
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
    # With how it is written, if that is said: a text of the site never says it, and it may fail.
    in_braces = {
        "".join(filter(None, (name, conversion and f"!{conversion}", spec and f":{spec}")))
        for _, name, spec, conversion in Formatter().parse(text)
        if name is not None
    }
    return in_braces | set(OF_TEMPLATES.findall(text))
