"""Electrical load and battery minutes in sentences; a rule of thumb and no load analysis."""

from collections.abc import Mapping, Sequence

from panelworth.engine.results_airplane import CircuitCheck, ElectricalFigures, Span
from panelworth.publishing.formats import NONE, about, amps, joined, number, percent, plural, tenths
from panelworth.publishing.view import OptionTag

VERDICTS = {
    "within": "within the 80 % rule of thumb",
    "over, but monitored": "over the 80 % rule of thumb, with its load monitored",
    "over": "over the 80 % rule of thumb",
    "over the rating": "more than the alternator gives",
}


def headline(tags: Sequence[OptionTag], found: Mapping[str, ElectricalFigures]) -> str:
    """Say what share of the alternator the options ask for, against the rule of thumb."""
    known = [found[tag.id].load_share for tag in tags]
    shares = sorted(share for share in known if share is not None)
    if not shares:
        return "No alternator is described, so no share of it can be told."
    span = percent(shares[-1], 0)
    if percent(shares[0], 0) != span:
        span = f"{percent(shares[0], 0)} to {span}"
    return (
        f"In the phase that draws most the alternator gives {span} of what it can; the rule of "
        f"thumb is 80 % at most.{_over(tags, found)}"
    )


def _over(tags: Sequence[OptionTag], found: Mapping[str, ElectricalFigures]) -> str:
    over = [f"“{tag.title}”" for tag in tags if found[tag.id].verdict not in (None, "within")]
    return f" More than that: {joined(over)}." if over else ""


def verdict(found: ElectricalFigures) -> str:
    """Word how the load stands to the rule."""
    return VERDICTS[found.verdict] if found.verdict else NONE


def battery(tags: Sequence[OptionTag], found: Mapping[str, ElectricalFigures]) -> str:
    """Say how long the battery carries what is essential, from the shortest to the longest."""
    spans = [(found[tag.id].shortest_endurance, tag) for tag in tags]
    known = [(span, tag) for span, tag in spans if span is not None]
    if not known:
        return "How long the battery lasts cannot be told from the files."
    least = min(known, key=lambda each: each[0].likely)
    most = max(known, key=lambda each: each[0].likely)
    told = f"{minutes(least[0])} with “{least[1].title}”"
    if most[1] is not least[1]:
        told = f"{told} and up to {minutes(most[0])} with “{most[1].title}”"
    return f"If it fails, the battery carries what is essential for likely {told}."


def minutes(span: Span | None) -> str:
    """Write minutes with their range: "117 minutes (98 to 133)"."""
    if span is None:
        return NONE
    told = plural(span.likely, "minute", "minutes")
    low, high = about(span.low), about(span.high)
    return told if low == high else f"{told} ({low} to {high})"


def current(span: Span) -> str:
    """Write amps with their range: "34.8 A (33.8 to 36.6)"."""
    told = amps(span.likely)
    low, high = tenths(span.low), tenths(span.high)
    return told if low == high else f"{told} ({low} to {high})"


def wire(check: CircuitCheck) -> str:
    """Say which wire the tables give, and what is lost in it."""
    if check.gauge is None or check.drop is None:
        return "no listed wire will do"
    volts = f"{number(check.drop)} of {number(check.allowed_drop)} V lost"
    return f"AWG {check.gauge}, {volts}"


def protector(check: CircuitCheck) -> str:
    """Say which breaker or fuse the tables list for that wire."""
    told = [("breaker", check.breaker), ("fuse", check.fuse)]
    return " or ".join(f"{number(size)} A {kind}" for kind, size in told if size) or NONE
