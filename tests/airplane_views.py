"""Small folders worked out, and the airplane's sections of a view: what their tests start from."""

from pathlib import Path

from panelworth import evaluate, templates_folder
from panelworth.engine.insight import insight_of
from panelworth.model.case import Case
from panelworth.publishing.pages.airplane import airplane_pages
from panelworth.publishing.pages.airplane_sections import Listing, Part, Section
from panelworth.publishing.site.layout import Layout, pages_of, render_page
from panelworth.publishing.view import View, view_of
from small_cases import case_in


def view_in(folder: Path, options: dict[str, str], equipment: str = "", **parts: str) -> View:
    """Write a small folder with its equipment and work it out."""
    if equipment:
        (folder / "equipment.toml").write_text(equipment, encoding="utf-8")
    return worked_out(case_in(folder, options, **parts))


def worked_out(case: Case) -> View:
    """Work out a case with few draws."""
    figures = evaluate(case, trials=50)
    return view_of(case, figures, insight_of(case, figures))


def sections_of(view: View) -> list[Section]:
    """Return the sections of the airplane's page; none where there is no such page."""
    made = airplane_pages(view)
    return list(made[0].content["sections"]) if made else []


def section_of(view: View, section: str) -> Section:
    """Return one of them."""
    return next(each for each in sections_of(view) if each.id == section)


def part_of(view: View, section: str, option: str) -> Part:
    """Return what a section tells of one option."""
    parts = section_of(view, section).parts
    return next(each for each in parts if each.option and each.option.id == option)


def listing_of(part: Part, caption: str) -> Listing:
    """Return the list of a part whose caption begins so."""
    return next(each for each in part.listings if each.caption.startswith(caption))


def text_of(view: View, file: str) -> str:
    """Lay out a page."""
    pages = pages_of(view)
    page = next(page for page in pages if page.file == file)
    return render_page(Layout.of(templates_folder()), view, page, pages, root="")
