"""Small folders worked out, and the airplane's pages of a view: what their tests start from."""

from pathlib import Path

from panelworth import evaluate, templates_folder
from panelworth.engine.insight import insight_of
from panelworth.model.case import Case
from panelworth.publishing.airplane.overview import airplane_pages
from panelworth.publishing.layout import Layout, laid_out, pages_of
from panelworth.publishing.view import Page, View, view_of
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


def page_of(view: View, file: str) -> Page:
    """Return one of the airplane's pages."""
    return next(page for page in airplane_pages(view) if page.file == file)


def text_of(view: View, file: str) -> str:
    """Lay out a page."""
    pages = pages_of(view)
    page = next(page for page in pages if page.file == file)
    return laid_out(Layout.of(templates_folder()), view, page, pages, root="")
