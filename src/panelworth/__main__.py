"""The command line: the only place that prints or sets an exit code."""

import json
import sys
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from panelworth import evaluate, publish, read
from panelworth.problems import Problem, did_you_mean, render

if TYPE_CHECKING:
    from panelworth.engine.results import EvenPoints
    from panelworth.model.case import Case

FOLDER = click.Path(path_type=Path)
KINDS = ("scenario", "option", "equipment", "fleet", "needs")


trials_option = click.option(
    "--trials",
    type=click.IntRange(100, 1_000_000),
    help="How many possible futures to draw; default: as the scenario says.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="panelworth")
def main() -> None:
    """Compare what can be done about an aging panel, and publish it as a site."""


@main.command()
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
def check(folders: tuple[Path, ...]) -> None:
    """Read scenario FOLDERS and list everything that is wrong."""
    for folder in scenario_folders(folders):
        case = read_or_exit(folder)
        count = len(case.options)
        click.echo(f"{folder}: in order, {count} option{'' if count == 1 else 's'}")


@main.command()
@click.argument("folder", type=FOLDER)
@click.option("--json", "as_json", is_flag=True, help="Print figures.json.")
@trials_option
def figures(folder: Path, *, as_json: bool, trials: int | None) -> None:
    """Work out every figure of a scenario FOLDER."""
    case = read_or_exit(folder)
    with progress_line() as say:
        worked_out = evaluate(case, trials=trials, progress=drawing(say))
    if as_json:
        from panelworth.publishing.documents import figures_json  # noqa: PLC0415

        click.echo(figures_json(worked_out), nl=False)
        return
    from rich.console import Console  # noqa: PLC0415

    from panelworth.publishing.console import figures_tables  # noqa: PLC0415
    from panelworth.publishing.view import view_of  # noqa: PLC0415

    for table in figures_tables(view_of(case, worked_out)):
        Console().print(table)


@main.command()
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option("--out", type=FOLDER, default=Path("site"), help="Where to publish; default: site.")
@click.option("--open", "show", is_flag=True, help="Open the site in a browser.")
@trials_option
def build(folders: tuple[Path, ...], out: Path, *, show: bool, trials: int | None) -> None:
    """Publish scenario FOLDERS as one site; a failed build leaves it as it was."""
    found = scenario_folders(folders)
    names = [folder.resolve().name for folder in found]
    if len(set(names)) < len(names):
        expected = "scenario folders of different names"
        fail([Problem(file="build", key="FOLDERS", expected=expected, found=", ".join(names))])
    cases = read_all_or_exit(found)
    with progress_line() as say:
        problems = publish(cases, out, trials=trials, progress=say)
    if problems:
        fail(problems)
    click.echo(f"{out / 'index.html'}: {len(cases)} published")
    if show:
        webbrowser.open((out / "index.html").resolve().as_uri())


@main.command()
@click.argument("folder", type=FOLDER)
@click.argument("option")
@click.argument("path", metavar="INPUT")
def breakeven(folder: Path, option: str, path: str) -> None:
    """Find every value of an INPUT at which an OPTION comes out the same as the baseline.

    INPUT is a path such as aircraft.fuel_price, jobs[NAME].now, or, for the option's own,
    items[NAME].cost, after.repairs.growth or buy.price.
    """
    case = read_or_exit(folder)
    from panelworth.publishing.console import break_even_lines  # noqa: PLC0415

    for line in break_even_lines(case, option, named_input(case, option, path)):
        click.echo(line)


@main.command()
@click.argument("file", type=click.Choice(KINDS))
def schema(file: str) -> None:
    """Print the JSON Schema of a FILE's kind, for editors that check as one types."""
    from panelworth.reading.records import schema_of  # noqa: PLC0415

    click.echo(json.dumps(schema_of(file), indent=2, ensure_ascii=False))


def scenario_folders(given: tuple[Path, ...]) -> list[Path]:
    """Return the scenario folders among those given and directly within them."""
    found = []
    for folder in given:
        inner = sorted(path.parent for path in folder.glob("*/scenario.toml"))
        found += inner if inner and not (folder / "scenario.toml").exists() else [folder]
    return found


def read_or_exit(folder: Path) -> "Case":
    """Read a folder; list what is wrong, and stop where there is an error."""
    return read_all_or_exit([folder])[0]


def read_all_or_exit(folders: list[Path]) -> list["Case"]:
    """Read folders; list what is wrong in any of them, and stop where there is an error."""
    cases, problems = [], []
    for folder in folders:
        case, found = read(folder)
        problems += found
        if case is not None:
            cases.append(case)
    if len(cases) < len(folders):
        fail(problems)
    show_problems(problems)
    return cases


def named_input(case: "Case", option: str, path: str) -> "EvenPoints":
    """Return an input's break-evens; stop with the nearest spellings where a name is unknown."""
    from panelworth.engine.anybreakeven import break_even_of  # noqa: PLC0415
    from panelworth.model.case import inputs_of_case, option_prefix  # noqa: PLC0415

    others = [each for each in case.options if each != case.scenario.baseline]
    if option not in others:
        fail([unknown("OPTION", "the id of an option other than the baseline", option, others)])
    known = [each.path for each in inputs_of_case(case)]
    own = f"{option_prefix(option)}{path}"
    if path not in known and own not in known:
        shortened = [each.removeprefix(option_prefix(option)) for each in known]
        fail([unknown("INPUT", "the path of an input", path, shortened)])
    return break_even_of(case, option, path if path in known else own)


def unknown(key: str, expected: str, found: str, known: list[str]) -> Problem:
    """Make the problem of a name that is not known, with the nearest spelling."""
    hint = did_you_mean(found, known, f"such as {', '.join(known[:4])}")
    return Problem(file="breakeven", key=key, expected=expected, found=f'"{found}"', hint=hint)


def drawing(say: Callable[[str], None]) -> Callable[[int, int], None]:
    """Word the progress of the draws."""
    return lambda done, total: say(f"{done:,} of {total:,} futures")


@contextmanager
def progress_line() -> Iterator[Callable[[str], None]]:
    """Show what is being done, on one line of a terminal; say nothing where there is none."""
    from rich.console import Console  # noqa: PLC0415

    console = Console(stderr=True)
    with console.status("reading") as status:
        yield lambda text: status.update(f"{text} …")


def show_problems(problems: list[Problem]) -> None:
    """Print problems to standard error, one a line."""
    for problem in problems:
        click.echo(render(problem), err=True)


def fail(problems: list[Problem]) -> None:
    """Print problems and what that means, and leave with exit code 1."""
    show_problems(problems)
    errors = sum(problem.severity == "error" for problem in problems)
    click.echo(f"{errors} error{'' if errors == 1 else 's'}; nothing was written", err=True)
    sys.exit(1)


if __name__ == "__main__":
    main()
