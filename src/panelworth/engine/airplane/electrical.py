"""Electrical load of an option, minutes on the battery, and wires from published tables.

The 80 % figure is a rule of thumb and "should not be confused with an electrical load analysis" (AC
43.13-1B par 11-35a). The minutes on the battery are for a healthy battery of the stated capacity:
age, cold and high loads shorten them. A unit with its own standby battery still counts as a load of
the main battery, so that the minutes are too few rather than too many. Loads of short duration,
such as transmitting, count on the battery too: 14 CFR 23.2525(c) requires that it supplies
"essential loads, including non-continuous essential loads".
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from panelworth.engine.airplane.aircraft_configuration import configuration_after
from panelworth.engine.results.airplane import (
    CircuitCheck,
    ElectricalFigures,
    PhaseLoad,
    Span,
    Verdict,
)
from panelworth.model.case import Case
from panelworth.model.equipment import PHASES, Airplane, Alternator, Battery, Circuit, Unit
from panelworth.model.value import Quantity

CONTINUOUS_SHARE = 0.8  # AC 43.13-1B par 11-35a
# The share of the time in which intermittent loads draw on the battery. One minute in five is the
# duty cycle for which airborne transmitters are rated (RTCA DO-186, from memory).
INTERMITTENT_SHARE = 0.2
FEET_PER_METRE = 1 / 0.3048
SLACK = 1e-9  # amps: a decimal sum that is exactly on a limit may be just above it in binary

# AC 43.13-1B Table 11-3: gauge -> breaker, fuse (amps). The published column has eleven breakers;
# by their order they are taken to belong to the first eleven gauges.
PROTECTORS: dict[int, tuple[float | None, float]] = {
    22: (5, 5),
    20: (7.5, 5),
    18: (10, 10),
    16: (15, 10),
    14: (20, 15),
    12: (30, 20),
    10: (40, 30),
    8: (50, 50),
    6: (80, 70),
    4: (100, 70),
    2: (125, 100),
    1: (None, 150),
    0: (None, 150),
}


@dataclass(frozen=True, kw_only=True)
class Wire:
    """Copper wire: continuous amps in a bundle by rating in °C, and ohms of 1,000 ft at 20 °C."""

    amps_105: float
    amps_150: float
    amps_200: float
    ohms: float


def _wire(amps_105: float, amps_150: float, amps_200: float, ohms: float) -> Wire:
    return Wire(amps_105=amps_105, amps_150=amps_150, amps_200=amps_200, ohms=ohms)


# AC 43.13-1B Table 11-9: 70 °C ambient, 33 or more wires in a bundle (gauges 24 to 10) or 9 (gauge
# 8 and larger), at most 20 % of the harness capacity, 60,000 ft.
WIRES = {
    24: _wire(2.5, 4, 5, 28.40),
    22: _wire(3, 5, 6, 16.20),
    20: _wire(4, 7, 9, 9.88),
    18: _wire(6, 9, 12, 6.23),
    16: _wire(7, 11, 14, 4.81),
    14: _wire(10, 14, 18, 3.06),
    12: _wire(13, 19, 25, 2.02),
    10: _wire(17, 26, 32, 1.26),
    8: _wire(38, 57, 71, 0.70),
    6: _wire(50, 76, 97, 0.44),
    4: _wire(68, 103, 133, 0.28),
    2: _wire(95, 141, 179, 0.18),
    1: _wire(113, 166, 210, 0.15),
    0: _wire(128, 192, 243, 0.12),
}
# AC 43.13-1B Table 11-6, from memory: bus volts -> allowed voltage drop, continuous and
# intermittent. The continuous column agrees with the limits of Table 11-7.
ALLOWED_DROP = {14: (0.5, 1.0), 28: (1.0, 2.0), 115: (4.0, 8.0), 200: (7.0, 14.0)}


def electrical_of(case: Case, option_id: str) -> ElectricalFigures | None:
    """Return an option's loads by phase of flight, None where no airplane is described.

    The worst phase has the highest likely continuous load; of equals the first. The shortest
    endurance is the least of all phases, separately at the low, the likely and the high end,
    because the alternator may fail in any phase.
    """
    fitted = configuration_after(case, option_id)
    if fitted is None:
        return None
    airplane = fitted.airplane
    alternator = airplane.alternator if airplane else None
    battery = airplane.battery if airplane else None
    phases = tuple(phase_load(fitted.units, phase, alternator, battery) for phase in PHASES)
    worst = max(phases, key=lambda phase: phase.continuous.likely)
    spans = [phase.endurance for phase in phases if phase.endurance]
    shortest = (
        Span(
            low=min(span.low for span in spans),
            likely=min(span.likely for span in spans),
            high=min(span.high for span in spans),
        )
        if spans
        else None
    )
    return ElectricalFigures(
        phases=phases,
        worst_phase=worst.phase,
        continuous_load=worst.continuous.likely,
        alternator=alternator.amps if alternator else None,
        limit=CONTINUOUS_SHARE * alternator.amps if alternator else None,
        load_share=worst.share,
        verdict=verdict(worst.continuous.likely, alternator) if alternator else None,
        shortest_endurance=shortest,
        circuits=_circuits(airplane, metric=case.scenario.units == "metric") if airplane else (),
    )


def phase_load(
    units: Iterable[Unit], phase: str, alternator: Alternator | None, battery: Battery | None
) -> PhaseLoad:
    """Return the amps of the units that are on in a phase, and the battery's minutes.

    Ranges are added up at their low, likely and high values. Intermittent amps are in addition to
    the continuous ones; their sum assumes that all are used at the same time. For endurance the
    whole load counts until the pilot notices the failure, and only the essential units after that,
    both with INTERMITTENT_SHARE of their intermittent amps. `share` is the likely continuous load
    over the alternator's rating.
    """
    on = [unit for unit in units if phase in unit.phases]
    kept = [unit for unit in on if unit.essential]
    continuous, at_times = span_of(u.amps for u in on), span_of(u.intermittent_amps for u in on)
    essential = span_of(unit.amps for unit in kept)
    essential_at_times = span_of(unit.intermittent_amps for unit in kept)
    mean, mean_kept = _mean_load(continuous, at_times), _mean_load(essential, essential_at_times)
    rated = alternator.amps if alternator else 0.0
    return PhaseLoad(
        phase=phase,
        continuous=continuous,
        intermittent=at_times,
        essential=essential,
        essential_intermittent=essential_at_times,
        share=continuous.likely / rated if rated else None,
        endurance=_endurance_span(battery, mean, mean_kept) if battery else None,
    )


def span_of(quantities: Iterable[Quantity]) -> Span:
    """Add up quantities: all at low, all at likely, all at high.

    The result is wider than that of independent draws, so it is on the safe side of a limit.
    """
    parts = list(quantities)
    return Span(
        low=math.fsum(part.low for part in parts),
        likely=math.fsum(part.likely for part in parts),
        high=math.fsum(part.high for part in parts),
    )


def verdict(load: float, alternator: Alternator) -> Verdict:
    """Judge a continuous load by AC 43.13-1B par 11-35a: it should not exceed 80 %.

    Exactly 80 % passes. With special placards or a monitoring device the paragraph does not require
    a change: "over, but monitored". A load above the alternator's rating is over in any case.

    >>> verdict(48.0, Alternator(amps=60)), verdict(48.1, Alternator(amps=60))
    ('within', 'over')
    """
    if load <= CONTINUOUS_SHARE * alternator.amps + SLACK:
        return "within"
    if load > alternator.amps + SLACK:
        return "over the rating"
    return "over, but monitored" if alternator.monitored else "over"


def endurance(battery: Battery, full_load: float, essential_load: float) -> float | None:
    """Return minutes until the battery is used up after the alternator fails.

    Full load for r minutes until the pilot notices the failure, then only the essential load: t = r
    + (usable - full·r/60)/essential·60, usable = ampere_hours·usable_share. Where the battery does
    not last r minutes: usable/full·60. None where nothing draws current. Loads are amps. Derived
    here from charge = current·time, without a published source.

    >>> round(endurance(Battery(ampere_hours=8, recognition_minutes=5), 30.0, 10.0) or 0)
    38
    """
    usable = battery.ampere_hours * battery.usable_share
    seen = battery.recognition_minutes
    left = usable - full_load * seen / 60
    if left <= 0 < full_load:
        return usable / full_load * 60
    return seen + left / essential_load * 60 if essential_load > 0 else None


def voltage_drop(*, feet: float, amps: float, gauge: int) -> float:
    """Return the volts lost in a copper wire at 20 °C: ohms/ft · length · amps.

    The return path through the airframe is assumed to have no resistance. AC 43.13-1B Tables 11-7
    and 11-9.

    >>> round(voltage_drop(feet=107, amps=20, gauge=6), 3)
    0.942
    """
    return WIRES[gauge].ohms / 1000 * feet * amps


def allowed_drop(volts: float, *, intermittent: bool) -> float:
    """Return the volts that may be lost on a bus of 14, 28, 115 or 200 volts (Table 11-6)."""
    return ALLOWED_DROP[round(volts)][intermittent]


def protector_of(gauge: int) -> tuple[float | None, float | None]:
    """Return the listed breaker and fuse of a gauge in amps (Table 11-3), None where not listed."""
    return PROTECTORS.get(gauge, (None, None))


def thinnest_wire(*, feet: float, amps: float, volts: float, intermittent: bool) -> int | None:
    """Return the thinnest listed gauge for a circuit, None where no listed gauge is enough.

    It carries the current continuously as 105 °C wire in a bundle (Table 11-9), its voltage drop at
    20 °C is allowed (Table 11-6), and its protector in Table 11-3 is at least the load. Why the
    last condition: a breaker larger than that of the table would not protect this wire, and a
    smaller one would trip. Gauges without a listed protector are left out.
    """
    most = allowed_drop(volts, intermittent=intermittent)
    for gauge, protectors in PROTECTORS.items():
        drops = voltage_drop(feet=feet, amps=amps, gauge=gauge)
        carries = amps <= WIRES[gauge].amps_105 + SLACK and drops <= most + SLACK
        if carries and amps <= max(rating or 0.0 for rating in protectors):
            return gauge
    return None


def circuit_check(circuit: Circuit, *, metric: bool) -> CircuitCheck:
    """Look up one circuit's wire and protector; a guide only (AC 43.13-1B par 11-49)."""
    feet = circuit.length * FEET_PER_METRE if metric else circuit.length
    gauge = thinnest_wire(
        feet=feet, amps=circuit.amps, volts=circuit.volts, intermittent=circuit.intermittent
    )
    breaker, fuse = protector_of(gauge) if gauge is not None else (None, None)
    drop = voltage_drop(feet=feet, amps=circuit.amps, gauge=gauge) if gauge is not None else None
    return CircuitCheck(
        name=circuit.name,
        gauge=gauge,
        drop=drop,
        allowed_drop=allowed_drop(circuit.volts, intermittent=circuit.intermittent),
        breaker=breaker,
        fuse=fuse,
    )


def _circuits(airplane: Airplane, *, metric: bool) -> tuple[CircuitCheck, ...]:
    return tuple(circuit_check(circuit, metric=metric) for circuit in airplane.circuits)


def _mean_load(continuous: Span, at_times: Span) -> Span:
    """Return the mean load: continuous + INTERMITTENT_SHARE·intermittent, end by end."""
    return Span(
        low=continuous.low + INTERMITTENT_SHARE * at_times.low,
        likely=continuous.likely + INTERMITTENT_SHARE * at_times.likely,
        high=continuous.high + INTERMITTENT_SHARE * at_times.high,
    )


def _endurance_span(battery: Battery, full: Span, essential: Span) -> Span | None:
    """Return minutes for ranges of loads: the highest load gives the low end.

    None where one of the three loads is 0: the battery then lasts for ever.
    """
    low = endurance(battery, full.high, essential.high)
    likely = endurance(battery, full.likely, essential.likely)
    high = endurance(battery, full.low, essential.low)
    if low is None or likely is None or high is None:
        return None
    return Span(low=low, likely=likely, high=high)
