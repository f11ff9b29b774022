"""Weight and balance in sentences: what changes, what can be carried, what margin is left."""

from collections.abc import Mapping

from panelworth.engine.results_airplane import AdverseCheck, LoadingTrace, Negligible, WeightFigures
from panelworth.publishing.formats import joined, signed
from panelworth.publishing.view import OptionTag, View


def change(view: View, tag: OptionTag, found: WeightFigures) -> str:
    """Say how an option changes the empty airplane and what it can carry beside full tanks."""
    weight = view.formats.weight
    if found.empty_weight_change is None:
        return f"“{tag.title}” leaves an airplane of {weight(found.empty_weight)} empty."
    moved = found.empty_weight_change
    if not moved:
        return f"“{tag.title}” leaves the empty weight as it is, {weight(found.empty_weight)}."
    than = "the airplane" if view.case.options[tag.id].kind != "replace" else "an airplane"
    heavier = "heavier" if moved > 0 else "lighter"
    return f"“{tag.title}” leaves {than} {weight(abs(moved))} {heavier}{_carries(view, found)}."


def _carries(view: View, found: WeightFigures) -> str:
    payload, moved = found.full_fuel_payload, found.full_fuel_payload_change
    if payload is None:
        return ""
    now = f": beside full tanks it carries {view.formats.weight(payload)}"
    if not moved:
        return now
    return f"{now}, {view.formats.weight(abs(moved))} {'more' if moved > 0 else 'less'} than today"


def headline(view: View, found: Mapping[str, WeightFigures]) -> str:
    """Say what can be carried beside full tanks over all options, and whether loadings fit."""
    carried = [each.full_fuel_payload for each in found.values()]
    known = sorted(each for each in carried if each is not None)
    fits = all_within(view, found)
    if not known:
        return fits or "What can be carried beside full tanks is not known."
    weight = view.formats.weight
    span = weight(known[-1])
    if weight(known[0]) != span:
        span = f"{weight(known[0])} to {span}"
    return f"Beside full tanks {span} is left for people and bags. {fits}".strip()


def all_within(view: View, found: Mapping[str, WeightFigures]) -> str:
    """Say whether every loading of every option stays inside its limits, and which does not."""
    wrong = [
        f"“{trace.name}” with “{view.tags[option].title}”"
        for option, figures in found.items()
        for trace in figures.loadings
        if not trace.within
    ]
    if not any(figures.loadings for figures in found.values()):
        return ""
    if not wrong:
        return "Every loading looked at stays inside the limits with every option, to empty tanks."
    return f"Outside the limits at some time: {joined(wrong)}."


def verdict(view: View, trace: LoadingTrace) -> str:
    """Say whether a loading is inside throughout, or with which fuel it is not."""
    if trace.within:
        return "inside"
    fuel = view.formats.fuel
    told = [
        f"with {fuel(low)} left" if low == high else f"from {fuel(low)} to {fuel(high)} left"
        for low, high in trace.outside
    ]
    return f"outside {joined(told)}"


def negligible(view: View, found: Negligible | None, figures: WeightFigures) -> str:
    """Say whether the rule of AC 43.13-1B par 10-2c calls the change negligible."""
    if found is None or not figures.empty_weight_change:
        return ""
    weight = view.formats.weight(abs(figures.empty_weight_change))
    said = f"AC 43.13-1B 10-2c {'calls' if found.weight else 'does not call'} a change of {weight}"
    if found.cg is None:
        return f"{said} negligible; whether that of the CG is needs the mean chord."
    moved = view.formats.arm(abs(figures.empty_cg_change or 0.0))
    if found.cg == found.weight:
        return f"{said} or a shift of the CG by {moved} negligible."
    return f"{said} negligible, but {'does' if found.cg else 'not'} a shift of {moved}."


def adverse(view: View, check: AdverseCheck) -> str:
    """Say how the extreme loading of one side stands to its limit."""
    formats = view.formats
    held = joined([f"{name} {formats.weight(load)}" for name, load in check.loads.items()])
    at = f"CG {formats.arm(check.cg)} at {formats.weight(check.weight)}"
    room = formats.arm(abs(check.margin))
    end = f"{room} {'inside' if check.within else 'beyond'} the limit {formats.arm(check.limit)}"
    over = f", and {formats.weight(check.over_weight)} too heavy" if check.over_weight else ""
    side = "Furthest forward" if check.side == "forward" else "Furthest aft"
    return f"{side} ({held}, fuel {formats.fuel(check.fuel)}): {at}, {end}{over}."


def with_change(text: str, moved: str | None) -> dict[str, str]:
    """Write a figure with its change below it; nothing where it is today's."""
    if moved is None or moved.split(" ")[0] == "0":
        return {"value": text}
    return {"value": text, "note": f"{signed(moved)} against today"}
