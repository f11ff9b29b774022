"""What a single failure takes and leaves, in sentences; never whether a flight may continue."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from panelworth.engine.results.airplane import (
    AirplaneFigures,
    FailureFigures,
    PowerLoss,
    RuleState,
    Span,
    UnitFailure,
)
from panelworth.engine.results.airplane_sums import count_ending, rules_ended
from panelworth.publishing.formats import joined
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag
from panelworth.publishing.words import power_words
from panelworth.publishing.words.airplane_names import GROUPS, listed, translated
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.sentences import joined_sentences

USUAL = 3  # units that fail together; fewer if there would be too many sets


def seen(figures: FailureFigures, names: Iterable[str]) -> list[str]:
    """Leave out functions that a pilot does not use directly, such as vacuum."""
    return [name for name in names if name not in figures.means]


def asked(figures: FailureFigures) -> list[str]:
    """Return the functions that any flight rule requires, without repetition."""
    return list(dict.fromkeys(name for state in figures.rules for name in state.required))


def lost(figures: FailureFigures, failure: UnitFailure) -> str:
    """List the functions that a failure takes from the pilot."""
    return listed(seen(figures, failure.lost)) or _("nothing")


def kept(figures: FailureFigures, failure: UnitFailure) -> str:
    """List the functions that remain: a complete group by its name, else one by one."""
    parts, wholes = _grouped(figures, failure.kept)
    texts = [joined(parts), joined(wholes)]
    return "; ".join(text for text in texts if text) or _("nothing of these")


def _grouped(figures: FailureFigures, names: Iterable[str]) -> tuple[list[str], list[str]]:
    """Return the remaining functions of incomplete groups, and the complete groups."""
    named, parts, wholes = set(names), [], []
    for group, members in GROUPS.items():
        had = [name for name in members if name in figures.functions]
        there = [name for name in had if name in named]
        if there == had and len(had) > 1:
            wholes.append(_(group))
        else:
            parts += [translated(name) for name in there]
    return parts, wholes


def with_loss(figures: FailureFigures, failure: UnitFailure) -> str:
    """Name a unit, with the functions lost if its name does not contain them."""
    gone = seen(figures, failure.lost)
    says_all = all(translated(name).casefold() in failure.unit.casefold() for name in gone)
    return failure.unit if says_all else f"{failure.unit} ({listed(gone)})"


def rules_left(figures: FailureFigures, failure: UnitFailure) -> str:
    """Say which functions that flight rules list are missing, and for which none is.

    Night VFR and IFR require all that day VFR requires, so its missing functions are named once.
    """
    before = {state.rule for state in figures.rules if state.met}
    gone = [state for state in failure.rules if state.rule in before and not state.met]
    stay = [state.rule for state in failure.rules if state.met]
    never = [state.rule for state in figures.rules if not state.met]
    texts = [*_missed(gone)]
    if stay:
        texts.append(_("all there for {rules}", rules=listed(stay)))
    if never:
        texts.append(_("never all there for {rules}", rules=listed(never)))
    return "; ".join(texts)


def _missed(gone: Sequence[RuleState]) -> Iterator[str]:
    first = gone[0].missing if gone else ()
    alike = [state.rule for state in gone if set(state.missing) == set(first)]
    if alike:
        words = {"rules": listed(alike), "functions": listed(first)}
        yield _("missing for {rules}: {functions}", **words)
    for state in gone:
        more = [name for name in state.missing if name not in first]
        if state.rule in alike:
            continue
        if len(more) < len(state.missing):
            yield _(
                "for {rule} also {functions}", rule=translated(state.rule), functions=listed(more)
            )
        else:
            words = {"rules": translated(state.rule), "functions": listed(more)}
            yield _("missing for {rules}: {functions}", **words)


def lost_with_power(
    figures: FailureFigures, at_once: UnitFailure, loss: PowerLoss, span: Span | None
) -> str:
    """Say what goes at once, that only a battery is left, how long at worst, and what to do."""
    lasts = _("how long it lasts is not in the files")
    if span is not None:
        lasts = _(
            "{minutes}, if it is healthy and all that is not essential is off",
            minutes=power_words.at_worst(span),
        )
    words = {
        "functions": listed(seen(figures, at_once.lost)) or _("nothing"),
        "sources": joined(list(loss.left)),
        "lasts": lasts,
    }
    if loss.certain:
        return _(
            "You lose {functions} at once. Only {sources} is left: {lasts}. Land while it lasts.",
            **words,
        )
    return _(
        "You lose {functions} at once. {sources} is left; if that is a battery: {lasts}. Land "
        "while it lasts.",
        **words,
    )


def takes_much(figures: FailureFigures, failure: UnitFailure) -> bool:
    """Say whether a failure takes two things or more that a pilot sees, and not just its own.

    False for a unit that stops no other unit and has no function that a flight rule requires.
    """
    several = len(seen(figures, failure.lost)) > 1
    return several and bool(failure.disabled or set(failure.lost) & set(asked(figures)))


def headline(tags: Sequence[OptionTag], failures: Mapping[str, FailureFigures]) -> str:
    """Say how many single failures would end a flight in cloud, from the fewest to the most."""
    counts = {tag: count_ending(failures[tag.id], "IFR") for tag in tags}
    known = {tag: count for tag, count in counts.items() if count is not None}
    never = [tag.short for tag, count in counts.items() if count is None]
    lacks = _("Not all that IFR asks for is there with {options}.", options=joined(never))
    return joined_sentences(_fewest_and_most(known) if known else "", lacks if never else "")


def _fewest_and_most(counts: Mapping[OptionTag, int]) -> str:
    low, high = min(counts.values()), max(counts.values())
    if low == high:
        return ngettext(
            "{count} single failure would end a flight in cloud (IFR) with {options}.",
            "{count} single failures would end a flight in cloud (IFR) with {options}.",
            low,
        ).format(count=low, options=names(counts))
    return _(
        "Single failures that would end a flight in cloud (IFR): fewest with {least}, {low}; most "
        "with {most}, {high}.",
        least=names(tag for tag, count in counts.items() if count == low),
        low=low,
        most=names(tag for tag, count in counts.items() if count == high),
        high=high,
    )


def worst(tags: Sequence[OptionTag], airplane: AirplaneFigures) -> str:
    """Name the failures that leave only a battery, and the worst of all others."""
    empty = grouped(tags, lambda tag: tuple(e.empty.unit for e in airplane.power_losses[tag.id]))
    most = grouped(tags, lambda tag: _takes_most(airplane, tag))
    alone = [(joined(list(units)), alike) for units, alike in empty if units]
    return joined_sentences(
        _listed(N_("Only a battery is left after: {failures}."), alone, tags),
        _listed(N_("Of the others, what takes most: {failures}."), most, tags),
    )


def _listed(
    text: str, groups: Sequence[tuple[str, Sequence[OptionTag]]], tags: Sequence[OptionTag]
) -> str:
    """Say which units, and with which options unless it is with all; "" where none is named."""
    named = [
        unit
        if len(alike) == len(tags)
        else _("{unit} with {options}", unit=unit, options=names(alike))
        for unit, alike in groups
        if unit
    ]
    return _(text, failures="; ".join(named)) if named else ""


def _takes_most(airplane: AirplaneFigures, tag: OptionTag) -> str:
    """Name the failure that takes most of what rules list; "" where none does."""
    figures = airplane.failures[tag.id]
    alone = {loss.empty.unit for loss in airplane.power_losses[tag.id]}
    rest = [
        failure
        for failure in figures.failures
        if failure.unit not in alone and rules_ended(figures, failure)
    ]
    if not rest:
        return ""
    return max(rest, key=lambda failure: severity(figures, failure)).unit


def severity(figures: FailureFigures, failure: UnitFailure) -> tuple[int, int]:
    """Order failures by the rules whose functions they take, then by what they take."""
    return len(rules_ended(figures, failure)), len(seen(figures, failure.lost))


def missing(state: RuleState) -> str:
    """Name the functions that a rule requires and that are missing even with all units working."""
    rule, functions = translated(state.rule), listed(state.missing)
    return _(
        "{rule} asks for {functions}, which nothing here provides.", rule=rule, functions=functions
    )


def fewest(cuts: Sequence[Sequence[str]] | None, largest: int = USUAL) -> str:
    """Say how many units must fail together before a function is lost.

    `largest` is the size up to which sets were looked for.
    """
    if cuts is None:
        return _("not there")
    if cuts:
        return str(min(len(cut_set) for cut_set in cuts))
    return _("more than {number}", number=largest)


def cut(names: Sequence[str]) -> str:
    """Write one minimal cut set."""
    return " + ".join(names)
