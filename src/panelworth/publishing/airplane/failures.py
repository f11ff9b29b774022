"""The page on failures: what goes when one thing goes, and how much it takes to lose it."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results_airplane import FailureFigures, UnitFailure
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import failure_words as words
from panelworth.publishing.airplane.names import RULES, headed, listed, said
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_page
from panelworth.publishing.caution_lines import FAILURES, MAINTENANCE
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import joined
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = noted("What do I lose if one thing fails?")
MOST_CUTS = 12
HOW = (
    noted(
        "A unit works when it has not failed and each of its needs is met by something that works. "
        "Every unit is failed alone, then every two and every three together. A set that loses a "
        "function, and from which none can be left out, is a minimal cut set; one of a single unit "
        "is a single point of failure."
    ),
    noted(
        "A battery counts as a source however short it lasts: the page on power tells its minutes. "
        "How likely a failure is plays no part."
    ),
    noted(
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
        how=[say(text) for text in HOW],
        cautions=[*FAILURES, *MAINTENANCE],
    )
    file, title = "failures.html", say("If it fails")
    return airplane_page(file=file, title=title, question=say(QUESTION), answer=answer)


def ending(view: View, tags: Sequence[OptionTag]) -> Chart | None:
    """Draw how many single failures end each flight rule, a bar an option."""
    found, data, rows = view.figures.airplane.failures, [], []
    for tag in tags:
        counts = {rule: words.count_ending(found[tag.id], rule) for rule in RULES}
        for rule, count in counts.items():
            if count is not None:
                whole = len(found[tag.id].failures)
                told = say("{count} of {whole} units", count=count, whole=whole)
                at = {"group": headed(rule), "option": tag.title}
                data.append({**at, "y": count, "told": told})
        never = say(words.NOT_THERE_AT_ALL)
        cells = [never if count is None else str(count) for count in counts.values()]
        rows.append([{"option": tag}, *cells])
    if not data:
        return None
    return Chart(
        id="ending",
        title=say("Single failures that end each kind of flying"),
        summary=say(
            "How many units, each failing alone, take away something that the flight rule asks "
            "for. Fewer is better; no bar: it is not there to begin with."
        ),
        spec=drawings.grouped(list(view.tags.values()), data, say("Units")),
        head=[say("Option"), *(headed(rule) for rule in RULES)],
        rows=rows,
        options=tags,
    )


def _compared(view: View, tags: Sequence[OptionTag]) -> Section:
    """Compare how many failures it takes to lose each function that the rules ask for."""
    found = view.figures.airplane.failures
    names = list(dict.fromkeys(name for tag in tags for name in words.asked(found[tag.id])))
    rows = [
        [
            headed(name),
            *(words.fewest(*_cuts_of(found[tag.id], name)) for tag in tags),
        ]
        for name in names
    ]
    rows.sort(key=lambda row: len(set(row[1:])) == 1)
    table = Table(
        caption=say("Units that must fail together before it is lost"),
        head=[say("What you lose"), *({"option": tag} for tag in tags)],
        rows=rows,
    )
    line = say(
        "1 means that a single failure takes it; 2 that two must fail together. First what the "
        "options differ in."
    )
    title = say("How many failures it takes")
    return Section(id="how-many", title=title, lines=[line], tables=[table])


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
    units = joined(list(found.unsupported))
    return [say("As described these cannot work at all: {units}.", units=units)]


def _matrix(found: FailureFigures, much: Sequence[UnitFailure]) -> list[Table]:
    if not much:
        return []
    labels = say("You lose"), say("You keep"), say("To fly by")
    text = [{"label": label, "text": True} for label in labels]
    return [
        Table(
            caption=say("One failure that takes several things"),
            head=[say("If this goes dark"), *text],
            rows=[_row(found, failure) for failure in much],
            cards=True,
        )
    ]


def _row(found: FailureFigures, failure: UnitFailure) -> list[Any]:
    dark = say("with it {units}", units=joined(list(failure.dark))) if failure.dark else ""
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
            caption=say("All other single failures"),
            head=[say("What it ends"), {"label": say("Units (what goes)"), "text": True}],
            rows=rows,
            cards=True,
        )
    ]


def _worst_first(key: tuple[str, ...]) -> tuple[int, bool, tuple[str, ...]]:
    return -len(key), bool(key[-1]), key


def _ends(key: tuple[str, ...]) -> str:
    *rules, nothing = key
    if nothing:
        return say("Nothing: something else stands in")
    return say("Ends {rules}", rules=listed(rules)) if rules else say("Ends none of the three")


def _cuts_of(found: FailureFigures, name: str) -> tuple[tuple[tuple[str, ...], ...] | None, int]:
    """Return a function's minimal cut sets, None where it is not there, and their largest size."""
    return found.cut_sets.get(name), found.largest_cut_sets.get(name, words.USUAL)


def _cuts(found: FailureFigures) -> Table:
    """List each function's minimal cut sets of up to three units."""
    rows = []
    for name, sets in found.cut_sets.items():
        if name in found.means:
            continue
        told = "; ".join(words.cut(each) for each in sets[:MOST_CUTS])
        more = len(sets) - MOST_CUTS + found.more_cut_sets[name]
        if more > 0:
            told = say("{sets}; and {more} more", sets=told, more=more)
        largest = found.largest_cut_sets[name]
        told = told or say("no set of up to {number} units", number=largest)
        if largest < words.USUAL:
            told = say(
                "{sets}. Sets of more than {number} units are not looked for: there are too many.",
                sets=told,
                number=largest,
            )
        rows.append([said(name), told])
    return Table(
        caption=say("What must fail together to lose each function (minimal cut sets)"),
        head=[say("Function"), {"label": say("Any one of these sets"), "text": True}],
        rows=rows,
        folded=True,
    )
