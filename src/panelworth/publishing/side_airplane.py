"""Side by side in the airplane: wants met, weight, power, failures and small jobs, by option.

A group is left out where its file is missing; an option that says nothing of it shows a dash.
"""

from collections.abc import Mapping, Sequence

from panelworth.engine.results_airplane import (
    ElectricalFigures,
    FailureFigures,
    UnitFailure,
    WeightFigures,
)
from panelworth.publishing.airplane import failure_words, needs_words, openings_words, power_words
from panelworth.publishing.airplane.names import RULES, said
from panelworth.publishing.formats import NONE, amps, number, percent, plural, signed
from panelworth.publishing.language import noted, say
from panelworth.publishing.risk_words import chance
from panelworth.publishing.side_rows import (
    Cell,
    Group,
    Row,
    by_option,
    counted,
    in_100,
    money_gap,
    plain,
    points,
    row,
    told,
    with_something,
)
from panelworth.publishing.view import OptionTag, View

ABSENT = noted("not aboard")


def _tags(view: View) -> Sequence[OptionTag]:
    return list(view.tags.values())


def wants(view: View) -> Group | None:
    """Compare which wants each option meets."""
    found = view.figures.airplane.capability
    if found is None:
        return None
    tags = _tags(view)
    share = {tag.id: found.share.get(tag.id) for tag in tags}
    first = {tag.id: found.chance_first.get(tag.id) for tag in tags}
    needs = sorted(found.weights, key=lambda need: -found.weights[need])
    rows = [
        row("met", say("Share met"), share, _whole, better="high", gap=points),
        *(_need(tags, found.met, need, number) for number, need in enumerate(needs)),
        row(
            "first", say("Comes first if weights were off by half"), first, chance,
            better="high", gap=in_100,
        ),
    ]  # fmt: skip
    title = needs_words.title(view)
    return Group(id="wants", title=title, matter="airplane", rows=rows, more=("needs.html", title))


def _whole(share: float) -> str:
    return percent(share, 0)


def _need(
    tags: Sequence[OptionTag], met: Mapping[str, Sequence[str]], need: str, number: int
) -> Row:
    known = {tag.id: float(need in met[tag.id]) if tag.id in met else None for tag in tags}
    return row(f"need-{number}", need, known, _yes, better="high")


def _yes(met: float) -> str:
    return needs_words.yes(met=bool(met))


def weights(view: View) -> Group | None:
    """Compare what the empty airplane weighs and what it can carry."""
    found, formats = view.figures.airplane.weight, view.formats
    if not found:
        return None

    def each(key: str) -> dict[str, float | None]:
        return {
            tag.id: getattr(found[tag.id], key) if tag.id in found else None for tag in _tags(view)
        }

    def heavier(gap: float) -> str:
        return signed(formats.weight(gap))

    def further_aft(gap: float) -> str:
        return signed(formats.arm(gap))

    rows = [
        row(
            "empty", say("Empty weight"), each("empty_weight"), formats.weight,
            better="low", gap=heavier,
        ),
        row("cg", say("Empty CG"), each("empty_cg"), formats.arm, gap=further_aft),
        row(
            "useful", say("Useful load"), each("useful_load"), formats.weight,
            better="high", gap=heavier,
        ),
        row(
            "beside", say("Beside full tanks"), each("full_fuel_payload"), formats.weight,
            better="high", gap=heavier,
        ),
        Row(
            key="loadings",
            label=say("Loadings inside the limits"),
            cells={tag.id: _inside(found.get(tag.id)) for tag in _tags(view)},
            better="high",
            gap=_outside,
        ),
    ]  # fmt: skip
    return Group(
        id="weight",
        title=say("Weight"),
        matter="airplane",
        rows=with_something(rows),
        more=("weight.html", say("Weight")),
    )


def _inside(found: WeightFigures | None) -> Cell:
    """Count the loadings inside the limits; what orders them is how many are not."""
    if found is None or not found.loadings:
        return Cell(text=NONE)
    inside, count = sum(bool(trace.within) for trace in found.loadings), len(found.loadings)
    return Cell(
        text=say("{count} of {whole}", count=inside, whole=count), value=float(inside - count)
    )


def _outside(gap: float) -> str:
    """Word a difference in loadings that are not inside: airplanes may differ in how many fit."""
    count = number(abs(gap))
    if gap > 0:
        return say("{count} fewer outside", count=count)
    return say("{count} more outside", count=count)


def power(view: View) -> Group | None:
    """Compare electrical load and how long the battery carries what is essential."""
    found = view.figures.airplane.electrical
    if not found:
        return None
    known = {tag.id: found[tag.id] for tag in _tags(view) if tag.id in found}
    load = by_option(_tags(view), lambda tag: _load(known.get(tag.id)))
    share = by_option(_tags(view), lambda tag: _share(known.get(tag.id)))
    words = by_option(_tags(view), lambda tag: _verdict(known.get(tag.id)))
    rows = [
        row(
            "load", say("Continuous load"), load, amps,
            better="low", gap=lambda gap: signed(amps(gap)),
        ),
        row(
            "share", say("Share of the alternator"), share, power_words.load_share,
            better="low", gap=points,
        ),
        told("rule", say("By the rule of thumb"), words),
        Row(
            key="battery",
            label=say("Healthy battery carries what is essential"),
            cells={tag.id: _battery(known.get(tag.id)) for tag in _tags(view)},
            gap=counted("minute", "minutes"),
        ),
    ]  # fmt: skip
    return Group(
        id="power",
        title=say("Electrical power"),
        matter="airplane",
        rows=with_something(rows),
        more=("power.html", say("Power")),
    )


def _load(found: ElectricalFigures | None) -> float | None:
    return found.continuous_load if found else None


def _share(found: ElectricalFigures | None) -> float | None:
    return found.load_share if found else None


def _verdict(found: ElectricalFigures | None) -> str:
    return power_words.verdict(found) if found else ""


def _battery(found: ElectricalFigures | None) -> Cell:
    span = found.shortest_endurance if found else None
    return Cell(text=power_words.minutes(span), value=span.low if span else None)


def failures(view: View) -> Group | None:
    """Compare how many units take what with them; then one by one those that take more than one."""
    found = {key: each for key, each in view.figures.airplane.failures.items() if each.failures}
    if not found:
        return None
    tags, unit = _tags(view), counted("unit", "units")
    much = by_option(tags, lambda tag: _several(found.get(tag.id)))
    rows = [
        *(_ending(tags, found, rule) for rule in RULES),
        row(
            "several", say("Units that take several things at once"), much, _units,
            better="low", gap=unit,
        ),
        row(
            "nothing", say("Units that take nothing yet: something else stands in"),
            _harmless(view), _units, gap=unit,
        ),
    ]  # fmt: skip
    return Group(
        id="failures",
        title=say("If one thing fails"),
        matter="airplane",
        rows=with_something(rows),
        more=("failures.html", say("If it fails")),
        folded=_each_unit(tags, found),
        folded_title=say("How many functions go with each unit that has several"),
    )


def _ending(tags: Sequence[OptionTag], found: Mapping[str, FailureFigures], rule: str) -> Row:
    """Count the units that take something a flight rule lists by failing alone."""
    cells = {}
    for tag in tags:
        if tag.id not in found:
            cells[tag.id] = Cell(text=NONE)
            continue
        count = failure_words.count_ending(found[tag.id], rule)
        text = say(failure_words.NOT_THERE_AT_ALL) if count is None else _units(count)
        cells[tag.id] = Cell(text=text, value=count)
    return Row(
        key=f"ends-{rule.replace(' ', '-').lower()}",
        label=say("Units that alone take something listed for {rule}", rule=said(rule)),
        cells=cells,
        better="low",
        gap=counted("unit", "units"),
    )


def _units(count: float) -> str:
    return plural(count, "unit", "units") if count else say("none")


def _several(found: FailureFigures | None) -> float | None:
    if found is None:
        return None
    return float(sum(bool(failure_words.takes_much(found, each)) for each in found.failures))


def _harmless(view: View) -> dict[str, float | None]:
    """Count the units whose failure takes nothing a pilot sees, as something else stands in."""
    figures = view.figures.airplane
    return {
        tag.id: float(
            len(failure_words.stood_in(figures.failures[tag.id], figures.power_losses[tag.id]))
        )
        if tag.id in figures.failures
        else None
        for tag in _tags(view)
    }


def _lost(found: FailureFigures, failure: UnitFailure) -> int:
    return len(failure_words.seen(found, failure.lost))


def _each_unit(tags: Sequence[OptionTag], found: Mapping[str, FailureFigures]) -> list[Row]:
    """Count what goes with a unit, for each that takes several with it; those of most first.

    What takes no more than its own function is on the page on failures: here it would hide them.
    """
    lost = {
        option_id: {each.unit: _lost(figures, each) for each in figures.failures}
        for option_id, figures in found.items()
    }
    most: dict[str, int] = {}
    for unit, count in (each for counts in lost.values() for each in counts.items()):
        most[unit] = max(count, most.get(unit, 0))
    units = sorted((unit for unit in most if most[unit] > 1), key=lambda unit: -most[unit])
    return [
        Row(
            key=f"unit-{number}",
            label=unit,
            cells={tag.id: _taken(lost.get(tag.id), unit) for tag in tags},
            gap=plain,
        )
        for number, unit in enumerate(units)
    ]


def _taken(lost: Mapping[str, int] | None, unit: str) -> Cell:
    if lost is None:
        return Cell(text=NONE)
    if unit not in lost:
        return Cell(text=say(ABSENT))
    count = lost[unit]
    return Cell(text=str(count) if count else say("nothing"), value=float(count))


def small_jobs(view: View) -> Group | None:
    """Compare which small jobs each option includes, and what that likely saves."""
    found, jobs, tags = view.figures.airplane.openings, view.case.scenario.jobs, _tags(view)
    if not jobs or not any(openings_words.opens(view, tag) for tag in tags):
        return None
    saved = {
        tag.id: found[tag.id].included_saving
        if tag.id in found and openings_words.opens(view, tag)
        else None
        for tag in tags
    }
    rows = [
        *(
            told(f"job-{n}", job.name, {tag.id: _included(view, tag, job.name) for tag in tags})
            for n, job in enumerate(jobs)
        ),
        row(
            "saved", say("Likely saved against doing them later"), saved, view.formats.change,
            better="high", gap=money_gap(view.formats),
        ),
    ]  # fmt: skip
    title, more = say("Small jobs while it is open"), say("While it's open")
    return Group(id="jobs", title=title, matter="airplane", rows=rows, more=("open.html", more))


def _included(view: View, tag: OptionTag, name: str) -> str:
    if not openings_words.opens(view, tag):
        return say("not opened")
    inside = name in view.case.options[tag.id].jobs
    return say("included") if inside else say("left out")
