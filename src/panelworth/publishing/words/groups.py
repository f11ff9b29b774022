"""Groups of options that share a fact, so that a sentence says it once."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

from panelworth.publishing.formats import joined
from panelworth.publishing.view import OptionTag

T = TypeVar("T", bound=Hashable)


def names(tags: Iterable[OptionTag]) -> str:
    """Name options as a sentence does: "Refit part and Refit all"."""
    return joined([tag.short for tag in tags])


def grouped(
    tags: Sequence[OptionTag], tell: Callable[[OptionTag], T]
) -> list[tuple[T, list[OptionTag]]]:
    """Return the distinct facts about options, with the options of each fact."""
    groups: dict[T, list[OptionTag]] = {}
    for tag in tags:
        groups.setdefault(tell(tag), []).append(tag)
    return list(groups.items())
