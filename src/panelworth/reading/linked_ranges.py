"""Checks of linked ranges: `like` must name an input, and must not lead back to itself."""

from collections.abc import Iterator, Mapping

from panelworth.model.case import Input, WrittenCase, inputs_of, option_prefix
from panelworth.model.ledger_targets import named_options, named_targets
from panelworth.problems import Problem, did_you_mean, listed

PRICES = ("estimate", "quote", "invoice")  # kinds of rows that replace an input's value
HINT = "write the path of an input, such as aircraft.value or options.refit.items[Display].cost"


def check_linked_ranges(case: WrittenCase) -> Iterator[Problem]:
    """Yield the problems of each `like`. Whether it has an effect is checked in plausible/."""
    follows = {given.path: given.quantity.like for given in _written(case) if given.quantity.like}
    if not follows:
        return
    known = {given.path for given in case.inputs} | set(_priced(case))
    for path, like in follows.items():
        if like not in known:
            yield _unknown(case, path, like, sorted(known))
    yield from _circles(case, {path: like for path, like in follows.items() if path in known})


def _written(case: WrittenCase) -> Iterator[Input]:
    """Yield every quantity of a folder, with those of equipment, which `like` cannot name."""
    yield from case.inputs
    if case.equipment:
        yield from inputs_of(case.equipment, "equipment.")
    for option_id, equipment in case.replacements.items():
        yield from inputs_of(equipment, f"{option_prefix(option_id)}equipment.")


def _priced(case: WrittenCase) -> Iterator[str]:
    """Yield the paths of prices that the ledger sets, which may be missing in the files."""
    for entry in case.ledger:
        for option_id in named_options(entry.option, case.options):
            if entry.kind in PRICES and option_id in case.options:
                option = case.options[option_id]
                targets, _ = named_targets(option, option_prefix(option_id), entry.item)
                yield from (target.price_path for target in targets)


def _unknown(case: WrittenCase, path: str, like: str, known: list[str]) -> Problem:
    expected, ids = "the path of an input", list(case.options)
    prefix = next((option_prefix(each) for each in ids if path.startswith(option_prefix(each))), "")
    option_id = like.removeprefix("options.").partition(".")[0]
    if like in case.source_lines:
        expected, hint = (
            "the path of an input that takes a range",
            "name another input, or remove like",
        )
    elif prefix + like in known:
        hint = f'did you mean "{prefix}{like}"?'
    elif like.startswith("options.") and option_id not in ids:
        hint = did_you_mean(option_id, ids, f"there is no such option; there is {listed(ids)}")
    else:
        hint = did_you_mean(like, known, HINT)
    return _at(case, path, expected, f'"{like}"', hint)


def _circles(case: WrittenCase, follows: Mapping[str, str]) -> Iterator[Problem]:
    """Yield each circle once, at its first input."""
    reported: set[str] = set()
    for path in follows:
        chain = _chain(path, follows)
        if chain[-1] == path and path not in reported:
            reported |= set(chain)
            hint = "remove one like: that range is then drawn on its own"
            expected = "a path that does not lead back to this input"
            yield _at(case, path, expected, " → ".join(f'"{step}"' for step in chain), hint)


def _chain(path: str, follows: Mapping[str, str]) -> list[str]:
    """Return the chain of a range's `like`, to its end or to the first repeated input."""
    chain = [path]
    while chain[-1] in follows and follows[chain[-1]] not in chain:
        chain.append(follows[chain[-1]])
    return [*chain, follows[chain[-1]]] if chain[-1] in follows else chain


def _at(case: WrittenCase, path: str, expected: str, found: str, hint: str) -> Problem:
    source = case.source_line_of(path)
    key = f"{case.in_its_file(path)}.like"
    return Problem(
        file=source.file, line=source.line, key=key, expected=expected, found=found, hint=hint
    )
