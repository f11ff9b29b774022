"""Electrical load and battery minutes in sentences; a rule of thumb and no load analysis."""

from panelworth.engine.results_airplane import CircuitCheck, ElectricalFigures, Span
from panelworth.publishing.formats import NONE, about, amps, number, percent, plural
from panelworth.publishing.view import OptionTag

VERDICTS = {
    "within": "within the 80 % rule of thumb",
    "over, but monitored": "over the 80 % rule of thumb, with its load monitored",
    "over": "over the 80 % rule of thumb",
    "over the rating": "more than the alternator gives",
}


def load(tag: OptionTag, found: ElectricalFigures) -> str:
    """Say what the worst phase draws, against the alternator."""
    said = f"With “{tag.title}” {found.worst_phase} draws most, {amps(found.continuous_load)}"
    if found.alternator is None or found.verdict is None:
        return f"{said}; no alternator is described."
    share = percent(found.load_share, 0)
    return f"{said}: {share} of the alternator's {amps(found.alternator)}, {verdict(found)}."


def verdict(found: ElectricalFigures) -> str:
    """Word how the load stands to the rule."""
    return VERDICTS[found.verdict] if found.verdict else NONE


def battery(tag: OptionTag, found: ElectricalFigures) -> str:
    """Say how long the battery carries what is essential, in the phase that drains it fastest."""
    if found.shortest_endurance is None:
        return f"No battery minutes can be told for “{tag.title}”."
    return (
        f"If the alternator fails, the battery carries what is essential with “{tag.title}” for "
        f"likely {minutes(found.shortest_endurance)}."
    )


def minutes(span: Span | None) -> str:
    """Write minutes with their range: "117 minutes (98 to 133)"."""
    if span is None:
        return NONE
    told = plural(span.likely, "minute")
    low, high = about(span.low), about(span.high)
    return told if low == high else f"{told} ({low} to {high})"


def current(span: Span) -> str:
    """Write amps with their range."""
    told = amps(span.likely)
    low, high = amps(span.low), amps(span.high)
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
