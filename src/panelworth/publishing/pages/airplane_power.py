"""The section on power: load by phase against the alternator, battery minutes, wires."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from panelworth.engine.results.airplane import (
    CircuitCheck,
    PhaseLoad,
)
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.publishing.formats import NONE, amps
from panelworth.publishing.language import N_, _
from panelworth.publishing.pages.airplane_sections import Part, Section, Table, airplane_of
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import power_words as words
from panelworth.publishing.words.airplane_names import headed, translated
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE
from panelworth.publishing.words.groups import grouped, names

HOW = (
    N_(
        "The continuous load of a phase adds up what is on in it; intermittent loads come on top, "
        "all at once. AC 43.13-1B 11-35a asks that the continuous load not exceed 80% of the "
        "alternator's rating where it is not monitored."
    ),
    N_(
        "Minutes = time until the failure is seen at full load, then what is left of the battery's "
        "usable ampere-hours over the essential load. What is used at times, such as transmitting, "
        "counts too (14 CFR 23.2525(c)), here for a fifth of the time: common practice, no source. "
        "The phase that drains it fastest is told."
    ),
    N_(
        "Wires: the thinnest listed copper wire that carries the current in a bundle (AC 43.13-1B "
        "table 11-9, 105 °C), keeps the voltage drop (table 11-6) and has a listed protector "
        "(table 11-3). The drop is that at 20 °C; a hot wire loses more (11-66)."
    ),
)


def power_section(view: View) -> Section | None:
    """Return the section on electrical load; None if no unit draws current."""
    power = view.figures.airplane.electrical
    tags = [tag for tag in view.tags.values() if tag.id in power]
    if not any(power[tag.id].continuous_load for tag in tags):
        return None
    return Section(
        id="power",
        label=_("what it draws"),
        question=_("Is there power enough?"),
        answer=[words.headline(tags, power), words.battery(tags, power)],
        table=_loads(view.figures, tags),
        beside=[sentence for sentence in (_basis(view, tags), _(words.RULE_OF_THUMB)) if sentence],
        cautions=[_(AIRPLANE_LINE)],
        more=_("Loads by phase, wires and protectors"),
        parts=[_by_phase(view.figures, tags), *_circuits(view.figures, tags)],
        how=[_(text) for text in HOW],
    )


def _loads(figures: Figures, tags: Sequence[OptionTag]) -> Table:
    """Return the phase with the largest load and the least battery minutes, by option."""
    phases = {figures.airplane.electrical[tag.id].worst_phase for tag in tags}
    alike = len(phases) == 1
    head = [
        *(_("Option"), _("Continuous load"), _("Of the alternator")),
        _("Battery, minutes"),
    ]
    rows = [[{"option": tag}, *_cells(figures, tag, alike=alike)] for tag in tags]
    caption = _("The phase that draws most, and the battery")
    if alike:
        caption = _(
            "The phase that draws most, {phase}, and the battery", phase=translated(phases.pop())
        )
    return Table(caption=caption, head=head, rows=rows)


def _cells(figures: Figures, tag: OptionTag, *, alike: bool) -> list[Any]:
    power = figures.airplane.electrical[tag.id]
    worst = next(phase for phase in power.phases if phase.phase == power.worst_phase)
    share = words.load_share(power.load_share) if power.load_share is not None else NONE
    return [
        {
            "value": amps(worst.continuous.likely),
            "note": "" if alike else translated(power.worst_phase),
        },
        {"value": share, "note": words.verdict(power) if power.verdict != "within" else ""},
        words.at_least(power.shortest_endurance),
    ]


def _basis(view: View, tags: Sequence[OptionTag]) -> str:
    """State the assumptions of battery minutes, once for all options with the same."""

    def basis_of(tag: OptionTag) -> str:
        airplane = airplane_of(view.case, tag)
        span = view.figures.airplane.electrical[tag.id].shortest_endurance
        return words.basis(airplane.battery if airplane else None, span)

    groups = [(basis, sharing) for basis, sharing in grouped(tags, basis_of) if basis]
    texts = [
        _("{basis} ({options})", basis=basis, options=names(sharing)) if len(groups) > 1 else basis
        for basis, sharing in groups
    ]
    return _("Battery: {basis}.", basis="; ".join(texts)) if texts else ""


def _by_phase(figures: Figures, tags: Sequence[OptionTag]) -> Part:
    """Return the loads of each phase, one column for each option."""
    power = figures.airplane.electrical
    measures: Sequence[tuple[str, Callable[[PhaseLoad], Any]]] = (
        (_("Continuous load"), lambda phase: words.current(phase.continuous)),
        (_("Intermittent load on top"), lambda phase: amps(phase.intermittent.likely)),
        (_("Essential load"), _essential),
        (_("Minutes on battery"), lambda phase: words.at_least(phase.endurance)),
    )
    names = list(dict.fromkeys(phase.phase for tag in tags for phase in power[tag.id].phases))
    loads = {(tag.id, phase.phase): phase for tag in tags for phase in power[tag.id].phases}
    head = [_("Phase"), *(tag.short for tag in tags)]
    tables = [
        Table(
            caption=caption,
            head=head,
            rows=[
                [headed(name), *(_measured(loads.get((tag.id, name)), measure) for tag in tags)]
                for name in names
            ],
        )
        for caption, measure in measures
    ]
    return Part(title=_("Phase by phase"), tables=tables)


def _measured(phase: PhaseLoad | None, measure: Callable[[PhaseLoad], Any]) -> Any:  # noqa: ANN401 (a cell)
    return measure(phase) if phase else NONE


def _essential(phase: PhaseLoad) -> dict[str, str]:
    return {
        "value": words.current(phase.essential),
        "note": words.at_times(phase.essential_intermittent),
    }


def _circuits(figures: Figures, tags: Sequence[OptionTag]) -> Iterator[Part]:
    """Yield the wires, once for all options with the same."""
    head = [_("Circuit"), _("Wire"), _("Protector")]
    tables = [
        Table(
            caption=_("Wires: {options}", options=names(shared)),
            head=head,
            rows=[[check.name, words.wire(check), words.protector(check)] for check in checks],
            words=True,
        )
        for checks, shared in grouped(tags, lambda tag: _checks(figures, tag))
        if checks
    ]
    if tables:
        line = _(
            "What published tables give for each circuit; the maker's data and the mechanic decide."
        )
        yield Part(title=_("Wires and protectors"), lines=[line], tables=tables)


def _checks(figures: Figures, tag: OptionTag) -> tuple[CircuitCheck, ...]:
    return figures.airplane.electrical[tag.id].circuits
