"""Sizes: how one number is taken from the readings of one, two or three surfaces.

Vectors are in the part's frame [mm]; angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from headparts.errors import ParameterError

Kind = Literal["diameter", "length", "angle", "radius"]


@dataclass(frozen=True)
class Size:
    """One size of a part and the features it is read from.

    name, kind : what it is called; "diameter", "radius", "length" [mm] or "angle" [deg].
    of : names of the features, in order.
    how : which rule takes the number from the readings:

        "radius"     radius of one cylinder, sphere or circle (doubled for a diameter)
        "between"    distance along the first one's direction, between planes and circle centres
        "slant"      from one circle to another in a plane through their axis (along a cone's side)
        "step"       difference of two radii
        "from_axis"  distance of a plane from an axis that runs along it
        "crossing"   (plane, axis a, axis b): from the plane to where a passes b, along b
        "apart"      distance of two parallel axes
        "to_axis"    half angle of a cone
        "to_plane"   angle of a cone's side from the plane square to its axis
        "rise"       (axis a, axis b): angle of a from the plane square to b
        "tilt"       (axis a, axis b): angle between the two lines, 0 to 90
    """

    name: str
    kind: Kind
    of: tuple[str, ...]
    how: str

    def __post_init__(self) -> None:
        rule = _RULES.get(self.how)
        if rule is None:
            raise ParameterError(f"sizes.{self.name}", self.how, f"must be one of {', '.join(_RULES)}")
        if rule[0] != len(self.of):
            raise ParameterError(f"sizes.{self.name}", self.of, f"{self.how} takes {rule[0]} features")


def value_of(size: Size, readings: Sequence[Any]) -> float:
    """The number of a size [mm or deg] from the readings of its features."""
    number = _RULES[size.how][1](*readings)
    return 2.0 * number if size.kind == "diameter" else number


def _radius(a: Any) -> float:
    return float(a.radius)


def _between(a: Any, b: Any) -> float:
    return abs(_along(a.point, b.point, a.direction))


def _slant(a: Any, b: Any) -> float:
    return math.hypot(_along(a.point, b.point, a.direction), a.radius - b.radius)


def _step(a: Any, b: Any) -> float:
    return abs(float(a.radius - b.radius))


def _from_axis(axis: Any, plane: Any) -> float:
    return abs(_along(axis.point, plane.point, plane.direction))


def _crossing(plane: Any, a: Any, b: Any) -> float:
    """Foot of the common perpendicular of lines a and b, on b; then its distance from the plane."""
    turn = _dot(a.direction, b.direction)
    apart = [p - q for p, q in zip(a.point, b.point, strict=True)]
    on_a, on_b = _dot(apart, a.direction), _dot(apart, b.direction)
    along = (on_b - turn * on_a) / (1.0 - turn * turn)
    foot = [p + along * d for p, d in zip(b.point, b.direction, strict=True)]
    return abs(_along(plane.point, foot, plane.direction) / _dot(plane.direction, b.direction))


def _apart(a: Any, b: Any) -> float:
    offset = [q - p for p, q in zip(a.point, b.point, strict=True)]
    along = _dot(offset, a.direction)
    return math.sqrt(sum((o - along * d) ** 2 for o, d in zip(offset, a.direction, strict=True)))


def _to_axis(cone: Any) -> float:
    return float(cone.half_angle)


def _to_plane(cone: Any) -> float:
    return 90.0 - float(cone.half_angle)


def _rise(a: Any, b: Any) -> float:
    along = _dot(a.direction, b.direction)
    across = [p - along * q for p, q in zip(a.direction, b.direction, strict=True)]
    return math.degrees(math.atan2(along, math.sqrt(_dot(across, across))))


def _tilt(a: Any, b: Any) -> float:
    return 90.0 - abs(_rise(a, b))


def _along(start: Sequence[float], end: Sequence[float], direction: Sequence[float]) -> float:
    return sum((e - s) * d for s, e, d in zip(start, end, direction, strict=True))


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(p * q for p, q in zip(a, b, strict=True))


_RULES: dict[str, tuple[int, Callable[..., float]]] = {
    "radius": (1, _radius),
    "between": (2, _between),
    "slant": (2, _slant),
    "step": (2, _step),
    "from_axis": (2, _from_axis),
    "crossing": (3, _crossing),
    "apart": (2, _apart),
    "to_axis": (1, _to_axis),
    "to_plane": (1, _to_plane),
    "rise": (2, _rise),
    "tilt": (2, _tilt),
}
