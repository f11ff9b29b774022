"""Names that code and files share, as a page says them: flight rules, functions, phases.

Any other name is the user's own and stays as it is written.
"""

from collections.abc import Iterable

from panelworth.publishing.formats import joined
from panelworth.publishing.language import noted, say

RULES = (noted("day VFR"), noted("night VFR"), noted("IFR"))
PHASES = (noted("taxi"), noted("take-off"), noted("cruise"), noted("approach at night"))
# Functions that belong together, by what is said where all of them are there.
GROUPS = {
    noted("all flight instruments"): (
        *(noted("airspeed"), noted("altimeter"), noted("attitude"), noted("direction")),
        *(noted("magnetic direction"), noted("rate of turn"), noted("slip-skid")),
    ),
    noted("all radios"): (noted("communication"), noted("navigation")),
    noted("all engine gauges"): (
        *(noted("tachometer"), noted("oil pressure"), noted("oil temperature")),
        *(noted("coolant temperature"), noted("manifold pressure"), noted("fuel quantity")),
    ),
    noted("all lights"): (
        *(noted("anticollision light"), noted("position lights"), noted("landing light")),
        noted("panel lighting"),
    ),
}
OTHER_FUNCTIONS = (
    *(noted("clock"), noted("electrical source"), noted("generator"), noted("gear position")),
    noted("spare fuses"),
)
SHARED = {*RULES, *PHASES, *OTHER_FUNCTIONS}.union(*GROUPS.values())


def said(name: str) -> str:
    """Say a shared name in the language spoken; give any other back."""
    return say(name) if name in SHARED else name


def listed(names: Iterable[str]) -> str:
    """Say names one after another."""
    return joined([said(name) for name in names])


def headed(name: str) -> str:
    """Say a name as a heading has it: "Day VFR"."""
    text = said(name)
    return text[:1].upper() + text[1:]
