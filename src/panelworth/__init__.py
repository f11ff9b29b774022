"""panelworth: what to do about an aging panel, worked out and published.

The public functions, for use from Python. Nothing inside the package imports from here. Each
function imports what it needs when it is called, so that a quick command stays quick.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from panelworth.problems import Problem, in_order
from panelworth.publishing.templates import templates_folder

Progress = Callable[[int, int], None]

if TYPE_CHECKING:
    from panelworth.engine.results.figures import Figures
    from panelworth.engine.results.insight import BreakEvenPoints
    from panelworth.engine.results.vote import Approvals, Ranking, VoteCheck
    from panelworth.model.case import Case, WrittenCase
    from panelworth.model.vote import VoteKind
    from panelworth.publishing.frames import Frames
    from panelworth.publishing.view import Updates, View


def read(folder: str | Path) -> "tuple[Case | None, list[Problem]]":
    """Read a scenario folder. Returns the case, or None if it has an error, and all problems.

    The items of the case have the current prices of its ledger.
    """
    from panelworth.engine.ledger.settlement import settled  # noqa: PLC0415
    from panelworth.plausible.folder import warnings_of  # noqa: PLC0415
    from panelworth.reading.folder import read_case  # noqa: PLC0415

    written, problems = read_case(Path(folder))
    if written is not None:
        notes = [*_language_problems(written, Path(folder)), *_note_problems(written)]
        problems = in_order([*problems, *notes])
    if written is None or any(problem.severity == "error" for problem in problems):
        return None, problems
    case = settled(written)
    # Only now: they compare inputs with current prices, which a folder with errors does not have.
    warnings = [
        replace(warning, file=f"{Path(folder) / warning.file}") for warning in warnings_of(case)
    ]
    return case, in_order([*problems, *warnings])


def scenario_folders(folders: Sequence[Path]) -> list[Path]:
    """Return the scenario folders directly within each folder, or the folder itself if none is."""
    from panelworth.reading.folder import inner_scenarios  # noqa: PLC0415

    return [scenario for folder in folders for scenario in inner_scenarios(folder) or [folder]]


def _language_problems(case: "WrittenCase", folder: Path) -> "list[Problem]":
    """Return problems of a locale whose language has no catalogue of texts, or a faulty one."""
    from panelworth.publishing.language import ENGLISH  # noqa: PLC0415

    locale, source = case.scenario.locale, case.source_lines.get("locale")
    if source is None or locale.partition("_")[0] == ENGLISH:
        return []
    from panelworth.publishing.catalogues import FOLDER, catalogue_of, catalogue_problems  # noqa: PLC0415

    if file := catalogue_of(locale, templates_folder()):
        return catalogue_problems(file, locale)
    return [
        Problem(
            file=f"{folder}/{source.file}",
            line=source.line,
            key="locale",
            expected=f"English, or a language of templates/{FOLDER}",
            found=f'"{locale}"',
            hint="en_DE, for example, is English with Germany's numbers, money and days",
        )
    ]


def _note_problems(case: "WrittenCase") -> "list[Problem]":
    """Return problems of notes that are too large, and of their dead links."""
    if not case.notes:
        return []
    from panelworth.publishing.site.note_links import note_problems  # noqa: PLC0415

    return note_problems(case)


def evaluate(
    case: "Case",
    *,
    trials: int | None = None,
    progress: Progress | None = None,
    pages: bool = True,
) -> "Figures":
    """Work out every figure of a case. `trials` replaces the number that its file states.

    `progress` is called with the number of trials done and of all trials. With pages=False only
    the figures of figures.json are worked out, which takes less time.
    """
    from panelworth.engine.evaluate import evaluate as evaluated  # noqa: PLC0415

    return evaluated(case, trials=trials, progress=progress, pages=pages)


def frames(case: "Case", figures: "Figures") -> "Frames":
    """Return a case and its figures as pandas frames: flows, figures, ledger, draws.

    >>> case, _ = read("scenarios/brackenholt-owner")
    >>> outcomes = frames(case, evaluate(case, trials=200)).outcomes
    >>> outcomes.columns.tolist(), outcomes.groupby("option").size().to_dict()
    (['option', 'number', 'net_benefit'], {'newer': 20, 'refit': 20})
    """
    from panelworth.publishing.frames import frames_of  # noqa: PLC0415

    return frames_of(case, figures)


def break_even_points(
    case: "Case", option: str, path: str
) -> "tuple[BreakEvenPoints | None, list[Problem]]":
    """Find every value of an input at which an option's net benefit is 0 against the baseline.

    `path` is that of an input, with or without the option's prefix. An unknown name gives a
    problem with the nearest spelling.
    """
    from panelworth.engine.returns.breakeven_search import break_even_of  # noqa: PLC0415
    from panelworth.model.case import option_prefix  # noqa: PLC0415
    from panelworth.problems import unknown_name  # noqa: PLC0415

    others = [option_id for option_id in case.options if option_id != case.scenario.baseline]
    if option not in others:
        expected = "the id of an option other than the baseline"
        return None, [unknown_name("breakeven", "OPTION", expected, option, others)]
    prefix = option_prefix(option)
    known = [input_.path for input_ in case.inputs]
    if path not in known and f"{prefix}{path}" not in known:
        shortened = [known_path.removeprefix(prefix) for known_path in known]
        return None, [unknown_name("breakeven", "INPUT", "the path of an input", path, shortened)]
    return break_even_of(case, option, path if path in known else f"{prefix}{path}"), []


def views(
    cases: "list[Case]",
    *,
    site: str | Path | None = None,
    trials: int | None = None,
    address: str = "",
    progress: Callable[[str], None] = lambda _: None,
) -> "list[View]":
    """Work out cases for their pages, and compare each with the editions that a site keeps.

    `address` is the web address of the site, for the code on handouts.
    """
    from panelworth.engine.insight import insight_of  # noqa: PLC0415
    from panelworth.publishing.catalogues import language_of  # noqa: PLC0415
    from panelworth.publishing.view import view_of  # noqa: PLC0415

    case_views = []
    for case in cases:
        figures = evaluate(case, trials=trials, progress=_trials_progress(case.name, progress))
        progress(f"looking into {case.name}")
        updates = _updates(case, figures, site, progress)
        view = view_of(case, figures, insight_of(case, figures), updates)
        language = language_of(case.scenario.locale, templates_folder())
        # A site of several cases has a folder for each of them.
        home = f"{address.rstrip('/')}/{case.name}/" if address and len(cases) > 1 else address
        case_views.append(replace(view, address=address, home=home, language=language))
    return case_views


def publish(
    cases: "list[Case]",
    out: str | Path,
    *,
    trials: int | None = None,
    fresh: bool = False,
    address: str = "",
    progress: Callable[[str], None] = lambda _: None,
) -> "list[Problem]":
    """Publish cases as one site. Returns the problems; if one is an error, nothing has changed.

    Pages say what has changed since the last edition that the site keeps; with `fresh` they do
    not. A damaged edition is a warning. `address` is the web address of the site.
    """
    from panelworth.publishing.site.files import publish_views  # noqa: PLC0415
    from panelworth.publishing.site.folder import site_lock  # noqa: PLC0415
    from panelworth.publishing.site.sharing import address_problems  # noqa: PLC0415

    if problems := address_problems(address):
        return problems
    site, templates = Path(out), templates_folder()
    with site_lock(site, progress) as problem:
        if problem is not None:
            return [problem]
        warnings = [] if fresh else damaged_editions(cases, site)
        old_site = None if fresh else out
        new_views = views(cases, site=old_site, trials=trials, address=address, progress=progress)
        # A figure that a second calculation does not confirm must not be published.
        if wrong := [problem for view in new_views for problem in _cross_check_problems(view)]:
            return [*warnings, *wrong]
        problems = publish_views(new_views, site, templates=templates, progress=progress)
        return [*warnings, *problems]


def _cross_check_problems(view: "View") -> "list[Problem]":
    """Return the headline figures that a library does not confirm: mistakes of this program."""
    from panelworth.engine.returns.cross_check import disagreements  # noqa: PLC0415

    discount = view.case.scenario.rates.discount.likely
    return [
        Problem(
            file=view.case.folder or view.case.name,
            key=f"{difference.option}.{difference.figure}",
            expected=f"{difference.library:.2f}, as numpy-financial has it",
            found=f"{difference.engine:.2f}",
            hint="this is a mistake of panelworth, not of your files: please report it",
        )
        for difference in disagreements(view.figures, discount=discount)
    ]


def damaged_editions(cases: "list[Case]", site: str | Path) -> "list[Problem]":
    """Warn of each edition of these cases that a site keeps and that cannot be read."""
    from panelworth.reading.edition import read_editions  # noqa: PLC0415

    return in_order(
        problem for case in cases for problem in read_editions(Path(site), case.name)[1]
    )


def handout(  # noqa: PLR0913 (all but two have a default)
    case: "Case",
    out: str | Path,
    *,
    paper: str = "letter",
    ballot: bool = False,
    trials: int | None = None,
    address: str = "",
    progress: Callable[[str], None] = lambda _: None,
) -> "list[Problem]":
    """Write a case's handout or ballot sheet as a PDF. Returns the problems; empty on success."""
    from panelworth.publishing.language import using_language  # noqa: PLC0415
    from panelworth.publishing.paper.pdf import file_name_problems, paper_pdf  # noqa: PLC0415
    from panelworth.publishing.site.files import assets  # noqa: PLC0415
    from panelworth.publishing.site.folder import write_file  # noqa: PLC0415
    from panelworth.publishing.site.layout import Layout  # noqa: PLC0415
    from panelworth.publishing.site.sharing import address_problems  # noqa: PLC0415

    if problems := [*file_name_problems(Path(out)), *address_problems(address)]:
        return problems
    [view] = views([case], trials=trials, address=address, progress=progress)
    progress("laying out the handout")
    templates = templates_folder()
    styles = {name: content for name, content in assets(templates).items() if name.endswith(".css")}
    with using_language(view.language):
        pdf = paper_pdf(view, Layout.of(templates), styles, paper, ballot=ballot)
    if not isinstance(pdf, bytes):
        return [pdf]
    write_file(pdf, Path(out))
    return []


def tally(
    files: Sequence[Path], kind: "VoteKind | None" = None, case: "Case | None" = None
) -> "tuple[list[Approvals | Ranking], list[Problem]]":
    """Count members' votes on options. Counts nothing if a problem is an error.

    With a `case` each column must be one of its options, and more ballots than members entitled to
    vote are a warning.
    """
    from panelworth.engine.vote.rules import entitled_in  # noqa: PLC0415
    from panelworth.engine.vote.tally import counted  # noqa: PLC0415
    from panelworth.reading.vote import read_votes  # noqa: PLC0415
    from panelworth.reading.vote_options import VoteOptions  # noqa: PLC0415

    if case is None:
        votes, problems = read_votes(files, kind)
    else:
        options = VoteOptions.of(case.options, entitled_in(case.scenario))
        votes, problems = read_votes(files, kind, options)
    failed = any(problem.severity == "error" for problem in problems)
    return [] if failed else [counted(vote) for vote in votes], problems


def vote_checks(case: "Case", counted: "Sequence[Approvals | Ranking]") -> "list[VoteCheck]":
    """Compare counted votes with the rules of a case: turnout, quorum, majority."""
    from panelworth.engine.vote.rules import checked  # noqa: PLC0415

    return [checked(count, case.scenario) for count in counted]


def _updates(
    case: "Case", figures: "Figures", site: str | Path | None, progress: Callable[[str], None]
) -> "Updates":
    """Return what falls due, and what has changed since the last edition that a site keeps."""
    from panelworth.engine.deadlines import deadlines  # noqa: PLC0415
    from panelworth.engine.editions.change_attribution import attribute_changes, compared_with  # noqa: PLC0415
    from panelworth.publishing.view import Updates  # noqa: PLC0415
    from panelworth.reading.edition import read_editions  # noqa: PLC0415

    due = deadlines(case, figures)
    last_edition = None
    if site is not None:
        editions, _ = read_editions(Path(site), case.name)
        last_edition = compared_with(editions, case, figures)
    if last_edition is None:
        return Updates(deadlines=due)

    def report(done: int, total: int) -> None:
        progress(f"working out what changed in {case.name}, {done} of {total}")

    attribution = attribute_changes(last_edition, case, figures, progress=report)
    return Updates(deadlines=due, attribution=attribution, before=last_edition.content)


def _trials_progress(name: str, progress: Callable[[str], None]) -> Progress:
    """Return a function that reports how many trials are drawn, as a line of text."""
    return lambda done, total: progress(f"working out {name}, {done:,} of {total:,} futures")


__all__ = [
    "damaged_editions",
    "evaluate",
    "even_points",
    "frames",
    "handout",
    "publish",
    "read",
    "scenario_folders",
    "tally",
    "templates_folder",
    "views",
]
