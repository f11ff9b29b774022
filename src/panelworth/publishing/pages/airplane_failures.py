"""The section on failures: what a single failure takes, and which failures take a function."""

from collections.abc import Mapping, Sequence

from panelworth.engine.results.airplane import (
    FailureFigures,
    PowerLoss,
    UnitFailure,
)
from panelworth.engine.results.airplane_sums import (
    count_ending,
    rules_ended,
    unlisted_cut_sets,
)
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.publishing.formats import joined
from panelworth.publishing.language import N_, _
from panelworth.publishing.pages.airplane_sections import Entry, Listing, Part, Section, Table
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import failure_words as words
from panelworth.publishing.words.airplane_names import RULES, headed, listed
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE
from panelworth.publishing.words.sentences import joined_sentences

MOST_CUTS = 8  # sets that are listed; the others are counted
HOW = (
    N_(
        "A unit works when it has not failed and each of its needs is met by something that works. "
        "Every unit is failed alone, then every two and every three together. A set that loses a "
        "function, and from which none can be left out, is a minimal cut set; one of a single unit "
        "is a single point of failure."
    ),
    N_(
        "How likely a failure is plays no part. Functions are those that 14 CFR 91.205 (b), (c) "
        "and (d) list for day VFR, night VFR and IFR, as far as they are in the panel; other rules "
        "and the airplane's own equipment list ask for more."
    ),
)
# Shown beside counts and beside every list of remaining functions: neither permits a flight.
NO_COUNT = N_(
    "None of this is leave to fly: what is found inoperative is a matter of 14 CFR 91.213, the "
    "airplane's own papers and a mechanic."
)
NO_LEAVE = N_(
    "“All there” is no leave to fly: what is found inoperative is a matter of 14 CFR 91.213, the "
    "airplane's own papers and a mechanic."
)


def failures_section(view: View) -> Section | None:
    """Return the section on failures; None if no units are described."""
    failures = view.figures.airplane.failures
    tags = [tag for tag in view.tags.values() if tag.id in failures and failures[tag.id].failures]
    if not tags:
        return None
    return Section(
        id="fails",
        label=_("what fails"),
        question=_("What is lost if one thing fails?"),
        answer=[
            joined_sentences(
                words.headline(tags, failures), words.worst(tags, view.figures.airplane)
            )
        ],
        table=_counts(tags, failures),
        beside=[_(NO_COUNT)],
        cautions=[_(AIRPLANE_LINE)],
        more=_("Each failure, option by option"),
        parts=[_compared(view.figures, tags), *(_part(view, tag, tags[0]) for tag in tags)],
        how=[_(text) for text in HOW],
    )


def _counts(tags: Sequence[OptionTag], failures: Mapping[str, FailureFigures]) -> Table:
    """Return the number of units whose single failure violates a flight rule, by option."""
    rows = []
    for tag in tags:
        counts = [count_ending(failures[tag.id], rule) for rule in RULES]
        cells = [_("never met") if count is None else str(count) for count in counts]
        rows.append([{"option": tag}, *cells])
    caption = _("Units that, failing alone, take something 14 CFR 91.205 lists")
    return Table(caption=caption, head=[_("Option"), *(headed(rule) for rule in RULES)], rows=rows)


def _compared(figures: Figures, tags: Sequence[OptionTag]) -> Part:
    """Return how many units must fail to lose each required function, by option."""
    failures = figures.airplane.failures
    names = list(
        dict.fromkeys(name for tag in tags for name in words.required_functions(failures[tag.id]))
    )
    rows = [
        [
            headed(name),
            *(words.fewest(*_cuts_of(failures[tag.id], name)) for tag in tags),
        ]
        for name in names
    ]
    differ = [row for row in rows if len(set(row[1:])) > 1]
    table = Table(
        caption=_("Units that must fail together before it is lost"),
        head=[_("What you lose"), *(tag.short for tag in tags)],
        rows=differ,
    )
    lines = [
        _(
            "1 means that a single failure takes it; 2 that two must fail together. A battery "
            "counts as a source here, however short it lasts."
        ),
        *_equal_counts(rows),
    ]
    title = _("How many failures it takes")
    return Part(title=title, lines=lines, tables=[table] if differ else [])


def _equal_counts(rows: Sequence[Sequence[str]]) -> list[str]:
    """Name the functions with the same number for every option."""
    groups: dict[str, list[str]] = {}
    for name, *counts in rows:
        if len(set(counts)) == 1:
            groups.setdefault(counts[0], []).append(f"{name[:1].lower()}{name[1:]}")
    counted = [
        _("{count} for {functions}", count=count, functions=joined(names))
        for count, names in sorted(groups.items())
    ]
    return [_("With every option alike: {counts}.", counts="; ".join(counted))] if counted else []


def _part(view: View, tag: OptionTag, first: OptionTag) -> Part:
    """List the failures with an option; those equal to the first option's are only named."""
    failures = view.figures.airplane.failures[tag.id]
    lines = [_("{count} units were failed.", count=len(failures.failures))]
    lines += [words.missing(state) for state in failures.rules if not state.met]
    lines.extend(_unsupported(failures))
    listings = _listings(view, tag)
    if tag is not first:
        pairs = zip(listings, _listings(view, first), strict=True)
        listings = [_differing(shown, base, first) for shown, base in pairs]
    return Part(
        option=tag,
        lines=[*lines, _(NO_LEAVE)],
        listings=[shown for shown in listings if shown.entries or shown.after],
    )


def _listings(view: View, tag: OptionTag) -> list[Listing]:
    failures = view.figures.airplane.failures[tag.id]
    return [_severe(view.figures, tag), _other(view.figures, tag), _cuts(failures)]


def _differing(listing: Listing, base: Listing, first: OptionTag) -> Listing:
    """Return a listing without the entries that the first option has too; these are only named."""
    equal = [entry.term for entry in listing.entries if entry in base.entries]
    after = _("As with {option}: {things}.", option=first.short, things=joined(equal))
    return Listing(
        caption=listing.caption,
        entries=[entry for entry in listing.entries if entry not in base.entries],
        after=joined_sentences(after if equal else "", listing.after),
    )


def _unsupported(failures: FailureFigures) -> list[str]:
    if not failures.unsupported:
        return []
    units = joined(list(failures.unsupported))
    return [_("As described these cannot work at all: {units}.", units=units)]


def _severe(figures: Figures, tag: OptionTag) -> Listing:
    """List the units whose failure takes several functions; first those that leave a battery."""
    failures, losses = _failures_and_losses(figures, tag)
    alone = {loss.empty.unit for loss in losses}
    severe = [
        unit_failure
        for unit_failure in failures.failures
        if unit_failure.unit not in alone and words.takes_much(failures, unit_failure)
    ]
    severe.sort(key=lambda unit_failure: words.severity(failures, unit_failure), reverse=True)
    entries = [_power_entry(figures, tag, loss) for loss in losses]
    entries += [_entry(failures, failure) for failure in severe]
    return Listing(caption=_("One failure that takes several things"), entries=entries)


def _failures_and_losses(
    figures: Figures, tag: OptionTag
) -> tuple[FailureFigures, Sequence[PowerLoss]]:
    airplane = figures.airplane
    return airplane.failures[tag.id], airplane.power_losses[tag.id]


def _entry(failures: FailureFigures, failure: UnitFailure) -> Entry:
    disabled = (
        _("with it {units}", units=joined(list(failure.disabled))) if failure.disabled else ""
    )
    lines = [
        _("You lose {functions}.", functions=words.lost(failures, failure)),
        _("You keep {functions}.", functions=words.kept(failures, failure)),
        _("Of what 91.205 lists: {rules}.", rules=words.rules_left(failures, failure)),
    ]
    return Entry(term=failure.unit, note=disabled, lines=lines)


def _power_entry(figures: Figures, tag: OptionTag, loss: PowerLoss) -> Entry:
    """Describe a failure that leaves only a battery, before and after the battery is empty."""
    failures = _failures_and_losses(figures, tag)[0]
    power = figures.airplane.electrical.get(tag.id)
    at_once = next(failure for failure in failures.failures if failure.unit == loss.empty.unit)
    span = power.shortest_endurance if power else None
    lines = [
        words.lost_with_power(failures, at_once, loss, span),
        _(
            "You keep, when it is empty, for as long as other batteries last: {functions}.",
            functions=words.kept(failures, loss.empty),
        ),
        _(
            "Of what 91.205 lists, when it is empty: {rules}.",
            rules=words.rules_left(failures, loss.empty),
        ),
    ]
    return Entry(term=loss.empty.unit, lines=lines)


def _other(figures: Figures, tag: OptionTag) -> Listing:
    """Group all other single failures by the rules whose functions they take, most first."""
    failures, losses = _failures_and_losses(figures, tag)
    elsewhere = {loss.empty.unit for loss in losses} | {*failures.unsupported, *failures.idle}
    groups: dict[tuple[str, ...], list[str]] = {}
    for failure in failures.failures:
        if failure.unit not in elsewhere and not words.takes_much(failures, failure):
            key = (
                *rules_ended(failures, failure),
                "" if words.visible_functions(failures, failure.lost) else "none",
            )
            groups.setdefault(key, []).append(words.with_loss(failures, failure))
    entries = [
        Entry(term=_ends(key), lines=[joined(groups[key])])
        for key in sorted(groups, key=_worst_first)
    ]
    idle = [name for name in failures.idle if name not in failures.unsupported]
    if idle:
        term = _("Not known: the files name no function of it")
        entries.append(Entry(term=term, lines=[joined(idle)]))
    return Listing(caption=_("All other single failures"), entries=entries)


def _worst_first(key: tuple[str, ...]) -> tuple[int, bool, tuple[str, ...]]:
    return -len(key), bool(key[-1]), key


def _ends(key: tuple[str, ...]) -> str:
    *rules, no_function = key
    if no_function:
        return _("Nothing yet: something else stands in")
    if rules:
        return _("Something listed for {rules}", rules=listed(rules))
    return _("Nothing these rules list; others may")


def _cuts_of(failures: FailureFigures, name: str) -> tuple[tuple[tuple[str, ...], ...] | None, int]:
    """Return a function's minimal cut sets (None without the function) and their largest size."""
    return failures.cut_sets.get(name), failures.largest_cut_sets.get(name, words.USUAL)


def _cuts(failures: FailureFigures) -> Listing:
    """List the minimal cut sets of two units and three, each with the functions it takes.

    Sets of one unit are left out: they are listed as single failures.
    """
    groups: dict[tuple[str, ...], list[str]] = {}
    for name, sets in failures.cut_sets.items():
        for units in sets if name not in failures.means else ():
            if len(units) > 1:
                groups.setdefault(units, []).append(name)
    by_functions = sorted(groups, key=lambda units: len(groups[units]), reverse=True)
    # The smallest sets first. sorted() is stable: of these the ones that take most come first.
    ranked = sorted(by_functions, key=len)
    entries = [
        Entry(term=words.cut(units), lines=[listed(groups[units])]) for units in ranked[:MOST_CUTS]
    ]
    return Listing(
        caption=_("What takes more only if it fails together (minimal cut sets)"),
        entries=entries,
        after=_beyond(failures, len(ranked[MOST_CUTS:])),
    )


def _beyond(failures: FailureFigures, left: int) -> str:
    """Say how many sets are not listed, and up to which size they were searched."""
    unlisted = left + unlisted_cut_sets(failures)
    largest = min(failures.largest_cut_sets.values(), default=words.USUAL)
    more = _("{count} more sets.", count=unlisted) if unlisted > 0 else ""
    limit_note = _(
        "Sets of more than {number} units are not looked for: there are too many.", number=largest
    )
    return joined_sentences(more, limit_note if largest < words.USUAL else "")
