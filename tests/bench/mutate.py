"""Does any test notice when a formula is wrong? Change one number or operator at a time and run the tests.

    python tests/bench/mutate.py headparts/mechanics                    every module of the room
    python tests/bench/mutate.py headparts/mechanics/thermal.py         one module
    python tests/bench/mutate.py headparts/tables --list                only say what would be changed

Each number is changed by 1 % (0 becomes 0.01), each operator is turned into its opposite: + and -, * and /,
** into *, < and <= into each other and into >= and >, == and !=, and / or, & / |, a minus or ``not`` taken
away, minimum / maximum and sin / cos swapped. No file is touched: the changed code is put into the loaded
functions of a forked process, which runs the tests of the module until one fails. The examples in docstrings
do not count, since they are the package's own output. Needs a system with ``fork``. Not part of the test
suite.
"""

from __future__ import annotations

import argparse
import ast
import copy
import dataclasses
import importlib
import os
import re
import select
import signal
import sys
import time
import types
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("tests/mechanics", "tests/published", "tests/stories", "tests/tables")
LIMIT = 60.0
"""[s] a changed formula that takes longer than this is noticed, too."""
LEFT_OUT = ("test_example_runs", "test_docstring_of_a_formula", "subprocess", "test_a_fit_is_printed")

SWAPS: dict[type, tuple[type, ...]] = {
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult,), ast.Pow: (ast.Mult,),
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt), ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,), ast.And: (ast.Or,), ast.Or: (ast.And,), ast.BitAnd: (ast.BitOr,),
    ast.BitOr: (ast.BitAnd,),
}  # fmt: skip
NAMES = {"minimum": "maximum", "maximum": "minimum", "sin": "cos", "cos": "sin", "min": "max", "max": "min"}


@dataclasses.dataclass(frozen=True)
class Mutant:
    """One change: where it stands, the line before and after, and the whole changed module."""

    line: int
    before: str
    after: str
    tree: ast.Module


def sites(tree: ast.AST) -> Iterator[ast.AST]:
    """Nodes of code that runs: no annotations, no docstrings, no imports."""
    for name, field in ast.iter_fields(tree):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for node in field if isinstance(field, list) else [field]:
            if isinstance(node, ast.AST) and not isinstance(
                node, (ast.Import, ast.ImportFrom, ast.JoinedStr)
            ):
                yield node
                yield from sites(node)


def changes(node: ast.AST) -> Iterator[Callable[[], Callable[[], None]]]:
    """For each change of a node, a function that makes it and returns the one that takes it back."""

    def put(owner: Any, field: str, value: Any) -> Callable[[], Callable[[], None]]:
        def apply() -> Callable[[], None]:
            old = getattr(owner, field)
            setattr(owner, field, value)
            return lambda: setattr(owner, field, old)

        return apply

    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield put(node, "value", node.value * 1.01 if node.value else 0.01)
    elif isinstance(node, (ast.BinOp, ast.BoolOp, ast.AugAssign)):
        for swap in SWAPS.get(type(node.op), ()):
            yield put(node, "op", swap())
    elif isinstance(node, ast.Compare):
        for place, operator in enumerate(node.ops):
            for swap in SWAPS.get(type(operator), ()):
                yield put(node, "ops", [*node.ops[:place], swap(), *node.ops[place + 1 :]])
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, (ast.USub, ast.Not)):
        yield put(node, "op", ast.UAdd() if isinstance(node.op, ast.USub) else _Twice())
    elif isinstance(node, ast.Attribute) and node.attr in NAMES:
        yield put(node, "attr", NAMES[node.attr])
    elif isinstance(node, ast.Name) and node.id in NAMES:
        yield put(node, "id", NAMES[node.id])


class _Twice(ast.Not):
    """Marks a ``not`` to be taken away."""


class _TakeAway(ast.NodeTransformer):
    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        self.generic_visit(node)
        return node.operand if isinstance(node.op, _Twice) else node


def mutants(text: str) -> Iterator[Mutant]:
    """Every change of a module, each on a fresh copy of it."""
    tree = ast.parse(text)
    for node in list(sites(tree)):
        for change in changes(node):
            before = ast.unparse(node)
            undo = change()
            changed = ast.fix_missing_locations(_TakeAway().visit(copy.deepcopy(tree)))
            after = ast.unparse(_TakeAway().visit(copy.deepcopy(node)))
            undo()
            yield Mutant(getattr(node, "lineno", 0), before, after, changed)


def install(module: types.ModuleType, mutant: Mutant) -> None:
    """Put the changed code into the functions, classes and constants that are loaded already."""
    fresh = types.ModuleType(module.__name__)
    fresh.__file__ = module.__file__
    loaded = sys.modules[module.__name__]
    sys.modules[module.__name__] = fresh  # dataclasses look their module up while they are made
    checks = getattr(sys.modules.get("headparts.checks.registry"), "REGISTRY", [])
    registered = list(checks)
    try:
        exec(compile(mutant.tree, str(module.__file__), "exec"), fresh.__dict__)
    finally:
        sys.modules[module.__name__] = loaded
        checks[:] = registered  # a check that is asked twice would be noticed whatever was changed
    _transplant(module.__dict__, fresh.__dict__, module.__name__)
    for other in list(sys.modules.values()):
        for thing in list(vars(other).values()) if (other.__name__ or "").startswith("headparts.") else ():
            if callable(getattr(thing, "cache_clear", None)):
                thing.cache_clear()


def _transplant(old: Any, new: Any, home: str) -> None:
    for name, value in list(new.items()):
        mine = old.get(name)
        value, mine = (getattr(item, "__wrapped__", item) for item in (value, mine))
        value, mine = (item.fget if isinstance(item, property) else item for item in (value, mine))
        if isinstance(mine, types.FunctionType) and isinstance(value, types.FunctionType):
            if mine.__module__ == home:
                mine.__defaults__, mine.__kwdefaults__ = value.__defaults__, value.__kwdefaults__
                if not mine.__code__.co_freevars:
                    mine.__code__ = value.__code__
        elif isinstance(mine, type) and isinstance(value, type):
            if mine.__module__ == home:
                _transplant(vars(mine), vars(value), home)
        elif dataclasses.is_dataclass(mine) and not isinstance(mine, type) and name.strip("_").isupper():
            for field in dataclasses.fields(mine):
                object.__setattr__(mine, field.name, getattr(value, field.name))
        elif isinstance(mine, (int, float, tuple, dict, str)) and name.strip("_").isupper() and mine != value:
            for other in list(sys.modules.values()):
                for key, held in list(vars(other).items()):
                    if held is mine:
                        setattr(other, key, value)


class Runner:
    """Collects the tests once; then one forked process for each mutant runs them until one fails."""

    def __init__(self, files: list[Path]) -> None:
        self.files, self.failed = files, False

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Take the place of the usual loop."""
        items = [item for item in session.items if not any(word in item.nodeid for word in LEFT_OUT)]
        print(f"{len(items)} tests collected", flush=True)
        for file in self.files:
            self._one(file, items)
        return True

    def _one(self, file: Path, items: list[pytest.Item]) -> None:
        name = ".".join(file.relative_to(ROOT).with_suffix("").parts)
        module, short = importlib.import_module(name), name.split(".")[-1]
        texts = {item.path: item.path.read_text(encoding="utf-8") for item in items}
        near = {path for path, text in texts.items() if _speaks_of(text, name, short)}
        wanted = [item for item in items if item.path in near or not near]  # plumbing: all of them
        taken: dict[str, float] = {}
        wrong = _failing(wanted, lambda: None, taken)
        if wrong is not None:
            print(f"{name}: {wrong} fails without any change", flush=True)
            return
        wanted.sort(key=lambda item: taken.get(item.nodeid, LIMIT))  # quick ones first
        begun, killed, total, left = time.monotonic(), 0, 0, []
        for mutant in mutants(file.read_text(encoding="utf-8")):
            total += 1
            found = _failing(wanted, lambda mutant=mutant: install(module, mutant))
            if found is None:
                left.append(mutant)
                continue
            killed += 1
            wanted.sort(key=lambda item: item.nodeid != found)  # what failed once is asked first
        share = 100 * killed / total if total else 100.0
        taken = time.monotonic() - begun
        print(
            f"{name}: {killed} of {total} noticed, {share:.1f} % ({taken:.0f} s, {len(wanted)} tests)",
            flush=True,
        )
        for mutant in left:
            print(f"    line {mutant.line}: {mutant.before}  ->  {mutant.after}", flush=True)


def _speaks_of(text: str, name: str, short: str) -> bool:
    """Does a test file import the module, by its whole name or from its room?"""
    room = re.escape(name.rpartition(".")[0])
    return re.search(rf"{room}\.{short}\b|from {room} import [^#]*?\b{short}\b", text) is not None


def _failing(
    items: list[pytest.Item], prepare: Callable[[], None], taken: dict[str, float] | None = None
) -> str | None:
    """Name of the first test that fails in a forked process, "time" or "crash", or None; ``taken`` gets their times."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        with (
            open(os.devnull, "w", encoding="utf-8") as nowhere,
            open(writing, "w", encoding="utf-8") as answer,
        ):
            os.dup2(nowhere.fileno(), 1)
            os.dup2(nowhere.fileno(), 2)
            _run(items, prepare, answer)
            answer.flush()
            os._exit(0)
    os.close(writing)
    wait = LIMIT if taken is None else 10 * LIMIT
    said = ""
    with open(reading, encoding="utf-8") as answer:
        while select.select([answer], [], [], wait)[0] and (line := answer.readline()):
            what, _, rest = line.rstrip("\n").partition(" ")
            if what != "passed":
                said = line.rstrip("\n")
                break
            seconds, _, nodeid = rest.partition(" ")
            if taken is not None:
                taken[nodeid] = float(seconds)
    if not said:
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None if said == "all passed" else said.removeprefix("failed ") or "time or crash"


def _run(items: list[pytest.Item], prepare: Callable[[], None], answer: IO[str]) -> None:
    try:
        prepare()
        for item in items:
            begun = time.perf_counter()
            if any(report.failed for report in _reports(item)):
                print("failed", item.nodeid, file=answer, flush=True)
                return
            print("passed", round(time.perf_counter() - begun, 6), item.nodeid, file=answer, flush=True)
        print("all passed", file=answer, flush=True)
    except BaseException as error:
        print("crash:", type(error).__name__, str(error).replace("\n", " "), file=answer, flush=True)


def _reports(item: pytest.Item) -> list[pytest.TestReport]:
    from _pytest.runner import runtestprotocol

    return runtestprotocol(item, log=False, nextitem=None)


def main() -> int:
    """Change, run, print."""
    options = argparse.ArgumentParser(
        description="Change one number or operator at a time and run the tests."
    )
    options.add_argument("where", nargs="+", help="a folder of modules, or modules")
    options.add_argument("--list", action="store_true", help="only print the changes")
    options.add_argument("--tests", nargs="+", default=list(ROOMS))
    asked = options.parse_args()
    files: list[Path] = []
    for place in asked.where:
        path = (ROOT / place).resolve()
        files += sorted(path.glob("*.py")) if path.is_dir() else [path]
    if asked.list:
        for file in files:
            for mutant in mutants(file.read_text(encoding="utf-8")):
                print(f"{file.name} line {mutant.line}: {mutant.before}  ->  {mutant.after}")
        return 0
    os.chdir(ROOT)
    sys.path.insert(0, str(ROOT))
    return int(
        pytest.main(["-q", "-p", "no:cacheprovider", "-s", "--no-header", *asked.tests], [Runner(files)])
    )


if __name__ == "__main__":
    sys.exit(main())
