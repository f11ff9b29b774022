"""What one failure takes and leaves, in sentences: what you lose, keep, and may still fly."""

from collections.abc import Iterable, Sequence

from panelworth.engine.results_airplane import FailureFigures, RuleState, UnitFailure
from panelworth.publishing.formats import joined, plural
from panelworth.publishing.view import OptionTag

NOT_BY_THREE = "more than 3"


def seen(found: FailureFigures, names: Iterable[str]) -> list[str]:
    """Leave out what is of no use by itself, such as vacuum."""
    return [name for name in names if name not in found.means]


def asked(found: FailureFigures) -> list[str]:
    """Return every function that some flight rule asks for, each once."""
    return list(dict.fromkeys(name for state in found.rules for name in state.required))


def lost(found: FailureFigures, failure: UnitFailure) -> str:
    """List what a failure takes from the pilot."""
    return joined(seen(found, failure.lost)) or "nothing"


def kept(found: FailureFigures, failure: UnitFailure) -> str:
    """List what of the rules' functions stays; "everything else" where little is lost."""
    if len(seen(found, failure.lost)) <= 1:
        return "everything else"
    return joined([name for name in asked(found) if name in failure.kept]) or "nothing of these"


def rules_left(found: FailureFigures, failure: UnitFailure) -> str:
    """Say for which flight rules all functions are still there, and what the others miss."""
    before = {state.rule for state in found.rules if state.met}
    stay = [state.rule for state in failure.rules if state.met]
    gone = [state.rule for state in failure.rules if state.rule in before and not state.met]
    never = [state.rule for state in found.rules if not state.met]
    told = [f"{joined(stay)} still there"] if stay else []
    told += [f"{joined(gone)} gone"] if gone else []
    told += [f"{joined(never)} not there to begin with"] if never else []
    return "; ".join(told)


def sentence(found: FailureFigures, failure: UnitFailure) -> str:
    """Say the whole in one sentence."""
    return (
        f"If “{failure.unit}” fails: you lose {lost(found, failure)}; you keep "
        f"{kept(found, failure)}."
    )


def ended(failure: UnitFailure, found: FailureFigures) -> list[str]:
    """Return the rules that a failure ends."""
    before = {state.rule for state in found.rules if state.met}
    return [state.rule for state in failure.rules if state.rule in before and not state.met]


def takes_much(found: FailureFigures, failure: UnitFailure) -> bool:
    """Say whether a failure takes two things or more that a pilot sees."""
    return len(seen(found, failure.lost)) > 1


def count_ending(found: FailureFigures, rule: str) -> int:
    """Count the single failures that end a flight rule."""
    return sum(rule in ended(failure, found) for failure in found.failures)


def summary(tag: OptionTag, found: FailureFigures) -> str:
    """Say how many single failures end IFR and day VFR, and how many take several things."""
    many = sum(takes_much(found, failure) for failure in found.failures)
    day, ifr = count_ending(found, "day VFR"), count_ending(found, "IFR")
    missing = [state.rule for state in found.rules if not state.met]
    never = f" It has not all that {joined(missing)} asks for to begin with." if missing else ""
    return (
        f"With “{tag.title}” {plural(many, 'single failure')} "
        f"{'takes' if many == 1 else 'take'} several things at once; {day} of "
        f"{len(found.failures)} units end day VFR by failing alone, {ifr} end IFR.{never}"
    )


def missing(state: RuleState) -> str:
    """Say what a rule asks for that is not there with everything working."""
    return f"{state.rule} asks for {joined(list(state.missing))}, which nothing here provides."


def fewest(cuts: Sequence[Sequence[str]] | None) -> str:
    """Say how many units must fail together before a function is lost."""
    if cuts is None:
        return "not there"
    return str(min(len(each) for each in cuts)) if cuts else NOT_BY_THREE


def cut(names: Sequence[str]) -> str:
    """Write one minimal cut set."""
    return " + ".join(names)
