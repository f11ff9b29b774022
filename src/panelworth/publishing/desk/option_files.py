"""Options as a whole: a new one as a copy of an old one, and the removal of one."""

from panelworth.model.names import folded
from panelworth.publishing.desk.desk import data_of
from panelworth.publishing.desk.disc import (
    EQUIPMENT,
    OPTION,
    OPTION_ID,
    Read,
    ScenarioFiles,
    fingerprint,
)
from panelworth.publishing.desk.places import SCENARIO_FILE
from panelworth.publishing.desk.saving import CHANGED_LIST, as_text
from panelworth.publishing.desk.toml_edits import Put, Remove, edited
from panelworth.publishing.language import N_, _

WRONG_ID = N_(
    "Expected letters without accents, digits, - or _, beginning with a letter or digit, such as "
    "refit-2: it becomes a file name and part of an address."
)
IS_BASELINE = N_(
    "This option is the baseline, which all others are compared with. Name another baseline first."
)


def option_titles(files: ScenarioFiles) -> dict[str, str]:
    """Return the title of each option, or its id without one, by its id."""
    return {
        option_id: title_of(files, OPTION.format(option_id), option_id)
        for option_id in files.options()
    }


def title_of(files: ScenarioFiles, file: str, otherwise: str) -> str:
    """Return the title that a file states, or another text."""
    title = (data_of(files.content(file)) or {}).get("title")
    return title if isinstance(title, str) and title.strip() else otherwise


def copy_option(
    files: ScenarioFiles, read: Read, source: str, option_id: str, title: str
) -> dict[str, str]:
    """Write a copy of an option. Returns what is wrong, by the name of the form's input.

    Its short name is left out, since two options cannot have the same. Its rows in the ledger and
    its note stay with the old one.
    """
    wrong = _wrong(files, source, option_id, title)
    old, new = files.content(OPTION.format(source)), OPTION.format(option_id)
    if wrong or old is None:
        return wrong
    text = edited(old, [Put(path=("title",), value=title), Remove(path=("short",))])
    if text is None:
        return {"from": _("The file of this option cannot be copied: correct it first.")}
    changes = {new: text}
    equipment = files.content(EQUIPMENT.format(source))
    if equipment is not None:
        changes[EQUIPMENT.format(option_id)] = equipment
    known = {(problem.key, problem.found) for problem in files.problems(read)}
    for problem in files.problems(read, changes):
        is_new = (problem.key, problem.found) not in known
        if problem.file == new and problem.severity == "error" and is_new:
            return {"title" if problem.key == "title" else "id": as_text(problem)}
    label = _("The new option “{title}”", title=title)
    failed = files.write(changes, dict.fromkeys(changes), label)
    return {"id": as_text(failed)} if failed else {}


def _wrong(files: ScenarioFiles, source: str, option_id: str, title: str) -> dict[str, str]:
    wrong = {}
    if source not in files.options():
        wrong["from"] = _("Choose the option to begin with.")
    if not OPTION_ID.fullmatch(option_id):
        wrong["id"] = _(WRONG_ID)
    elif folded(option_id) in map(folded, files.options()):
        wrong["id"] = _("There is an option with this id. Take another one.")
    if not title:
        wrong["title"] = _("Write what members will call the option.")
    return wrong


def remove_option(files: ScenarioFiles, option_id: str, seen: str) -> str:
    """Remove an option with its equipment. Returns why it was not; "" if it was.

    Its note stays, since somebody has written it.
    """
    names = (OPTION.format(option_id), EQUIPMENT.format(option_id))
    before = {name: content for name in names if (content := files.content(name)) is not None}
    if (data_of(files.content(SCENARIO_FILE)) or {}).get("baseline") == option_id:
        return _(IS_BASELINE)
    if names[0] not in before or seen != fingerprint(before[names[0]]):
        return _(CHANGED_LIST, file=names[0])
    label = _("The option “{title}”", title=option_titles(files)[option_id])
    problem = files.write(dict.fromkeys(before), before, label)
    return as_text(problem) if problem else ""
