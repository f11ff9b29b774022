"""Weight and balance of an option: empty airplane, useful load, loadings, extreme loadings.

The figures are for comparison only: the official record is the one that the mechanic enters and
signs, and the manufacturer's data take precedence (FAA-H-8083-1, preface). The empty weight is
assumed to include oil and unusable fuel, unless `adverse.aboard` states them.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Literal

from panelworth.engine.airplane.aircraft_configuration import (
    Configuration,
    configuration_after,
    configuration_today,
)
from panelworth.engine.airplane.envelope import (
    Burn,
    Mass,
    arm_of,
    corners_of,
    decimal,
    inside_at,
    limits_at,
    margins,
    mass_at,
    outside,
    state,
    total,
)
from panelworth.engine.results.airplane import (
    AdverseCheck,
    EquipmentLine,
    LoadingTrace,
    Negligible,
    WeightFigures,
)
from panelworth.model.case import Case
from panelworth.model.equipment import Adverse, Airplane, LoadingCase, Unit

Side = Literal["forward", "aft"]
POUND = Fraction("0.45359237")  # kilograms, exact by definition; from memory of NIST SP 811
PICTURE_STEPS = 24  # steps of a burn's curve: enough for the hyperbola to look smooth


def weight_of(case: Case, option_id: str) -> WeightFigures | None:
    """Return an option's weight and balance; None where no airplane is described.

    New empty weight = old + installed - removed; moment the same with weight·arm;
    CG = moment/weight. Changes are against today's equipment.toml.
    """
    fitted, today = configuration_after(case, option_id), configuration_today(case)
    if fitted is None or fitted.airplane is None:
        return None
    empty = empty_mass(fitted)
    before = empty_mass(today) if today and today.airplane else None
    old = today.airplane if today else None
    payload = full_fuel_payload(fitted.airplane, empty)
    old_payload = full_fuel_payload(old, before) if old and before else None
    useful = decimal(fitted.airplane.max_weight) - empty.weight
    was_useful = decimal(old.max_weight) - before.weight if old and before else None
    return WeightFigures(
        empty_weight=float(empty.weight),
        empty_moment=float(empty.moment),
        empty_cg=float(arm_of(empty)),
        useful_load=float(useful),
        full_fuel_payload=_shown(payload),
        empty_weight_change=_shown(empty.weight - before.weight) if before else None,
        empty_cg_change=_shown(arm_of(empty) - arm_of(before)) if before else None,
        useful_load_change=_less(useful, was_useful),
        full_fuel_payload_change=_less(payload, old_payload),
        negligible=_negligible_change(case, option_id, fitted.airplane, before, empty),
        lines=equipment_lines(fitted.removed, fitted.installed),
        loadings=tuple(trace(fitted.airplane, empty, loading) for loading in fitted.loading_cases),
        adverse=adverse_checks(fitted.airplane, empty),
    )


def empty_mass(fitted: Configuration) -> Mass:
    """Return the empty airplane: as weighed, less removed units, plus installed units."""
    airplane = fitted.airplane
    weighed = [mass_at(airplane.empty_weight, airplane.empty_arm)] if airplane else []
    removed = [mass_at(-unit.weight, unit.arm) for unit in fitted.removed]
    return total([*weighed, *removed, *(mass_at(u.weight, u.arm) for u in fitted.installed)])


def equipment_lines(
    removed: Iterable[Unit], installed: Iterable[Unit]
) -> tuple[EquipmentLine, ...]:
    """Return the changed units: a removed weight is negative; moment = weight·arm with its sign."""
    signed = [(-1.0, unit) for unit in removed] + [(1.0, unit) for unit in installed]
    return tuple(
        EquipmentLine(
            name=unit.name,
            weight=sign * unit.weight,
            arm=unit.arm,
            moment=float(mass_at(sign * unit.weight, unit.arm).moment),
        )
        for sign, unit in signed
    )


def full_fuel_payload(airplane: Airplane, empty: Mass) -> Fraction | None:
    """Return the payload with full tanks: maximum - empty - full fuel; it may be negative."""
    if airplane.fuel is None:
        return None
    full = decimal(airplane.fuel.usable) * decimal(airplane.fuel.weight_per_unit)
    return decimal(airplane.max_weight) - empty.weight - full


def fuel_allowed(airplane: Airplane, empty: Mass, loads: Mapping[str, float]) -> float | None:
    """Return the most fuel that can be loaded with these loads, in the file's units of fuel.

    min(full tanks, (maximum - empty - loads)/weight of a unit). Below 0 where the loads alone are
    too heavy. AC 43.13-1B par 10-18, loading conditions.
    """
    if airplane.fuel is None or not airplane.fuel.weight_per_unit:
        return None
    aboard = empty.weight + sum(map(decimal, loads.values()), Fraction(0))
    room = (decimal(airplane.max_weight) - aboard) / decimal(airplane.fuel.weight_per_unit)
    return float(min(room, decimal(airplane.fuel.usable)))


def negligible(
    weight_change: Fraction, *, empty_weight: Fraction, pound: Fraction, mac_share: Fraction | None
) -> Negligible:
    """Say whether a change is negligible by AC 43.13-1B par 10-2c.

    Weight: at most 1 lb where the empty weight is below 5,000 lb, 2 lb to 50,000 lb, 5 lb above.
    CG: its change as a share of the mean chord is below 0.05 %. `pound` is 1 lb in these units.

    >>> one = Fraction(1)
    >>> negligible(one, empty_weight=Fraction(1584), pound=one, mac_share=None).weight
    True
    """
    pounds = empty_weight / pound
    allowed = 1 if pounds < 5_000 else 2 if pounds <= 50_000 else 5  # noqa: PLR2004
    return Negligible(
        weight=abs(weight_change) <= allowed * pound,
        cg=None if mac_share is None else abs(mac_share) < Fraction("0.0005"),
    )


def trace(airplane: Airplane, empty: Mass, loading: LoadingCase) -> LoadingTrace:
    """Return a loading from its fuel at the start to no fuel, with its margins.

    Every state is tested, and not only the first and the last, because the loading may leave the
    envelope in between.
    """
    loads = [mass_at(weight, airplane.stations[name]) for name, weight in loading.loads.items()]
    burn = Burn(no_fuel=total([empty, *loads]), fuel=_fuel_mass(airplane, loading.fuel))
    corners, most = corners_of(airplane.envelope), decimal(airplane.max_weight)
    out, start = outside(corners, burn, most), state(burn, 1)
    room = margins(corners, burn) if corners else None
    return LoadingTrace(
        name=loading.name,
        start_weight=float(start.weight),
        start_cg=float(arm_of(start)),
        no_fuel_weight=float(burn.no_fuel.weight),
        no_fuel_cg=float(arm_of(burn.no_fuel)),
        within=not out,
        weight_margin=float(most - start.weight),
        most_fuel=fuel_allowed(airplane, empty, loading.loads),
        forward_margin=room[0] if room else None,
        aft_margin=room[1] if room else None,
        outside=tuple((low * loading.fuel, high * loading.fuel) for low, high in out),
        path=tuple(_pictured(burn, loading.fuel, step) for step in range(PICTURE_STEPS + 1)),
    )


def adverse_checks(airplane: Airplane, empty: Mass) -> tuple[AdverseCheck, ...]:
    """Return the forward and the aft extreme loading; () without `adverse` or an envelope.

    AC 43.13-1B chapter 10, notes to figures 10-10 and 10-11. Forward: what is always aboard (the
    pilot), the most at every station ahead of the forward limit and nothing at those behind it;
    minimum fuel if the tank is behind this limit, full tanks if it is ahead. Aft is the mirror
    image. A station is ahead or behind by the envelope's outermost arms, since the weight is not
    known yet. The result is compared with the limit at its own weight; where the envelope does not
    reach this weight, with the limit at the envelope's nearest weight.
    """
    if airplane.adverse is None or not airplane.envelope:
        return ()
    adverse = airplane.adverse
    return tuple(_extreme(airplane, empty, adverse, side) for side in ("forward", "aft"))


def _extreme(airplane: Airplane, empty: Mass, adverse: Adverse, side: Side) -> AdverseCheck:
    # With arms multiplied by -1 the forward limit becomes the aft one, so one rule serves both.
    corners, sign = corners_of(airplane.envelope), -1 if side == "forward" else 1
    edge = max(sign * arm for arm, _ in corners)
    beyond = {name for name, arm in airplane.stations.items() if sign * decimal(arm) > edge}
    loads = {**adverse.aboard, **{n: w for n, w in adverse.most.items() if n in beyond}}
    tank = airplane.fuel
    full = tank is not None and sign * decimal(tank.arm) > edge
    fuel = tank.usable if tank and full else adverse.minimum_fuel
    aboard = [mass_at(weight, airplane.stations[name]) for name, weight in loads.items()]
    loaded = total([empty, *aboard, _fuel_mass(airplane, fuel)])
    weights = [weight for _, weight in corners]
    near = min(max(loaded.weight, min(weights)), max(weights))
    # `near` is a weight of the envelope, so there always are limits; the zeros are for the type
    # checker.
    limits = limits_at(corners, near) or (Fraction(0), Fraction(0))
    limit = limits[0] if side == "forward" else limits[1]
    margin = sign * (limit - arm_of(loaded))
    over = max(loaded.weight - decimal(airplane.max_weight), Fraction(0))
    out = margin < 0 or over > 0
    return AdverseCheck(
        side=side,
        loads=loads,
        fuel=fuel,
        weight=float(loaded.weight),
        cg=float(arm_of(loaded)),
        limit=float(limit),
        margin=float(margin),
        within=margin >= 0,
        over_weight=float(over),
        most_inside=most_inside(airplane, loaded, loads, adverse.aboard) if out else {},
        ballast=least_ballast(airplane, loaded, loads, side) if out else None,
    )


def most_inside(
    airplane: Airplane, loaded: Mass, loads: Mapping[str, float], aboard: Mapping[str, float]
) -> dict[str, float]:
    """Return, by station, the largest load at which the loading is inside its limits.

    Only the load of this station changes, and not below what is always aboard. A station is left
    out if no smaller load is enough. `envelope.inside_at` gives the load exactly: to remove weight
    from a station is the same as to burn fuel at its arm.
    """
    corners, most, largest = corners_of(airplane.envelope), decimal(airplane.max_weight), {}
    for name, load in loads.items():
        least = aboard.get(name, 0.0)
        spare = mass_at(load - least, airplane.stations[name])
        rest = total([loaded, Mass(weight=-spare.weight, moment=-spare.moment)])
        inside = inside_at(corners, Burn(no_fuel=rest, fuel=spare), most)
        if spare.weight > 0 and inside:
            # The last range has the largest load.
            largest[name] = least + float(spare.weight) * inside[-1][1]
    return largest


def least_ballast(
    airplane: Airplane, loaded: Mass, loads: Mapping[str, float], side: Side
) -> tuple[str, float] | None:
    """Return the station and the least ballast that bring a loading inside its limits.

    weight·(limit - CG) / (arm - limit) where the limit is the same at every weight (FAA-H-8083-1,
    "Temporary Ballast Formula"; AMT General, "The Use of Ballast"); solved exactly where the limit
    changes with weight. The station farthest on the opposite side is tried first, because the
    longest arm needs the least weight. The ballast is limited by the maximum weight and by
    `adverse.most` of the station. None where no station is enough.
    """
    sign, corners = 1 if side == "forward" else -1, corners_of(airplane.envelope)
    most, allowed = decimal(airplane.max_weight), airplane.adverse.most if airplane.adverse else {}
    for name, arm in sorted(airplane.stations.items(), key=lambda station: -sign * station[1]):
        room = most - loaded.weight
        if name in allowed:
            room = min(room, decimal(allowed[name]) - decimal(loads.get(name, 0.0)))
        if room > 0:
            burn = Burn(no_fuel=loaded, fuel=Mass(weight=room, moment=room * decimal(arm)))
            inside = inside_at(corners, burn, most)
            if inside:
                # The first range begins with the least ballast.
                return name, float(room) * inside[0][0]
    return None


def _negligible_change(
    case: Case, option_id: str, airplane: Airplane, before: Mass | None, empty: Mass
) -> Negligible | None:
    """Say whether a change is negligible; None in a replacement, which has no change to compare."""
    if before is None or case.options[option_id].replaces_airplane:
        return None
    moved = arm_of(empty) - arm_of(before)
    return negligible(
        empty.weight - before.weight,
        empty_weight=before.weight,
        pound=Fraction(1) if case.scenario.units == "us" else POUND,
        mac_share=moved / decimal(airplane.mac) if airplane.mac else None,
    )


def _fuel_mass(airplane: Airplane, units: float) -> Mass:
    tank = airplane.fuel
    if tank is None:
        return total([])
    weight = decimal(units) * decimal(tank.weight_per_unit)
    return Mass(weight=weight, moment=weight * decimal(tank.arm))


def _pictured(burn: Burn, fuel: float, step: int) -> tuple[float, float, float]:
    """Return the fuel left, the arm and the weight at a step of the burn's curve."""
    share = Fraction(step, PICTURE_STEPS)
    mass = state(burn, share)
    return float(share) * fuel, float(arm_of(mass)), float(mass.weight)


def _shown(number: Fraction | None) -> float | None:
    return None if number is None else float(number)


def _less(number: Fraction | None, other: Fraction | None) -> float | None:
    return None if number is None or other is None else float(number - other)
