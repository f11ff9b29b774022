"""What several commands share: reading folders, showing problems, and the line of progress."""

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from panelworth import read, scenario_folders, templates_folder, views
from panelworth.plain_files import is_file, reason
from panelworth.problems import Problem, merged, render

if TYPE_CHECKING:
    from panelworth.model.case import Case
    from panelworth.publishing.site.preview_state import PreviewState
    from panelworth.publishing.terminal.tables import TextTable

POLL = 0.2  # seconds between two looks for a new folder
WRITING_COMMANDS = ("build", "handout", "new")


def repair_site(out: Path) -> None:
    """Repair a site that an interrupted build left, before an error can end the command."""
    from panelworth.publishing.site.folder import site_lock  # noqa: PLC0415

    if out.parent.is_dir():
        with progress_line() as report, report_write_errors(out), site_lock(out, report):
            pass


def show_build(
    state: "PreviewState", folders: tuple[Path, ...], site: Path, trials: int | None
) -> None:
    """Build the preview again. Problems are shown on the terminal and on the page."""
    from panelworth.publishing.site.files import build_files, link_problems  # noqa: PLC0415

    cases, problems = read_all(scenario_folders(folders))
    if not any(problem.severity == "error" for problem in problems):
        with progress_line() as report:
            new_views = views(cases, site=site, trials=trials, progress=report)
            files = build_files(new_views, templates=templates_folder(), progress=report)
        problems += link_problems(new_views, files)
    show_problems(problems)
    if any(problem.severity == "error" for problem in problems):
        state.show_problems(problems)
    else:
        state.show(files)
        click.echo(f"build {state.shown.build} shown")


def is_to_begin(folder: Path) -> bool:
    """Return whether a scenario can be begun in a folder: it is missing, or nothing is in it."""
    from panelworth.publishing.desk.disc import ScenarioFiles  # noqa: PLC0415
    from panelworth.publishing.desk.first_run import begins  # noqa: PLC0415

    return begins(ScenarioFiles(folder))


def wait_for_scenario(folder: Path) -> None:
    """Wait until a folder has a scenario. A folder that is missing cannot be watched."""
    while not is_file(folder / "scenario.toml"):
        time.sleep(POLL)


@contextmanager
def report_write_errors(place: Path) -> Iterator[None]:
    """Report in plain words that a disc is full or a folder cannot be written, and exit."""
    try:
        yield
    except OSError as error:
        expected = "a folder that can be written"
        exit_on_errors([Problem(file=str(place), key="", expected=expected, found=reason(error))])


def read_or_exit(folder: Path) -> "Case":
    """Read a folder and set its language. Lists the problems; exits at an error."""
    from panelworth.publishing.catalogues import language_of  # noqa: PLC0415
    from panelworth.publishing.language import using_language  # noqa: PLC0415

    [case] = read_all_or_exit([folder])
    language = language_of(case.scenario.locale, templates_folder())
    click.get_current_context().with_resource(using_language(language))
    return case


def read_all_or_exit(folders: list[Path]) -> list["Case"]:
    """Read folders. Lists the problems of all of them; exits if one is an error."""
    cases, problems = read_all(folders)
    if len(cases) < len(folders):
        exit_on_errors(problems)
    show_problems(problems)
    return cases


def read_all(folders: list[Path]) -> tuple[list["Case"], list[Problem]]:
    """Read folders. Returns the cases that could be read, and the problems of all folders."""
    cases, problems = [], []
    for folder in folders:
        case, folder_problems = read(folder)
        problems += merged(folder_problems, str(folder))
        cases += [case] if case else []
    return cases, problems


def stated_problems(
    paths: Sequence[Path], folder: Path | None, chosen: str | None, on: object
) -> list[Problem]:
    """Return what is missing among the arguments of `tally`."""
    missing = ""
    if (chosen or on) and folder is None:
        missing = "a scenario folder before the files"
    elif bool(chosen) != bool(on):
        missing = "both --write OPTION and --on DATE"
    elif len(paths) == 1 and folder and not chosen:
        missing = "a file of votes after the folder"
    found = " ".join(map(str, paths))
    return [Problem(file="tally", key="", expected=missing, found=found)] if missing else []


def write_stated(folder: Path, case: "Case", chosen: str, on: date, *, replacing: bool) -> None:
    """Write the decision that a person states into scenario.toml; exits at an error."""
    from panelworth.publishing.desk.decision_file import FILE, write_decision  # noqa: PLC0415
    from panelworth.reading.vote_options import VoteOptions  # noqa: PLC0415

    options = VoteOptions.of(case.options)
    option_id = options.id_of(chosen)
    if not option_id:
        expected, hint = "the id, title or short name of an option", options.hint(chosen)
        exit_on_errors(
            [
                Problem(
                    file="tally", key="--write", expected=expected, found=f'"{chosen}"', hint=hint
                )
            ]
        )
    exit_on_errors(
        write_decision(
            folder,
            option_id,
            on,
            former=case.scenario.decision,
            replacing=replacing,
            read=lambda copy: read(copy)[1],
        )
    )
    click.echo(f"{folder / FILE}: [decision] chosen = {option_id}, on = {on}")


@contextmanager
def progress_line() -> Iterator[Callable[[str], None]]:
    """Yield a function that shows progress on one line of a terminal; silent without a terminal."""
    if not sys.stderr.isatty():  # without a terminal the library, which is slow, is not loaded
        return (yield lambda _: None)
    from panelworth.publishing.terminal.names import terminal  # noqa: PLC0415

    with terminal(stderr=True).status("reading") as status:
        yield lambda text: status.update(f"{text} …")


def show(parts: "Sequence[str | TextTable]") -> None:
    """Print lines and tables: to fit a terminal, else each line and each row of a table whole."""
    from panelworth.publishing.terminal.names import terminal  # noqa: PLC0415
    from panelworth.publishing.terminal.tables import WIDEST, TextTable, fitted  # noqa: PLC0415

    console, unbroken = terminal(), terminal(width=WIDEST)
    width = console.width if console.is_terminal else None
    for part in parts:
        if isinstance(part, TextTable):
            console.print(*filter(None, [part.title]), style="bold", soft_wrap=True)
            for table in fitted(part, width):
                unbroken.print(table)
                console.print()
        else:
            console.print(part, soft_wrap=width is None)


def show_problems(problems: list[Problem]) -> None:
    """Print problems to standard error, one a line."""
    for problem in problems:
        click.echo(render(problem), err=True)


def exit_on_errors(problems: list[Problem]) -> None:
    """Print problems. If one is an error, print the counts and exit with code 1."""
    show_problems(problems)
    exit_with_counts(problems)


def exit_with_counts(problems: list[Problem]) -> None:
    """If one of the problems is an error, print how many there are and exit with code 1."""
    if not any(problem.severity == "error" for problem in problems):
        return
    from panelworth.publishing.terminal.check_words import counts  # noqa: PLC0415

    # Who only reads or prints need not be told that no file has changed.
    writes = click.get_current_context().command.name in WRITING_COMMANDS
    click.echo(f"{counts(problems)}{'; nothing was written' if writes else ''}", err=True)
    sys.exit(1)


def decision_problems(case: "Case") -> list[Problem]:
    """Return the problem that a scenario has no decision yet; empty where it has one."""
    if case.scenario.decision is not None:
        return []
    file, hint = f"{case.folder}/scenario.toml", "write it once it is decided, or omit --progress"
    return [Problem(file=file, key="decision", expected="[decision]", found="none", hint=hint)]
