"""What the airplane's pages are put together from: sections of words, pictures and tables."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from panelworth.model.equipment import Airplane
from panelworth.publishing.charts import Chart
from panelworth.publishing.language import say
from panelworth.publishing.view import OptionTag, Page, View

OVERVIEW = "airplane.html"
TEMPLATE = "airplane.html"


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table of finished cells; `cards`: on a phone each row becomes a card."""

    caption: str
    head: Sequence[Any]
    rows: Sequence[Any]
    cards: bool = False
    folded: bool = False


@dataclass(frozen=True, kw_only=True)
class Section:
    """A part of a page: its heading or option, sentences, pictures, tables."""

    id: str
    title: str = ""
    option: OptionTag | None = None
    lines: Sequence[str] = ()
    bullets: Sequence[str] = ()
    charts: Sequence[Chart] = ()
    tables: Sequence[Table] = ()


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What a page says, in its order: plain sentences, a picture, tables, how it was worked out."""

    lead: Sequence[str]
    charts: Sequence[Chart] = ()
    columns: Sequence[Any] = ()
    rows: Sequence[Any] = ()
    sections: Sequence[Section] = ()
    how: Sequence[str] = ()
    cautions: Sequence[str] = ()


@dataclass(frozen=True, kw_only=True)
class Link:
    """A page of the airplane in the overview: its name and its first sentence."""

    href: str
    label: str
    text: str


def airplane_page(
    *, file: str, title: str, question: str, answer: Answer, links: Sequence[Link] = ()
) -> Page:
    """Make one of the airplane's pages; the overview stands for it in the menu."""
    drawn = [*answer.charts, *(chart for part in answer.sections for chart in part.charts)]
    return Page(
        file=file,
        template=TEMPLATE,
        title=title,
        nav="",
        foot=say("The airplane") if file == OVERVIEW else "",
        door=(say("What fails, weighs, falls due?"), title) if file == OVERVIEW else None,
        description=f"{title}: {question}",
        content={
            "question": question,
            "answer": answer,
            "charts": drawn,
            "part_of": OVERVIEW,
            "back": "" if file == OVERVIEW else OVERVIEW,
            "links": links,
        },
    )


def airplane_of(view: View, tag: OptionTag) -> Airplane | None:
    """Return the airplane an option leaves, as its file describes it."""
    case = view.case
    replaced = case.options[tag.id].kind == "replace"
    equipment = case.replacements.get(tag.id) if replaced else case.equipment
    return equipment.airplane if equipment else None
