"""Short texts of what a table, a list or an entry has, for the links to its form."""

from typing import Any

from panelworth.publishing.desk.places import Place
from panelworth.publishing.desk.toml_positions import value_at
from panelworth.publishing.language import _

NAMES = ("name", "title", "label")
MOST_NAMES, MOST_VALUES, LONGEST = 4, 3, 90


def summary_of(place: Place, data: dict[str, Any]) -> str:
    """Say in a few words what is written there."""
    value = value_at(data, place.path) if place.path else data
    if isinstance(value, list) or (value is None and place.kind == "list"):
        return _names(value or [])
    if value is None:
        return _("not in the file") if place.optional else ""
    return entry_summary(place, data)


def entry_summary(place: Place, data: dict[str, Any]) -> str:
    """Return the first values of a table's form that are written, without its name."""
    texts = []
    for field in place.fields:
        value = value_at(data, field.path)
        typed = field.typed(value)
        if value is not None and field.key not in NAMES and field.kind not in ("names", "toml"):
            ends = [typed.get(end, "") for end in ("low", "high")]
            text = typed[""] if not all(ends) else f"{typed['']} ({ends[0]}…{ends[1]})"
            texts.append(f"{field.label}: {_cut(text)}")
    return "; ".join(texts[:MOST_VALUES])


def entry_name(entry: object, number: int) -> str:
    """Return the name of an entry of a list, or its number."""
    names = [entry.get(key) for key in NAMES] if isinstance(entry, dict) else []
    found = next((name for name in names if isinstance(name, str) and name.strip()), "")
    return found or _("Entry {number}", number=number + 1)


def _names(entries: list[Any]) -> str:
    names = [entry_name(entry, number) for number, entry in enumerate(entries)]
    more = ["…"] if len(names) > MOST_NAMES else []
    return ", ".join([*names[:MOST_NAMES], *more]) or _("none")


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"
