"""Bodies taken out of a void: the chamber, or the bushing's endless cylinder at a port's inner end.

What is left of a convex core outside a convex hole is not convex. It is covered by convex pieces: flat ones
(beyond a wall or above a roof), and sectors. A sector about a round hole, cut by the chord plane of its arc,
is the smallest convex set that holds the part of the sector outside the hole, so each piece is safe (it
never leaves out a point of the void), and halving the sectors closes the difference.
"""

from __future__ import annotations

import itertools
import math
from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Vec, perpendicular_pair, unit, vector
from headparts.geometry.convex import Plane, Round

FINE = 1e-7
"""What the chord of the finest pieces round a point cuts off (mm)."""
COARSER = 8.0
"""Each ring of pieces round a point reaches this many times as far as the one within."""
BORDER = 0.1
"""A point this near to a sector (share of its size) counts as in it."""


@dataclass(frozen=True)
class Piece:
    """A convex piece that covers a part of the outside of a hole.

    ``planes`` hold the piece; ``parts()`` gives smaller pieces that cover the same part of the outside, or
    nothing when the piece lies wholly outside the hole (it is then exact).
    """

    planes: tuple[Plane, ...]

    def parts(self) -> tuple[Piece, ...]:
        return ()

    def around(self, point: ArrayLike, rings: int) -> tuple[Piece, ...]:
        """Pieces that cover the same, in at most so many rings, the smaller the nearer to ``point``.

        None where the point is not in this piece, or the piece lies wholly outside the hole.
        """
        return ()


@dataclass(frozen=True)
class ArcPiece(Piece):
    """Sector of an endless cylinder's outside: middle angle and half-angle in radians in the frame (u, v)."""

    centre: Vec
    u: Vec
    v: Vec
    radius: float
    middle: float
    half: float

    def parts(self) -> tuple[Piece, ...]:
        quarter = self.half / 2
        return (
            arc_piece(self.centre, self.u, self.v, self.radius, self.middle - quarter, quarter),
            arc_piece(self.centre, self.u, self.v, self.radius, self.middle + quarter, quarter),
        )

    def around(self, point: ArrayLike, rings: int) -> tuple[Piece, ...]:
        offset = np.asarray(point, dtype=float) - np.asarray(self.centre)
        angle = math.atan2(float(offset @ np.asarray(self.v)), float(offset @ np.asarray(self.u)))
        at = math.remainder(angle - self.middle, 2 * math.pi)
        if abs(at) > self.half + 1e-9:
            return ()
        finest = max(math.sqrt(2 * FINE / self.radius), self.half / COARSER**rings)
        edges = {-self.half, self.half}
        for side in (-1.0, 1.0):
            step = finest
            while abs(at + side * step) < self.half - finest / 2:
                edges.add(at + side * step)
                step *= COARSER
        ends = sorted(edges)
        return tuple(
            arc_piece(
                self.centre, self.u, self.v, self.radius, self.middle + (low + high) / 2, (high - low) / 2
            )
            for low, high in itertools.pairwise(ends)
        )


@lru_cache(maxsize=20000)
def arc_piece(centre: Vec, u: Vec, v: Vec, radius: float, middle: float, half: float) -> ArcPiece:
    """The sector middle +- half (radians, half <= pi/4) with the plane through its arc's chord."""

    def plane(angle: float, sign: float, depth: float) -> Plane:
        cos, sin = sign * math.cos(angle), sign * math.sin(angle)
        normal = (cos * u[0] + sin * v[0], cos * u[1] + sin * v[1], cos * u[2] + sin * v[2])
        return Plane(normal, _dot(normal, centre) - depth)

    planes = (
        plane(middle, -1.0, radius * math.cos(half)),
        plane(middle + half + math.pi / 2, 1.0, 0.0),
        plane(middle - half - math.pi / 2, 1.0, 0.0),
    )
    return ArcPiece(planes, centre, u, v, radius, middle, half)


@dataclass(frozen=True)
class FacePiece(Piece):
    """Three-sided sector of a ball's outside; ``corners``: unit vectors from the centre."""

    centre: Vec
    radius: float
    corners: tuple[Vec, Vec, Vec]

    def parts(self) -> tuple[Piece, ...]:
        a, b, c = (np.asarray(corner) for corner in self.corners)
        ab, bc, ca = unit(a + b), unit(b + c), unit(c + a)
        first, second, third = self.corners
        triples = ((first, ab, ca), (ab, second, bc), (ca, bc, third), (ab, bc, ca))
        return tuple(face_piece(self.centre, self.radius, triple) for triple in triples)

    def around(self, point: ArrayLike, rings: int) -> tuple[Piece, ...]:
        corners = np.asarray(self.corners)
        share = np.linalg.solve(corners.T, np.asarray(point, dtype=float) - np.asarray(self.centre))
        size = float(np.linalg.norm(corners[0] - corners[1]))
        if rings == 0 or share.min() < -BORDER * abs(share.sum()) or self.radius * size**2 < FINE:
            return ()
        return tuple(q for part in self.parts() for q in part.around(point, rings - 1) or (part,))


def _dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _minus(a: Vec, b: Vec) -> Vec:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _cross_unit(a: Vec, b: Vec) -> Vec:
    x, y, z = a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]
    size = math.sqrt(x * x + y * y + z * z)
    return (x / size, y / size, z / size)


@lru_cache(maxsize=20000)
def face_piece(centre: Vec, radius: float, corners: tuple[Vec, Vec, Vec]) -> FacePiece:
    """The sector spanned by three unit vectors (counter-clockwise from outside) beyond their chord plane."""
    a, b, d = corners
    chord = _cross_unit(_minus(b, a), _minus(d, a))
    inward = (-chord[0], -chord[1], -chord[2])
    planes = [Plane(inward, _dot(inward, centre) - radius * _dot(chord, a))]
    for first, second in ((a, b), (b, d), (d, a)):
        side = _cross_unit(second, first)
        planes.append(Plane(side, _dot(side, centre)))
    return FacePiece(tuple(planes), centre, radius, corners)


@dataclass(frozen=True)
class Touch(Plane):
    """A half-space wholly outside a hole, and the hole's round ``wall`` that it touches (None: flat)."""

    wall: Round | None = None


@dataclass(frozen=True)
class Hole(ABC):
    """A convex body that is removed from a void."""

    @abstractmethod
    def depth(self, points: ArrayLike) -> Array:
        """How far (mm) points, shape (..., 3), lie inside the hole: > 0 inside, <= 0 outside; shape (...)."""

    @abstractmethod
    def pieces(self) -> tuple[Piece, ...]:
        """Convex pieces that together cover everything outside the hole."""

    @abstractmethod
    def tangents(self, point: ArrayLike) -> tuple[Touch, ...]:
        """Half-spaces wholly outside the hole, one a way out, the nearest to ``point`` for a round wall."""


@dataclass(frozen=True)
class EndlessCylinderHole(Hole):
    """The endless solid cylinder about (point, direction) is removed: a port's curved inner end."""

    point: Vec
    direction: Vec
    radius: float

    def _parts(self, points: ArrayLike) -> tuple[Array, Array]:
        offset = np.asarray(points, dtype=float) - np.asarray(self.point)
        d = np.asarray(self.direction)
        radial = offset - (offset @ d)[..., None] * d
        return radial, np.linalg.norm(radial, axis=-1)

    def depth(self, points: ArrayLike) -> Array:
        return self.radius - self._parts(points)[1]

    def pieces(self) -> tuple[Piece, ...]:
        u, v = (vector(e) for e in perpendicular_pair(self.direction))
        return tuple(arc_piece(self.point, u, v, self.radius, k * math.pi / 2, math.pi / 4) for k in range(4))

    def tangents(self, point: ArrayLike) -> tuple[Touch, ...]:
        radial, length = self._parts(point)
        normal = radial / length if length > 1e-12 else perpendicular_pair(self.direction)[0]
        wall = Round("cylinder", self.point, self.direction, self.radius)
        return (Touch(vector(-normal), -float(normal @ np.asarray(self.point)) - self.radius, wall),)


@dataclass(frozen=True)
class BallHole(Hole):
    """A ball is removed: the dome chamber above the joint face."""

    centre: Vec
    radius: float

    def depth(self, points: ArrayLike) -> Array:
        offset = np.asarray(points, dtype=float) - np.asarray(self.centre)
        result: Array = self.radius - np.linalg.norm(offset, axis=-1)
        return result

    def pieces(self) -> tuple[Piece, ...]:
        made = []
        for x in (1.0, -1.0):
            for y in (1.0, -1.0):
                for z in (1.0, -1.0):
                    corners: tuple[Vec, Vec, Vec] = ((x, 0.0, 0.0), (0.0, y, 0.0), (0.0, 0.0, z))
                    if x * y * z < 0:
                        corners = (corners[1], corners[0], corners[2])
                    made.append(face_piece(self.centre, self.radius, corners))
        return tuple(made)

    def tangents(self, point: ArrayLike) -> tuple[Touch, ...]:
        offset = np.asarray(point, dtype=float) - np.asarray(self.centre)
        length = float(np.linalg.norm(offset))
        normal = offset / length if length > 1e-12 else np.array([0.0, 0.0, 1.0])
        wall = Round("ball", self.centre, (0.0, 0.0, 1.0), self.radius)
        return (Touch(vector(-normal), -float(normal @ np.asarray(self.centre)) - self.radius, wall),)


@dataclass(frozen=True)
class PrismHole(Hole):
    """Vertical walls without a floor, flat roof at z = ``roof``: disc or rounded rectangle in the XY plane.

    ``half_x``, ``half_y``: half-sizes (mm); ``corner``: corner radius. A disc has all three equal.
    """

    centre: tuple[float, float]
    half_x: float
    half_y: float
    corner: float
    roof: float

    def depth(self, points: ArrayLike) -> Array:
        array = np.asarray(points, dtype=float)
        x = np.abs(array[..., 0] - self.centre[0]) - (self.half_x - self.corner)
        y = np.abs(array[..., 1] - self.centre[1]) - (self.half_y - self.corner)
        outside = np.hypot(np.maximum(x, 0.0), np.maximum(y, 0.0))
        wall = self.corner - outside - np.minimum(np.maximum(x, y), 0.0)
        result: Array = np.minimum(wall, self.roof - array[..., 2])
        return result

    def _corner_centres(self) -> list[tuple[Vec, float]]:
        dx, dy = self.half_x - self.corner, self.half_y - self.corner
        quadrants = ((dx, dy, 0.25), (-dx, dy, 0.75), (-dx, -dy, 1.25), (dx, -dy, 1.75))
        return [((self.centre[0] + x, self.centre[1] + y, 0.0), turn * math.pi) for x, y, turn in quadrants]

    def pieces(self) -> tuple[Piece, ...]:
        made: list[Piece] = [Piece((Plane((0.0, 0.0, -1.0), -self.roof),))]
        cx, cy = self.centre
        if self.half_y > self.corner:
            made += [
                Piece((Plane((-1.0, 0.0, 0.0), -(cx + self.half_x)),)),
                Piece((Plane((1.0, 0.0, 0.0), cx - self.half_x),)),
            ]
        if self.half_x > self.corner:
            made += [
                Piece((Plane((0.0, -1.0, 0.0), -(cy + self.half_y)),)),
                Piece((Plane((0.0, 1.0, 0.0), cy - self.half_y),)),
            ]
        if self.corner > 0:
            made += [
                arc_piece(c, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), self.corner, middle, math.pi / 4)
                for c, middle in self._corner_centres()
            ]
        return tuple(made)

    def tangents(self, point: ArrayLike) -> tuple[Touch, ...]:
        p = np.asarray(point, dtype=float)
        x, y = p[0] - self.centre[0], p[1] - self.centre[1]
        ex = math.copysign(max(abs(x) - (self.half_x - self.corner), 0.0), x)
        ey = math.copysign(max(abs(y) - (self.half_y - self.corner), 0.0), y)
        if math.hypot(ex, ey) < 1e-12:
            nearer_x = self.half_x - abs(x) <= self.half_y - abs(y)
            ex, ey = (math.copysign(1.0, x), 0.0) if nearer_x else (0.0, math.copysign(1.0, y))
        size = math.hypot(ex, ey)
        nx, ny = ex / size, ey / size
        reach = (
            abs(nx) * (self.half_x - self.corner)
            + abs(ny) * (self.half_y - self.corner)
            + self.corner
            + nx * self.centre[0]
            + ny * self.centre[1]
        )
        wall = None
        if ex and ey and self.corner > 0:
            dx, dy = self.half_x - self.corner, self.half_y - self.corner
            corner = (self.centre[0] + math.copysign(dx, x), self.centre[1] + math.copysign(dy, y), 0.0)
            wall = Round("cylinder", corner, (0.0, 0.0, 1.0), self.corner)
        return (Touch((0.0, 0.0, -1.0), -self.roof), Touch((-nx, -ny, 0.0), -reach, wall))


def endless_cylinder_hole(point: ArrayLike, direction: ArrayLike, radius: float) -> EndlessCylinderHole:
    """Hole of radius ``radius`` (mm) about the endless line through ``point``."""
    if not math.isfinite(radius) or radius <= 0:
        raise GeometryError(f"radius must be a positive length in mm, got {radius!r}")
    return EndlessCylinderHole(vector(point), unit(direction), float(radius))


def disc_hole(diameter: float, depth: float, centre: Sequence[float] = (0.0, 0.0)) -> PrismHole:
    """Disc chamber: round, flat roof at z = ``depth`` above the joint face."""
    if not (diameter > 0 and depth > 0):
        raise GeometryError("a disc chamber needs a positive diameter and depth")
    half = diameter / 2
    return PrismHole((float(centre[0]), float(centre[1])), half, half, half, float(depth))


def bathtub_hole(
    length: float, width: float, depth: float, corner: float, centre: Sequence[float] = (0.0, 0.0)
) -> PrismHole:
    """Bathtub chamber: ``length`` along X, ``width`` along Y, corner radius ``corner``, roof at z = depth."""
    if not (length > 0 and width > 0 and depth > 0 and 0 <= corner <= min(length, width) / 2):
        raise GeometryError("a bathtub needs positive sizes and a corner radius of at most half the width")
    return PrismHole((float(centre[0]), float(centre[1])), length / 2, width / 2, float(corner), float(depth))


def dome_hole(base_radius: float, depth: float, centre: Sequence[float] = (0.0, 0.0)) -> BallHole:
    """Dome chamber: the ball through the circle of ``base_radius`` at z = 0 whose top is at z = ``depth``."""
    if not (base_radius > 0 and depth > 0):
        raise GeometryError("a dome needs a positive base radius and depth")
    radius = (base_radius**2 + depth**2) / (2 * depth)
    return BallHole((float(centre[0]), float(centre[1]), depth - radius), radius)
