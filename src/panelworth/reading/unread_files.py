"""Warnings about files of a scenario folder that are not read but were probably meant to be.

Without a warning the figures would lack their content, and nobody would notice. Files that
programs and people often keep in a folder (copies of editors, documents, pictures) are ignored.
"""

import re
from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher

from panelworth.problems import MOST_PROBLEMS, Problem

FILES = (
    "scenario.toml",
    "ledger.csv",
    "equipment.toml",
    "fleet.toml",
    "needs.toml",
    "ballots.csv",
    "squawks.csv",
)
LEDGERS = ("ledger.csv", "ledger.xlsx", "ledger.ods")  # a folder may have one of them
SQUAWKS = ("squawks.csv", "squawks.xlsx", "squawks.ods")  # likewise
FOLDERS = ("options", "notes")
Listing = Mapping[str, tuple[str, ...]]  # file names by folder; "" is the scenario folder itself
ENDING_OF_FOLDER = {"options": ".toml", "notes": ".md"}
READ_ENDINGS = (".toml", ".csv", ".md")
SPREADSHEET_ENDINGS = (".xlsx", ".xls", ".ods", ".numbers", ".tsv")
HINTS_BY_ENDING = {  # for a file whose name is not like that of any known file
    ".toml": "if it is an option, put it into the folder options",
    ".md": "if it is the story of an option, put it into the folder notes",
    ".csv": f"known files: {', '.join(FILES)}",
}
# Copies of editors, spreadsheets and operating systems; documents and pictures.
IGNORED = re.compile(
    r"\..*|.*~|~\$.*|#.*#|.*\.(?:bak|backup|old|orig|save|sw[a-p]|tmp|temp|rej|lock)"
    r"|(?:readme|licen[cs]e)(?:\.(?:md|txt))?|thumbs\.db|desktop\.ini|__\w+__"
    r"|.*\.(?:pdf|jpe?g|png|gif|webp|heic|svg|tiff?|docx?|odt|rtf|eml|msg|html?|zip|json|py)",
    re.IGNORECASE,
)
LEAST_SIMILARITY = 0.8  # above it a name is a spelling mistake; "quotes" and "notes" have 0.73


def unread_files(listing: Listing) -> Iterator[Problem]:
    """Yield a warning for each file that is not read but was probably meant to be."""
    for folder, names in listing.items():
        unknown = [name for name in names if not IGNORED.fullmatch(name)]
        for name in unknown[:MOST_PROBLEMS]:
            problem = _problem_within(folder, name) if folder else _problem_beside(name, listing)
            if problem is not None:
                yield problem


def misnamed_folder(names: tuple[str, ...], folder: str) -> str:
    """Return the misspelt name of a missing folder, such as "Options"; empty if there is none."""
    if folder in names:
        return ""
    return next((name for name in names if _nearest_folder(name) == folder), "")


def _problem_beside(name: str, listing: Listing) -> Problem | None:
    """Return the warning about a name in the scenario folder itself; None if it is ignored."""
    stem, _, rest = name.casefold().partition(".")
    endings = [f".{ending}" for ending in rest.split(".")]
    # Some editors append an ending: full.toml.txt was probably meant as full.toml.
    ending = next((ending for ending in endings if ending in READ_ENDINGS), endings[-1])
    if name in (*FILES, *LEDGERS, *SQUAWKS, *FOLDERS):
        return None
    guess = _nearest_file(stem, ending) if rest else _nearest_folder(name)
    if guess in LEDGERS:
        guess = _nearest_ledger(ending, listing[""])
    if guess:
        instead = f'only "{guess}" is read: put its content there'
        return _unknown(name, instead if guess in listing[""] else f'did you mean "{guess}"?')
    return _unknown(name, HINTS_BY_ENDING[ending]) if ending in HINTS_BY_ENDING else None


def _nearest_file(stem: str, ending: str) -> str:
    """Return the known file that was probably meant; empty if it is probably another file.

    The name before the first dot decides. It may be the same as that of a known file, similar to
    it, or begin with it, such as ledger-east.csv.
    """
    known = {file.partition(".")[0]: file for file in FILES}
    if stem in known:
        return known[stem]
    guess = next((file for known_stem, file in known.items() if _similar(stem, known_stem)), "")
    if guess or ending not in (*READ_ENDINGS, *SPREADSHEET_ENDINGS):
        return guess
    return next((file for known_stem, file in known.items() if stem.startswith(known_stem)), "")


def _nearest_ledger(ending: str, names: tuple[str, ...]) -> str:
    """Return the ledger that is there; else that of the nearest ending, ledger.xlsx for .xls."""
    present = [file for file in LEDGERS if file in names]
    alike = [file for file in LEDGERS if file.partition(".")[2].startswith(ending[1:])]
    return [*present, *alike, *LEDGERS][0]


def _problem_within(folder: str, name: str) -> Problem | None:
    """Return the warning about a name in `options` or `notes`; None if it is right or ignored."""
    ending = ENDING_OF_FOLDER[folder]
    stem, dot, _ = name.rpartition(".")
    if name.endswith(ending) or not dot:
        return None
    if folder == "options" and name.casefold().endswith(ENDING_OF_FOLDER["notes"]):
        return _unknown(f"{folder}/{name}", f"did you mean notes/{name}?")
    guess = stem if stem.casefold().endswith(ending) else f"{stem}{ending}"
    return _unknown(f"{folder}/{name}", f'did you mean "{guess}"?')


def _unknown(name: str, hint: str) -> Problem:
    expected = "a known file"
    found = name.rpartition("/")[2]
    return Problem(file=name, key="", expected=expected, found=found, hint=hint, severity="warning")


def _nearest_folder(name: str) -> str:
    return next((folder for folder in FOLDERS if name != folder and _similar(name, folder)), "")


def _similar(name: str, known: str) -> bool:
    """Return whether a name is probably a misspelt known name.

    A name of more than twice the length has a ratio below 2/3. It is not compared, since that
    takes long for long names.
    """
    if len(name) > 2 * len(known):
        return False
    return SequenceMatcher(a=name.casefold(), b=known).ratio() > LEAST_SIMILARITY
