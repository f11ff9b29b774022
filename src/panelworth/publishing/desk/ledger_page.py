"""The ledger as a grid: rows are changed, added, copied, made final, removed, and pasted.

The row that was added last comes first, above it the line for a new row. Every button sends the
whole page, so that nothing that was typed is lost.
"""

from datetime import date
from math import ceil

from panelworth.plain_files import is_there
from panelworth.publishing.desk.desk import Answer, Ask, Desk
from panelworth.publishing.desk.disc import ScenarioFiles, fingerprint
from panelworth.publishing.desk.frame import LEDGER, address_of, not_found, page
from panelworth.publishing.desk.ledger_choices import choices_of
from panelworth.publishing.desk.ledger_grid import columns_of, grid_of
from panelworth.publishing.desk.ledger_saving import (
    FILE,
    UNREADABLE,
    WORKBOOKS,
    LedgerOutcome,
    check_rows,
    save_ledger,
    typed_ledger,
)
from panelworth.publishing.desk.ledger_text import COLUMNS, LedgerText, ledger_text, pasted_rows
from panelworth.publishing.formats import number
from panelworth.publishing.language import N_, _

PAGE_ROWS = 100
MOST_PASTED = 150  # rows: with those of a page they stay below the inputs that a form may have
SAVE, COPY, FINAL, REMOVE, PASTE = "save", "copy", "final", "remove", "paste"
NOT_SPLIT = N_("These rows cannot be read as a table: a quotation mark is not closed.")
NO_ROWS = N_("There is no row in what was pasted.")
TOO_MANY = N_("These are {count} rows: paste at most {most} at a time.")
COPIED = N_("The copy is in the first line, not yet in the file: change it, then save.")
PASTED = N_("The pasted rows are in the first lines, not yet in the file: check them, then save.")


def show_ledger(desk: Desk, ask: Ask) -> Answer:
    """Show the rows of the ledger; of a workbook, without inputs."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    if workbook := _workbook_of(files):
        return _shown_workbook(desk, files, ask, workbook)
    return _shown(desk, files, ask, LedgerOutcome())


def _workbook_of(files: ScenarioFiles) -> str:
    """Return the name of the workbook that is the ledger; "" if the ledger is CSV, or none."""
    workbooks = (name for name in WORKBOOKS if is_there(files.folder / name))
    return "" if is_there(files.folder / FILE) else next(workbooks, "")


def take_ledger(desk: Desk, ask: Ask) -> Answer:
    """Save what was typed, with what the button asks for; or fill in new rows to be checked."""
    files = desk.folders().get(ask.scenario)
    if files is None:
        return not_found(desk, ask)
    if workbook := _workbook_of(files):
        return _shown_workbook(desk, files, ask, workbook)
    do, _dash, at = ask.form.get("do", SAVE).partition("-")
    row = int(at) if at.isascii() and at.isdigit() else -1
    if do == SAVE and ask.form.get("rows", "").strip():
        do = PASTE  # pasted, and not shown yet
    if do in (COPY, PASTE):
        return _filled(desk, files, ask, do, row)
    form = {**ask.form, f"r{row}.{FINAL}": "yes"} if do == FINAL else ask.form
    outcome = save_ledger(files, desk.read, form, [row] if do == REMOVE and row >= 0 else [])
    if not outcome.saved:
        return _shown(desk, files, ask, outcome)
    done = "removed" if do == REMOVE and outcome.saved != "same" else outcome.saved
    query = f"page={_page_number(ask)}&done={done}"
    return Answer(location=f"{address_of(ask.scenario, LEDGER)}?{query}")


def _filled(desk: Desk, files: ScenarioFiles, ask: Ask, do: str, row: int) -> Answer:
    """Show the page with new rows filled in: a copy of one, or what was pasted."""
    outcome = typed_ledger(files, ask.form)
    if outcome.wrong:
        return _shown(desk, files, ask, outcome)
    typed, told = outcome.typed, ""
    count = max((int(name[1:]) + 1 for name in typed if name[0] == "n"), default=0)
    if do == COPY and f"r{row}" in typed:
        typed[f"n{count}"], told = dict(typed[f"r{row}"]), _(COPIED)
        return _shown(desk, files, ask, outcome, told)
    rows = pasted_rows(ask.form.get("rows", ""))
    if not rows:
        outcome.add("paste", "", _(NOT_SPLIT) if rows is None else _(NO_ROWS))
    elif len(rows) > MOST_PASTED:
        outcome.add("paste", "", _(TOO_MANY, count=len(rows), most=MOST_PASTED))
    else:
        typed.update({f"n{count + at}": cells for at, cells in enumerate(rows)})
        kept = {name: cells for name, cells in typed.items() if name[0] == "r"}
        check_rows(files, desk.read, desk.ledger, outcome)
        outcome.typed.update(kept)
        return _shown(desk, files, ask, outcome, _(PASTED))
    return _shown(desk, files, ask, outcome)


def _page_number(ask: Ask) -> int:
    text = ask.query.get("page", "1")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 1  # noqa: PLR2004


def _shown(
    desk: Desk, files: ScenarioFiles, ask: Ask, outcome: LedgerOutcome, told: str = ""
) -> Answer:
    """Fill the page; after a form that was not taken, with what was typed."""
    content = files.content(FILE)
    ledger = ledger_text(content)
    unreadable = ledger is None or (content is None and is_there(files.folder / FILE))
    ledger = ledger or LedgerText(text="")
    count = len(ledger.rows)
    pages = max(1, ceil(count / PAGE_ROWS))
    at = min(max(_page_of(ask, ledger) or _page_number(ask), 1), pages)
    shown = range(count - 1, -1, -1)[(at - 1) * PAGE_ROWS : at * PAGE_ROWS]
    problems = [problem for problem in desk.problems(files) if problem.file == FILE]
    grid = grid_of(ledger, shown, outcome, problems, choices_of(files))
    address = address_of(ask.scenario, LEDGER)
    filled = {
        "title": _("The ledger"),
        "crumbs": [],
        "is_beside": False,  # the rows need the width
        "unreadable": _(UNREADABLE, file=FILE) if unreadable else "",
        "fingerprint": fingerprint(content),
        "wrong": outcome.wrong.get(("", ""), []),
        "any_wrong": bool(outcome.wrong) and not told,
        "paste_wrong": outcome.wrong.get(("paste", ""), []),
        "pasted": "" if told else ask.form.get("rows", ""),
        "preview_file": "ledger.html" if count else "",
        "told": told,
        "columns": columns_of(),
        "count": count,
        "page_number": at,
        "pages": [{"href": f"{address}?page={one}", "number": one} for one in range(1, pages + 1)],
        **grid,
    }
    status = 422 if outcome.wrong and not told else 200
    return page(desk, files, ask, "desk/ledger.html", filled, status=status)


def _page_of(ask: Ask, ledger: LedgerText) -> int:
    """Return the page that has the row that begins in a line, as problems name it; 0 if none."""
    line = ask.query.get("line", "")
    found = [at for at, row in enumerate(ledger.rows) if str(row.line) == line]
    return (len(ledger.rows) - 1 - found[0]) // PAGE_ROWS + 1 if found else 0


def _shown_workbook(desk: Desk, files: ScenarioFiles, ask: Ask, file: str) -> Answer:
    """Show the rows of a ledger that a spreadsheet program keeps."""
    entries = desk.ledger(files.folder)
    rows = [[_text(getattr(entry, key)) for key in COLUMNS] for entry in reversed(entries)]
    pages = max(1, ceil(len(rows) / PAGE_ROWS))
    at = min(max(_page_number(ask), 1), pages)
    address = address_of(ask.scenario, LEDGER)
    filled = {
        "title": _("The ledger"),
        "crumbs": [],
        "is_beside": False,
        "file": file,
        "columns": columns_of(),
        "rows": rows[(at - 1) * PAGE_ROWS : at * PAGE_ROWS],
        "page_number": at,
        "pages": [{"href": f"{address}?page={one}", "number": one} for one in range(1, pages + 1)],
    }
    return page(desk, files, ask, "desk/ledger_workbook.html", filled)


def _text(value: object) -> str:
    """Write a cell of a workbook for reading."""
    if isinstance(value, bool):
        return _("yes") if value else ""
    if isinstance(value, float):
        return number(value)
    return value.isoformat() if isinstance(value, date) else str(value or "")
