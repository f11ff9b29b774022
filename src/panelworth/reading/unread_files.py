"""Files of a scenario folder that are not read though they look as if they should be.

Left out in silence they would change figures that nobody misses. What programs and people leave
beside their files (copies of editors, papers, pictures) is passed over.
"""

import re
from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher

from panelworth.problems import MOST, Problem

FILES = (
    "scenario.toml",
    "ledger.csv",
    "equipment.toml",
    "fleet.toml",
    "needs.toml",
    "ballots.csv",
)
FOLDERS = ("options", "notes")
Listing = Mapping[str, tuple[str, ...]]  # names in the folder itself ("") and in those within
WITHIN = {"options": ".toml", "notes": ".md"}
OURS = (".toml", ".csv", ".md")
TABLES = (".xlsx", ".xls", ".ods", ".numbers", ".tsv")
PLACES = {  # what to do with a file of ours that is like none of those known
    ".toml": "if it is an option, put it into the folder options",
    ".md": "if it is the story of an option, put it into the folder notes",
    ".csv": f"known files: {', '.join(FILES)}",
}
LATER = ("squawks",)  # a file of this name is known to the format, but not read by this version
# Leftovers of editors, spreadsheets, systems; papers and pictures kept beside the figures.
SILENT = re.compile(
    r"\..*|.*~|~\$.*|#.*#|.*\.(?:bak|backup|old|orig|save|sw[a-p]|tmp|temp|rej|lock)"
    r"|(?:readme|licen[cs]e)(?:\.(?:md|txt))?|thumbs\.db|desktop\.ini|__\w+__"
    r"|.*\.(?:pdf|jpe?g|png|gif|webp|heic|svg|tiff?|docx?|odt|rtf|eml|msg|html?|zip|json|py)",
    re.IGNORECASE,
)
ALIKE = 0.8  # more than that is a misspelt name; "quotes" is none of "notes"


def unread_files(listing: Listing) -> Iterator[Problem]:
    """Yield a warning for each file that is not read but was probably meant to be."""
    for folder, names in listing.items():
        unknown = [name for name in names if not SILENT.fullmatch(name)]
        for name in unknown[:MOST]:
            problem = _within(folder, name) if folder else _beside(name, listing)
            if problem is not None:
                yield problem


def misnamed_folder(names: tuple[str, ...], folder: str) -> str:
    """Return the name that stands where a folder of this name should; empty if there is none."""
    if folder in names:
        return ""
    return next((name for name in names if _nearest_folder(name) == folder), "")


def _beside(name: str, listing: Listing) -> Problem | None:
    """Judge a name in the folder itself."""
    stem, _, rest = name.casefold().partition(".")
    ends = [f".{each}" for each in rest.split(".")]
    end = next((each for each in ends if each in OURS), ends[-1])  # .toml of full.toml.txt
    if name in (*FILES, *FOLDERS):
        return None
    if stem in LATER and end in (*OURS, *TABLES):
        return _unknown(name, "this version does not read it: no figure rests on it")
    guess = _nearest_file(stem, end) if rest else _nearest_folder(name)
    if guess:
        there = guess in listing[""]
        instead = f'only "{guess}" is read: put its content there'
        return _unknown(name, instead if there else f'did you mean "{guess}"?')
    return _unknown(name, PLACES[end]) if end in PLACES else None


def _nearest_file(stem: str, end: str) -> str:
    """Return the file that is meant; empty where it is likely to be something else.

    It is told by the name before the first dot, the spelling, or the beginning: ledger-east.csv.
    """
    known = {file.partition(".")[0]: file for file in FILES}
    if stem in known:
        return known[stem]
    guess = next((file for stem_known, file in known.items() if _alike(stem, stem_known)), "")
    if guess or end not in (*OURS, *TABLES):
        return guess
    return next((file for stem_known, file in known.items() if stem.startswith(stem_known)), "")


def _within(folder: str, name: str) -> Problem | None:
    """Judge a name in `options` or `notes`."""
    end = WITHIN[folder]
    stem, dot, _ = name.rpartition(".")
    if name.endswith(end) or not dot:
        return None
    if folder == "options" and name.casefold().endswith(WITHIN["notes"]):
        return _unknown(f"{folder}/{name}", f"did you mean notes/{name}?")
    guess = stem if stem.casefold().endswith(end) else f"{stem}{end}"
    return _unknown(f"{folder}/{name}", f'did you mean "{guess}"?')


def _unknown(name: str, hint: str) -> Problem:
    expected = "a known file"
    found = name.rpartition("/")[2]
    return Problem(file=name, key="", expected=expected, found=found, hint=hint, severity="warning")


def _nearest_folder(name: str) -> str:
    return next((folder for folder in FOLDERS if name != folder and _alike(name, folder)), "")


def _alike(one: str, other: str) -> bool:
    if len(one) > 2 * len(other):
        return False
    return SequenceMatcher(a=one.casefold(), b=other).ratio() > ALIKE
