"""How pages and their words are put together; these tests read the syntax of the modules.

A page is at most six steps of imports from the formats, so that a reader sees soon where a string
comes from. Pages and words only write figures: the engine calculates them. Charts also calculate
where a mark is on the page, but they add up no figures.
"""

import ast
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "panelworth"
MODULES = {
    path.relative_to(PACKAGE).with_suffix("").as_posix(): ast.parse(path.read_text("utf-8"))
    for path in sorted(PACKAGE.rglob("*.py"))
}
FORMATS, MOST_STEPS = "publishing/formats", 6
Rule = Callable[[ast.AST], bool]
PAGES = ("publishing/pages/", "publishing/paper/handout")
# The sentences of one page alone; all other modules of words/ are shared.
PAGE_WORDS = {
    "airplane": ("deferred_jobs", "failure", "inspection", "needs", "power", "squawk", "weight"),
    "answer": ("answer",),
    "bill": ("bill",),
    "compare": ("compare", "made_of"),
    "costs": ("costs",),
    "dates": ("cash", "dates"),
    "handout": ("handout",),
    "option": ("after", "option", "price"),
    "project": ("closing",),
    "quotes": ("change", "offer", "quotes"),
    "sure": ("sure",),
}
PAGE_OF_WORDS = {
    f"publishing/words/{name}_words": page for page, names in PAGE_WORDS.items() for name in names
}
WRITES_FIGURES = ("words", "pages", "paper", "terminal", "site")
ARITHMETIC = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow)
ADDS_UP = ("sum", "fsum", "prod", "mean", "divmod")
LIMITS = ("max", "min")
# Module, or module and function: why it may calculate.
MAY_CALCULATE = {
    "publishing/words/rounding": "to which step a figure is rounded",
    "publishing/words/cash_words:covered": "a share below 0 is written as 0",
    "publishing/words/level_words:twentieths": "a share as a count of 20",
    "publishing/words/level_words:count_behind": "the rest of 20",
    "publishing/words/level_words:count_without": "the rest of 20",
    "publishing/words/level_words:far_apart": "counts of 20",
    "publishing/words/inspection_words:until": "days and months of a calendar",
    "publishing/words/squawk_words:_years": "no more years than there are",
    "publishing/words/starts_words:windows": "places in a list of weeks",
    "publishing/pages/airplane_failures:_beyond": "a count of sets",
    "publishing/pages/airplane_weight:_path": "the last place of a list",
    "publishing/pages/bill:_reach": "the end of a slider",
    "publishing/pages/compare_sliders:_shown": "the scale of a slider",
    "publishing/pages/compare_sliders:_scaled": "the scale of a slider",
    "publishing/charts/pairs:_wins": "a count of futures",
    "publishing/charts/starts:_months": "years and months of a calendar",
    "publishing/site/calendar_file:calendar_ics": "a count of events with the same name",
    "publishing/site/calendar_file:_event": "the sequence number and the end that RFC 5545 defines",
    "publishing/site/files:_resolved": "joins paths",
    "publishing/site/folder": "joins paths, and sets the time until when to wait for a lock",
    "publishing/site/layout:_next": "a place in the list of pages",
    "publishing/site/note_bounds:_paragraphs": "lengths of texts and numbers of lines",
    "publishing/site/preview_state:_replace": "the number of a build",
    "publishing/site/preview_state:with_script": "joins texts",
    "publishing/site/sharing:description_of": "the length of a text",
    "publishing/terminal/tables": "widths of columns and places in a list",
}


@cache
def imports(module: str) -> frozenset[str]:
    """Return the modules of this package that a module imports."""
    names = set()
    for node in ast.walk(MODULES[module]):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("panelworth."):
            inside = str(node.module).removeprefix("panelworth.").replace(".", "/")
            names |= {inside, *(f"{inside}/{each.name}" for each in node.names)}
    return frozenset(names & set(MODULES))


@cache
def steps_to_formats(module: str) -> tuple[str, ...]:
    """Return the longest chain of imports from a module to the formats; empty if there is none."""
    if module == FORMATS:
        return (module,)
    chains = [steps_to_formats(each) for each in imports(module) if each.startswith("publishing/")]
    longest = max(chains, key=len, default=())
    return (module, *longest) if longest else ()


def page_of(module: str) -> str:
    """Return the page that a module of pages/ belongs to, or is: the first word of its name."""
    return module.rpartition("/")[2].partition("_")[0]


def is_text_or_list(node: ast.AST) -> bool:
    """Say whether a value is plainly a text or a list: to add such is no arithmetic."""
    if isinstance(node, ast.BinOp):
        return is_text_or_list(node.left) or is_text_or_list(node.right)
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str)
    return isinstance(node, ast.JoinedStr | ast.List | ast.ListComp)


def counts(call: ast.Call) -> bool:
    """Say whether a sum() adds up truth values or lengths, so that it counts."""
    if not call.args or not isinstance(call.args[0], ast.GeneratorExp):
        return False
    element = call.args[0].elt
    named = getattr(getattr(element, "func", None), "id", "")
    negated = isinstance(element, ast.UnaryOp) and isinstance(element.op, ast.Not)
    return isinstance(element, ast.Compare) or negated or named in ("len", "bool")


def adds_up(node: ast.AST) -> bool:
    """Say whether a node is a call that adds up or averages numbers."""
    return isinstance(node, ast.Call) and name_of(node) in ADDS_UP and not counts(node)


def name_of(call: ast.Call) -> str:
    """Return the name of the function that is called, without its module."""
    called = call.func
    return called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")


def limits(node: ast.AST) -> bool:
    """Say whether a node is a call that limits a number: max(number, 0.0).

    The largest of a list is not a calculation: a page may look for the figure to show. Neither is
    abs(), since words tell the direction where a page leaves out the sign.
    """
    return isinstance(node, ast.Call) and name_of(node) in LIMITS and len(node.args) > 1


def calculates(node: ast.AST) -> bool:
    """Say whether a node calculates a number from others."""
    if isinstance(node, ast.BinOp):
        return isinstance(node.op, ARITHMETIC) and not is_text_or_list(node)
    if isinstance(node, ast.AugAssign):
        return isinstance(node.op, ARITHMETIC) and not is_text_or_list(node.value)
    return adds_up(node) or limits(node)


def calculations(tree: ast.AST, rule: Rule, function: str = "") -> Iterator[tuple[str, int]]:
    """Yield the function and the line of all nodes of a module that a rule applies to."""
    for node in ast.iter_child_nodes(tree):
        inside = node.name if isinstance(node, ast.FunctionDef) and not function else function
        if rule(node):
            yield inside, getattr(node, "lineno", 0)
        yield from calculations(node, rule, inside)


def wrong_calculations(module: str, rule: Rule = calculates) -> list[tuple[str, int]]:
    """Return the function and the line of all that a module calculates and may not."""
    return [
        (function, line)
        for function, line in calculations(MODULES[module], rule)
        if module not in MAY_CALCULATE and f"{module}:{function}" not in MAY_CALCULATE
    ]


def test_a_page_is_few_steps_from_the_formats() -> None:
    chains = [steps_to_formats(module) for module in MODULES if module.startswith(PAGES)]
    assert len([chain for chain in chains if chain]) > 10
    assert [chain for chain in chains if len(chain) > MOST_STEPS + 1] == []


def test_pages_do_not_import_one_another() -> None:
    wrong = [
        (module, name)
        for module in MODULES
        if module.startswith("publishing/pages/")
        for name in imports(module)
        if name.startswith("publishing/pages/") and page_of(name) != page_of(module)
    ]
    assert wrong == []


def test_the_words_of_a_page_do_not_import_those_of_another() -> None:
    wrong = [
        (module, name)
        for module, page in PAGE_OF_WORDS.items()
        for name in imports(module)
        if PAGE_OF_WORDS.get(name, page) != page
    ]
    assert wrong == []


def test_shared_words_do_not_import_those_of_a_page() -> None:
    wrong = [
        (module, name)
        for module in MODULES
        if module.startswith("publishing/words/") and module not in PAGE_OF_WORDS
        for name in imports(module)
        if name in PAGE_OF_WORDS
    ]
    assert wrong == []


@pytest.mark.parametrize("folder", WRITES_FIGURES)
def test_words_and_pages_calculate_nothing(folder: str) -> None:
    wrong = [
        f"{module}.py:{line} ({function})"
        for module in MODULES
        if module.startswith(f"publishing/{folder}/")
        for function, line in wrong_calculations(module)
    ]
    assert wrong == []


def test_charts_add_up_no_figures() -> None:
    wrong = [
        f"{module}.py:{line} ({function})"
        for module in MODULES
        if module.startswith("publishing/charts/")
        for function, line in wrong_calculations(module, adds_up)
    ]
    assert wrong == []


def test_each_exception_is_needed() -> None:
    used = {
        name
        for module in MODULES
        for function, _ in calculations(MODULES[module], calculates)
        for name in (module, f"{module}:{function}")
    }
    assert set(MAY_CALCULATE) - used == set()


@pytest.mark.parametrize(
    ("code", "is_calculation"),
    [
        ("a - b", True),
        ("a * (1 + b)", True),
        ("math.fsum(each.likely for each in items)", True),
        ("total += each", True),
        ('"a" + b', False),
        ("rows += [row]", False),
        ("sum(bool(each) for each in items)", False),
        ("a | b", False),
        ("max(a, 0.0)", True),
        ("max(sums.values())", False),
    ],
)
def test_arithmetic_is_not_confused_with_texts_lists_and_counts(
    code: str, *, is_calculation: bool
) -> None:
    assert bool(list(calculations(ast.parse(code), calculates))) == is_calculation
