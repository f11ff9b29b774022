"""Electrical load and battery minutes in sentences; a rule of thumb and no load analysis."""

from collections.abc import Mapping, Sequence

from panelworth.engine.results_airplane import CircuitCheck, ElectricalFigures, Span
from panelworth.publishing.formats import (
    NONE,
    about,
    amps,
    joined,
    number,
    percent,
    plural,
    quoted,
    tenths,
)
from panelworth.publishing.language import noted, say
from panelworth.publishing.sentences import joined_sentences
from panelworth.publishing.view import OptionTag

VERDICTS = {
    "within": noted("within the 80 % rule of thumb"),
    "over, but monitored": noted("over the 80 % rule of thumb, with its load monitored"),
    "over": noted("over the 80 % rule of thumb"),
    "over the rating": noted("more than the alternator gives"),
}


def headline(tags: Sequence[OptionTag], found: Mapping[str, ElectricalFigures]) -> str:
    """Say what share of the alternator the options ask for, against the rule of thumb."""
    known = [found[tag.id].load_share for tag in tags]
    shares = sorted(share for share in known if share is not None)
    if not shares:
        return say("No alternator is described, so no share of it can be told.")
    low, high = percent(shares[0], 0), percent(shares[-1], 0)
    span = high if low == high else say("{low} to {high}", low=low, high=high)
    gives = say(
        "In the phase that draws most the alternator gives {share} of what it can; the rule of "
        "thumb is 80 % at most.",
        share=span,
    )
    return joined_sentences(gives, _over(tags, found))


def _over(tags: Sequence[OptionTag], found: Mapping[str, ElectricalFigures]) -> str:
    over = [quoted(tag.title) for tag in tags if found[tag.id].verdict not in (None, "within")]
    return say("More than that: {options}.", options=joined(over)) if over else ""


def verdict(found: ElectricalFigures) -> str:
    """Word how the load stands to the rule."""
    return say(VERDICTS[found.verdict]) if found.verdict else NONE


def battery(tags: Sequence[OptionTag], found: Mapping[str, ElectricalFigures]) -> str:
    """Say how long the battery carries what is essential, from the shortest to the longest."""
    spans = [(found[tag.id].shortest_endurance, tag) for tag in tags]
    known = [(span, tag) for span, tag in spans if span is not None]
    if not known:
        return say("How long the battery lasts cannot be told from the files.")
    least = min(known, key=lambda each: each[0].likely)
    most = max(known, key=lambda each: each[0].likely)
    told = {"least": minutes(least[0]), "option": least[1].title}
    if most[1] is least[1]:
        return say(
            "If the alternator fails, the battery carries what is essential for likely "
            "{least} with “{option}”.",
            **told,
        )
    return say(
        "If the alternator fails, the battery carries what is essential for likely {least} with "
        "“{option}” and up to {most} with “{other}”.",
        most=minutes(most[0]),
        other=most[1].title,
        **told,
    )


def minutes(span: Span | None) -> str:
    """Write minutes with their range: "117 minutes (98 to 133)"."""
    if span is None:
        return NONE
    likely = plural(span.likely, "minute", "minutes")
    return _ranged(likely, about(span.low), about(span.high))


def current(span: Span) -> str:
    """Write amps with their range: "34.8 A (33.8 to 36.6)"."""
    return _ranged(amps(span.likely), tenths(span.low), tenths(span.high))


def _ranged(likely: str, low: str, high: str) -> str:
    if low == high:
        return likely
    return say("{likely} ({low} to {high})", likely=likely, low=low, high=high)


def wire(check: CircuitCheck) -> str:
    """Say which wire the tables give, and what is lost in it."""
    if check.gauge is None or check.drop is None:
        return say("no listed wire will do")
    return say(
        "AWG {gauge}, {drop} of {allowed} V lost",
        gauge=check.gauge,
        drop=number(check.drop),
        allowed=number(check.allowed_drop),
    )


def protector(check: CircuitCheck) -> str:
    """Say which breaker or fuse the tables list for that wire."""
    told = [say("{size} A breaker", size=number(check.breaker))] if check.breaker else []
    told += [say("{size} A fuse", size=number(check.fuse))] if check.fuse else []
    return joined(told, noted("or")) or NONE
