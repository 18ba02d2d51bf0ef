"""Small helpers for parts that are turned: refusing bad numbers, features on a turned outline."""

from __future__ import annotations

import math
from collections.abc import Sequence

from headparts.errors import ParameterError
from headparts.parts.part import Feature, Hint, Vector

Point = tuple[float, float]
UP: Vector = (0.0, 0.0, 1.0)
DOWN: Vector = (0.0, 0.0, -1.0)
ZERO: Vector = (0.0, 0.0, 0.0)
LEAST = 0.001
"""Least length that a part may have [mm]; the kernel's own tolerance is 1e-7."""


def finite(key: str, value: float) -> None:
    """Refuse a value that is no finite number."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ParameterError(key, value, "must be a finite number")


def positive(key: str, value: float) -> None:
    """Refuse a length that is below the least there is, 0.001 mm."""
    finite(key, value)
    if not value >= LEAST:
        raise ParameterError(key, value, f"must be {LEAST:g} mm or more")


def below(key: str, value: float, other_key: str, other: float) -> None:
    """Refuse a value that is not below another one."""
    if not value < other:
        raise ParameterError(key, value, f"must be below {other_key} ({other:g})")


def inside(key: str, value: float, low: float, high: float) -> None:
    """Refuse a value that is not strictly between two bounds."""
    finite(key, value)
    if not low < value < high:
        raise ParameterError(key, value, f"must be above {low:g} and below {high:g}")


def turned_volume(outline: Sequence[Point]) -> float:
    """Volume [mm3] of a closed outline of (radius, z) points turned round the z axis.

    Exact: the sum over the sides of pi/3 (z1 - z0)(r0^2 + r0 r1 + r1^2), each side sweeping a cut cone
    (the divergence theorem; the same as Pappus' rule).
    """
    total = 0.0
    for (r0, z0), (r1, z1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        total += (z1 - z0) * (r0 * r0 + r0 * r1 + r1 * r1)
    return abs(total) * math.pi / 3.0


def turned(name: str, kind: str, radius: float, z: float, sense: str | None, reach: float = 0.25) -> Feature:
    """A cylinder, cone or circle about the z axis, looked for at azimuth 180 deg."""
    return Feature(name, kind, Hint(ZERO, UP, (-radius, 0.0, z), sense, reach))


def flat(name: str, radius: float, z: float, normal: Vector, reach: float = 0.25) -> Feature:
    """A plane square to the z axis, looked for at azimuth 180 deg."""
    return Feature(name, "plane", Hint((0.0, 0.0, z), normal, (-radius, 0.0, z), None, reach))
