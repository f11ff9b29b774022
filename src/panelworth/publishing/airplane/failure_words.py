"""What one failure takes and leaves, in sentences: what you lose, keep, and may still fly."""

from collections.abc import Iterable, Mapping, Sequence

from panelworth.engine.results_airplane import FailureFigures, RuleState, UnitFailure
from panelworth.publishing.airplane.names import GROUPS, listed, said
from panelworth.publishing.formats import joined, quoted
from panelworth.publishing.language import noted, say, say_counted
from panelworth.publishing.sentences import joined_sentences
from panelworth.publishing.view import OptionTag

USUAL = 3  # units that fail together, unless there are too many sets of so many
NOT_THERE_AT_ALL = noted("not there to begin with")


def seen(found: FailureFigures, names: Iterable[str]) -> list[str]:
    """Leave out what is of no use by itself, such as vacuum."""
    return [name for name in names if name not in found.means]


def asked(found: FailureFigures) -> list[str]:
    """Return every function that some flight rule asks for, each once."""
    return list(dict.fromkeys(name for state in found.rules for name in state.required))


def lost(found: FailureFigures, failure: UnitFailure) -> str:
    """List what a failure takes from the pilot."""
    return listed(seen(found, failure.lost)) or say("nothing")


def kept(found: FailureFigures, failure: UnitFailure) -> str:
    """Say what stays: by name where a group is broken, as a whole where it is not."""
    parts, wholes = [], []
    for group, members in GROUPS.items():
        had = [name for name in members if name in found.functions]
        left = [name for name in had if name in failure.kept]
        if left and left != had:
            parts += [said(name) for name in left]
        elif left:
            wholes.append(say(group))
    told = [joined(parts), joined(wholes)]
    return "; ".join(each for each in told if each) or say("nothing of these")


def with_loss(found: FailureFigures, failure: UnitFailure) -> str:
    """Name a unit, and what goes with it where its name does not say so."""
    gone = seen(found, failure.lost)
    told = all(said(name).casefold() in failure.unit.casefold() for name in gone)
    return failure.unit if told else f"{failure.unit} ({listed(gone)})"


def rules_left(found: FailureFigures, failure: UnitFailure) -> str:
    """Say for which flight rules all functions are still there, and what the others miss."""
    before = {state.rule for state in found.rules if state.met}
    stay = [state.rule for state in failure.rules if state.met]
    gone = [state.rule for state in failure.rules if state.rule in before and not state.met]
    never = [state.rule for state in found.rules if not state.met]
    told = [say("{rules} still there", rules=listed(stay))] if stay else []
    told += [say("{rules} gone", rules=listed(gone))] if gone else []
    told += [say("{rules} not there to begin with", rules=listed(never))] if never else []
    return "; ".join(told)


def ended(failure: UnitFailure, found: FailureFigures) -> list[str]:
    """Return the rules that a failure ends."""
    before = {state.rule for state in found.rules if state.met}
    return [state.rule for state in failure.rules if state.rule in before and not state.met]


def takes_much(found: FailureFigures, failure: UnitFailure) -> bool:
    """Say whether a failure takes two things or more that a pilot sees, and not just its own.

    A unit that takes no other along and does nothing that a flight rule asks for is no such.
    """
    several = len(seen(found, failure.lost)) > 1
    return several and bool(failure.dark or set(failure.lost) & set(asked(found)))


def count_ending(found: FailureFigures, rule: str) -> int | None:
    """Count the single failures that end a flight rule, None where it is not met to begin with."""
    if not any(state.rule == rule and state.met for state in found.rules):
        return None
    return sum(rule in ended(failure, found) for failure in found.failures)


def headline(tags: Sequence[OptionTag], found: Mapping[str, FailureFigures]) -> str:
    """Say how many units of each option end IFR by failing alone."""
    counts = {tag.title: count_ending(found[tag.id], "IFR") for tag in tags}
    told = [
        say("{count} with “{option}”", count=count, option=title)
        for title, count in counts.items()
        if count is not None
    ]
    never = joined([quoted(title) for title, count in counts.items() if count is None])
    ends = say("Units that end IFR by failing alone: {counts}.", counts=joined(told))
    lacks = say("Not all that IFR asks for is there with {options}.", options=never)
    return joined_sentences(ends if told else "", lacks if never else "")


def summary(tag: OptionTag, found: FailureFigures) -> str:
    """Say how many single failures end day VFR, and which take several things at once."""
    much = [quoted(each.unit) for each in found.failures if takes_much(found, each)]
    several = say("several things at once go with {units}", units=joined(much))
    told = {"option": tag.title, "several": several if much else say("none takes much along")}
    count = count_ending(found, "day VFR")
    if count is None:
        return say("“{option}”: not all that day VFR asks for is there; {several}.", **told)
    return say_counted(
        "“{option}”: {count} of {whole} units ends day VFR by failing alone; {several}.",
        "“{option}”: {count} of {whole} units end day VFR by failing alone; {several}.",
        count,
    ).format(
        count=count,
        whole=len(found.failures),
        **told,
    )


def missing(state: RuleState) -> str:
    """Say what a rule asks for that is not there with everything working."""
    rule, functions = said(state.rule), listed(state.missing)
    return say(
        "{rule} asks for {functions}, which nothing here provides.", rule=rule, functions=functions
    )


def fewest(cuts: Sequence[Sequence[str]] | None, largest: int = USUAL) -> str:
    """Say how many units must fail together before a function is lost.

    `largest` is the size up to which sets were looked for.
    """
    if cuts is None:
        return say("not there")
    if cuts:
        return str(min(len(each) for each in cuts))
    return say("more than {number}", number=largest)


def cut(names: Sequence[str]) -> str:
    """Write one minimal cut set."""
    return " + ".join(names)
