"""What may know what, who may write or print, and how large a piece may be: read off the syntax.

Data goes one way: reading turns files into records, the engine records into figures, publishing
figures into pages; only the command line and the package's three verbs see all of it.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

from panelworth.model.case import record_classes
from panelworth.model.option import Option
from panelworth.model.option_kind import OptionKind
from panelworth.model.scenario import Scenario

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "panelworth"
MODULES = {
    path.relative_to(PACKAGE).with_suffix("").as_posix(): ast.parse(path.read_text("utf-8"))
    for path in sorted(PACKAGE.rglob("*.py"))
}
ENTRIES = ("__main__", "command_line", "__init__")
MAY_IMPORT = {
    "problems": (),
    "plain_files": (),
    "model": ("model", "problems"),
    "reading": ("reading", "model", "plain_files", "problems"),
    "engine": ("engine", "model"),
    "plausible": (
        *("plausible", "engine.ledger.current_price", "engine.ledger.offers"),
        "engine.airplane.start_rules",
        *("engine.results.start", "model", "problems"),
    ),
    "publishing": ("publishing", "engine.results", "model", "plain_files", "problems"),
}
WRITES_TO_DISC = (
    "publishing/site/folder",  # a site, and a new scenario folder
    "publishing/desk/disc",  # a scenario folder that the user edits
)
WHOLE_NUMBERS = ("engine/vote/tally", "engine/results/vote")  # they add up ballots alone
KNOW_KINDS = (
    "model/option_kind",
    "engine/airplane/downtime",  # makes an option that keeps today's airplane
    "publishing/words/change_words",  # has a word for each choice a user can write
)
LISTENS = (
    "publishing/site/preview",
    "publishing/desk/server",  # answers requests that the preview's server receives
)
MAY_NAME_PATHS = (
    "publishing/workbook/names",  # names the cells of inputs by their paths
    "engine/editions/input_changes",  # tells which input differs between two editions
)
WRITING = {
    *("write_text", "write_bytes", "mkdir", "touch", "rename", "replace_file", "unlink", "rmdir"),
    *("symlink_to", "hardlink_to", "chmod", "makedirs", "rmtree", "copyfile", "copytree", "copy2"),
    *("move", "mkdtemp", "mkstemp", "NamedTemporaryFile", "TemporaryDirectory"),
}
READING = ("r", "rb", "rt")
CODE = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for folder in ("src", "templates", "tests")
    for path in sorted((ROOT / folder).rglob("*"))
    if path.suffix in (".py", ".js", ".css", ".html")
}
LONGEST_FILE, LONGEST_FUNCTION = 400, 60
VAGUE = re.compile(r"(^|_)(utils?|helpers?|common|misc|stuff)($|_)")
# In pieces, so that this file does not hold what it looks for.
OF_A_MACHINE = re.compile(
    rb"(?<![\w.-])/(?:" + rb"home|Users|root|work" + rb")/[\w.-]+|[A-Za-z]:\\+" + rb"Users\\"
)


def stage_of(module: str) -> str:
    """Return the stage that a module belongs to: its folder, or itself at the top."""
    return module.partition("/")[0]


def imports_of(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield line and dotted name of every module or name imported from this package.

    `from panelworth.a import b` yields a.b: b may be a module of a.
    """
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, each.name) for each in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: relative import"
            yield from ((node.lineno, f"{node.module}.{each.name}") for each in node.names)


def own_imports(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield line and name, without the package's, of what is imported from this package."""
    for line, name in imports_of(tree):
        if name == "panelworth":
            yield line, "__init__"
        elif name.startswith("panelworth."):
            inside = name.removeprefix("panelworth.")
            known = {each.partition("/")[0] for each in MODULES} - set(ENTRIES)
            yield line, inside if inside.partition(".")[0] in known else "__init__"


def allowed(name: str, prefixes: tuple[str, ...]) -> bool:
    """Say whether an imported name is one of these stages or modules, or within one."""
    return any(name == prefix or name.startswith(f"{prefix}.") for prefix in prefixes)


def calls_of(tree: ast.AST) -> Iterator[tuple[ast.Call, str, str]]:
    """Yield every call with the last name of what is called, and the name before its dot."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            if isinstance(called, ast.Attribute):
                yield node, called.attr, getattr(called.value, "id", "")
            else:
                yield node, getattr(called, "id", ""), ""


def writes(call: ast.Call, name: str, owner: str) -> bool:
    """Say whether a call writes to disc; an open() does unless its mode is plainly for reading."""
    if name != "open":
        return name in WRITING
    if owner == "webbrowser":
        return False
    modes = [each.value for each in call.keywords if each.arg == "mode"]
    modes += call.args[0 if owner else 1 :][:1]
    return any(not isinstance(mode, ast.Constant) or mode.value not in READING for mode in modes)


def functions_of(tree: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Yield every function and method."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def files_of_the_repository() -> Iterator[Path]:
    """Yield every file that is kept, caches and environments left out."""
    for path in sorted(ROOT.rglob("*")):
        inside = path.relative_to(ROOT).parts
        passed_over = {"__pycache__", "node_modules", "dist", "build"}
        hidden = any(part.startswith(".") and part not in (".ci", ".github") for part in inside)
        if not hidden and not passed_over & set(inside) and path.is_file():
            yield path


def looks_like_a_path() -> re.Pattern[str]:
    """Match a text without spaces in which a table or list of the model is followed by a key."""
    tables = {
        key
        for whole in (Scenario, Option)
        for record in record_classes(whole)
        for key, field in record.model_fields.items()
        if re.search(r"panelworth\.model\.(?!value)", str(field.annotation))
    }
    assert {"aircraft", "rates", "insurance", "items", "loan", "profiles"} <= tables
    return re.compile(rf"(?:^|\.)(?:options|{'|'.join(sorted(tables))})[.\[]\S*$")


def texts_of(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield line and text of every string, the fixed parts of f-strings among them."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value


def counts_or_is_exact(call: ast.Call) -> bool:
    """Say whether a built-in sum() adds what it adds alike in every Python.

    It does where it begins with an array or an exact number, and where it counts: its elements are
    comparisons, lengths, truth values.
    """
    if len(call.args) > 1:
        return isinstance(call.args[1], ast.Call)
    if not isinstance(call.args[0], ast.GeneratorExp):
        return False
    each = call.args[0].elt
    named = getattr(getattr(each, "func", None), "id", "")
    negated = isinstance(each, ast.UnaryOp) and isinstance(each.op, ast.Not)
    return isinstance(each, ast.Compare) or negated or named in ("len", "bool")


@pytest.mark.parametrize("stage", MAY_IMPORT)
def test_a_stage_knows_only_what_comes_before_it(stage: str) -> None:
    wrong = [
        f"{module}.py:{line}: {name}"
        for module, tree in MODULES.items()
        if stage_of(module) == stage
        for line, name in own_imports(tree)
        if not allowed(name, MAY_IMPORT[stage])
    ]
    assert wrong == []


def test_every_module_belongs_to_a_stage() -> None:
    assert {stage_of(module) for module in MODULES} - set(ENTRIES) <= set(MAY_IMPORT)


def test_nothing_inside_imports_the_package_s_three_verbs() -> None:
    wrong = [
        f"{module}.py:{line}"
        for module, tree in MODULES.items()
        if module not in ENTRIES
        for line, name in own_imports(tree)
        if name.partition(".")[0] in ENTRIES
    ]
    assert wrong == []


def test_no_module_is_named_for_nothing() -> None:
    assert [module for module in MODULES if any(map(VAGUE.search, module.split("/")))] == []


def test_only_two_modules_write_to_disc() -> None:
    wrong = [
        f"{module}.py:{call.lineno}: {name}"
        for module, tree in MODULES.items()
        if module not in WRITES_TO_DISC
        for call, name, owner in calls_of(tree)
        if writes(call, name, owner)
    ]
    assert wrong == []


def test_only_the_command_line_prints_and_sets_exit_codes() -> None:
    names = {"print", "exit", "quit", "_exit", "echo", "secho", "SystemExit"}
    wrong = [
        f"{module}.py:{call.lineno}: {name}"
        for module, tree in MODULES.items()
        if module not in ("__main__", "command_line")
        for call, name, _ in calls_of(tree)
        if name in names
    ]
    assert wrong == []


def test_the_engine_looks_at_no_file_or_log_and_nothing_at_the_clock() -> None:
    outside = {"os", "io", "pathlib", "time", "logging", "sys", "random", "subprocess", "socket"}
    wrong = [
        f"{module}.py:{line}: {name}"
        for module, tree in MODULES.items()
        if stage_of(module) in ("engine", "model")
        for line, name in imports_of(tree)
        if name.partition(".")[0] in outside
    ]
    clocks = [
        f"{module}.py:{call.lineno}: {owner}.{name}"
        for module, tree in MODULES.items()
        for call, name, owner in calls_of(tree)
        if owner in ("date", "datetime") and name in ("today", "now", "utcnow")
    ]
    assert wrong + clocks == []


def test_floats_are_added_up_by_fsum_alone() -> None:
    """The built-in sum() of floats gives other last digits from Python 3.12 on, so other bytes."""
    wrong = [
        f"{module}.py:{call.lineno}"
        for module, tree in MODULES.items()
        if stage_of(module) in ("engine", "publishing") and module not in WHOLE_NUMBERS
        for call, name, owner in calls_of(tree)
        if name == "sum" and not owner and isinstance(call.func, ast.Name)
        if not counts_or_is_exact(call)
    ]
    assert wrong == []


def test_engine_and_formulas_reach_inputs_by_attributes_and_not_by_paths() -> None:
    """So mypy finds a misspelt input, and a reader its rows: `trials.of(aircraft.fuel_price)`."""
    path = looks_like_a_path()
    found = {
        module: [f"{line}: {text}" for line, text in texts_of(tree) if path.search(text)]
        for module, tree in MODULES.items()
        if module.startswith(("engine/", "publishing/workbook/"))
    }
    for module in MAY_NAME_PATHS:
        assert found.pop(module)
    assert {module: texts for module, texts in found.items() if texts} == {}


@pytest.mark.parametrize(
    ("code", "is_one"),
    [
        ('values["aircraft.fuel_price"]', True),
        ('values[f"{prefix}items[{item.name}].cost"]', True),
        ('new("insurance.hull_rate")', True),
        ("trials.of(aircraft.fuel_price)", False),
    ],
)
def test_a_path_is_told_from_an_attribute(code: str, is_one: bool) -> None:  # noqa: FBT001
    texts = texts_of(ast.parse(code))
    assert any(looks_like_a_path().search(text) for _, text in texts) == is_one


def test_nothing_but_the_preview_opens_the_network() -> None:
    nets = {"urllib.request", "http", "socket", "requests", "httpx", "aiohttp", "ssl", "ftplib"}
    nets |= {"asyncio", "starlette", "uvicorn"}
    wrong = [
        f"{module}.py:{line}: {name}"
        for module, tree in MODULES.items()
        if module not in LISTENS
        for line, name in imports_of(tree)
        if allowed(name, tuple(nets))
    ]
    assert wrong == []


def test_a_kind_of_option_is_compared_in_one_module() -> None:
    """Ledger rows, deadlines and votes have kinds of their own, with other values."""
    wrong = [
        f"{module}.py:{node.lineno}: {node.value}"
        for module, tree in MODULES.items()
        if module not in KNOW_KINDS
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and node.value in get_args(OptionKind)
    ]
    assert wrong == []


def test_no_file_is_longer_than_can_be_kept_in_mind() -> None:
    lengths = {name: text.count("\n") for name, text in CODE.items()}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE} == {}


def test_no_function_is_longer_than_a_page() -> None:
    lengths = {
        f"{name}:{function.lineno}": (function.end_lineno or 0) - function.lineno + 1
        for name, text in CODE.items()
        if name.endswith(".py")
        for function in functions_of(ast.parse(text))
    }
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FUNCTION} == {}


@pytest.mark.parametrize("module", MODULES)
def test_every_module_says_what_it_is_for(module: str) -> None:
    assert ast.get_docstring(MODULES[module])


def test_no_file_names_a_place_on_one_machine() -> None:
    found = {
        str(path.relative_to(ROOT)): sorted(set(OF_A_MACHINE.findall(path.read_bytes())))[:3]
        for path in files_of_the_repository()
    }
    assert {name: places for name, places in found.items() if places} == {}


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        (b"/" + b"home/ann/club", True),
        (b"see C:" + b"\\Users\\ann", True),
        (b"file:///" + b"Users/ann", True),
        (b"https://example.org/home/club", False),
        (b"<a href=../work/x>", False),
        (b"/usr/bin/env python", False),
    ],
)
def test_a_place_on_one_machine_is_told_from_an_address(text: bytes, is_one: bool) -> None:  # noqa: FBT001
    assert bool(OF_A_MACHINE.search(text)) == is_one
