"""Catalogues: the translated texts of a language, one gettext file each in templates/texts.

The format: https://www.gnu.org/software/gettext/manual/html_node/PO-Files.html
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
MOST_COUNTED = 1000  # the rule of plurals is tried with all counts below it
# The number of plural forms; Unicode's CLDR has six categories of plurals over all languages.
PLURALS, MOST_FORMS = re.compile(rb"nplurals\s*=\s*(\d{1,9})"), 6
TEMPLATE_NAMES = re.compile(r"%\((\w+)\)s")


def language_of(locale: str, templates: Path) -> Language:
    """Return a locale's language; without a valid catalogue its texts are in English."""
    file = catalogue_of(locale, templates)
    result = _read(file, locale) if file else ""
    if isinstance(result, str):
        return Language(locale=locale)
    return Language(locale=locale, texts=result[1])


def catalogue_of(locale: str, templates: Path) -> Path | None:
    """Return the file of a locale (pt_BR) or of its language (pt); None if there is neither."""
    names = (locale, locale.partition("_")[0])
    files = [templates / FOLDER / f"{name}.po" for name in names]
    return next((file for file in files if file.is_file()), None)


def _read(file: Path, locale: str) -> "tuple[Catalog, GNUTranslations] | str":
    """Return a catalogue and its compiled texts, or the reason why it cannot be used."""
    content = contents(file, LARGEST)
    return content.found if isinstance(content, ReadFailure) else _compiled(content, locale)


@lru_cache(maxsize=4)  # each command needs it more than once
def _compiled(content: bytes, locale: str) -> "tuple[Catalog, GNUTranslations] | str":
    """Compile a catalogue; texts that it leaves out or marks as fuzzy stay English.

    Returns a text with the reason if that fails. The rule of plurals is tried with many counts: it
    is an expression that is evaluated, and it may divide by 0 for some of them.
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
    """Return a problem for each text that cannot be used, or one warning if none can."""
    result = _read(file, locale)
    if isinstance(result, str):
        hint = "texts stay English; open it in an editor of gettext files"
        return [
            Problem(
                file=str(file),
                key="",
                expected="a gettext file",
                found=result,
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
        for message in result[0]
        for text in _invalid_texts(message)
    ]


def _invalid_texts(message: "Message") -> Iterator[str]:
    """Yield the translations of a message with other names than the English text, or malformed.

    A plural form may leave names out: "one day" needs no number.
    """
    if not message.id or message.fuzzy:
        return
    english = [message.id] if isinstance(message.id, str) else [*message.id]
    translations = [message.string] if isinstance(message.string, str) else [*message.string]
    try:
        names = set().union(*map(_names, english))
    except ValueError:  # no text of the site has such braces, so that this one is never used
        return
    of_template = any(file.endswith(".html") for file, _ in message.locations)
    for text in filter(None, translations):
        try:
            translated_names = _names(text) if names else set()
            if of_template:
                _ = text % defaultdict(str)  # as jinja2 does, to see whether it raises
        except (ValueError, TypeError):
            yield text
            continue
        complete = translated_names == names or len(english) > 1
        if not (complete and translated_names <= names):
            yield text


def _names(text: str) -> set[str]:
    """Return the names of the values in a text, of both styles.

    >>> sorted(_names("{count} of {whole}")), _names("%(years)s years")
    (['count', 'whole'], {'years'})
    """
    # With a conversion or a format if there is one: no English text has one, so that it differs.
    in_braces = {
        "".join(filter(None, (name, conversion and f"!{conversion}", spec and f":{spec}")))
        for _, name, spec, conversion in Formatter().parse(text)
        if name is not None
    }
    return in_braces | set(TEMPLATE_NAMES.findall(text))
