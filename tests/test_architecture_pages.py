"""How pages and their words are put together: read off the syntax.

A page is at most six steps of imports from the formats, so that a reader sees soon where a string
comes from. Pages and words write figures; what is worked out is worked out by the engine.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "panelworth"
MODULES = {
    path.relative_to(PACKAGE).with_suffix("").as_posix(): ast.parse(path.read_text("utf-8"))
    for path in sorted(PACKAGE.rglob("*.py"))
}
FORMATS, MOST_STEPS = "publishing/formats", 6
PAGES = ("publishing/pages/", "publishing/paper/handout")
# The sentences of one page alone; all other modules of words/ are shared.
PAGE_WORDS = {
    "airplane": ("deferred_jobs", "failure", "inspection", "needs", "power", "weight"),
    "answer": ("answer",),
    "bill": ("bill",),
    "compare": ("compare", "made_of"),
    "costs": ("costs",),
    "dates": ("cash", "dates"),
    "handout": ("handout",),
    "option": ("after", "option", "price"),
    "quotes": ("change", "quotes"),
    "sure": ("sure",),
}
PAGE_OF_WORDS = {
    f"publishing/words/{name}_words": page for page, names in PAGE_WORDS.items() for name in names
}
WRITES_FIGURES = ("words", "pages", "paper", "terminal")
ARITHMETIC = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow)
ADDS_UP = ("sum", "fsum", "prod", "mean", "divmod")
# Module, or module and function: why it may work something out.
MAY_CALCULATE = {
    "publishing/words/rounding": "how finely a figure is told, to which step",
    "publishing/words/level_words:twentieths": "a share as a count of 20",
    "publishing/words/level_words:count_behind": "the rest of 20",
    "publishing/words/level_words:count_without": "the rest of 20",
    "publishing/words/level_words:far_apart": "counts of 20",
    "publishing/words/inspection_words:until": "days and months of a calendar",
    "publishing/words/starts_words:windows": "places in a list of weeks",
    "publishing/pages/airplane_failures:_beyond": "a count of sets",
    "publishing/pages/airplane_weight:_path": "the last place of a list",
    "publishing/pages/bill:_reach": "the end of a slider",
    "publishing/pages/compare_sliders:_shown": "the scale of a slider",
    "publishing/pages/compare_sliders:_scaled": "the scale of a slider",
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


def calculates(node: ast.AST) -> bool:
    """Say whether a node works out a number from others."""
    if isinstance(node, ast.BinOp):
        return isinstance(node.op, ARITHMETIC) and not is_text_or_list(node)
    if isinstance(node, ast.AugAssign):
        return isinstance(node.op, ARITHMETIC) and not is_text_or_list(node.value)
    if isinstance(node, ast.Call):
        called = node.func
        name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
        return name in ADDS_UP and not counts(node)
    return False


def calculations(tree: ast.AST, function: str = "") -> Iterator[tuple[str, int]]:
    """Yield the function and the line of all that is worked out in a module."""
    for node in ast.iter_child_nodes(tree):
        inside = node.name if isinstance(node, ast.FunctionDef) and not function else function
        if calculates(node):
            yield inside, getattr(node, "lineno", 0)
        yield from calculations(node, inside)


def calculating(module: str) -> list[tuple[str, int]]:
    """Return what a module works out though it may not: function and line."""
    return [
        (function, line)
        for function, line in calculations(MODULES[module])
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
def test_words_and_pages_work_nothing_out(folder: str) -> None:
    wrong = [
        f"{module}.py:{line} ({function})"
        for module in MODULES
        if module.startswith(f"publishing/{folder}/")
        for function, line in calculating(module)
    ]
    assert wrong == []


def test_what_may_calculate_does() -> None:
    """Each entry of the list of exceptions is needed."""
    used = {
        name
        for module in MODULES
        for function, _ in calculations(MODULES[module])
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
    ],
)
def test_arithmetic_is_told_from_texts_lists_and_counts(code: str, *, is_calculation: bool) -> None:
    assert bool(list(calculations(ast.parse(code)))) == is_calculation
