"""The view of a scenario: its case, figures, number formats and options, for every page."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from panelworth.engine.results.editions import ChangeAttribution, Deadline
from panelworth.engine.results.figures import (
    Figures,
    OptionFigures,
    Series,
)
from panelworth.engine.results.insight import (
    Insight,
)
from panelworth.engine.results.leading import LeadingFigures, leading_figures
from panelworth.engine.results.trials import OptionUncertainty
from panelworth.engine.results.what_if import Grid
from panelworth.model.case import Case, Input
from panelworth.model.club import (
    Club,
)
from panelworth.model.names import short_names
from panelworth.publishing.formats import Formats, formats_of
from panelworth.publishing.language import Language

MOST_MARKS = 8  # there are eight shapes and eight colours
NO_INSIGHT = Insight(
    rank_reversals=(), break_even_points={}, whatif=Grid(axes=(), figures={}, error=0.0)
)


@dataclass(frozen=True, kw_only=True)
class Updates:
    """What changed since the last edition, and which days come next.

    `before` is the file of that last edition. It is published again, byte for byte.
    """

    deadlines: tuple[Deadline, ...] = ()
    attribution: ChangeAttribution | None = None
    before: bytes | None = None


NO_UPDATES = Updates()


@dataclass(frozen=True, kw_only=True)
class OptionTag:
    """An option as pages show it; its mark and its colour follow from its number."""

    id: str
    number: int
    title: str
    short: str
    href: str


@dataclass(frozen=True, kw_only=True)
class View:
    """A scenario with everything that its pages need.

    `address` is the web address of the whole site, `home` that of this scenario's pages. Both are
    given for one build and not stored; "" means not given. `language` is that of the pages.
    """

    case: Case
    figures: Figures
    insight: Insight
    formats: Formats
    tags: Mapping[str, OptionTag]
    updates: Updates = NO_UPDATES
    address: str = ""
    home: str = ""
    language: Language = field(default_factory=Language)

    @property
    def baseline(self) -> OptionTag:
        """The option that all others are compared with."""
        return self.tags[self.figures.baseline]

    @property
    def others(self) -> list[OptionTag]:
        """All options but the baseline."""
        return [tag for tag in self.tags.values() if tag.id != self.figures.baseline]

    @property
    def club(self) -> Club | None:
        """The club, None for a single owner."""
        return self.case.scenario.club

    @cached_property
    def inputs(self) -> Mapping[str, Input]:
        """Every numeric input of the folder by its path."""
        return {declared.path: declared for declared in self.case.inputs}

    @cached_property
    def _leading(self) -> Mapping[str, LeadingFigures]:
        return {option_id: leading_figures(self.figures, option_id) for option_id in self.tags}

    def leading(self, tag: OptionTag) -> LeadingFigures:
        """Return the figures shown first: from the first allowed start if the plan is refused."""
        return self._leading[tag.id]

    def option(self, option_id: str) -> OptionFigures:
        """Return an option's figures."""
        return self.figures.options[option_id]

    def uncertain(self, option_id: str) -> OptionUncertainty:
        """Return an option's results over the drawn trials."""
        return self.figures.uncertainty.options[option_id]

    def series(self, option_id: str) -> Series:
        """Return an option's likely cash flow, month by month."""
        return self.figures.series[option_id]


@dataclass(frozen=True, kw_only=True)
class Page:
    """A page before layout: file, template, title, and the strings of its template (`content`).

    `nav` is its name in the menu, `foot` its name in the footer; "" leaves it out. `door` is the
    link that leads to it from the page before: a question, and what the page holds. `later` maps
    names to files that are loaded after the page, so that text can be read first.
    """

    file: str
    template: str
    title: str
    nav: str
    description: str
    foot: str = ""
    door: tuple[str, str] | None = None
    content: Mapping[str, Any] = field(default_factory=dict)
    later: Mapping[str, str] = field(default_factory=dict)


def view_of(
    case: Case, figures: Figures, insight: Insight = NO_INSIGHT, updates: Updates = NO_UPDATES
) -> View:
    """Return the view of a case. The baseline comes first, then the options by outlay."""
    titles = [option.title for option in case.options.values()]
    short = short_names({key: (option.short, option.title) for key, option in case.options.items()})

    def order(option_id: str) -> tuple[bool, float]:
        return option_id != figures.baseline, figures.options[option_id].likely.outlay

    tags = {
        option_id: OptionTag(
            id=option_id,
            number=_mark_number(place),
            title=_distinct_title(option_id, case.options[option_id].title, titles),
            short=short[option_id],
            href=f"option-{option_id}.html",
        )
        for place, option_id in enumerate(sorted(case.options, key=order))
    }
    return View(
        case=case,
        figures=figures,
        insight=insight,
        formats=formats_of(case.scenario),
        tags=tags,
        updates=updates,
        language=Language(locale=case.scenario.locale),
    )


def _mark_number(place: int) -> int:
    """Return the number of an option's mark and colour. Only the baseline has number 1.

    Numbers repeat from 2 where there are more options than marks.

    >>> [_mark_number(place) for place in (0, 1, 7, 8, 15)]
    [1, 2, 8, 2, 2]
    """
    return 1 if place == 0 else (place - 1) % (MOST_MARKS - 1) + 2


def _distinct_title(option_id: str, title: str, titles: list[str]) -> str:
    return f"{title} ({option_id})" if titles.count(title) > 1 else title
