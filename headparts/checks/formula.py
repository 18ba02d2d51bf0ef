"""Formulas as plain arithmetic text: read, worked out, and written again with the numbers in their places.

``+ - * / ^``, comparisons inside ``when(condition, then, else)``, numbers, names, ``pi`` and the functions of
`FUNCTIONS`. Angles are degrees. Places and directions are three numbers; they can be added, subtracted and multiplied
by a number. Nothing else is understood, so that a formula can do nothing but arithmetic.
"""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

import numpy as np

from headparts.checks.finding import Value
from headparts.errors import ParameterError

_NAME = re.compile(r"(?<![A-Za-z0-9_.])[A-Za-z][A-Za-z0-9_]*(?!\s*\()(?![A-Za-z0-9_])")


def _unit(v: Any) -> Any:
    return np.asarray(v) / np.linalg.norm(v)


def _direction(tilt: float, azim: float) -> Any:
    t, a = math.radians(tilt), math.radians(azim)
    return np.array([math.sin(t) * math.cos(a), math.sin(t) * math.sin(a), math.cos(t)])


def _towards(azim: float, elev: float) -> Any:
    a, e = math.radians(azim), math.radians(elev)
    return np.array([math.cos(e) * math.cos(a), math.cos(e) * math.sin(a), math.sin(e)])


def _off_line(point: Any, start: Any, direction: Any) -> float:
    return float(np.linalg.norm(np.cross(np.asarray(point) - start, direction)))


def _line_gap(p: Any, u: Any, q: Any, v: Any) -> float:
    square = np.cross(u, v)
    size = float(np.linalg.norm(square))
    if size < 1e-9:
        return _off_line(q, p, u)
    return abs(float(np.dot(np.asarray(q) - p, square))) / size


def _line_angle(u: Any, v: Any) -> float:
    return math.degrees(math.atan2(float(np.linalg.norm(np.cross(u, v))), abs(float(np.dot(u, v)))))


FUNCTIONS: dict[str, tuple[Callable[..., Any], str]] = {
    "min": (min, "the least of its numbers"),
    "max": (max, "the greatest of its numbers"),
    "abs": (abs, "without its sign"),
    "sqrt": (math.sqrt, "square root"),
    "sin": (lambda a: math.sin(math.radians(a)), "sine of an angle in degrees"),
    "cos": (lambda a: math.cos(math.radians(a)), "cosine of an angle in degrees"),
    "tan": (lambda a: math.tan(math.radians(a)), "tangent of an angle in degrees"),
    "asin": (lambda v: math.degrees(math.asin(min(1.0, max(-1.0, v)))), "angle in degrees of a sine"),
    "acos": (lambda v: math.degrees(math.acos(min(1.0, max(-1.0, v)))), "angle in degrees of a cosine"),
    "x": (lambda p: float(p[0]), "first coordinate of a place"),
    "y": (lambda p: float(p[1]), "second coordinate of a place"),
    "z": (lambda p: float(p[2]), "third coordinate of a place"),
    "dot": (
        lambda u, v: float(np.dot(u, v)),
        "x times x plus y times y plus z times z: how far u reaches along v",
    ),
    "distance": (
        lambda p, q: float(np.linalg.norm(np.asarray(q) - p)),
        "root of the squared differences of x, y and z of two places",
    ),
    "unit": (_unit, "a direction of length 1"),
    "direction": (
        _direction,
        "of an axis from its tilt and azimuth: sin tilt cos azim, sin tilt sin azim, cos tilt",
    ),
    "towards": (
        _towards,
        "of a port from azimuth and elevation: cos elev cos azim, cos elev sin azim, sin elev",
    ),
    "off_line": (_off_line, "distance of a place from a line given by a place and a direction"),
    "line_gap": (_line_gap, "distance of two lines, each given by a place and a direction"),
    "line_angle": (_line_angle, "angle in degrees between two lines, 90 at most"),
}
"""What a formula may call, and what it does."""

_BINARY: dict[type[ast.operator], Callable[[Any, Any], Any]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
    ast.Pow: lambda a, b: a**b,
}
_COMPARE: dict[type[ast.cmpop], Callable[[Any, Any], bool]] = {
    ast.LtE: lambda a, b: a <= b,
    ast.GtE: lambda a, b: a >= b,
    ast.Lt: lambda a, b: a < b,
    ast.Gt: lambda a, b: a > b,
}


@cache
def parsed(text: str) -> ast.expr:
    """The formula as a tree; ParameterError where it is not one."""
    try:
        return ast.parse(text.replace("^", "**"), mode="eval").body
    except SyntaxError as error:
        raise ParameterError("formula", text, f"is not a formula: {error.msg}") from error


def names(text: str) -> tuple[str, ...]:
    """The symbols of a formula, each once, in the order of the text.

    >>> names("(body - outer)/2 + max(0, pi*body)")
    ('body', 'outer')
    """
    return tuple(dict.fromkeys(found for found in _NAME.findall(text) if found != "pi"))


def evaluate(text: str, values: Mapping[str, Any]) -> Value:
    """The formula worked out with a value for each of its symbols.

    Raises ParameterError for what is no formula, an unknown name, or arithmetic that has no result.

    >>> evaluate("(body - outer)/2", {"body": 16.5, "outer": 14.1})
    1.2000000000000002
    >>> evaluate("2*sin(30) + when(1 <= 2, 3^2, 1/0)", {})
    10.0
    """
    try:
        found = _worked(parsed(text), values)
    except (ArithmeticError, ValueError, TypeError) as error:
        raise ParameterError("formula", text, f"has no result: {error}") from error
    if isinstance(found, np.ndarray):
        return float(found[0]), float(found[1]), float(found[2])
    return float(found)


def _worked(node: ast.expr, values: Mapping[str, Any]) -> Any:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.Name):
        if node.id == "pi":
            return math.pi
        if node.id not in values:
            raise ParameterError("formula", node.id, "has no value")
        value = values[node.id]
        return np.array(value, dtype=float) if isinstance(value, tuple) else float(value)
    if isinstance(node, ast.BinOp) and type(node.op) in _BINARY:
        return _BINARY[type(node.op)](_worked(node.left, values), _worked(node.right, values))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_worked(node.operand, values)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and not node.keywords:
        if node.func.id == "when" and len(node.args) == 3:
            return _worked(node.args[1 if _true(node.args[0], values) else 2], values)
        if node.func.id in FUNCTIONS:
            return FUNCTIONS[node.func.id][0](*(_worked(argument, values) for argument in node.args))
    raise ParameterError("formula", ast.unparse(node), "is more than arithmetic")


def _true(node: ast.expr, values: Mapping[str, Any]) -> bool:
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in _COMPARE:
        return _COMPARE[type(node.ops[0])](_worked(node.left, values), _worked(node.comparators[0], values))
    raise ParameterError("formula", ast.unparse(node), "is not a comparison")


def substituted(text: str, written: Mapping[str, str]) -> str:
    """The formula with each symbol replaced by how its number is written; negative numbers get brackets.

    >>> substituted("(a - b)/2", {"a": "3.5", "b": "-1"})
    '(3.5 - (-1))/2'
    """

    def put(match: re.Match[str]) -> str:
        name = match.group()
        if name not in written:
            return name
        number, before = written[name], text[: match.start()].rstrip()[-1:]
        return f"({number})" if number.startswith("-") and before not in ("", "(", ",") else number

    return _NAME.sub(put, text)
