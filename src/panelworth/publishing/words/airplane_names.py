"""Names that the code and the files share, for pages: flight rules, functions, phases.

Any other name is chosen by the user and is never translated.
"""

from collections.abc import Iterable

from panelworth.publishing.formats import capitalized, joined
from panelworth.publishing.language import N_, _

RULES = (N_("day VFR"), N_("night VFR"), N_("IFR"))
PHASES = (N_("taxi"), N_("take-off"), N_("cruise"), N_("approach at night"))
# Functions that belong together, with the name that is written if all of them work.
GROUPS = {
    N_("all flight instruments"): (
        *(N_("airspeed"), N_("altimeter"), N_("attitude"), N_("direction")),
        *(N_("magnetic direction"), N_("rate of turn"), N_("slip-skid")),
    ),
    N_("all radios"): (N_("communication"), N_("navigation")),
    N_("all engine gauges"): (
        *(N_("tachometer"), N_("oil pressure"), N_("oil temperature")),
        *(N_("coolant temperature"), N_("manifold pressure"), N_("fuel quantity")),
    ),
    N_("all lights"): (
        *(N_("anticollision light"), N_("position lights"), N_("landing light")),
        N_("panel lighting"),
    ),
}
OTHER_FUNCTIONS = (
    *(N_("clock"), N_("electrical source"), N_("generator"), N_("gear position")),
    N_("spare fuses"),
)
SHARED = {*RULES, *PHASES, *OTHER_FUNCTIONS}.union(*GROUPS.values())


def translated(name: str) -> str:
    """Return a shared name in the current language; any other name unchanged."""
    return _(name) if name in SHARED else name


def listed(names: Iterable[str]) -> str:
    """Write names as a list."""
    return joined([translated(name) for name in names])


def headed(name: str) -> str:
    """Write a name as a heading: "Day VFR"."""
    return capitalized(translated(name))
