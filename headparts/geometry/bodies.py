"""Convex bodies as plain data: rays measure them without the kernel, ``headparts.solids`` builds solids of them.

Every body has ``span(start, along)``: where rays from the (n, 3) points
``start`` along the unit vector ``along`` enter and leave it, as two arrays [mm] (leave <= enter: missed).
``inner()`` gives a few (n, 3) points well inside, ``contains(points)`` says which of (n, 3) points are inside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from headparts.errors import GeometryError

Vector = tuple[float, float, float]
Array = NDArray[np.float64]
Span = tuple[Array, Array]
Inside = NDArray[np.bool_]


class Body(Protocol):
    """Anything convex that rays can meet."""

    def span(self, start: Array, along: Array) -> Span: ...

    def inner(self) -> Array: ...

    def contains(self, points: Array) -> Inside: ...


@dataclass(frozen=True)
class Cylinder:
    """A round cylinder from ``point`` along the unit vector ``direction`` [mm]."""

    point: Vector
    direction: Vector
    radius: float
    length: float

    def span(self, start: Array, along: Array) -> Span:
        low, high = _slab(start, along, self.point, self.direction, self.length)
        return _both((low, high), _round(start, along, self.point, self.direction, self.radius))

    def contains(self, points: Array) -> Inside:
        return _in_cone(points, self.point, self.direction, self.radius, self.radius, self.length)

    def inner(self) -> Array:
        return _on_axis(self.point, self.direction, self.length)


@dataclass(frozen=True)
class Cone:
    """A cut cone from ``point`` along the unit vector ``direction``; either radius may be 0 [mm]."""

    point: Vector
    direction: Vector
    radius_start: float
    radius_end: float
    length: float

    def span(self, start: Array, along: Array) -> Span:
        slope = (self.radius_end - self.radius_start) / self.length
        slab = _slab(start, along, self.point, self.direction, self.length)
        return _cone(start, along, self.point, self.direction, self.radius_start, slope, slab)

    def contains(self, points: Array) -> Inside:
        ends = self.radius_start, self.radius_end
        return _in_cone(points, self.point, self.direction, *ends, self.length)

    def inner(self) -> Array:
        return _on_axis(self.point, self.direction, self.length)


@dataclass(frozen=True)
class Box:
    """A box between two corners [mm]."""

    lower: Vector
    upper: Vector

    def span(self, start: Array, along: Array) -> Span:
        found = (np.full(len(start), -np.inf), np.full(len(start), np.inf))
        for i in range(3):
            normal = tuple(1.0 if i == j else 0.0 for j in range(3))
            found = _both(found, _slab(start, along, self.lower, normal, self.upper[i] - self.lower[i]))
        return found

    def contains(self, points: Array) -> Inside:
        found: Inside = np.all((points > self.lower) & (points < self.upper), axis=1)
        return found

    def inner(self) -> Array:
        low, high = np.asarray(self.lower), np.asarray(self.upper)
        corners = np.array([[x, y, 0.5] for x in (0.01, 0.5, 0.99) for y in (0.01, 0.5, 0.99)])
        inner: Array = low + corners * (high - low)
        return inner


@dataclass(frozen=True)
class Ball:
    """A ball [mm]; its pole is turned away from x, y and z."""

    centre: Vector
    radius: float

    def span(self, start: Array, along: Array) -> Span:
        offset = start - np.asarray(self.centre)
        b = offset @ along
        root = b * b - (np.einsum("ij,ij->i", offset, offset) - self.radius**2)
        width = np.sqrt(np.maximum(root, 0.0))
        return np.where(root > 0.0, -b - width, np.inf), np.where(root > 0.0, -b + width, -np.inf)

    def contains(self, points: Array) -> Inside:
        offset = points - np.asarray(self.centre)
        found: Inside = np.einsum("ij,ij->i", offset, offset) < self.radius**2
        return found

    def inner(self) -> Array:
        start = (self.centre[0], self.centre[1], self.centre[2] - self.radius)
        return _on_axis(start, (0.0, 0.0, 1.0), 2.0 * self.radius)


@dataclass(frozen=True)
class RoundedBox:
    """A box with its four upright edges rounded: centre in x and y, from z[0] to z[1] [mm]."""

    centre: tuple[float, float]
    length: float
    width: float
    corner: float
    z: tuple[float, float]

    def __post_init__(self) -> None:
        if not 0.0 <= self.corner < min(self.length, self.width) / 2.0:
            raise GeometryError(f"a corner of {self.corner} does not fit {self.length} x {self.width}")

    def _parts(self) -> tuple[Body, ...]:
        (cx, cy), c, (z0, z1) = self.centre, self.corner, self.z
        a, b = self.length / 2.0, self.width / 2.0
        boxes: list[Body] = [Box((cx - a + c, cy - b, z0), (cx + a - c, cy + b, z1))]
        if c > 0.0:
            boxes.append(Box((cx - a, cy - b + c, z0), (cx + a, cy + b - c, z1)))
            for sx in (-1.0, 1.0):
                for sy in (-1.0, 1.0):
                    foot = (cx + sx * (a - c), cy + sy * (b - c), z0)
                    boxes.append(Cylinder(foot, (0.0, 0.0, 1.0), c, z1 - z0))
        return tuple(boxes)

    def span(self, start: Array, along: Array) -> Span:
        """Exact: the parts overlap and their union is convex, so first entry and last leaving will do."""
        enter, leave = np.full(len(start), np.inf), np.full(len(start), -np.inf)
        for part in self._parts():
            a, b = part.span(start, along)
            met = b > a
            enter = np.where(met, np.minimum(enter, a), enter)
            leave = np.where(met, np.maximum(leave, b), leave)
        return enter, leave

    def contains(self, points: Array) -> Inside:
        found: Inside = np.any([part.contains(points) for part in self._parts()], axis=0)
        return found

    def inner(self) -> Array:
        start = (self.centre[0], self.centre[1], self.z[0])
        return _on_axis(start, (0.0, 0.0, 1.0), self.z[1] - self.z[0])


@dataclass(frozen=True)
class Beyond:
    """A body less what lies on the wrong side of a plane: kept where (x - point) . normal >= 0."""

    body: Body
    point: Vector
    normal: Vector

    def span(self, start: Array, along: Array) -> Span:
        return _both(self.body.span(start, along), _slab(start, along, self.point, self.normal, math.inf))

    def contains(self, points: Array) -> Inside:
        height: Array = (points - np.asarray(self.point)) @ np.asarray(self.normal)
        return self.body.contains(points) & (height > 0.0)

    def inner(self) -> Array:
        points = self.body.inner()
        height: Array = (points - np.asarray(self.point)) @ np.asarray(self.normal)
        return points[height > 1e-3]


@dataclass(frozen=True)
class Cut:
    """A convex body less another one, or none: what one tool takes away."""

    body: Body
    less: Body | None = None
    name: str = ""

    def spans(self, start: Array, along: Array) -> tuple[Span, ...]:
        """Where rays run through the tool: one interval, or one before and one after what it spares."""
        enter, leave = self.body.span(start, along)
        if self.less is None:
            return ((enter, leave),)
        first, last = self.less.span(start, along)
        met = last > first
        before = np.where(met, np.minimum(leave, first), leave)
        after = np.where(met, np.maximum(enter, last), np.inf)
        return (enter, before), (after, np.where(met, leave, -np.inf))

    def contains(self, points: Array) -> Inside:
        found = self.body.contains(points)
        return found if self.less is None else found & ~self.less.contains(points)

    def inner(self) -> Array:
        """A few points well inside what the tool takes away."""
        points = self.body.inner()
        return points if self.less is None else points[~self.less.contains(points)]


def _in_cone(
    points: Array, point: Sequence[float], axis: Sequence[float], start: float, end: float, length: float
) -> Inside:
    d = np.asarray(axis, dtype=float)
    offset = points - np.asarray(point)
    height = offset @ d
    across = np.einsum("ij,ij->i", offset, offset) - height**2
    radius = start + (end - start) / length * height
    found: Inside = (height > 0.0) & (height < length) & (across < radius**2)
    return found


def _on_axis(point: Sequence[float], direction: Sequence[float], length: float) -> Array:
    shares = np.array([0.03, 0.25, 0.5, 0.75, 0.97])
    return np.asarray(point) + np.outer(shares * length, np.asarray(direction))


def _both(a: Span, b: Span) -> Span:
    return np.maximum(a[0], b[0]), np.minimum(a[1], b[1])


def _slab(start: Array, along: Array, point: Sequence[float], normal: Sequence[float], thick: float) -> Span:
    """Between a plane and the parallel one ``thick`` further along the normal."""
    n = np.asarray(normal, dtype=float)
    height = (start - np.asarray(point)) @ n
    rate = float(along @ n)
    if abs(rate) < 1e-14:
        inside = (height >= 0.0) & (height <= thick)
        return np.where(inside, -np.inf, np.inf), np.where(inside, np.inf, -np.inf)
    at_zero, at_thick = -height / rate, (thick - height) / rate
    return np.minimum(at_zero, at_thick), np.maximum(at_zero, at_thick)


def _round(start: Array, along: Array, point: Sequence[float], axis: Sequence[float], radius: float) -> Span:
    """Inside an endless cylinder."""
    d = np.asarray(axis, dtype=float)
    offset = start - np.asarray(point)
    across = offset - np.outer(offset @ d, d)
    rate = along - (along @ d) * d
    a = float(rate @ rate)
    b = across @ rate
    c = np.einsum("ij,ij->i", across, across) - radius**2
    if a < 1e-20:
        inside = c <= 0.0
        return np.where(inside, -np.inf, np.inf), np.where(inside, np.inf, -np.inf)
    root = b * b - a * c
    width = np.sqrt(np.maximum(root, 0.0))
    return np.where(root > 0.0, (-b - width) / a, np.inf), np.where(root > 0.0, (-b + width) / a, -np.inf)


def _cone(
    start: Array,
    along: Array,
    point: Sequence[float],
    axis: Sequence[float],
    radius: float,
    slope: float,
    slab: Span,
) -> Span:
    """Within a slab in which the cone's radius is nowhere negative: the part of the ray inside the cone.

    Inside means |across|^2 <= (radius + slope h)^2; along the ray that is a quadratic q(t) <= 0. Within the
    slab the body is convex, so the inside is one interval; it is found from the roots that lie in the slab.
    """
    d = np.asarray(axis, dtype=float)
    offset = start - np.asarray(point)
    height, rise = offset @ d, float(along @ d)
    across = offset - np.outer(height, d)
    rate = along - rise * d
    base = radius + slope * height
    a = float(rate @ rate) - (slope * rise) ** 2
    b = across @ rate - base * slope * rise
    c = np.einsum("ij,ij->i", across, across) - base * base
    low, high = slab
    if abs(a) < 1e-12:
        with np.errstate(divide="ignore", invalid="ignore"):
            t = np.where(b != 0.0, -c / (2.0 * b), np.inf)
        enter = np.where(b < 0.0, np.maximum(low, t), np.where((b == 0.0) & (c > 0.0), np.inf, low))
        leave = np.where(b > 0.0, np.minimum(high, t), high)
        return enter, leave
    root = b * b - a * c
    width = np.sqrt(np.maximum(root, 0.0))
    one, other = (-b - width) / a, (-b + width) / a
    first, second = np.minimum(one, other), np.maximum(one, other)
    if a > 0.0:
        enter, leave = np.maximum(low, first), np.minimum(high, second)
        return np.where(root > 0.0, enter, np.inf), np.where(root > 0.0, leave, -np.inf)
    # steeper than the cone's side: outside between the two roots, and only one nappe is the body
    if slope * rise > 0.0:
        return np.maximum(low, second), high
    return low, np.minimum(high, first)
