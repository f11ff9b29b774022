"""The page on failures: what goes when one thing goes, and how much it takes to lose it."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results_airplane import FailureFigures, UnitFailure
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import failure_words as words
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_page
from panelworth.publishing.caution_lines import FAILURES, MAINTENANCE
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import joined
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = "What do I lose if one thing fails?"
RULES = ("day VFR", "night VFR", "IFR")
MOST_CUTS = 12
HOW = (
    (
        "A unit works when it has not failed and each of its needs is met by something that works. "
        "Every unit is failed alone, then every two and every three together. A set that loses a "
        "function, and from which none can be left out, is a minimal cut set; one of a single unit "
        "is a single point of failure."
    ),
    (
        "A battery counts as a source however short it lasts: the page on power tells its minutes. "
        "How likely a failure is plays no part."
    ),
    (
        "Flight rules: the functions that 14 CFR 91.205 (b), (c) and (d) list for day VFR, night "
        "VFR and IFR, as far as they are in the panel. Whether a flight may go on or start is for "
        "the pilot, the rules' current text and the airplane's own papers."
    ),
)


def failures_page(view: View) -> Page | None:
    """Make the page on failures, None where no units are described."""
    found = view.figures.airplane.failures
    tags = [tag for tag in view.tags.values() if tag.id in found and found[tag.id].failures]
    if not tags:
        return None
    drawn = ending(view, tags)
    answer = Answer(
        lead=[
            words.headline(tags, found),
            *(words.summary(tag, found[tag.id]) for tag in tags),
        ],
        charts=[drawn] if drawn else [],
        sections=[_compared(view, tags), *(_section(view, tag) for tag in tags)],
        how=HOW,
        cautions=[*FAILURES, *MAINTENANCE],
    )
    file, title = "failures.html", "If it fails"
    return airplane_page(file=file, title=title, question=QUESTION, answer=answer)


def ending(view: View, tags: Sequence[OptionTag]) -> Chart | None:
    """Draw how many single failures end each flight rule, a bar an option."""
    found, data, rows = view.figures.airplane.failures, [], []
    for tag in tags:
        counts = {rule: words.count_ending(found[tag.id], rule) for rule in RULES}
        for rule, count in counts.items():
            if count is not None:
                told = f"{count} of {len(found[tag.id].failures)} units"
                at = {"group": rule[0].upper() + rule[1:], "option": tag.title}
                data.append({**at, "y": count, "told": told})
        never = "not there to begin with"
        cells = [never if count is None else str(count) for count in counts.values()]
        rows.append([{"option": tag}, *cells])
    if not data:
        return None
    return Chart(
        id="ending",
        title="Single failures that end each kind of flying",
        summary="How many units, each failing alone, take away something that the flight rule "
        "asks for. Fewer is better; no bar: it is not there to begin with.",
        spec=drawings.grouped(list(view.tags.values()), data, "Units"),
        head=["Option", "Day VFR", "Night VFR", "IFR"],
        rows=rows,
        options=tags,
    )


def _compared(view: View, tags: Sequence[OptionTag]) -> Section:
    """Compare how many failures it takes to lose each function that the rules ask for."""
    found = view.figures.airplane.failures
    names = list(dict.fromkeys(name for tag in tags for name in words.asked(found[tag.id])))
    rows = [
        [
            name[0].upper() + name[1:],
            *(words.fewest(found[tag.id].cut_sets.get(name)) for tag in tags),
        ]
        for name in names
    ]
    rows.sort(key=lambda row: len(set(row[1:])) == 1)
    table = Table(
        caption="Units that must fail together before it is lost",
        head=["What you lose", *({"option": tag} for tag in tags)],
        rows=rows,
    )
    said = (
        "1 means that a single failure takes it; 2 that two must fail together. First what the "
        "options differ in."
    )
    return Section(id="how-many", title="How many failures it takes", lines=[said], tables=[table])


def _section(view: View, tag: OptionTag) -> Section:
    found = view.figures.airplane.failures[tag.id]
    much = [each for each in found.failures if words.takes_much(found, each)]
    much.sort(key=lambda each: (-len(words.ended(each, found)), -len(each.lost)))
    lines = [words.missing(state) for state in found.rules if not state.met]
    lines += _unsupported(found)
    return Section(
        id=f"failures-{tag.id}",
        option=tag,
        lines=lines,
        tables=[*_matrix(found, much), *_small(found), _cuts(found)],
    )


def _unsupported(found: FailureFigures) -> list[str]:
    if not found.unsupported:
        return []
    return [f"As described these cannot work at all: {joined(list(found.unsupported))}."]


def _matrix(found: FailureFigures, much: Sequence[UnitFailure]) -> list[Table]:
    if not much:
        return []
    text = [{"label": label, "text": True} for label in ("You lose", "You keep", "To fly by")]
    return [
        Table(
            caption="One failure that takes several things",
            head=["If this goes dark", *text],
            rows=[_row(found, failure) for failure in much],
            cards=True,
        )
    ]


def _row(found: FailureFigures, failure: UnitFailure) -> list[Any]:
    dark = f"with it {joined(list(failure.dark))}" if failure.dark else ""
    return [
        {"value": failure.unit, "note": dark},
        words.lost(found, failure),
        words.kept(found, failure),
        words.rules_left(found, failure),
    ]


def _small(found: FailureFigures) -> list[Table]:
    """Group all other single failures by the flight rules they end, most of them first."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for failure in found.failures:
        if not words.takes_much(found, failure):
            key = (*words.ended(failure, found), "" if words.seen(found, failure.lost) else "none")
            groups.setdefault(key, []).append(words.with_loss(found, failure))
    rows = [[_ends(key), joined(groups[key])] for key in sorted(groups, key=_worst_first)]
    return [
        Table(
            caption="All other single failures",
            head=["What it ends", {"label": "Units (what goes)", "text": True}],
            rows=rows,
            cards=True,
        )
    ]


def _worst_first(key: tuple[str, ...]) -> tuple[int, bool, tuple[str, ...]]:
    return -len(key), bool(key[-1]), key


def _ends(key: tuple[str, ...]) -> str:
    *rules, nothing = key
    if nothing:
        return "Nothing: something else stands in"
    return f"Ends {joined(rules)}" if rules else "Ends none of the three"


def _cuts(found: FailureFigures) -> Table:
    """List each function's minimal cut sets of up to three units."""
    rows = []
    for name, sets in found.cut_sets.items():
        if name in found.means:
            continue
        told = "; ".join(words.cut(each) for each in sets[:MOST_CUTS])
        more = f"; and {len(sets) - MOST_CUTS} more" if len(sets) > MOST_CUTS else ""
        rows.append([name, f"{told}{more}" if told else "no set of up to three units"])
    return Table(
        caption="What must fail together to lose each function (minimal cut sets)",
        head=["Function", {"label": "Any one of these sets", "text": True}],
        rows=rows,
        folded=True,
    )
