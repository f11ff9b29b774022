"""Groups of options with the same fact, so that one sentence is enough."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

from panelworth.publishing.formats import joined
from panelworth.publishing.view import OptionTag

T = TypeVar("T", bound=Hashable)


def names(tags: Iterable[OptionTag]) -> str:
    """Join the names of options: "Refit part and Refit all"."""
    return joined([tag.short for tag in tags])


def grouped(
    tags: Sequence[OptionTag], fact: Callable[[OptionTag], T]
) -> list[tuple[T, list[OptionTag]]]:
    """Return the distinct facts about options, with the options of each fact."""
    groups: dict[T, list[OptionTag]] = {}
    for tag in tags:
        groups.setdefault(fact(tag), []).append(tag)
    return list(groups.items())
