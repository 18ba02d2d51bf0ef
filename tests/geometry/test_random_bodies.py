"""10,000 random pairs of convex bodies: distances proven from both sides by routes of this file, and by coal.

Upper side: the witnesses lie in their bodies by the defining inequalities written out below. Lower side: a
plane between the bodies, by support functions written out below (a cylinder cut by z >= 0 by Lagrange's
multiplier). coal (a collision library, GJK) is the second opinion on the shapes that it has, overlap included.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from headparts.geometry.convex import Convex, ball, box, cylinder, frustum, half_space
from headparts.geometry.distance import walls
from headparts.geometry.pairs import Distances, distances
from headparts.geometry.penetration import penetrations
from headparts.geometry.void import Void

COUNT = 10_000
CLEAR = 1e-3
"""Pairs nearer than this (mm) leave no room to tell a direction; `test_walls_through_zero.py` has them."""

Shape = tuple  # kind, numbers: the parameters, kept apart from the bodies under test


def drawn(rng: np.random.Generator, bounded: bool) -> Shape:
    point = tuple(rng.uniform(-15, 15, 3))
    raw = rng.normal(size=3)
    d = tuple(raw / np.linalg.norm(raw))
    kind = rng.choice(
        ["cylinder", "frustum", "cone", "box", "ball", "cut", "half_space"][: 6 + (not bounded)]
    )
    if kind == "cylinder":
        return kind, point, d, rng.uniform(0.4, 5), rng.uniform(0.4, 20)
    if kind == "frustum":
        return kind, point, d, rng.uniform(0.4, 5), rng.uniform(0.4, 5), rng.uniform(0.4, 9)
    if kind == "cone":
        return kind, point, d, rng.uniform(0.4, 5), 0.0, rng.uniform(0.4, 9)
    if kind == "box":
        return kind, point, tuple(np.add(point, rng.uniform(0.4, 8, 3)))
    if kind == "ball":
        return kind, point, rng.uniform(0.4, 5)
    if kind == "half_space":
        return kind, tuple(np.multiply(d, -14.0)), d
    lean = np.array([0.35 * raw[0], 0.35 * raw[1], 1.0])
    lean /= np.linalg.norm(lean)
    return "cut", (point[0], point[1], -4.0), tuple(lean), rng.uniform(0.4, 5), rng.uniform(11, 20)


def body(shape: Shape) -> Convex:
    kind, *rest = shape
    if kind == "cut":
        return cylinder(*rest).with_half_space((0, 0, 0), (0, 0, -1))
    made = {"cylinder": cylinder, "frustum": frustum, "cone": frustum, "box": box, "ball": ball}
    return half_space(*rest) if kind == "half_space" else made[kind](*rest)


def sticks_out(shape: Shape, x: np.ndarray) -> float:
    """How far a point breaks the inequalities that define the shape (mm)."""
    kind, p, *rest = shape
    offset = np.subtract(x, p)
    if kind == "ball":
        return float(np.linalg.norm(offset)) - rest[0]
    if kind == "box":
        return float(max((-offset).max(), np.subtract(x, rest[0]).max()))
    h = float(offset @ np.array(rest[0]))
    if kind == "half_space":
        return h
    length = rest[-1]
    r0, r1 = (rest[1], rest[2]) if kind in ("frustum", "cone") else (rest[1], rest[1])
    aside = float(np.linalg.norm(offset - h * np.array(rest[0])))
    lateral = (aside - (r0 + (r1 - r0) * h / length)) * length / math.hypot(length, r1 - r0)
    return max(-h, h - length, lateral, -float(x[2]) if kind == "cut" else -math.inf)


def round_support(n: tuple, p: tuple, d: tuple, r0: float, r1: float, length: float) -> float:
    """Largest n.x over a frustum: one of its two end circles."""
    along = n[0] * d[0] + n[1] * d[1] + n[2] * d[2]
    across = math.hypot(n[0] - along * d[0], n[1] - along * d[1], n[2] - along * d[2])
    return n[0] * p[0] + n[1] * p[1] + n[2] * p[2] + max(r0 * across, along * length + r1 * across)


def support(shape: Shape, n: tuple) -> float:
    """Largest n.x over a bounded shape, or something larger by rounding."""
    kind, p, *rest = shape
    if kind == "ball":
        return float(np.dot(n, p)) + rest[0]
    if kind == "box":
        return sum(max(n[k] * p[k], n[k] * rest[0][k]) for k in range(3))
    if kind in ("frustum", "cone"):
        return round_support(n, p, *rest)
    d, radius, length = rest
    if kind == "cylinder":
        return round_support(n, p, d, radius, radius, length)
    # over z >= 0: n.x <= n.x + t z for every t >= 0, and the least over t is sharp; golden section
    low, high = 0.0, 8.0
    share = (math.sqrt(5) - 1) / 2

    def value(t: float) -> float:
        return round_support((n[0], n[1], n[2] + t), p, d, radius, radius, length)

    left, right = high - share * (high - low), low + share * (high - low)
    at_left, at_right = value(left), value(right)
    while high - low > 1e-12:
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - share * (high - low)
            at_left = value(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + share * (high - low)
            at_right = value(right)
    return min(at_left, at_right, value(0.0))


@cache
def sample() -> tuple[list[Shape], list[Shape], Distances]:
    rng = np.random.default_rng(20261127)
    first = [drawn(rng, True) for _ in range(COUNT)]
    second = [drawn(rng, False) for _ in range(COUNT)]
    return first, second, distances([body(s) for s in first], [body(s) for s in second])


def test_every_distance_is_proven_within_a_millionth_of_a_micrometre():
    """A separating plane found here leaves less than 1e-9 mm below each value: no value is too large."""
    first, second, found = sample()
    assert np.max(found.upper - found.lower) <= 1e-9
    assert np.all(found.lower <= found.upper)
    checked = 0
    for k in range(COUNT):
        if found.upper[k] < CLEAR:
            continue
        checked += 1
        a, b = found.a[k], found.b[k]
        assert sticks_out(first[k], a) < 1e-10
        assert sticks_out(second[k], b) < 1e-10
        assert math.dist(a, b) == pytest.approx(found.upper[k], abs=1e-11)
        n = tuple((b - a) / np.linalg.norm(b - a))
        if second[k][0] == "half_space":
            normal = second[k][2]  # the body ends at the plane: only its normal parts it from the other
            apart = -float(np.dot(second[k][1], normal)) - support(first[k], tuple(-x for x in normal))
        else:
            apart = -support(second[k], tuple(-x for x in n)) - support(first[k], n)
        assert found.upper[k] - apart <= 1e-9
        assert found.lower[k] <= found.upper[k] + 1e-12
    assert checked > 8500


def coal_shape(coal, shape: Shape):
    """The shape for coal with its placement (coal's are centred, axes along z); None where it has none."""
    kind, p, *rest = shape
    if kind == "ball":
        return coal.Sphere(rest[0]), np.eye(3), np.array(p)
    if kind == "box":
        size = np.subtract(rest[0], p)
        return coal.Box(*size), np.eye(3), np.add(p, size / 2)
    if kind not in ("cylinder", "cone"):
        return None
    d = np.array(rest[0])
    q, _ = np.linalg.qr(np.column_stack([d, np.eye(3)[int(np.argmin(np.abs(d)))], [0.3, 0.5, 0.7]]))
    turn = np.column_stack([q[:, 1], q[:, 2], d])
    turn[:, 0] *= np.linalg.det(turn)
    made = coal.Cylinder(rest[1], rest[-1]) if kind == "cylinder" else coal.Cone(rest[1], rest[-1])
    return made, turn, np.array(p) + rest[-1] / 2 * d


def test_coal_finds_the_same():
    """To coal's own tolerance; and none of our values is above, none of our lower bounds beyond coal's."""
    coal = pytest.importorskip("coal", reason="coal has no package for this system")
    first, second, found = sample()
    request = coal.DistanceRequest()
    request.gjk_tolerance, request.gjk_max_iterations = 1e-9, 1000
    compared = overlapping = 0
    for k in range(COUNT):
        a, b = coal_shape(coal, first[k]), coal_shape(coal, second[k])
        if a is None or b is None:
            continue
        result = coal.DistanceResult()
        coal.distance(a[0], coal.Transform3s(a[1], a[2]), b[0], coal.Transform3s(b[1], b[2]), request, result)
        if result.min_distance <= 0:
            overlapping += 1
            assert found.upper[k] < 1e-6
            continue
        compared += 1
        assert found.upper[k] == pytest.approx(result.min_distance, abs=2e-7)
        assert found.lower[k] <= result.min_distance + 1e-9
    assert compared > 3500
    assert overlapping > 100


def test_the_least_translation_of_overlapping_bodies():
    """30 overlapping pairs: moved by the depth they touch, and no direction of 1000 needs less.

    Widths along the directions are the support functions above.
    """
    rng = np.random.default_rng(7)
    shapes: list[tuple[Shape, Shape]] = []
    while len(shapes) < 30:
        pair = drawn(rng, True), drawn(rng, True)
        centred = [
            (s[0], tuple(np.multiply(s[1], 0.1)), *s[2:]) if s[0] in ("cylinder", "frustum", "cone") else s
            for s in pair
        ]
        if distances([body(centred[0])], [body(centred[1])]).upper[0] == 0.0:
            shapes.append((centred[0], centred[1]))
    n = rng.normal(size=(1000, 3))
    n /= np.linalg.norm(n, axis=1)[:, None]
    found = penetrations([(body(a), body(b)) for a, b in shapes])
    for (a, b), depth in zip(shapes, found, strict=True):
        assert 0 <= depth.upper - depth.lower <= 1e-6
        away = -np.array(depth.direction)
        moved = distances([body(a).moved((depth.upper + 1e-3) * away)], [body(b)])
        assert moved.upper[0] == pytest.approx(1e-3, abs=1e-8)
        width = min(
            support(a, tuple(x)) + support(b, tuple(-x)) for x in n[:: 10 if "cut" in (a[0], b[0]) else 1]
        )
        assert depth.lower <= width + 1e-9


def test_walls_of_unions_take_the_nearest_core():
    """Two cores a void: the wall is the least of the four distances of the sample above."""
    first, second, found = sample()
    voids = []
    for k in range(0, 400, 2):
        a = Void("a", "oil", (body(first[k]), body(first[k + 1])))
        voids.append((a, Void("b", "oil", (body(second[k]),))))
    cross = distances(
        [body(first[k + 1]) for k in range(0, 400, 2)], [body(second[k]) for k in range(0, 400, 2)]
    )
    for item, straight, other in zip(walls(voids), found.upper[0:400:2], cross.upper, strict=True):
        if item.value > CLEAR:
            assert item.value == pytest.approx(min(straight, other), abs=1e-10)
        else:
            assert min(straight, other) < 2 * CLEAR
