"""Names that code and files share, as a page says them: flight rules, functions, phases.

Any other name is the user's own and stays as it is written.
"""

from collections.abc import Iterable

from panelworth.publishing.formats import capitalized, joined
from panelworth.publishing.language import N_, _

RULES = (N_("day VFR"), N_("night VFR"), N_("IFR"))
PHASES = (N_("taxi"), N_("take-off"), N_("cruise"), N_("approach at night"))
# Functions that belong together, by what is translated where all of them are there.
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
    """Say a shared name in the language spoken; give any other back."""
    return _(name) if name in SHARED else name


def listed(names: Iterable[str]) -> str:
    """Say names one after another."""
    return joined([translated(name) for name in names])


def headed(name: str) -> str:
    """Say a name as a heading has it: "Day VFR"."""
    return capitalized(translated(name))
