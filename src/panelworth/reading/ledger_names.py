"""Checks the names in a ledger: options, items, money in, jobs, purchase and sale."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from panelworth.model.case import WrittenCase, option_prefix
from panelworth.model.ledger import Entry, is_of
from panelworth.model.ledger_targets import (
    JOIN,
    MONEY_IN,
    Target,
    TargetKind,
    named_options,
    named_targets,
    targets_of,
)
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.problems import Problem, did_you_mean, listed

KIND_NAMES: Mapping[TargetKind, str] = {
    "items": "an item",
    "credits": "an entry of [[credits]]",
    "surprises": "a surprise",
    "jobs": "a job",
    "buy": "the purchase",
    "sell": "the sale",
}


def check_entries(case: WrittenCase) -> Iterator[Problem]:
    """Yield the unknown names in rows of an edition, whose file does not exist any more."""
    for entry in case.ledger:
        yield from ledger_names_of(case.options, list(case.options), case.scenario).problems(
            entry.line, entry.option, entry.item, entry.kind
        )


def ledger_names_of(
    options: Mapping[str, Option], ids: Sequence[str], scenario: Scenario | None
) -> "LedgerNames":
    """Return the names that rows can use; `ids` are those of all option files, readable or not."""
    jobs = [job.name for job in scenario.jobs] if scenario else []
    return LedgerNames(options=options, ids=ids, jobs=jobs)


@dataclass(frozen=True, kw_only=True)
class LedgerNames:
    """The names that rows can use: of the options that were read and the jobs of scenario.toml.

    `ids` has every option file. Rows of an option that could not be read are not checked, since
    its items are unknown.
    """

    options: Mapping[str, Option]
    ids: Sequence[str]
    jobs: Sequence[str]

    def problems(self, line: int, option: str, item: str, kind: str) -> Iterator[Problem]:
        """Yield the names in a row that are unknown or not allowed there."""
        named = named_options(option, self.ids)
        for option_id in named:
            if option_id in self.options:
                # A row of several options may be wrong for one of them only: the message names it.
                suffix = f" in {option_id}" if len(named) > 1 else ""
                yield from self._item_problems(line, item, kind, option_id, suffix)
            elif option_id not in self.ids:
                hint = did_you_mean(option_id, self.ids, f"there is {listed(list(self.ids))}")
                problem = _problem_at(line, "option", "the id of an option", f'"{option_id}"', hint)
                yield replace(problem, missing=option_id)

    def _item_problems(
        self, line: int, item: str, kind: str, option_id: str, suffix: str
    ) -> Iterator[Problem]:
        """Yield the problems of the names in a cell `item` for one option."""
        option, prefix = self.options[option_id], option_prefix(option_id)
        known = list(targets_of(option, prefix))
        yield from _ambiguous_names(line, item, kind, known)
        targets, unknown = named_targets(option, prefix, item)
        names = [
            name
            for target, target_names in known
            for name in target_names
            if _may_name(kind, target)
        ]
        for name in unknown:
            problem = self._unknown(line, name, option_id, names)
            yield replace(problem, expected=problem.expected + suffix)
        for target in targets:
            if not _may_name(kind, target):
                hint = "a credit row lowers what an item costs; write the sum itself as a quote"
                yield _problem_at(
                    line, "item", "an item's ledger key or name", f'"{target.name}"', hint
                )
        yield from _mixed_targets(line, item, targets)

    def _unknown(self, line: int, name: str, option_id: str, names: list[str]) -> Problem:
        if name in ("buy", "sell"):
            hint = f"write [{name}] in the option file, or remove the row"
            return _problem_at(line, "item", f"an option with [{name}]", f'"{name}"', hint)
        if name in self.jobs:
            hint = f"add it to jobs in options/{option_id}.toml, or remove the row"
            if self.options[option_id].drops_jobs:
                hint = "remove the row: the airplane that it belongs to is sold"
            return _problem_at(line, "item", "a job that the option includes", f'"{name}"', hint)
        hint = did_you_mean(name, names, f"there is {listed(names)}" if names else "there is none")
        return _problem_at(line, "item", "an item's ledger key or name", f'"{name}"', hint)


def _mixed_targets(line: int, item: str, targets: Sequence[Target]) -> Iterator[Problem]:
    """Refuse a row about nothing, and a row about both costs and money in."""
    if not item and not targets:
        yield _problem_at(
            line, "item", "an option with items", "none", "name what the row is about"
        )
    if len({target.kind in MONEY_IN for target in targets}) > 1:
        hint = "write a row for what is paid and one for what comes in"
        yield _problem_at(line, "item", "either what is paid or what comes in", f'"{item}"', hint)


def _may_name(kind: str, target: Target) -> bool:
    """Return whether a row of a kind may name a target: a credit lowers a cost, never money in."""
    return kind != "credit" or target.kind not in MONEY_IN


def _ambiguous_names(
    line: int, item: str, kind: str, known: Sequence[tuple[Target, tuple[str, ...]]]
) -> Iterator[Problem]:
    """Refuse a name that means two things, such as an item and an entry of money in."""
    for name in dict.fromkeys((item, *item.split(JOIN))):
        kinds = [
            target.kind for target, names in known if name in names and _may_name(kind, target)
        ]
        if len(kinds) > 1:
            hint = "give the item a ledger key of its own in the option file, and use it here"
            expected = f"either {' or '.join(map(KIND_NAMES.__getitem__, kinds))}"
            yield _problem_at(line, "item", expected, f'"{name}", which is both', hint)


def changes_without_quote(
    entries: Sequence[Entry], options: Mapping[str, Option]
) -> Iterator[Problem]:
    """Refuse a change of an item that has no earlier quote: a change is an addition to a quote.

    It is an addition to a quote of its own supplier, or of any if it names none.
    """
    quotes: list[Entry] = []
    for entry in sorted(entries, key=lambda row: (row.date, row.line)):
        if entry.kind == "quote":
            quotes.append(entry)
        if entry.kind != "change":
            continue
        own = [quote for quote in quotes if is_of(quote, entry.supplier)]
        quoted = {path for quote in own for path in _paths(quote, options)}
        if not _paths(entry, options) <= quoted:
            hint = "a change adds to the quote before it; write the quote first, or an estimate"
            expected = "a quote for the item before its change"
            if quotes and entry.supplier:
                expected = f"a quote by {entry.supplier} for the item before its change"
            yield _problem_at(entry.line, "kind", expected, "none", hint)


def _paths(entry: Entry, options: Mapping[str, Option]) -> set[str]:
    return {
        target.path
        for option_id in named_options(entry.option, options)
        if option_id in options
        for target in named_targets(options[option_id], option_prefix(option_id), entry.item)[0]
    }


def _problem_at(line: int, key: str, expected: str, found: str, hint: str = "") -> Problem:
    return Problem(file="", line=line, key=key, expected=expected, found=found, hint=hint)
