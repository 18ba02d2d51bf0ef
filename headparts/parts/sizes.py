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
        "tilt"       (axis a, axis b): angle from a to b with their own senses, 0 to 180
        "offset"     (plane, axis a, axis b): how far b lies from a along the plane's normal, with its sign
        "bevel"      (side, top, chamfer): leg of a chamfer on the side's face, at the edge of side and top
        "shortest"   (end, tube, saddle): shortest generator of a tube from its end to a saddle cut across it
        "longest"    the longest one
        "rise_over"  (axis, plane): angle of the axis over the plane, by the plane's normal
        "x_at"       (plane, axis): x of the point where the axis passes the plane; "y_at" its y
        "depth_along" (plane a, axis, plane b): from plane to plane along an axis
        "crossing_along" (plane, axis a, axis b): along a from the plane to where a passes b
        "apex"       (plane, sphere): from the plane to the sphere's farthest point
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
    return 90.0 - _rise(a, b)


def _offset(plane: Any, a: Any, b: Any) -> float:
    return _along(a.point, b.point, plane.direction)


def _bevel(side: Any, top: Any, chamfer: Any) -> float:
    """Side and top meet in an edge; the chamfer's plane cuts the side's face this far below that edge.

    With unit normals n, m of side and top (square to each other) and q of the chamfer, the point x on the
    edge line has x.n = side.n and x.m = top.m; going down along -m by t reaches the chamfer's plane.
    """
    edge = [_dot(side.point, side.direction), _dot(top.point, top.direction)]
    on = [edge[0] * n + edge[1] * m for n, m in zip(side.direction, top.direction, strict=True)]
    return _along(chamfer.point, on, chamfer.direction) / _dot(top.direction, chamfer.direction)


def _generators(end: Any, tube: Any, saddle: Any) -> tuple[float, float]:
    """Shortest and longest generator of a tube between its square end and a saddle's cylinder [mm].

    Distance of a point from the saddle's axis = its radius, a quadratic along each generator; the outer root.
    Scanned at every degree, then refined by golden section.
    """
    z = end.direction
    v = saddle.direction
    along = _dot(v, z)
    x = _unit([p - along * q for p, q in zip(v, z, strict=True)])
    y = (z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0])
    height = _along(tube.point, end.point, z)
    foot = [p + height * d for p, d in zip(tube.point, z, strict=True)]

    def length(azimuth: float) -> float:
        c, s = math.cos(azimuth) * tube.radius, math.sin(azimuth) * tube.radius
        start = [f + c * i + s * j for f, i, j in zip(foot, x, y, strict=True)]
        offset = [p - q for p, q in zip(start, saddle.point, strict=True)]
        flat = [o - _dot(offset, v) * i for o, i in zip(offset, v, strict=True)]
        rate = [-(i - along * j) for i, j in zip(z, v, strict=True)]
        a, b = _dot(rate, rate), _dot(flat, rate)
        root = b * b - a * (_dot(flat, flat) - saddle.radius**2)
        return (-b - math.sqrt(root)) / a

    return _least(length), -_least(lambda azimuth: -length(azimuth))


def _least(function: Callable[[float], float]) -> float:
    step = math.pi / 180.0
    best = min((i * step for i in range(360)), key=function)
    low, high, ratio = best - step, best + step, (math.sqrt(5.0) - 1.0) / 2.0
    for _ in range(60):
        a, b = high - ratio * (high - low), low + ratio * (high - low)
        if function(a) < function(b):
            high = b
        else:
            low = a
    return function((low + high) / 2.0)


def _shortest(end: Any, tube: Any, saddle: Any) -> float:
    return _generators(end, tube, saddle)[0]


def _longest(end: Any, tube: Any, saddle: Any) -> float:
    return _generators(end, tube, saddle)[1]


def _pierced(plane: Any, axis: Any) -> list[float]:
    """The point where an axis passes a plane."""
    way = _along(axis.point, plane.point, plane.direction) / _dot(axis.direction, plane.direction)
    return [p + way * d for p, d in zip(axis.point, axis.direction, strict=True)]


def _x_at(plane: Any, axis: Any) -> float:
    return _pierced(plane, axis)[0]


def _y_at(plane: Any, axis: Any) -> float:
    return _pierced(plane, axis)[1]


def _depth_along(a: Any, axis: Any, b: Any) -> float:
    return math.dist(_pierced(a, axis), _pierced(b, axis))


def _crossing_along(plane: Any, a: Any, b: Any) -> float:
    """Foot of the common perpendicular of lines a and b, on a; then its distance from the plane along a."""
    turn = _dot(a.direction, b.direction)
    apart = [q - p for p, q in zip(a.point, b.point, strict=True)]
    along = (_dot(apart, a.direction) - turn * _dot(apart, b.direction)) / (1.0 - turn * turn)
    foot = [p + along * d for p, d in zip(a.point, a.direction, strict=True)]
    return math.dist(foot, _pierced(plane, a))


def _apex(plane: Any, sphere: Any) -> float:
    return float(sphere.radius) - _along(plane.point, sphere.point, plane.direction)


def _unit(vector: Sequence[float]) -> tuple[float, float, float]:
    length = math.sqrt(_dot(vector, vector))
    if length == 0.0:
        return 1.0, 0.0, 0.0
    return vector[0] / length, vector[1] / length, vector[2] / length


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
    "offset": (3, _offset),
    "bevel": (3, _bevel),
    "shortest": (3, _shortest),
    "longest": (3, _longest),
    "rise_over": (2, _rise),
    "x_at": (2, _x_at),
    "y_at": (2, _y_at),
    "depth_along": (3, _depth_along),
    "crossing_along": (3, _crossing_along),
    "apex": (2, _apex),
}
