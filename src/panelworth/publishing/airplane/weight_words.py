"""Weight and balance in sentences: what changes, what can be carried, what margin is left."""

from collections.abc import Mapping

from panelworth.engine.results_airplane import AdverseCheck, LoadingTrace, Negligible, WeightFigures
from panelworth.publishing.formats import NONE, joined, signed
from panelworth.publishing.language import noted, say
from panelworth.publishing.sentences import joined_sentences
from panelworth.publishing.view import OptionTag, View

# Whether AC 43.13-1B par 10-2c calls a change of weight negligible, and of the CG, None unknown.
NEGLIGIBLE = {
    (True, True): noted(
        "AC 43.13-1B 10-2c calls a change of {weight} or a shift of the CG by {shift} negligible."
    ),
    (True, False): noted(
        "AC 43.13-1B 10-2c calls a change of {weight} negligible, but not a shift of {shift}."
    ),
    (True, None): noted(
        "AC 43.13-1B 10-2c calls a change of {weight} negligible; whether that of the CG is needs "
        "the mean chord."
    ),
    (False, True): noted(
        "AC 43.13-1B 10-2c does not call a change of {weight} negligible, but does a shift of "
        "{shift}."
    ),
    (False, False): noted(
        "AC 43.13-1B 10-2c does not call a change of {weight} or a shift of the CG by {shift} "
        "negligible."
    ),
    (False, None): noted(
        "AC 43.13-1B 10-2c does not call a change of {weight} negligible; whether that of the CG "
        "is needs the mean chord."
    ),
}
# An extreme loading by its side, and by whether it is within its limit.
ADVERSE = {
    ("forward", True): noted(
        "Furthest forward ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} inside the limit "
        "{limit}"
    ),
    ("forward", False): noted(
        "Furthest forward ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} beyond the limit "
        "{limit}"
    ),
    ("aft", True): noted(
        "Furthest aft ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} inside the limit {limit}"
    ),
    ("aft", False): noted(
        "Furthest aft ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} beyond the limit {limit}"
    ),
}


def change(view: View, tag: OptionTag, found: WeightFigures) -> str:
    """Say how an option changes the empty airplane and what it can carry beside full tanks."""
    moved, whole = found.empty_weight_change, view.formats.weight(found.empty_weight)
    if moved is None:
        return say(
            "“{option}” leaves an airplane of {weight} empty.", option=tag.title, weight=whole
        )
    if not moved:
        return say(
            "“{option}” leaves the empty weight as it is, {weight}.",
            option=tag.title,
            weight=whole,
        )
    leaves, carries = _leaves(view, tag, moved), _carries(view, found)
    return f"{leaves}: {carries}." if carries else f"{leaves}."


def _leaves(view: View, tag: OptionTag, moved: float) -> str:
    told = {"option": tag.title, "weight": view.formats.weight(abs(moved))}
    if view.case.options[tag.id].kind == "replace":
        if moved > 0:
            return say("“{option}” leaves an airplane {weight} heavier", **told)
        return say("“{option}” leaves an airplane {weight} lighter", **told)
    if moved > 0:
        return say("“{option}” leaves the airplane {weight} heavier", **told)
    return say("“{option}” leaves the airplane {weight} lighter", **told)


def _carries(view: View, found: WeightFigures) -> str:
    payload, moved = found.full_fuel_payload, found.full_fuel_payload_change
    if payload is None:
        return ""
    carried, gap = view.formats.weight(payload), view.formats.weight(abs(moved or 0.0))
    if not moved:
        return say("beside full tanks it carries {weight}", weight=carried)
    if moved > 0:
        return say(
            "beside full tanks it carries {weight}, {gap} more than today", weight=carried, gap=gap
        )
    return say(
        "beside full tanks it carries {weight}, {gap} less than today", weight=carried, gap=gap
    )


def headline(view: View, found: Mapping[str, WeightFigures]) -> str:
    """Say what can be carried beside full tanks over all options, and whether loadings fit."""
    carried = [each.full_fuel_payload for each in found.values()]
    known = sorted(each for each in carried if each is not None)
    fits = all_within(view, found)
    if not known:
        return fits or say("What can be carried beside full tanks is not known.")
    low, high = view.formats.weight(known[0]), view.formats.weight(known[-1])
    span = high if low == high else say("{low} to {high}", low=low, high=high)
    left = say("Beside full tanks {weight} is left for people and bags.", weight=span)
    return joined_sentences(left, fits)


def all_within(view: View, found: Mapping[str, WeightFigures]) -> str:
    """Say whether every loading of every option stays inside its limits, and which does not."""
    wrong = [
        say("“{loading}” with “{option}”", loading=trace.name, option=view.tags[option].title)
        for option, figures in found.items()
        for trace in figures.loadings
        if not trace.within
    ]
    if not any(figures.loadings for figures in found.values()):
        return ""
    if not wrong:
        return say(
            "Every loading looked at stays inside the limits with every option, to empty tanks."
        )
    return say("Outside the limits at some time: {loadings}.", loadings=joined(wrong))


def verdict(view: View, trace: LoadingTrace) -> str:
    """Say whether a loading is inside throughout, or with which fuel it is not."""
    if trace.within:
        return say("inside")
    fuel = view.formats.fuel
    told = [
        say("with {fuel} left", fuel=fuel(low))
        if low == high
        else say("from {low} to {high} left", low=fuel(low), high=fuel(high))
        for low, high in trace.outside
    ]
    return say("outside {stretches}", stretches=joined(told))


def most_fuel(view: View, trace: LoadingTrace) -> str:
    """Say how much fuel the maximum weight leaves beside a loading's people and bags."""
    if trace.most_fuel is None:
        return NONE
    if trace.most_fuel < 0:
        return say("too heavy without any")
    return view.formats.fuel(trace.most_fuel)


def negligible(view: View, found: Negligible | None, figures: WeightFigures) -> str:
    """Say whether the rule of AC 43.13-1B par 10-2c calls the change negligible."""
    if found is None or not figures.empty_weight_change:
        return ""
    return say(
        NEGLIGIBLE[found.weight, found.cg],
        weight=view.formats.weight(abs(figures.empty_weight_change)),
        shift=view.formats.arm(abs(figures.empty_cg_change or 0.0)),
    )


def adverse(view: View, check: AdverseCheck) -> str:
    """Say how the extreme loading of one side stands to its limit."""
    formats = view.formats
    told = say(
        ADVERSE[check.side, check.within],
        loads=joined([f"{name} {formats.weight(load)}" for name, load in check.loads.items()]),
        fuel=formats.fuel(check.fuel),
        cg=formats.arm(check.cg),
        weight=formats.weight(check.weight),
        room=formats.arm(abs(check.margin)),
        limit=formats.arm(check.limit),
    )
    if not check.over_weight:
        return f"{told}."
    over = formats.weight(check.over_weight)
    return say("{loading}, and {weight} too heavy.", loading=told, weight=over)


def with_change(text: str, moved: str | None) -> dict[str, str]:
    """Write a figure with its change below it; nothing where it is today's."""
    if moved is None or moved.split(" ")[0] == "0":
        return {"value": text}
    return {"value": text, "note": say("{change} against today", change=signed(moved))}
