"""Sentences on single failures: functions lost and kept, never whether a flight may continue."""

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

USUAL = 3  # the usual largest number of units that fail together


def visible_functions(figures: FailureFigures, names: Iterable[str]) -> list[str]:
    """Return the functions that a pilot uses directly, without those such as vacuum."""
    return [name for name in names if name not in figures.means]


def required_functions(figures: FailureFigures) -> list[str]:
    """Return the functions that any flight rule requires, without repetition."""
    return list(dict.fromkeys(name for state in figures.rules for name in state.required))


def lost(figures: FailureFigures, failure: UnitFailure) -> str:
    """List the functions that a failure takes from the pilot."""
    return listed(visible_functions(figures, failure.lost)) or _("nothing")


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
        remaining = [name for name in had if name in named]
        if remaining == had and len(had) > 1:
            wholes.append(_(group))
        else:
            parts += [translated(name) for name in remaining]
    return parts, wholes


def with_loss(figures: FailureFigures, failure: UnitFailure) -> str:
    """Name a unit, with the functions lost if its name does not contain them."""
    lost_functions = visible_functions(figures, failure.lost)
    says_all = all(
        translated(name).casefold() in failure.unit.casefold() for name in lost_functions
    )
    return failure.unit if says_all else f"{failure.unit} ({listed(lost_functions)})"


def rules_left(figures: FailureFigures, failure: UnitFailure) -> str:
    """Say which functions are missing for which flight rules, and for which rules none is.

    Night VFR and IFR require all that day VFR requires, so its missing functions are named once.
    """
    before = {state.rule for state in figures.rules if state.met}
    missing_states = [state for state in failure.rules if state.rule in before and not state.met]
    stay = [state.rule for state in failure.rules if state.met]
    never = [state.rule for state in figures.rules if not state.met]
    texts = [*_missed(missing_states)]
    if stay:
        texts.append(_("all there for {rules}", rules=listed(stay)))
    if never:
        texts.append(_("never all there for {rules}", rules=listed(never)))
    return "; ".join(texts)


def _missed(missing_states: Sequence[RuleState]) -> Iterator[str]:
    first = missing_states[0].missing if missing_states else ()
    same_rules = [state.rule for state in missing_states if set(state.missing) == set(first)]
    if same_rules:
        words = {"rules": listed(same_rules), "functions": listed(first)}
        yield _("missing for {rules}: {functions}", **words)
    for state in missing_states:
        more = [name for name in state.missing if name not in first]
        if state.rule in same_rules:
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
    """Say what is lost at once, which battery is left, for how long at worst, and what to do."""
    lasts = _("how long it lasts is not in the files")
    if span is not None:
        lasts = _(
            "{minutes}, if it is healthy and all that is not essential is off",
            minutes=power_words.at_worst(span),
        )
    words = {
        "functions": listed(visible_functions(figures, at_once.lost)) or _("nothing"),
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
    """Say whether a failure takes two or more functions that a pilot uses, and has other effects.

    False for a unit that disables no other unit and has no function that a flight rule requires.
    """
    several = len(visible_functions(figures, failure.lost)) > 1
    return several and bool(
        failure.disabled or set(failure.lost) & set(required_functions(figures))
    )


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
    alone = [(joined(list(units)), group) for units, group in empty if units]
    return joined_sentences(
        _listed(N_("Only a battery is left after: {failures}."), alone, tags),
        _listed(N_("Of the others, what takes most: {failures}."), most, tags),
    )


def _listed(
    text: str, groups: Sequence[tuple[str, Sequence[OptionTag]]], tags: Sequence[OptionTag]
) -> str:
    """Name units with their options, unless these are all options; "" if there are none."""
    named = [
        unit
        if len(group) == len(tags)
        else _("{unit} with {options}", unit=unit, options=names(group))
        for unit, group in groups
        if unit
    ]
    return _(text, failures="; ".join(named)) if named else ""


def _takes_most(airplane: AirplaneFigures, tag: OptionTag) -> str:
    """Name the failure that takes most of the required functions; "" if none does."""
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
    """Return the sort key of a failure: rules that it violates, then functions that it takes."""
    return len(rules_ended(figures, failure)), len(visible_functions(figures, failure.lost))


def missing(state: RuleState) -> str:
    """Name the functions that a rule requires and that are missing even with all units working."""
    rule, functions = translated(state.rule), listed(state.missing)
    return _(
        "{rule} asks for {functions}, which nothing here provides.", rule=rule, functions=functions
    )


def fewest(cuts: Sequence[Sequence[str]] | None, largest: int = USUAL) -> str:
    """Say how many units must fail together before a function is lost.

    `largest` is the largest size of the sets that were searched.
    """
    if cuts is None:
        return _("not there")
    if cuts:
        return str(min(len(cut_set) for cut_set in cuts))
    return _("more than {number}", number=largest)


def cut(names: Sequence[str]) -> str:
    """Write one minimal cut set."""
    return " + ".join(names)
