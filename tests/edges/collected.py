"""Every Edge and every Told that a test of this folder is given, and which of them it asks without their input."""

from __future__ import annotations

import importlib
import inspect
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

from edges.case import Edge, Told

HERE = Path(__file__).parent
"""Modules of this kind collect from the others, not from each other."""
COLLECTORS = ("test_every_check", "test_every_limit")


@cache
def modules() -> tuple[ModuleType, ...]:
    """The test modules beside this one."""
    names = sorted(path.stem for path in HERE.glob("test_*.py"))
    return tuple(importlib.import_module(f"edges.{name}") for name in names if name not in COLLECTORS)


def tests() -> Iterator[tuple[FunctionType, str, list[Any]]]:
    """Each test function, its source, and the values it is parametrized with."""
    for module in modules():
        for name, function in vars(module).items():
            if name.startswith("test_") and isinstance(function, FunctionType):
                given = [value for mark in _parametrized(function) for value in mark.args[1]]
                yield function, inspect.getsource(function), given


def _parametrized(function: FunctionType) -> list[Any]:
    return [mark for mark in getattr(function, "pytestmark", []) if mark.name == "parametrize"]


def asked(kind: type, calls: str) -> list[Any]:
    """What is given to the tests that call this method of it."""
    return [
        value
        for _, source, given in tests()
        if f".{calls}(" in source
        for value in given
        if isinstance(value, kind)
    ]


def edges() -> list[Edge]:
    """Every edge of which both sides are tested."""
    return asked(Edge, "holds")


def told() -> list[Told]:
    """Every quantity without a limit that is tested."""
    return asked(Told, "holds")


def without_input() -> list[Edge]:
    """Every edge that is asked once more without a key that it needs."""
    return asked(Edge, "is_not_run")


def function_of(module: str, name: str) -> Callable[..., Any]:
    """A test of this folder by its module and its name; AttributeError where there is none."""
    found: Callable[..., Any] = getattr(importlib.import_module(f"edges.{module}"), name)
    return found
