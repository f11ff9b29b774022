"""Small pictures for paper: a pane with the reserve of each option, and a bar with its cost.

They contain no words, so that words cannot overlap; the text beside them describes them.
"""

from dataclasses import dataclass

from panelworth.engine.results.trials import ReserveTrials
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, reserve_words
from panelworth.publishing.words.level_words import BAND, FUTURES

WIDTH, HEIGHT = 160.0, 64.0  # of a pane
BAR = 160.0  # the length of the longest bar, with room
ROOM = 2.0  # at the edge, so that no line is cut


@dataclass(frozen=True, kw_only=True)
class Pane:
    """The reserve over the years: outline of the band, middle line, height of the floor's line."""

    option: OptionTag
    band: str
    middle: str
    floor: float
    text: str


@dataclass(frozen=True, kw_only=True)
class BillBar:
    """What an option costs: the length of the likely sum, and the ends of the likely range."""

    option: OptionTag
    likely: float
    low: float
    high: float
    text: str


def reserve_panes(view: View) -> list[Pane]:
    """Return each option's band from p10 to p90 by year, on one scale; empty for an owner."""
    reserves = {
        tag: trials
        for tag in view.tags.values()
        if (trials := view.leading(tag).trials.reserve) is not None
    }
    if view.club is None or not reserves:
        return []
    floor = view.club.reserve_floor
    ends = [floor, *(end for trials in reserves.values() for end in _ends(trials))]
    return [_pane(view, tag, (min(ends), max(ends), floor)) for tag in reserves]


def _ends(trials: ReserveTrials) -> list[float]:
    return [end for band in trials.reserve_by_year for end in (band.p10, band.p90)]


def _pane(view: View, tag: OptionTag, scale: tuple[float, float, float]) -> Pane:
    least, most, floor = scale
    trials = view.leading(tag).trials.reserve
    bands = trials.reserve_by_year if trials else ()

    def y(amount: float) -> float:
        share = (amount - least) / ((most - least) or 1)
        return round(HEIGHT - ROOM - share * (HEIGHT - 2 * ROOM), 1)

    def line(amounts: list[float]) -> list[str]:
        step = WIDTH / max(len(amounts) - 1, 1)
        return [f"{round(year * step, 1):g} {y(amount):g}" for year, amount in enumerate(amounts)]

    lower, upper = line([band.p10 for band in bands]), line([band.p90 for band in bands])
    return Pane(
        option=tag,
        band=f"M{'L'.join([*lower, *reversed(upper)])}z",
        middle=f"M{'L'.join(line([band.p50 for band in bands]))}",
        floor=y(floor),
        text=reserve_words.pane_text(view, tag),
    )


def bill_bars(view: View) -> list[BillBar]:
    """Return a bar for the cost of each option, all on one scale that begins at 0."""
    trials = {tag: view.leading(tag).trials for tag in view.tags.values()}
    most = max(max(run.outlay_quantiles[90], run.likely_outlay) for run in trials.values())
    share = (BAR - ROOM) / most if most > 0 else 0.0
    return [
        BillBar(
            option=tag,
            likely=round(run.likely_outlay * share, 1),
            low=round(run.outlay_quantiles[10] * share, 1),
            high=round(run.outlay_quantiles[90] * share, 1),
            text=_(
                "{option}: likely {likely}, in {count} of {all} futures {low} to {high}",
                count=BAND,
                all=FUTURES,
                option=tag.short,
                likely=grant_words.likely(view.formats, run),
                low=grant_words.as_sure_as(view.formats, run, run.outlay_quantiles[10]),
                high=grant_words.as_sure_as(view.formats, run, run.outlay_quantiles[90]),
            ),
        )
        for tag, run in trials.items()
    ]
