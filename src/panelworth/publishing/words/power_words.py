"""Sentences on electrical load and battery minutes; they do not replace a load analysis."""

from collections.abc import Mapping, Sequence

from panelworth.engine.results.airplane import (
    CircuitCheck,
    ElectricalFigures,
    Span,
)
from panelworth.model.equipment import Battery
from panelworth.publishing.formats import (
    NONE,
    about,
    amps,
    ceiled,
    floored,
    joined,
    number,
    percent,
    plural,
    tenths,
)
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag
from panelworth.publishing.words.groups import names

RULE = 0.8  # share of the alternator, AC 43.13-1B par 11-35a
WHOLE_MINUTES = 10  # from here up minutes have no decimals
# Essential loads for 30 minutes, for airplanes that may fly to 25,000 ft: 14 CFR 23.1353(h) as
# amended in 1996, until 2017; the number from memory, and from a maker's worked example.
ASKED_MINUTES = 30
RULE_OF_THUMB = N_(
    "The 80% rule of thumb (AC 43.13-1B 11-35a) does not replace an electrical load analysis."
)
VERDICTS = {
    "within": N_("within the 80% rule of thumb"),
    "over, but monitored": N_("over the 80% rule of thumb, with its load monitored"),
    "over": N_("over the 80% rule of thumb"),
    "over the rating": N_("more than the alternator gives"),
}


def headline(tags: Sequence[OptionTag], power: Mapping[str, ElectricalFigures]) -> str:
    """Say which share of the alternator the options use at most, against the rule of thumb."""
    known = {tag: power[tag.id].load_share for tag in tags}
    shares = {tag: share for tag, share in known.items() if share is not None}
    if not shares:
        return _("No alternator is described, so no share of it can be told.")
    over = [tag for tag in shares if power[tag.id].verdict not in (None, "within")]
    if over:
        return _(
            "{options}: more than the 80% of the alternator that the rule of thumb allows.",
            options=names(over),
        )
    return _(
        "Every option stays within the rule of thumb, 80% of the alternator; the most is {share}.",
        share=load_share(max(shares.values())),
    )


def verdict(power: ElectricalFigures) -> str:
    """Compare the load with the rule of thumb."""
    return _(VERDICTS[power.verdict]) if power.verdict else NONE


def battery(tags: Sequence[OptionTag], power: Mapping[str, ElectricalFigures]) -> str:
    """Say for how long the battery supplies the essential load at worst, and what to do."""
    spans = {tag: power[tag.id].shortest_endurance for tag in tags}
    known = {tag: span for tag, span in spans.items() if span is not None}
    if not known:
        return _("How long the battery lasts cannot be told from the files.")
    least = min(known, key=lambda tag: known[tag].low)
    return _(
        "If the alternator fails, only the battery is left: by these figures {least} with "
        "{option}, if healthy; less if old or cold. Land while it lasts.",
        least=at_worst(known[least]),
        option=least.short,
    )


def at_worst(span: Span) -> str:
    """Write minutes, the low end first: "98 minutes at worst (likely 117)"."""
    worst = _("{minutes} at worst", minutes=_minutes(span.low))
    if _count(span.low) == _count(span.likely):
        return worst
    return _("{worst} (likely {likely})", worst=worst, likely=about(_count(span.likely)))


def at_least(span: Span | None) -> dict[str, str]:
    """Return the low end of minutes, and the likely minutes as a note."""
    if span is None:
        return {"value": NONE}
    words = {"value": about(_count(span.low))}
    if _count(span.low) != _count(span.likely):
        words["note"] = _("likely {minutes}", minutes=about(_count(span.likely)))
    return words


def minutes(span: Span | None) -> str:
    """Write minutes from their low end: "98 to 133 minutes, likely 117"."""
    if span is None:
        return NONE
    low, high = _count(span.low), _count(span.high)
    if low == high:
        return _minutes(span.low)
    return _(
        "{low} to {high}, likely {likely}",
        low=about(low),
        high=_minutes(span.high),
        likely=about(_count(span.likely)),
    )


def _minutes(value: float) -> str:
    return plural(_count(value), "minute", "minutes")


def _count(value: float) -> float:
    """Round minutes down, because they are a margin."""
    return floored(value, 0 if value >= WHOLE_MINUTES else 1)


def basis(unit: Battery | None, span: Span | None) -> str:
    """State the assumptions of battery minutes, and if they are below a former rule."""
    if unit is None or span is None:
        return ""
    words = {"share": percent(unit.usable_share, 0), "capacity": number(unit.ampere_hours)}
    delay = plural(unit.recognition_minutes, "minute", "minutes")
    text = _("{share} of {capacity} Ah, the failure seen after {minutes}", minutes=delay, **words)
    if not unit.recognition_minutes:
        text = _("{share} of {capacity} Ah, the failure seen at once", **words)
    if span.low >= ASKED_MINUTES:
        return text
    return _("{basis}; 14 CFR 23.1353(h) asked for 30 minutes until 2017", basis=text)


def at_times(span: Span) -> str:
    """Write the intermittent current of the essential units, which is added at times."""
    return _("{amps} more at times", amps=amps(span.likely)) if span.likely else ""


def load_share(share: float) -> str:
    """Write a share of the alternator.

    Above the rule of thumb it is rounded up, so that the excess is visible.

    >>> load_share(0.58), load_share(0.8), load_share(0.8001)
    ('58%', '80%', '80.1%')
    """
    over = share > RULE
    return percent(ceiled(share, 3), 1) if over else percent(share, 0)


def current(span: Span) -> str:
    """Write amps with their range: "34.8 A (33.8 to 36.6)"."""
    return _ranged(amps(span.likely), tenths(span.low), tenths(span.high))


def _ranged(likely: str, low: str, high: str) -> str:
    if low == high:
        return likely
    return _("{likely} ({low} to {high})", likely=likely, low=low, high=high)


def wire(check: CircuitCheck) -> str:
    """Write the wire from the tables, and its voltage drop."""
    if check.gauge is None or check.drop is None:
        return _("no listed wire will do")
    return _(
        "AWG {gauge}, {drop} of {allowed} V lost",
        gauge=check.gauge,
        drop=number(check.drop),
        allowed=number(check.allowed_drop),
    )


def protector(check: CircuitCheck) -> str:
    """Write the breaker or fuse from the tables for that wire."""
    texts = []
    if check.breaker:
        texts.append(_("{size} A breaker", size=number(check.breaker)))
    if check.fuse:
        texts.append(_("{size} A fuse", size=number(check.fuse)))
    return joined(texts, "or") or NONE
