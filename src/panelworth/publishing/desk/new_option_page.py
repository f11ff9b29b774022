"""The page that makes a new option of an old one."""

from panelworth.publishing.desk.desk import Answer, Ask, Desk
from panelworth.publishing.desk.frame import address_of, not_found, page
from panelworth.publishing.desk.option_files import copy_option, option_titles
from panelworth.publishing.desk.places import option_place
from panelworth.publishing.language import _

NEW_OPTION = "new-option"


def show_new_option(desk: Desk, ask: Ask, wrong: dict[str, str] | None = None) -> Answer:
    """Show the form: which option to begin with, the new title, the new id."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    content = {
        "title": _("A new option"),
        "crumbs": [],
        "options": list(option_titles(files).items()),
        "from": ask.form.get("from", ask.query.get("from", "")),
        "id": ask.form.get("id", ""),
        "new_title": ask.form.get("title", ""),
        "wrong_at": wrong or {},
    }
    status = 422 if wrong else 200
    return page(desk, files, ask, "desk/new_option.html", content, status=status)


def take_new_option(desk: Desk, ask: Ask) -> Answer:
    """Write the new option, and go to its form."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    source, option_id, title = (ask.form.get(key, "").strip() for key in ("from", "id", "title"))
    if wrong := copy_option(files, desk.read, source, option_id, title):
        return show_new_option(desk, ask, wrong)
    return Answer(location=address_of(ask.scenario, option_place(option_id).address, "added"))
