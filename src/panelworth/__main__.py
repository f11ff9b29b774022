"""The commands. Here and in command_line.py alone something is printed or an exit code is set."""

import gc
import json
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from panelworth import (
    break_even_points,
    evaluate,
    publish,
    read,
    scenario_folders,
    templates_folder,
    views,
    vote_checks,
)
from panelworth import handout as write_handout
from panelworth import tally as count
from panelworth.command_line import (
    decision_problems,
    exit_on_errors,
    exit_with_counts,
    is_to_begin,
    progress_line,
    read_all,
    read_all_or_exit,
    read_or_exit,
    repair_site,
    report_write_errors,
    show,
    show_build,
    show_problems,
    stated_problems,
    wait_for_scenario,
    write_stated,
)
from panelworth.plain_files import is_folder
from panelworth.problems import Problem

if TYPE_CHECKING:
    from datetime import datetime

    from panelworth.model.vote import VoteKind

FOLDER = click.Path(path_type=Path, readable=False)  # an unreadable folder is reported as a problem
KINDS = ("scenario", "option", "equipment", "fleet", "needs")
VOTES = ("approval", "ranking")
PAPERS = ("letter", "a4")

trials_option = click.option(
    "--trials",
    type=click.IntRange(100, 1_000_000),
    help="How many possible futures to draw; default: as the scenario says.",
)

site_option = click.option(
    "--site", type=FOLDER, default=Path("site"), help="The published site; default: site."
)

address_option = click.option(
    "--address",
    default="",
    metavar="URL",
    help="The web address of the site, for the handout's code and for links. It is not stored.",
)


# The help program joins lines of a paragraph unless it begins with this character.
BEGIN = """\b
Where to begin:
  panelworth new DIR           write a folder of placeholders
  panelworth serve DIR --open  fill it in, in a browser, and see its pages
  panelworth check DIR         list what is wrong or probably not meant
  panelworth build DIR         publish the site
"""


@click.group(epilog=BEGIN, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="panelworth")
def main() -> None:
    """Compare what can be done about an aging panel, and publish it as a site."""
    gc.set_threshold(100_000)  # with Python's default, collecting takes a twentieth of the time


@main.command()
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
def check(folders: tuple[Path, ...]) -> None:
    """List everything that is wrong in scenario FOLDERS."""
    from panelworth.publishing.terminal.check_words import in_order  # noqa: PLC0415

    all_problems: list[Problem] = []
    for folder in scenario_folders(folders):
        cases, problems = read_all([folder])
        show_problems(problems)
        for case in cases:
            click.echo(in_order(str(folder), case, problems))
        all_problems += problems
    exit_with_counts(all_problems)


@main.command()
@click.argument("folder", type=FOLDER)
@click.option("--json", "as_json", is_flag=True, help="Print figures.json.")
@trials_option
def figures(folder: Path, *, as_json: bool, trials: int | None) -> None:
    """Work out every figure of a scenario FOLDER."""
    case = read_or_exit(folder)
    with progress_line() as report:
        results = evaluate(
            case,
            trials=trials,
            progress=lambda done, total: report(f"{done:,} of {total:,} futures"),
            pages=False,
        )
    if as_json:
        from panelworth.publishing.site.json_files import figures_json  # noqa: PLC0415

        click.echo(figures_json(results), nl=False)
        return
    from panelworth.publishing.terminal.console import figures_tables  # noqa: PLC0415
    from panelworth.publishing.view import view_of  # noqa: PLC0415

    show(figures_tables(view_of(case, results)))


@main.command()
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option("--out", type=FOLDER, default=Path("site"), help="Where to publish; default: site.")
@click.option("--open", "show", is_flag=True, help="Open the site in a browser.")
@click.option("--fresh", is_flag=True, help="Ignore the last edition: pages list no changes.")
@address_option
@trials_option
def build(
    folders: tuple[Path, ...],
    out: Path,
    *,
    show: bool,
    fresh: bool,
    address: str,
    trials: int | None,
) -> None:
    """Publish scenario FOLDERS as one site.

    A build that fails leaves the site as it was.
    """
    repair_site(out)
    scenarios = scenario_folders(folders)
    names = [folder.resolve().name for folder in scenarios]
    if len(set(names)) < len(names):
        expected = "scenario folders of different names"
        exit_on_errors(
            [Problem(file="build", key="FOLDERS", expected=expected, found=", ".join(names))]
        )
    cases = read_all_or_exit(scenarios)
    with progress_line() as report, report_write_errors(out):
        problems = publish(cases, out, trials=trials, fresh=fresh, address=address, progress=report)
    exit_on_errors(problems)
    click.echo(f"{out / 'index.html'}: {len(cases)} published")
    if show:
        import webbrowser  # noqa: PLC0415

        webbrowser.open((out / "index.html").resolve().as_uri())


@main.command()
@click.argument("folder", metavar="DIR", type=FOLDER)
@click.option("--out", type=FOLDER, help="Default: handout.pdf, or ballot.pdf.")
@click.option("--paper", type=click.Choice(PAPERS), default="letter", help="Default: letter.")
@click.option("--ballot", is_flag=True, help="The members' ballot sheet instead.")
@address_option
@trials_option
def handout(
    folder: Path, out: Path | None, *, paper: str, ballot: bool, address: str, trials: int | None
) -> None:
    """Write the handout of the scenario in DIR as a PDF.

    This needs the Pango library.
    """
    out = out or Path("ballot.pdf" if ballot else "handout.pdf")
    case = read_or_exit(folder)
    with progress_line() as report, report_write_errors(out):
        problems = write_handout(
            case, out, paper=paper, ballot=ballot, address=address, trials=trials, progress=report
        )
    exit_on_errors(problems)
    click.echo(f"{out}: written")


@main.command()
@click.argument("folder", type=FOLDER)
@site_option
def changes(folder: Path, site: Path) -> None:
    """List what changed in FOLDER since the site was built.

    Each change is listed with its effect on the figures.
    """
    case = read_or_exit(folder)
    from panelworth.reading.edition import read_editions  # noqa: PLC0415

    editions, problems = read_editions(site, case.name)
    show_problems(problems)
    if editions.last is None:
        hint = "build the site first, or name it with --site"
        expected, found = f"an edition of {case.name}", "none"
        exit_on_errors(
            [Problem(file=str(site), key="--site", expected=expected, found=found, hint=hint)]
        )
    with progress_line() as report:
        [view] = views([case], site=site, progress=report)
    if view.updates.attribution is None:
        click.echo(f"{folder}: nothing moved since {site} was built")
        return
    from panelworth.publishing.terminal.change_tables import change_lines, change_tables  # noqa: PLC0415

    attribution = view.updates.attribution
    show([*change_lines(view, attribution), "", *change_tables(view, attribution)])


@main.command()
@click.argument("folder", metavar="DIR", type=FOLDER)
@trials_option
@address_option
@click.option("--progress", "since", is_flag=True, help="How the project goes since the vote.")
def brief(folder: Path, *, trials: int | None, address: str, since: bool) -> None:
    """Print a summary of DIR as plain text, for an e-mail."""
    from panelworth.publishing.site.sharing import address_problems  # noqa: PLC0415
    from panelworth.publishing.terminal import brief as words  # noqa: PLC0415

    case = read_or_exit(folder)
    exit_on_errors(address_problems(address))
    exit_on_errors(decision_problems(case) if since else [])
    with progress_line() as report:
        [view] = views([case], trials=trials, address=address, progress=report)
    text = words.progress_brief(view, address) if since else words.brief(view, address)
    click.echo(text, nl=False)


@main.command()
@click.argument("folders", type=FOLDER, nargs=-1, required=True)
@click.option("--port", type=click.IntRange(0, 65535), default=8000, help="0: any free one.")
@click.option("--open", "show", is_flag=True, help="Open the desk in a browser.")
@site_option
@trials_option
def serve(
    folders: tuple[Path, ...], port: int, site: Path, *, show: bool, trials: int | None
) -> None:
    """Show scenario FOLDERS in a browser while you write.

    A folder that is new or empty is begun in the browser, by a form.

    The preview runs on this machine until Ctrl-C; a saved file updates the pages. The desk, whose
    address is printed, changes the files. The pages count changes since the published site.
    """
    from watchfiles import watch  # noqa: PLC0415

    from panelworth.publishing.desk.desk import Desk  # noqa: PLC0415
    from panelworth.publishing.desk.server import desk_routes, entrance  # noqa: PLC0415
    from panelworth.publishing.site.preview import serving  # noqa: PLC0415
    from panelworth.publishing.site.preview_state import PreviewState  # noqa: PLC0415

    first_run = len(folders) == 1 and is_to_begin(folders[0])
    if not first_run and (missing := [folder for folder in folders if not folder.is_dir()]):
        read_all_or_exit(missing)
    state = PreviewState(templates_folder())
    desk = Desk(
        lambda: scenario_folders(folders),
        lambda folder: read(folder)[1],
        templates_folder(),
        lambda folder: case.ledger if (case := read(folder)[0]) else (),
    )
    try:
        with suppress(KeyboardInterrupt), serving(state, port, desk_routes(desk)) as address:
            if first_run:
                state.show_beginning()
            else:
                show_build(state, folders, site, trials)
                click.echo(f"Shown until Ctrl-C: {address}")
            what = f"Begin {folders[0]} here" if first_run else "Change the figures here"
            click.echo(f"{what}: {entrance(address, desk)}")
            if show:
                import webbrowser  # noqa: PLC0415

                webbrowser.open(entrance(address, desk))
            if first_run:
                wait_for_scenario(folders[0])
                show_build(state, folders, site, trials)
                click.echo(f"Shown until Ctrl-C: {address}")
            for _ in watch(*folders, debounce=400):  # milliseconds; the default of 1600 is slow
                show_build(state, folders, site, trials)
    except OSError as error:
        hint = "name another with --port, or --port 0 for any"
        expected, found = "a port that is free", f"{port}: {error.strerror}"
        exit_on_errors(
            [Problem(file="serve", key="--port", expected=expected, found=found, hint=hint)]
        )


@main.command()
@click.argument("folder", metavar="DIR", type=FOLDER)
@click.option("--owner", is_flag=True, help="For a single owner: without a club.")
def new(folder: Path, *, owner: bool) -> None:
    """Write a first scenario into DIR, for your own numbers.

    Each key has its meaning above it.
    """
    from panelworth.publishing.site.folder import write_new  # noqa: PLC0415
    from panelworth.publishing.starter_folder import starting_files  # noqa: PLC0415

    with report_write_errors(folder):
        problems = write_new(starting_files(owner=owner), folder)
    exit_on_errors(problems)
    click.echo(f"{folder}: written; replace its numbers, then: panelworth serve {folder} --open")


@main.command()
@click.argument("folder", type=FOLDER)
@click.argument("option")
@click.argument("path", metavar="INPUT")
def breakeven(folder: Path, option: str, path: str) -> None:
    """Find where an OPTION is as good as the baseline.

    Prints every value of one INPUT at which that is so.
    INPUT is a path such as aircraft.fuel_price, jobs[NAME].now, or, for the option's own,
    items[NAME].cost, after.repairs.growth or buy.price.
    """
    case = read_or_exit(folder)
    from panelworth.publishing.terminal.console import break_even_lines  # noqa: PLC0415

    points, problems = break_even_points(case, option, path)
    if points is None:
        exit_on_errors(problems)
    else:
        show(break_even_lines(case, option, points))


@main.command()
@click.argument("paths", metavar="[DIR] FILES", type=FOLDER, nargs=-1, required=True)
@click.option("--kind", type=click.Choice(VOTES), help="Default: as the marks show.")
@click.option("--write", "chosen", metavar="OPTION", help="Write what the members decided.")
@click.option(
    "--on",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="DATE",
    help="With --write: the day of the vote, such as 2026-12-05.",
)
@click.option("--replace", "replacing", is_flag=True, help="With --write: replace a decision.")
def tally(
    paths: tuple[Path, ...],
    *,
    kind: "VoteKind | None",
    chosen: str | None,
    on: "datetime | None",
    replacing: bool,
) -> None:
    """Count a club's votes in CSV FILES.

    A column is an option, a row a ballot.
    Give one file of approvals (x) or of ranks (1, 2, 3), or one of each. Equal ranks are allowed.
    Each count says how it treats ties.

    With a scenario folder DIR before them, the columns are its options, by id, title or short
    name, and the report has turnout, quorum and majority. --write puts an option and the day --on
    into its [decision]: you state both, no count does.
    """
    folder, files = (paths[0], paths[1:]) if is_folder(paths[0]) else (None, paths)
    case = read_or_exit(folder) if folder else None
    exit_on_errors(stated_problems(paths, folder, chosen, on))
    if files:
        counted, problems = count(files, kind, case)
        if not counted:
            exit_on_errors(problems)
        show_problems(problems)
        from panelworth.publishing.terminal.tally_words import report  # noqa: PLC0415

        show(report(counted, vote_checks(case, counted) if case else None))
    if folder and case and chosen and on:
        write_stated(folder, case, chosen, on.date(), replacing=replacing)


@main.command()
@click.argument("file", type=click.Choice(KINDS))
def schema(file: str) -> None:
    """Print the JSON Schema of a kind of FILE.

    Some editors use it to check a file during typing.
    """
    from panelworth.reading.records import schema_of  # noqa: PLC0415

    click.echo(json.dumps(schema_of(file), indent=2, ensure_ascii=False))


if __name__ == "__main__":
    main()
