"""What rows of ledger.csv name: options, items, money in, jobs, the purchase, the sale."""

from collections.abc import Iterator, Mapping, Sequence

from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger import Entry
from panelworth.model.ledger_targets import Target, named_options, named_targets, targets_of
from panelworth.model.option import Option
from panelworth.problems import Problem, did_you_mean, listed

FILE = "ledger.csv"
MONEY_IN = ("credits", "sell")


def check_entries(case: Case) -> Iterator[Problem]:
    """Yield what rows name that is not there: those of an edition, which no file has any more."""
    for entry in case.ledger:
        yield from named(
            entry.line, entry.option, entry.item, entry.kind, case.options, list(case.options)
        )


def named(
    line: int, option: str, item: str, kind: str, options: Mapping[str, Option], ids: Sequence[str]
) -> Iterator[Problem]:
    """Yield what a row names that is not there, or that it may not name.

    `ids` names every option file; rows of one that could not be read are not matched.
    """
    for option_id in named_options(option, ids):
        if option_id in options:
            yield from _matches(line, item, kind, option_id, options[option_id])
        elif option_id not in ids:
            hint = did_you_mean(option_id, ids, f"there is {listed(list(ids))}")
            yield _at(line, "option", "the id of an option", f'"{option_id}"', hint)


def _matches(line: int, item: str, kind: str, option_id: str, option: Option) -> Iterator[Problem]:
    prefix = option_prefix(option_id)
    known = list(targets_of(option, prefix))
    yield from _twice_named(line, item, kind, known)
    found, unknown = named_targets(option, prefix, item)
    names = [name for target, each in known for name in each if _may_name(kind, target)]
    for name in unknown:
        if name in ("buy", "sell"):
            hint = f"write [{name}] in the option file, or take the row out"
            yield _at(line, "item", f"an option with [{name}]", f'"{name}"', hint)
            continue
        hint = did_you_mean(name, names, f"there is {listed(names)}" if names else "there is none")
        yield _at(line, "item", "an item's ledger key or name", f'"{name}"', hint)
    for target in found:
        if not _may_name(kind, target):
            hint = "a credit row lowers what an item costs; write the sum itself as a quote"
            yield _at(line, "item", "an item's ledger key or name", f'"{target.name}"', hint)
    if not item and not found:
        yield _at(line, "item", "an option with items", "none", "name what the row is about")
    if len({target.kind in MONEY_IN for target in found}) > 1:
        hint = "write a row for what is paid and one for what comes in"
        yield _at(line, "item", "either what is paid or what comes in", f'"{item}"', hint)


def _may_name(kind: str, target: Target) -> bool:
    return kind != "credit" or target.kind not in MONEY_IN


def _twice_named(
    line: int, item: str, kind: str, known: Sequence[tuple[Target, tuple[str, ...]]]
) -> Iterator[Problem]:
    """Refuse a name that is both an item's and an entry's of money in."""
    kinds = {target.kind for target, names in known if item in names}
    if kind != "credit" and {"items", "credits"} <= kinds:
        hint = "give the item a ledger key of its own in the option file, and use it here"
        expected = "either an item or an entry of [[credits]]"
        yield _at(line, "item", expected, f'"{item}", which is both', hint)


def changes_without_quote(
    entries: Sequence[Entry], options: Mapping[str, Option]
) -> Iterator[Problem]:
    """Refuse a change of something that has no quote before it."""
    quoted: set[str] = set()
    for entry in sorted(entries, key=lambda each: (each.date, each.line)):
        paths = _paths(entry, options)
        if entry.kind == "quote":
            quoted |= paths
        elif entry.kind == "change" and not paths <= quoted:
            hint = "a change adds to the quote before it; write the quote first, or an estimate"
            yield _at(entry.line, "kind", "a quote for the item before its change", "none", hint)


def _paths(entry: Entry, options: Mapping[str, Option]) -> set[str]:
    return {
        target.path
        for option_id in named_options(entry.option, options)
        if option_id in options
        for target in named_targets(options[option_id], option_prefix(option_id), entry.item)[0]
    }


def _at(line: int, key: str, expected: str, found: str, hint: str = "") -> Problem:
    return Problem(file=FILE, line=line, key=key, expected=expected, found=found, hint=hint)
