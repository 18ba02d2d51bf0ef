"""The farthest points of convex bodies in given directions, in closed form.

A body of planes and at most one solid cylinder or ball is farthest in a direction at one of few points: the
end of a round edge where a plane cuts the round wall, where two planes and the wall meet, a corner of three
planes, or the ball's own pole. All are tried, the farthest that lies in the body is taken. Lengths in mm.
"""

from __future__ import annotations

import itertools
import math

import numpy as np

from headparts.geometry.axis import Array, perpendicular_pair
from headparts.geometry.convex import Convex, Plane, Round

SLACK = 1e-10
"""A point that sticks out by less than this (mm) counts as in the body: rounding."""


class Supports:
    """Farthest points of one bounded body; `known` says whether its shape has a closed form."""

    def __init__(self, body: Convex) -> None:
        self.body = body
        self.known = body.bound is not None and (
            len(body.rounds) == 0
            or (len(body.rounds) == 1 and body.rounds[0].kind != "cone")
            or (body.shape == "frustum" and len(body.planes) == 2)
        )
        cone = any(item.kind == "cone" for item in body.rounds)
        self.corners = self._corners() if self.known and not cone else np.zeros((0, 3))

    def __call__(self, directions: Array) -> Array:
        """The farthest point for each direction (K, 3); shape (K, 3). Raises nothing; needs ``known``."""
        made = [np.broadcast_to(self.corners, (len(directions), *self.corners.shape))]
        for item in self.body.rounds:
            if item.kind == "cone":
                return _frustum_points(self.body, directions)
            if item.kind == "ball":
                size = np.linalg.norm(directions, axis=1, keepdims=True)
                pole = np.asarray(item.point) + item.size * directions / np.maximum(size, 1e-300)
                made.append(pole[:, None])
            made += [_on_edge(item, plane, directions)[:, None] for plane in self.body.planes]
        points = np.concatenate(made, axis=1)
        reach = np.einsum("kpi,ki->kp", points, directions)
        violation = self.body.violation(points)
        reach = np.where(np.isfinite(reach) & (violation <= SLACK), reach, -np.inf)
        best = np.argmax(reach, axis=1)
        return np.asarray(points[np.arange(len(directions)), best])

    def _corners(self) -> Array:
        """Where three planes meet, or two and the round wall, within the body; shape (C, 3)."""
        found: list[Array] = []
        for trio in itertools.combinations(self.body.planes, 3):
            normals = np.array([plane.normal for plane in trio])
            if abs(np.linalg.det(normals)) > 1e-12:
                found.append(np.linalg.solve(normals, np.array([plane.offset for plane in trio])))
        for item in self.body.rounds:
            for pair in itertools.combinations(self.body.planes, 2):
                found += _on_line(item, *pair)
        points = np.array(found).reshape(-1, 3)
        return np.asarray(points[self.body.violation(points) <= SLACK]) if len(points) else points


def _on_line(item: Round, first: Plane, second: Plane) -> list[Array]:
    """Where the line of two planes pierces a cylinder or ball."""
    g = np.array([first.normal, second.normal])
    along = np.cross(g[0], g[1])
    size = float(np.linalg.norm(along))
    if size < 1e-12:
        return []
    along /= size
    start = np.linalg.lstsq(g, np.array([first.offset, second.offset]), rcond=None)[0]
    rows, m, _, radius = item.cone_rows()
    u, w = rows @ along, rows @ start + m
    a, b, c = float(u @ u), float(u @ w), float(w @ w) - radius**2
    root = b * b - a * c
    if a < 1e-18 or root < 0:
        return []
    return [start + (-b + sign * math.sqrt(root)) / a * along for sign in (1.0, -1.0)]


def _on_edge(item: Round, plane: Plane, directions: Array) -> Array:
    """The point farthest in each direction (K, 3) of the curve in which a plane cuts a cylinder or ball.

    nan where there is no such point.
    """
    g, centre = np.asarray(plane.normal), np.asarray(item.point)
    height = plane.offset - float(g @ centre)
    if item.kind == "ball":
        square = item.size**2 - height**2
        if square <= 0:
            return np.full_like(directions, np.nan)
        first, second = perpendicular_pair(g)
        a, b = directions @ first, directions @ second
        middle, one, two = centre + height * g, math.sqrt(square) * first, math.sqrt(square) * second
    else:
        d = np.asarray(item.direction)
        lean = float(g @ d)
        if abs(lean) < 1e-12:  # a plane along the cylinder cuts straight lines: their ends are corners
            return np.full_like(directions, np.nan)
        first, second = perpendicular_pair(d)
        middle = centre + height / lean * d
        one = item.size * (first - float(g @ first) / lean * d)
        two = item.size * (second - float(g @ second) / lean * d)
        a, b = directions @ one, directions @ two
    size = np.hypot(a, b)
    safe = np.maximum(size, 1e-300)
    cos, sin = np.where(size > 0, a / safe, 1.0), np.where(size > 0, b / safe, 0.0)
    return np.asarray(middle + cos[:, None] * one + sin[:, None] * two)


def _frustum_points(body: Convex, directions: Array) -> Array:
    """Farthest points of a frustum with its two square ends: one of the two circles."""
    (cone,) = body.rounds
    apex, d = np.asarray(cone.point), np.asarray(cone.direction)
    first, second = perpendicular_pair(d)
    a, b = directions @ first, directions @ second
    size = np.hypot(a, b)
    safe = np.maximum(size, 1e-300)
    radial = (
        np.where(size > 0, a / safe, 1.0)[:, None] * first
        + np.where(size > 0, b / safe, 0.0)[:, None] * second
    )
    best: Array | None = None
    for plane in body.planes:
        height = (plane.offset - float(np.asarray(plane.normal) @ apex)) / float(np.asarray(plane.normal) @ d)
        points = apex + height * d + cone.size * height * radial
        if best is None:
            best = points
        else:
            farther = np.einsum("ki,ki->k", points - best, directions) > 0
            best = np.where(farther[:, None], points, best)
    return np.asarray(best)
