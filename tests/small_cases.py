"""Small scenario folders, written as a user would and read back: what the engine tests draw from.

Every case is two years from 2026-01-01 with no rates but those a test sets, so that most figures
follow by head.
"""

from pathlib import Path

from panelworth.engine.ledger.settlement import settled
from panelworth.engine.trials import Trials
from panelworth.engine.uncertainty.draws import draw_source_of, draws_of
from panelworth.model.case import Case
from panelworth.reading.folder import read_case

KEEP = 'title = "Keep"\nkind = "keep"\n'
SCENARIO = """
title = "A small question"
as_of = 2026-01-01
currency = "USD"
baseline = "keep"
years = 2
{rates}
[aircraft]
label = "A"
hours_per_year = {hours}
{aircraft}
{rest}
[uncertainty]
trials = {trials}
seed = {seed}
correlation = {correlation}
"""
CLUB = """
[club]
members = 10
dues_per_month = 0
reserve = 20000
reserve_floor = 10000
"""


def case_in(  # noqa: PLR0913 (each names a part of the file)
    folder: Path,
    options: dict[str, str],
    *,
    rates: str = "",
    hours: str = "100",
    aircraft: str = "",
    rest: str = "",
    trials: int = 1000,
    seed: int = 7,
    correlation: float = 0.0,
) -> Case:
    """Write a folder of these options, keep beside them as the baseline, and read it."""
    text = SCENARIO.format(
        rates=rates,
        hours=hours,
        aircraft=aircraft,
        rest=rest,
        trials=trials,
        seed=seed,
        correlation=correlation,
    )
    (folder / "options").mkdir(parents=True, exist_ok=True)
    (folder / "scenario.toml").write_text(text, encoding="utf-8")
    for option_id, option in {"keep": KEEP, **options}.items():
        (folder / "options" / f"{option_id}.toml").write_text(option, encoding="utf-8")
    written, problems = read_case(folder)
    assert written is not None, problems
    return settled(written)


def refit(*items: str, top: str = "", rest: str = "") -> str:
    """Write a refit without a schedule whose items cost what these say, paid on the first day."""
    tables = [f'[[items]]\nname = "Item {n}"\n{item}\n' for n, item in enumerate(items)]
    return "\n".join(['title = "Refit"', 'kind = "retrofit"', top, *tables, rest])


def drawn_trials(case: Case, first: int, count: int) -> Trials:
    """Return trials first..first+count-1: ranges drawn, shape (count,), certain inputs (1,)."""
    return draws_of(draw_source_of(case), first, count).trials
