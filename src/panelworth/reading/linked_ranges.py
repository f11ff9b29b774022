"""Checks of linked ranges: `like` must name an input, and must not lead back to its own input."""

from collections.abc import Iterator, Mapping

from panelworth.model.case import Input, WrittenCase, inputs_of, option_prefix
from panelworth.model.ledger_targets import named_options, named_targets
from panelworth.problems import Problem, did_you_mean, listed

PRICES = ("estimate", "quote", "invoice")  # kinds of rows that replace an input's value
HINT = "write the path of an input, such as aircraft.value or options.refit.items[Display].cost"


def check_linked_ranges(case: WrittenCase) -> Iterator[Problem]:
    """Yield the problems of each `like`. Whether it has an effect is checked in plausible/."""
    links = {
        input_.path: input_.quantity.like for input_ in _all_inputs(case) if input_.quantity.like
    }
    if not links:
        return
    known = {input_.path for input_ in case.inputs} | set(_ledger_prices(case))
    for path, like in links.items():
        if like not in known:
            yield _unknown(case, path, like, sorted(known))
    yield from _circles(case, {path: like for path, like in links.items() if path in known})


def _all_inputs(case: WrittenCase) -> Iterator[Input]:
    """Yield every input of a folder, with those of its equipment files.

    Those may have a `like`, but no `like` can name them: they are not in `case.inputs`.
    """
    yield from case.inputs
    if case.equipment:
        yield from inputs_of(case.equipment, "equipment.")
    for option_id, equipment in case.replacements.items():
        yield from inputs_of(equipment, f"{option_prefix(option_id)}equipment.")


def _ledger_prices(case: WrittenCase) -> Iterator[str]:
    """Yield the paths of prices that the ledger sets. The option files may leave them out."""
    for entry in case.ledger:
        for option_id in named_options(entry.option, case.options):
            if entry.kind in PRICES and option_id in case.options:
                option = case.options[option_id]
                targets, _ = named_targets(option, option_prefix(option_id), entry.item)
                yield from (target.price_path for target in targets)


def _unknown(case: WrittenCase, path: str, like: str, known: list[str]) -> Problem:
    expected, ids = "the path of an input", list(case.options)
    prefixes = map(option_prefix, ids)
    prefix = next((prefix for prefix in prefixes if path.startswith(prefix)), "")
    option_id = like.removeprefix("options.").partition(".")[0]
    if like in case.source_lines:
        # The key exists, but its value is not a quantity.
        expected = "the path of an input that takes a range"
        hint = "name another input, or remove like"
    elif prefix + like in known:
        hint = f'did you mean "{prefix}{like}"?'
    elif like.startswith("options.") and option_id not in ids:
        hint = did_you_mean(option_id, ids, f"there is no such option; there is {listed(ids)}")
    else:
        hint = did_you_mean(like, known, HINT)
    return _problem_at(case, path, expected, f'"{like}"', hint)


def _circles(case: WrittenCase, links: Mapping[str, str]) -> Iterator[Problem]:
    """Yield a problem for each circle, at the first input that belongs to it."""
    reported: set[str] = set()
    for path in links:
        chain = _chain(path, links)
        if chain[-1] == path and path not in reported:
            reported |= set(chain)
            hint = "remove one like: that range is then drawn on its own"
            expected = "a path that does not lead back to this input"
            yield _problem_at(case, path, expected, " → ".join(f'"{step}"' for step in chain), hint)


def _chain(path: str, links: Mapping[str, str]) -> list[str]:
    """Return the inputs from a range along `like`, to the last one or to the first repeated one."""
    chain = [path]
    while chain[-1] in links and links[chain[-1]] not in chain:
        chain.append(links[chain[-1]])
    return [*chain, links[chain[-1]]] if chain[-1] in links else chain


def _problem_at(case: WrittenCase, path: str, expected: str, found: str, hint: str) -> Problem:
    source = case.source_line_of(path)
    key = f"{case.path_in_file(path)}.like"
    return Problem(
        file=source.file, line=source.line, key=key, expected=expected, found=found, hint=hint
    )
