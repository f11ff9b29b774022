"""Small faults put into the engine, one at a time: do its tests notice? By hand, in some minutes.

    python tests/mutants.py 100 --seed 1 --only returns funding

A mutant is the engine with one operator, constant, condition, term or slice changed. Each is
written into a temporary copy of the tree, never into this one, and the engine's tests run there,
file by file, until one fails: the golden cases, which are quick, then what imports the module; at
the end, for the mutants that are left, all others. What no test notices is printed as a difference.
A mutant that changes nothing anybody can see is listed, with the reason, in
`mutants_equivalent.toml`. At least 97 in 100 of the rest should be noticed.
"""

import argparse
import ast
import difflib
import os
import shutil
import signal
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import numpy_financial  # noqa: F401 (loaded here: the process of each mutant has it already)
import playwright.sync_api  # noqa: F401
import pydantic  # noqa: F401
import pytest
import scipy.stats  # noqa: F401

ROOT = Path(__file__).parents[1]
ENGINE = Path("src/panelworth/engine")
COPIED = ("src", "tests", "templates", "scenarios", "pyproject.toml")
EQUIVALENT = Path(__file__).with_name("mutants_equivalent.toml")
LONGEST = 900  # seconds that the tests of a mutant may take: it may loop for ever
GOLDEN = "test_engine_golden.py"
COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
RECKONED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Div,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
}
TURNED = {"min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum"}
TURNED |= {"any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}

Change = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class Mutant:
    """A module, which of its places is changed, and what the line was and became."""

    module: Path
    number: int
    before: str
    after: str

    @property
    def told(self) -> str:
        """Say what was changed."""
        return f"{self.module.relative_to(ENGINE)}\n  - {self.before}\n  + {self.after}"


def compared(node: ast.Compare) -> Iterator[Change]:
    """Compare the other way."""
    yield lambda: node.ops.__setitem__(0, COMPARED[type(node.ops[0])]())


def reckoned(node: ast.BinOp | ast.AugAssign) -> Iterator[Change]:
    """Reckon the other way, and without the second term."""
    if type(node.op) in RECKONED:
        yield lambda: setattr(node, "op", RECKONED[type(node.op)]())
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        yield lambda: become(node, node.left)


def counted(node: ast.Constant) -> Iterator[Change]:
    """Take the next number."""
    if type(node.value) in (int, float):
        yield lambda: setattr(node, "value", node.value + 1)


def called(node: ast.Call) -> Iterator[Change]:
    """Call the opposite of a function."""
    if name_of(node.func) in TURNED:
        kept = "attr" if isinstance(node.func, ast.Attribute) else "id"
        yield lambda: setattr(node.func, kept, TURNED[name_of(node.func)])


def joined(node: ast.BoolOp) -> Iterator[Change]:
    """Ask for one of two conditions instead of both, or the other way about."""
    other = ast.Or if isinstance(node.op, ast.And) else ast.And
    yield lambda: setattr(node, "op", other())


def signed(node: ast.UnaryOp) -> Iterator[Change]:
    """Leave out a sign or a negation."""
    if isinstance(node.op, ast.USub | ast.Not):
        yield lambda: become(node, node.operand)


def tested(node: ast.If | ast.IfExp | ast.While) -> Iterator[Change]:
    """Ask for the opposite."""
    yield lambda: setattr(node, "test", negated(node.test))


def filtered(node: ast.comprehension) -> Iterator[Change]:
    """Keep what was left out."""
    if node.ifs:
        yield lambda: node.ifs.__setitem__(0, negated(node.ifs[0]))


def sliced(node: ast.Slice) -> Iterator[Change]:
    """Begin or end one place later."""
    for end in ("lower", "upper"):
        index = getattr(node, end)
        if index is not None:
            one_more = ast.BinOp(left=index, op=ast.Add(), right=ast.Constant(1))
            yield lambda end=end, one_more=one_more: setattr(node, end, one_more)


CHANGES: dict[type[ast.AST], Callable[..., Iterator[Change]]] = {
    ast.Compare: compared,
    ast.BinOp: reckoned,
    ast.AugAssign: reckoned,
    ast.Constant: counted,
    ast.Call: called,
    ast.BoolOp: joined,
    ast.UnaryOp: signed,
    ast.If: tested,
    ast.IfExp: tested,
    ast.While: tested,
    ast.comprehension: filtered,
    ast.Slice: sliced,
}


def changes(tree: ast.AST) -> Iterator[Change]:
    """Yield, for every place of a module that can be changed, what changes it there."""
    for node in ast.walk(tree):
        yield from CHANGES.get(type(node), lambda _: iter(()))(node)


def name_of(function: ast.expr) -> str:
    """Return the last name of a function that is called."""
    return getattr(function, "attr", getattr(function, "id", ""))


def become(node: ast.AST, other: ast.AST) -> None:
    """Make a node what another is."""
    node.__class__ = type(other)
    node.__dict__ = {**vars(other)}


def negated(test: ast.expr) -> ast.expr:
    """Return the opposite of a condition."""
    return ast.UnaryOp(op=ast.Not(), operand=test)


def mutated(source: str, number: int) -> tuple[str, str]:
    """Return a module as Python writes it, and with one of its places changed."""
    tree = ast.parse(source)
    plain = ast.unparse(tree)
    list(changes(tree))[number]()
    return plain, ast.unparse(ast.fix_missing_locations(tree))


def mutant_of(module: Path, number: int) -> Mutant:
    """Return a mutant of a module."""
    plain, other = mutated((ROOT / module).read_text(encoding="utf-8"), number)
    moved = list(difflib.ndiff(plain.splitlines(), other.splitlines()))
    before, after = (
        " ".join(line[2:].strip() for line in moved if line.startswith(mark))
        for mark in ("- ", "+ ")
    )
    return Mutant(module=module, number=number, before=before, after=after)


def sample(count: int, seed: int, only: list[str]) -> list[Mutant]:
    """Draw so many mutants from the engine, or from those of its parts that are named."""
    modules = sorted(path.relative_to(ROOT) for path in (ROOT / ENGINE).rglob("*.py"))
    within = [ENGINE / part for part in only] or [ENGINE]
    every = [
        (module, number)
        for module in modules
        if any(module.is_relative_to(part) for part in within)
        for number, _ in enumerate(changes(ast.parse((ROOT / module).read_text(encoding="utf-8"))))
    ]
    drawn = Random(seed).sample(every, min(count, len(every)))
    return [mutant_of(module, number) for module, number in drawn]


def equivalent(mutant: Mutant) -> str:
    """Return why nobody can see a mutant; "" where it can be seen."""
    listed = tomllib.loads(EQUIVALENT.read_text(encoding="utf-8")).get("mutant", [])
    name = mutant.module.relative_to(ENGINE).as_posix()
    key = (name, mutant.before, mutant.after)
    reasons = [each["reason"] for each in listed if key == tuple(each["was"])]
    return reasons[0] if reasons else ""


def tests_of(module: Path) -> tuple[list[str], list[str]]:
    """Return the golden cases and the tests that import a module; and the engine's others."""
    files = {each.name: each for each in sorted((ROOT / "tests").glob("test_engine_*.py"))}
    dotted = ".".join(module.with_suffix("").parts[1:]).removesuffix(".__init__")
    near = [name for name, each in files.items() if dotted in each.read_text(encoding="utf-8")]
    first = list(dict.fromkeys([GOLDEN, *near]))
    return first, [name for name in files if name not in first]


def passes(tree: Path, file: str) -> bool:
    """Run a file of tests in a tree, in a process of its own, until one fails."""
    child = os.fork()
    if child == 0:
        signal.alarm(LONGEST)
        os.chdir(tree)
        os.environ["PYTHONPATH"] = str(tree / "src")
        sys.path[:] = [str(tree / "src"), *(each for each in sys.path if "tests" not in each)]
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        os._exit(pytest.main(["-xq", "-p", "no:cacheprovider", f"tests/{file}"]))
    return os.waitpid(child, 0)[1] == 0


def copied(folder: Path) -> Path:
    """Copy what the tests need."""
    for name in COPIED:
        into = folder / name
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, into, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(ROOT / name, into)
    return folder


@cache
def sound(tree: Path, file: str) -> bool:
    """Say whether tests pass without a mutant; stop where they do not."""
    return passes(tree, file) or sys.exit(f"Mend this first, it fails as it is: {file}")


def survives(tree: Path, mutant: Mutant, files: list[str]) -> bool:
    """Run tests with a mutant in a copy of the tree, and remove it again."""
    there = tree / mutant.module
    written = there.read_text(encoding="utf-8")
    _, other = mutated(written, mutant.number)
    for file in files:
        sound(tree, file)
        there.write_text(other, encoding="utf-8")
        noticed = not passes(tree, file)
        there.write_text(written, encoding="utf-8")
        if noticed:
            return False
    return True


def tried(tree: Path, mutant: Mutant, files: list[str]) -> bool:
    """Say whether a mutant survives tests, and print it."""
    begun = time.monotonic()
    alive = survives(tree, mutant, files)
    word = f"left {mutant.told}" if alive else f"noticed {mutant.module.relative_to(ENGINE)}"
    print(f"{word} ({time.monotonic() - begun:.0f} s)", flush=True)
    return alive


def main() -> None:
    """Draw mutants, run the tests on each, and print those that were not noticed."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("count", type=int, nargs="?", default=100)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--only", nargs="*", default=[], help="parts of the engine: returns ...")
    given = asked.parse_args()
    drawn = sample(given.count, given.seed, given.only)
    seen = [mutant for mutant in drawn if not equivalent(mutant)]
    with TemporaryDirectory() as folder:
        tree = copied(Path(folder))
        left = [each for each in seen if tried(tree, each, tests_of(each.module)[0])]
        print(f"{len(left)} left: now all other tests of the engine", flush=True)
        left = [each for each in left if tried(tree, each, tests_of(each.module)[1])]
    unseen = len(drawn) - len(seen)
    print(f"{len(drawn)} mutants, {unseen} equivalent, {len(seen) - len(left)} noticed")
    print(*(mutant.told for mutant in left), sep="\n")


if __name__ == "__main__":
    main()
