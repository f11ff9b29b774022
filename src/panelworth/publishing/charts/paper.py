"""Small pictures for paper: the reserve in a pane an option, and what an option comes to as a bar.

No words stand within them, so that none can fall on another; what they show is beside them.
"""

from dataclasses import dataclass

from panelworth.engine.results.trials import ReserveTrials
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, reserve_words
from panelworth.publishing.words.level_words import BAND, FUTURES

WIDE, HIGH = 160.0, 64.0  # of a pane
BAR = 160.0  # of a bar's room
ROOM = 2.0  # from the edge, so that no line is cut


@dataclass(frozen=True, kw_only=True)
class Pane:
    """The reserve over the years: outline of the band, middle line, height of the floor."""

    option: OptionTag
    band: str
    middle: str
    floor: float
    text: str


@dataclass(frozen=True, kw_only=True)
class BillBar:
    """What an option comes to: the likely sum's length, and from where to where most fall."""

    option: OptionTag
    likely: float
    low: float
    high: float
    text: str


def reserve_panes(view: View) -> list[Pane]:
    """Draw each option's band from p10 to p90 by year, all on one scale; none for an owner."""
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
        return round(HIGH - ROOM - (amount - least) / ((most - least) or 1) * (HIGH - 2 * ROOM), 1)

    def line(amounts: list[float]) -> list[str]:
        step = WIDE / max(len(amounts) - 1, 1)
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
    """Draw what each option comes to, all on one scale that begins at 0."""
    trials = {tag: view.leading(tag).trials for tag in view.tags.values()}
    most = max(max(one.outlay_quantiles[90], one.likely_outlay) for one in trials.values())
    share = (BAR - ROOM) / most if most > 0 else 0.0
    return [
        BillBar(
            option=tag,
            likely=round(one.likely_outlay * share, 1),
            low=round(one.outlay_quantiles[10] * share, 1),
            high=round(one.outlay_quantiles[90] * share, 1),
            text=_(
                "{option}: likely {likely}, in {count} of {all} futures {low} to {high}",
                count=BAND,
                all=FUTURES,
                option=tag.short,
                likely=grant_words.likely(view.formats, one),
                low=grant_words.as_sure_as(view.formats, one, one.outlay_quantiles[10]),
                high=grant_words.as_sure_as(view.formats, one, one.outlay_quantiles[90]),
            ),
        )
        for tag, one in trials.items()
    ]
