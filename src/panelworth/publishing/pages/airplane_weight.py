"""The section on weight: what each option can carry, and its loadings."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results.airplane import (
    EquipmentLine,
    LoadingTrace,
    WeightFigures,
)
from panelworth.engine.results.airplane_sums import weight_and_moment
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.model.equipment import Airplane
from panelworth.publishing.charts import airplane as drawings
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.formats import UNITS, Formats, tenths
from panelworth.publishing.language import N_, _
from panelworth.publishing.pages.airplane_sections import (
    Entry,
    Listing,
    Part,
    Section,
    Table,
    airplane_of,
)
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import weight_words as words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, WEIGHED

HOW = (
    N_(
        "New empty weight = old, less what comes out, plus what goes in; its moment likewise with "
        "weight × arm; CG = moment ÷ weight. Useful load = maximum weight less empty weight; "
        "beside full tanks it is less the fuel as well."
    ),
    N_(
        "Each loading is followed from the fuel it starts with to none, exactly along the way and "
        "not at a few points. Furthest forward and aft: what is always aboard, then the most at "
        "every station beyond the limit and nothing at the others, with the fuel that is worse "
        "(after AC 43.13-1B, notes to figures 10-10 and 10-11)."
    ),
    N_(
        "Most fuel by weight: what the maximum weight leaves beside a loading's people and bags, "
        "at most full tanks (AC 43.13-1B 10-18). It says nothing of the CG with that fuel. Margins "
        "are rounded down; below 0 is outside."
    ),
)


def weight_section(view: View) -> Section | None:
    """Return the section on weight and balance; None if no airplane is described."""
    tags = [tag for tag in view.tags.values() if tag.id in view.figures.airplane.weight]
    if not tags:
        return None
    weights = {tag.id: weight_of(view.figures, tag) for tag in tags}
    return Section(
        id="weight",
        label=_("what it weighs"),
        question=_("What does it weigh, and what can it carry?"),
        answer=[words.all_within(view.tags, weights)]
        if words.all_within(view.tags, weights)
        else [],
        table=_carried(view, tags),
        beside=[*words.slim_margins(view, tags), _(WEIGHED)],
        cautions=[_(AIRPLANE_LINE)],
        more=_("Loadings, and what goes in and out, option by option"),
        parts=[_part(view, tag, with_picture=tag in _with_chart(view, tags)) for tag in tags],
        how=[*(_(text) for text in HOW), words.weighing(view.formats)],
    )


def weight_of(figures: Figures, tag: OptionTag) -> WeightFigures:
    """Return an option's weight and balance."""
    return figures.airplane.weight[tag.id]


def _carried(view: View, tags: Sequence[OptionTag]) -> Table:
    """Return useful load and the number of loadings inside the limits, by option."""
    weight, rows = view.formats.weight, []
    for tag in tags:
        weight_figures = weight_of(view.figures, tag)
        sizes = (
            (weight_figures.useful_load, weight_figures.useful_load_change),
            (weight_figures.full_fuel_payload, weight_figures.full_fuel_payload_change),
        )
        cells = [
            words.with_change(weight(now), None if moved is None else weight(moved))
            for now, moved in sizes
        ]
        rows.append([{"option": tag}, *cells, words.counted_inside(weight_figures)])
    head = [_("Option"), _("Useful load"), _("Beside full tanks"), _("Loadings inside")]
    return Table(
        caption=_("Left for people, bags and fuel, with the change against today"),
        head=head,
        rows=rows,
    )


def _with_chart(view: View, tags: Sequence[OptionTag]) -> list[OptionTag]:
    """Return the options with a chart: those with a new envelope, or with loadings outside."""
    first = airplane_of(view.case, tags[0])
    chosen = []
    for tag in tags:
        airplane = airplane_of(view.case, tag)
        outside = any(not trace.within for trace in weight_of(view.figures, tag).loadings)
        unlike = first is None or airplane is None or airplane.envelope != first.envelope
        if airplane and airplane.envelope and (outside or unlike):
            chosen.append(tag)
    return chosen


def _part(view: View, tag: OptionTag, *, with_picture: bool) -> Part:
    weight, airplane = weight_of(view.figures, tag), airplane_of(view.case, tag)
    small = words.negligible(view.formats, weight.negligible, weight)
    extremes = [words.adverse(view.formats, check) for check in weight.adverse]
    plot = picture(view, tag, airplane) if with_picture and airplane else None
    return Part(
        option=tag,
        lines=[line for line in (words.empty(view, tag, weight), small, *extremes) if line],
        charts=[plot] if plot else [],
        listings=[*_loadings(view.formats, weight), *_lines(view.formats, weight)],
    )


def picture(view: View, tag: OptionTag, airplane: Airplane) -> Chart | None:
    """Return the chart of the envelope and the loadings, from full to empty tanks."""
    loadings, corners = weight_of(view.figures, tag).loadings, airplane.envelope
    if not loadings:
        return None
    ends = zip(corners, [*corners[1:], corners[0]], strict=True)
    edges = [{"x": a[0], "y": a[1], "x2": b[0], "y2": b[1]} for a, b in ends]
    paths = [
        point
        for number, trace in enumerate(loadings, start=1)
        for point in _path(tag, trace, number)
    ]
    units = UNITS[view.formats.units]
    return Chart(
        id=f"envelope-{tag.id}",
        title=_("Loadings and envelope: {option}", option=tag.short),
        summary=_("Each loading runs from its number, as it starts, to its ring, tanks empty."),
        spec=drawings.envelope(
            list(view.tags.values()),
            edges,
            paths,
            axes=(
                _("CG, {unit}", unit=units["arm"]),
                _("Weight, {unit}", unit=units["weight"]),
            ),
        ),
    )


def _path(tag: OptionTag, trace: LoadingTrace, number: int) -> list[dict[str, Any]]:
    # The engine follows a loading from empty tanks to the fuel that it starts with.
    last = len(trace.path) - 1
    return [
        {
            "option": tag.title,
            "name": trace.name,
            "number": str(number),
            "step": step,
            "x": arm,
            "y": weight,
            "first": step == last,
            "last": step == 0,
        }
        for step, (_, arm, weight) in enumerate(trace.path)
    ]


def _loadings(formats: Formats, figures: WeightFigures) -> list[Listing]:
    """List the loadings: whether they stay inside, and their least margins."""
    entries = [
        Entry(term=f"{number}. {trace.name}", lines=[words.margins(formats, trace)])
        for number, trace in enumerate(figures.loadings, start=1)
    ]
    caption = _("Loadings, the least margin of each")
    return [Listing(caption=caption, entries=entries)] if entries else []


def _lines(formats: Formats, figures: WeightFigures) -> list[Listing]:
    """List what comes out and goes in, each with its weight, arm and moment."""
    ways = (
        (_("Comes out"), [line for line in figures.lines if line.weight < 0]),
        (_("Goes in"), [line for line in figures.lines if line.weight >= 0]),
    )
    entries = [
        Entry(term=term, note=_sum(formats, lines), lines=[_equipment_text(formats, lines)])
        for term, lines in ways
        if lines
    ]
    caption = _("What comes out and goes in: weight, arm, moment")
    return [Listing(caption=caption, entries=entries)] if entries else []


def _equipment_text(formats: Formats, lines: Sequence[EquipmentLine]) -> str:
    weight, arm = formats.weight, formats.arm
    texts = [
        _(
            "{unit} {weight} at {arm}, {moment}",
            unit=line.name,
            weight=weight(abs(line.weight)),
            arm=arm(line.arm),
            moment=tenths(abs(line.moment)),
        )
        for line in lines
    ]
    return "; ".join(texts)


def _sum(formats: Formats, lines: Sequence[EquipmentLine]) -> str:
    weight, moment = weight_and_moment(lines)
    return _(
        "{weight} in all, moment {moment}",
        weight=formats.weight(abs(weight)),
        moment=tenths(abs(moment)),
    )
