"""Convex bodies as intersections of half-spaces and round solids, all of them second-order cones.

Every constraint has the form |M x + m| <= c.x + d (mm): a half-space (M = 0), a solid endless cylinder, a
ball or a solid cone of one nappe. This one form is what `conic.py` solves and what the proofs of
`distance.py` are built from. Lengths in mm; bodies may be endless.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Axis, Vec, perpendicular_pair, unit, vector


@dataclass(frozen=True)
class Plane:
    """The half-space normal.x <= offset; ``normal`` is a unit vector that points out of the body."""

    normal: Vec
    offset: float


@dataclass(frozen=True)
class Round:
    """A solid round constraint.

    kind "cylinder": distance from the line (point, direction) <= size (mm);
    kind "ball": distance from ``point`` <= size (mm);
    kind "cone": apex ``point``, opening along ``direction``, distance from the line <= size * height.
    """

    kind: str
    point: Vec
    direction: Vec
    size: float

    def cone_rows(self) -> tuple[Array, Array, Array, float]:
        """(M, m, c, d) of |M x + m| <= c.x + d with shapes (3, 3), (3,), (3,), (); not to be written to."""
        return _cone_rows(self)

    def _rows(self) -> tuple[Array, Array, Array, float]:
        p, d = np.asarray(self.point), np.asarray(self.direction)
        if self.kind == "ball":
            rows = np.eye(3)
        else:
            rows = np.zeros((3, 3))
            rows[0], rows[1] = perpendicular_pair(d)
        if self.kind == "cone":
            share = 1.0 / math.hypot(1.0, self.size)  # so that a violation is a distance square to the cone
            return share * rows, -share * rows @ p, share * self.size * d, float(-share * self.size * (d @ p))
        return rows, -rows @ p, np.zeros(3), self.size

    def violation(self, points: Array) -> Array:
        """|M x + m| - (c.x + d), shape (...): <= 0 inside, mm."""
        rows, m, c, d = self.cone_rows()
        result: Array = np.linalg.norm(points @ rows.T + m, axis=-1) - points @ c - d
        return result


@lru_cache(maxsize=20000)
def _cone_rows(item: Round) -> tuple[Array, Array, Array, float]:
    rows = item._rows()
    for part in rows[:3]:
        part.setflags(write=False)
    return rows


@dataclass(frozen=True)
class Convex:
    """A closed convex body: all ``planes`` and all ``rounds`` at once.

    ``bound``: centre and radius of a ball that holds the body (None: endless). ``axis`` and ``radius`` are
    kept for a round cylinder (``shape`` "cylinder"), for closed forms; further half-spaces do not change
    them.
    """

    planes: tuple[Plane, ...] = ()
    rounds: tuple[Round, ...] = ()
    bound: tuple[Vec, float] | None = None
    shape: str = "mixed"
    axis: Axis | None = None
    radius: float | None = None

    @cached_property
    def rows(self) -> tuple[Array, Array, Array, Array]:
        """Constraint rows s = h - G x: planes G (L, 3), h (L,), rounds G (Q, 4, 3), h (Q, 4)."""
        linear = np.array([plane.normal for plane in self.planes], dtype=float).reshape(-1, 3)
        linear_h = np.array([plane.offset for plane in self.planes], dtype=float)
        cone, cone_h = np.zeros((len(self.rounds), 4, 3)), np.zeros((len(self.rounds), 4))
        for k, item in enumerate(self.rounds):
            matrix, m, c, d = item.cone_rows()
            cone[k, 0], cone[k, 1:] = -c, -matrix
            cone_h[k, 0], cone_h[k, 1:] = d, m
        return linear, linear_h, cone, cone_h

    def with_half_space(self, point: ArrayLike, outward_normal: ArrayLike) -> Convex:
        """This body without everything beyond the plane through ``point`` on the side of the normal."""
        normal = unit(outward_normal)
        offset = float(np.asarray(vector(point)) @ np.asarray(normal))
        return replace(self, planes=(*self.planes, Plane(normal, offset)))

    def intersect(self, other: Convex) -> Convex:
        """What this body and ``other`` share; keeps this body's axis and the smaller bounding ball."""
        bounds = [b for b in (self.bound, other.bound) if b is not None]
        return replace(
            self,
            planes=self.planes + other.planes,
            rounds=self.rounds + other.rounds,
            bound=min(bounds, key=lambda b: b[1]) if bounds else None,
        )

    def violation(self, points: ArrayLike) -> Array:
        """Largest violated constraint (mm, <= 0 inside) of points of shape (..., 3); shape (...)."""
        array = np.asarray(points, dtype=float)
        worst = np.full(array.shape[:-1], -np.inf)
        for plane in self.planes:
            worst = np.maximum(worst, array @ np.asarray(plane.normal) - plane.offset)
        for item in self.rounds:
            worst = np.maximum(worst, item.violation(array))
        return worst

    def contains(self, points: ArrayLike, tolerance: float = 1e-9) -> np.ndarray:
        """Whether points of shape (..., 3) lie in the closed body; shape (...), bool."""
        result: np.ndarray = self.violation(points) <= tolerance
        return result

    def support(self, direction: ArrayLike) -> float | None:
        """Largest direction.x over the body where a closed form is known, else None (inf: endless that way).

        Closed forms: a cylinder with its two square ends, a ball, a box, a half-space. A body that further
        half-spaces have cut has none.
        """
        n = np.asarray(vector(direction))
        if self.shape == "ball" and len(self.rounds) == 1 and not self.planes:
            return float(n @ np.asarray(self.rounds[0].point) + self.rounds[0].size * np.linalg.norm(n))
        if self.shape == "cylinder" and self.axis is not None and self.radius is not None:
            if len(self.planes) != (2 if math.isfinite(self.axis.length) else 0):
                return None
            d = np.asarray(self.axis.direction)
            along = float(n @ d)
            reach = along * self.axis.length if along > 0 else 0.0
            if not math.isfinite(self.axis.length):
                reach = 0.0 if abs(along) < 1e-15 else math.inf
            return float(
                n @ np.asarray(self.axis.point) + reach + self.radius * np.linalg.norm(n - along * d)
            )
        if self.shape == "box" and len(self.planes) == 6:
            return float(
                sum(
                    n[k] * (self.planes[2 * k].offset if n[k] > 0 else -self.planes[2 * k + 1].offset)
                    for k in range(3)
                    if n[k] != 0
                )
            )
        if self.shape == "half_space" and len(self.planes) == 1:
            normal = np.asarray(self.planes[0].normal)
            along = float(n @ normal)
            if np.linalg.norm(n - along * normal) > 1e-15 * np.linalg.norm(n) or along < 0:
                return math.inf
            return along * self.planes[0].offset
        return None

    def moved(self, shift: ArrayLike) -> Convex:
        """This body translated by ``shift`` (mm)."""
        return self.transformed(np.eye(3), shift)

    def transformed(
        self, rotation: ArrayLike, shift: ArrayLike = (0.0, 0.0, 0.0), scale: float = 1.0
    ) -> Convex:
        """The body after x -> scale * rotation @ x + shift (rotation: orthogonal 3 x 3; scale > 0)."""
        q, move = np.asarray(rotation, dtype=float), np.asarray(vector(shift))
        if not np.allclose(q @ q.T, np.eye(3), atol=1e-9) or scale <= 0:
            raise GeometryError("a rigid motion needs an orthogonal matrix and a positive scale")

        def place(point: Vec) -> Vec:
            return vector(scale * (q @ np.asarray(point)) + move)

        def turn(direction: Vec) -> Vec:
            return unit(q @ np.asarray(direction))

        planes = []
        for plane in self.planes:
            normal = turn(plane.normal)
            planes.append(Plane(normal, scale * plane.offset + float(np.asarray(normal) @ move)))
        rounds = tuple(
            Round(r.kind, place(r.point), turn(r.direction), r.size * (1.0 if r.kind == "cone" else scale))
            for r in self.rounds
        )
        axis = self.axis and Axis(place(self.axis.point), turn(self.axis.direction), self.axis.length * scale)
        return Convex(
            tuple(planes),
            rounds,
            self.bound and (place(self.bound[0]), self.bound[1] * scale),
            self.shape if self.shape != "box" else "mixed",
            axis,
            None if self.radius is None else self.radius * scale,
        )


def _positive(name: str, value: float) -> float:
    if not math.isfinite(value) or value <= 0:
        raise GeometryError(f"{name} must be a positive length in mm, got {value!r}")
    return float(value)


def half_space(point: ArrayLike, outward_normal: ArrayLike) -> Convex:
    """Everything on the inner side of the plane through ``point``; the normal points out of the body."""
    return Convex(shape="half_space").with_half_space(point, outward_normal)


def cylinder(point: ArrayLike, direction: ArrayLike, radius: float, length: float = math.inf) -> Convex:
    """Solid round cylinder from ``point`` along ``direction``, square ends; length inf: endless BOTH ways."""
    axis = Axis(vector(point), unit(direction), length)
    solid = Round("cylinder", axis.point, axis.direction, _positive("radius", radius))
    body = Convex((), (solid,), None, "cylinder", axis, float(radius))
    if not math.isfinite(length):
        return body
    ends = body.with_half_space(axis.point, -np.asarray(axis.direction))
    ends = ends.with_half_space(axis.at(length), axis.direction)
    return replace(ends, bound=(axis.at(length / 2), math.hypot(length / 2, radius)))


def box(lower: ArrayLike, upper: ArrayLike) -> Convex:
    """Box with sides along the axes; single coordinates may be -inf or inf (open that way)."""
    low, high = np.asarray(lower, dtype=float), np.asarray(upper, dtype=float)
    if low.shape != (3,) or high.shape != (3,) or not np.all(low < high):
        raise GeometryError("a box needs three lower coordinates below three upper ones")
    planes = []
    for k in range(3):
        for sign, value in ((1.0, high[k]), (-1.0, -low[k])):
            if math.isfinite(value):
                normal = [0.0, 0.0, 0.0]
                normal[k] = sign
                planes.append(Plane(vector(normal), float(value)))
    bound = None
    if np.all(np.isfinite(low)) and np.all(np.isfinite(high)):
        bound = (vector((low + high) / 2), float(np.linalg.norm(high - low) / 2))
    return Convex(tuple(planes), (), bound, "box")


def ball(centre: ArrayLike, radius: float) -> Convex:
    """Solid ball."""
    c = vector(centre)
    solid = Round("ball", c, (0.0, 0.0, 1.0), _positive("radius", radius))
    return Convex((), (solid,), (c, float(radius)), "ball")


def triangle(corners: ArrayLike) -> Convex:
    """Flat triangle of three ``corners``, shape (3, 3): no thickness at all. GeometryError for one without area."""
    points = np.asarray(corners, dtype=float)
    if points.shape != (3, 3) or not np.all(np.isfinite(points)):
        raise GeometryError("a triangle has three corners of three finite coordinates")
    square = unit(np.cross(points[1] - points[0], points[2] - points[0]))
    normal, centre = np.asarray(square), points.mean(axis=0)
    height = float(normal @ centre)
    planes = [Plane(square, height), Plane(vector(-normal), -height)]
    for start, end in ((0, 1), (1, 2), (2, 0)):
        side = unit(np.cross(points[end] - points[start], normal))
        planes.append(Plane(side, float(np.asarray(side) @ points[start])))
    radius = float(np.linalg.norm(points - centre, axis=1).max())
    return Convex(tuple(planes), (), (vector(centre), radius), "triangle")


def frustum(point: ArrayLike, direction: ArrayLike, r0: float, r1: float, length: float) -> Convex:
    """Solid frustum: radius r0 at ``point``, r1 after ``length`` along ``direction`` (one may be 0)."""
    axis = Axis(vector(point), unit(direction), _positive("length", length))
    if min(r0, r1) < 0 or not math.isfinite(r0 + r1) or max(r0, r1) <= 0:
        raise GeometryError(f"a frustum needs radii of at least 0, one of them positive; got {r0!r}, {r1!r}")
    if r0 == r1:
        return cylinder(point, direction, r0, length)
    d = np.asarray(axis.direction)
    slope = (r1 - r0) / length
    apex = axis.at(-r0 / slope)
    body = Convex((), (Round("cone", apex, unit(d if slope > 0 else -d), abs(slope)),), None, "frustum")
    body = body.with_half_space(axis.point, -d).with_half_space(axis.at(length), d)
    return replace(body, bound=(axis.at(length / 2), math.hypot(length / 2, max(r0, r1))))
