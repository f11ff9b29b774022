"""panelworth: what to do about an aging panel, worked out and published.

The three verbs, for use from Python; nothing inside the package imports from here. Each loads
what it needs when it is called, so that a quick command stays quick.
"""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

Worlds = Callable[[int, int], None]

if TYPE_CHECKING:
    from panelworth.engine.results import Figures
    from panelworth.model.case import Case
    from panelworth.problems import Problem


def read(folder: str | Path) -> "tuple[Case | None, list[Problem]]":
    """Read a scenario folder: the case, or None where anything is wrong, and all problems.

    The case's items stand at the prices of its ledger.
    """
    from panelworth.engine.ledger import settled  # noqa: PLC0415
    from panelworth.reading.folder import read_case  # noqa: PLC0415

    case, problems = read_case(Path(folder))
    return None if case is None else settled(case), problems


def evaluate(
    case: "Case", *, trials: int | None = None, progress: Worlds | None = None
) -> "Figures":
    """Work out every figure of a case, drawing as many worlds as its file says, or `trials`.

    `progress` is told how many worlds are done, of how many.
    """
    from panelworth.engine.evaluate import evaluate as evaluated  # noqa: PLC0415

    return evaluated(case, trials=trials, progress=progress)


def publish(
    cases: "list[Case]",
    out: str | Path,
    *,
    trials: int | None = None,
    progress: Callable[[str], None] = lambda _: None,
) -> "list[Problem]":
    """Publish cases as one site; what is returned kept it from being published."""
    from panelworth.engine.insight import insight_of  # noqa: PLC0415
    from panelworth.engine.ledger import settled  # noqa: PLC0415
    from panelworth.publishing.site import publish_views  # noqa: PLC0415
    from panelworth.publishing.view import view_of  # noqa: PLC0415

    views = []
    for case in map(settled, cases):
        figures = evaluate(case, trials=trials, progress=_drawing(case.name, progress))
        progress(f"looking into {case.name}")
        views.append(view_of(case, figures, insight_of(case, figures)))
    return publish_views(views, Path(out), templates=templates_folder(), progress=progress)


def _drawing(name: str, progress: Callable[[str], None]) -> Worlds:
    """Word the progress of the draws."""
    return lambda done, total: progress(f"working out {name}, {done:,} of {total:,} futures")


def templates_folder() -> Path:
    """Return the templates: within the installed package, or beside src/ in a checkout."""
    packed = Path(__file__).parent / "_templates"
    return packed if packed.is_dir() else Path(__file__).parents[2] / "templates"


__all__ = ["evaluate", "publish", "read", "templates_folder"]
