"""Sentences on weight and balance: changes, loadings, margins."""

import math
from collections.abc import Mapping, Sequence

from panelworth.engine.results.airplane import (
    AdverseCheck,
    LoadingTrace,
    Negligible,
    WeightFigures,
)
from panelworth.engine.results.airplane_sums import cg_error_of_weighing
from panelworth.publishing.formats import (
    MINUS,
    NONE,
    Formats,
    ceiled,
    floored,
    joined,
    percent,
    signed,
)
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.sentences import joined_sentences

# A smaller CG margin gets a note on weighing errors: common practice, no source.
SLIM = {"us": 1.0, "metric": 25.0}
# How far a scale may be off: EASA (and UK) AMC1 SPO.POL.105(b), table 1, loads below 2,000 kg; the
# number from memory and a secondary page. AC 43.13-1B par 10-15 names none ("current calibration").
SCALES = 0.01
# A distance from nose to main wheels, as an example for the effect of a weighing error.
WHEELS = {"us": 60.0, "metric": 1500.0}
# Whether AC 43.13-1B par 10-2c calls a change of weight negligible, and of the CG, None unknown.
NEGLIGIBLE = {
    (True, True): N_(
        "AC 43.13-1B 10-2c calls a change of {weight} or a shift of the CG by {shift} negligible."
    ),
    (True, False): N_(
        "AC 43.13-1B 10-2c calls a change of {weight} negligible, but not a shift of {shift}."
    ),
    (True, None): N_(
        "AC 43.13-1B 10-2c calls a change of {weight} negligible; whether that of the CG is needs "
        "the mean chord."
    ),
    (False, True): N_(
        "AC 43.13-1B 10-2c does not call a change of {weight} negligible, but does a shift of "
        "{shift}."
    ),
    (False, False): N_(
        "AC 43.13-1B 10-2c does not call a change of {weight} or a shift of the CG by {shift} "
        "negligible."
    ),
    (False, None): N_(
        "AC 43.13-1B 10-2c does not call a change of {weight} negligible; whether that of the CG "
        "is needs the mean chord."
    ),
}
# An extreme loading by its side, and by whether it is within its limit.
ADVERSE = {
    ("forward", True): N_(
        "Furthest forward ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} inside the limit "
        "{limit}"
    ),
    ("forward", False): N_(
        "Furthest forward ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} beyond the limit "
        "{limit}"
    ),
    ("aft", True): N_(
        "Furthest aft ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} inside the limit {limit}"
    ),
    ("aft", False): N_(
        "Furthest aft ({loads}, fuel {fuel}): CG {cg} at {weight}, {room} beyond the limit {limit}"
    ),
}


# The margin of a loading to a limit, by the limit and by whether it is inside. How far it is
# outside is rounded up.
MARGINS = {
    ("weight", True): N_("below the maximum weight by {room}"),
    ("weight", False): N_("over the maximum weight by {room}"),
    ("forward", True): N_("behind the forward limit by {room}"),
    ("forward", False): N_("ahead of the forward limit by {room}"),
    ("aft", True): N_("ahead of the aft limit by {room}"),
    ("aft", False): N_("behind the aft limit by {room}"),
}


def empty(view: View, tag: OptionTag, figures: WeightFigures) -> str:
    """Write empty weight and CG, with their changes against today."""
    weight, arm = view.formats.weight, view.formats.arm
    words = {"weight": weight(figures.empty_weight), "cg": arm(figures.empty_cg)}
    moved, shift = figures.empty_weight_change, figures.empty_cg_change
    if not moved or view.case.options[tag.id].replaces_airplane:
        return _("Empty: {weight}, CG {cg}.", **words)
    return _(
        "Empty: {weight} ({change}), CG {cg} ({shift} against today).",
        change=signed(weight(moved)),
        shift=signed(arm(shift or 0.0)),
        **words,
    )


def counted_inside(figures: WeightFigures) -> str:
    """Write how many loadings stay inside; without CG limits only by weight."""
    if not figures.loadings:
        return NONE
    total, count = len(figures.loadings), len([trace for trace in figures.loadings if trace.within])
    if any(trace.aft_margin is None for trace in figures.loadings):
        return _("{count} of {all} by weight", count=count, all=total)
    return _("{count} of {all}", count=count, all=total)


def all_within(tags: Mapping[str, OptionTag], weights: Mapping[str, WeightFigures]) -> str:
    """Say whether all loadings and extremes of every option stay inside, and which do not."""
    wrong = [
        _("“{loading}” with {option}", loading=name, option=tags[option].short)
        for option, figures in weights.items()
        for name in _outside(figures)
    ]
    traces = [trace for figures in weights.values() for trace in figures.loadings]
    if wrong:
        return _("Outside the limits at some time: {loadings}.", loadings=joined(wrong))
    if any(trace.aft_margin is None for trace in traces):
        return _(
            "Every loading looked at stays below the maximum weight; where the CG may be is not "
            "in the files."
        )
    if any(figures.adverse for figures in weights.values()):
        return _(
            "By these weights and arms every loading looked at, the extremes too, stays inside the "
            "limits with every option, to empty tanks."
        )
    if not traces:
        return ""
    return _(
        "By these weights and arms every loading looked at stays inside the limits with every "
        "option, to empty tanks; the extremes are not in the files."
    )


def _outside(figures: WeightFigures) -> list[str]:
    """Name the loadings and the extremes that are out of limits at some time."""
    extremes = {"forward": _("furthest forward"), "aft": _("furthest aft")}
    return [
        *(trace.name for trace in figures.loadings if not trace.within),
        *(extremes[c.side] for c in figures.adverse if not c.within or c.over_weight),
    ]


def verdict(formats: Formats, trace: LoadingTrace) -> str:
    """Say whether a loading is inside with any fuel, or with which fuel it is not."""
    if trace.within:
        known = trace.aft_margin is not None
        return _("inside") if known else _("below the maximum weight; CG limits not known")
    fuel = formats.fuel
    texts = [
        _("with {fuel} left", fuel=fuel(low))
        if low == high
        else _("from {low} to {high} left", low=fuel(low), high=fuel(high))
        for low, high in trace.outside
    ]
    return _("outside {stretches}", stretches=joined(texts))


def margins(formats: Formats, trace: LoadingTrace) -> str:
    """Say whether a loading is inside with any fuel, and its least margin to each limit."""
    rooms = (
        ("weight", trace.weight_margin, formats.weight_margin(trace.weight_margin)),
        ("forward", trace.forward_margin, formats.arm_margin(trace.forward_margin)),
        ("aft", trace.aft_margin, formats.arm_margin(trace.aft_margin)),
    )
    texts = [
        _(MARGINS[limit, margin >= 0], room=room.removeprefix(MINUS))
        for limit, margin, room in rooms
        if margin is not None
    ]
    fuel = _("most fuel by weight: {fuel}", fuel=most_fuel(formats, trace))
    return "; ".join([verdict(formats, trace), *texts, fuel])


def most_fuel(formats: Formats, trace: LoadingTrace) -> str:
    """Write how much fuel the maximum weight allows with a loading's people and bags."""
    if trace.most_fuel is None:
        return NONE
    if trace.most_fuel < 0:
        return _("too heavy without any")
    return formats.fuel(floored(trace.most_fuel, 1))


def negligible(formats: Formats, change: Negligible | None, figures: WeightFigures) -> str:
    """Say whether the rule of AC 43.13-1B par 10-2c calls the change negligible."""
    if change is None or not figures.empty_weight_change:
        return ""
    return _(
        NEGLIGIBLE[change.weight, change.cg],
        weight=formats.weight(abs(figures.empty_weight_change)),
        shift=formats.arm(abs(figures.empty_cg_change or 0.0)),
    )


def adverse(formats: Formats, check: AdverseCheck) -> str:
    """Compare the extreme loading of one side with its limit, and say what brings it inside."""
    text = _(
        ADVERSE[check.side, check.within],
        loads=joined([f"{name} {formats.weight(load)}" for name, load in check.loads.items()]),
        fuel=formats.fuel(check.fuel),
        cg=formats.arm(check.cg),
        weight=formats.weight(check.weight),
        room=formats.arm_margin(check.margin).removeprefix(MINUS),
        limit=formats.arm(check.limit),
    )
    if check.within and not check.over_weight:
        return f"{text}."
    if not check.over_weight:
        return joined_sentences(f"{text}.", _remedies(formats, check))
    over = formats.weight(ceiled(check.over_weight, 1))
    heavy = _("{loading}, and {weight} too heavy.", loading=text, weight=over)
    return joined_sentences(heavy, _remedies(formats, check))


def _remedies(formats: Formats, check: AdverseCheck) -> str:
    """Say which load at one station, or which ballast, brings an extreme back inside."""
    ways = [
        _("at most {weight} at “{station}”", weight=formats.weight_margin(load), station=name)
        for name, load in check.most_inside.items()
    ]
    if check.ballast:
        name, load = check.ballast
        weight = formats.weight(ceiled(load, 1))
        ways.append(_("{weight} of ballast at “{station}”", weight=weight, station=name))
    if not ways:
        return _("Neither less at one station nor ballast at another brings it inside.")
    return _(
        "Inside again with {ways}, to the tenth and with no allowance for weighing: what is "
        "placarded or bolted in is for the maker's data and a mechanic.",
        ways=joined(ways, "or"),
    )


def slim_margins(view: View, tags: Sequence[OptionTag]) -> list[str]:
    """Say which options come close to a limit of the CG, and that weighing is not exact."""
    margins = {tag: _least(view.figures.airplane.weight[tag.id]) for tag in tags}
    close = {tag: room for tag, room in margins.items() if room < SLIM[view.formats.units]}
    if not close:
        return []
    low, high = map(view.formats.arm_margin, (min(close.values()), max(close.values())))
    return [
        _(
            "Close to a limit of the CG: {options}, within {room}. Weighing alone may put the "
            "empty CG {shift} off.",
            room=low if low == high else _("{low} to {high}", low=low, high=high),
            options=names(close),
            shift=_weighing(view.formats),
        )
    ]


def _least(figures: WeightFigures) -> float:
    """Return the least margin of the CG that is inside its limit."""
    rooms = [check.margin for check in figures.adverse]
    rooms += [
        room
        for trace in figures.loadings
        for room in (trace.forward_margin, trace.aft_margin)
        if room is not None
    ]
    return min((room for room in rooms if room >= 0), default=math.inf)


def weighing(formats: Formats) -> str:
    """Say how exact weighing is, with the source."""
    return _(
        "Weighing: scales {share} off, as European guidance allows below 2,000 kg (AMC1 "
        "SPO.POL.105(b)), can put the empty CG {shift} off where the wheels are {base} apart.",
        share=percent(SCALES),
        shift=_weighing(formats),
        base=formats.arm(WHEELS[formats.units]),
    )


def _weighing(formats: Formats) -> str:
    return formats.arm(cg_error_of_weighing(WHEELS[formats.units], SCALES))


def with_change(text: str, moved: str | None) -> dict[str, str]:
    """Return a figure and its change as a note, without a note if there is no change."""
    if moved is None or moved.split(" ")[0] == "0":
        return {"value": text}
    return {"value": text, "note": signed(moved)}
