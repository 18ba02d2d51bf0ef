"""The wall between two voids that may both lie a little elsewhere: sure bounds for very many places at once.

Each void is covered by convex bodies (`hole_cover`); of every pair of bodies that can matter the least distance is
solved where it is drawn and at four places across the line of the wall. For a place in between:

* lower bounds: a plane between the bodies, its direction interpolated from the five (any direction is sure: the gap of
  two bodies along a direction never exceeds their distance; `support`), and for two round holes the distance of their
  axes less both radii;
* upper bounds: two points that lie in the moved voids, interpolated from the five pairs of witnesses, and for two
  round holes the feet of the axes' distance moved out to the surfaces.

What these leave open is solved afresh, all of it in one batch. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Array, Vec, perpendicular_pair
from headparts.geometry.convex import Convex
from headparts.geometry.hole_cover import bodies_near
from headparts.geometry.motion import Motion
from headparts.geometry.pairs import distances
from headparts.geometry.segments import segments_apart
from headparts.geometry.support import ends_of, slimmed, support_bound
from headparts.geometry.void import Void

SAGITTAS = (2e-4, 2e-3)
"""Chords that stand for a round wall of a hole leave at most this much between them [mm]; the coarser where the finer
would need too many bodies."""
TOUCH = 1e-9
"""A point at most this far [mm] outside a void counts as lying in it."""
ZERO = 1e-7
"""Components of a unit direction below this are set to 0, so that it lies square to a flat wall."""
NEAR = 1e-3
"""Half-spaces further than this [mm] from all five witnesses are left out of lower bounds (sure: they only trim)."""
MANY, MOST = 130, 300
"""Pairs of convex bodies kept with fine chords and with coarse ones; with more a void is taken without its holes (sure,
but less sharp)."""


@dataclass(frozen=True)
class Bounds:
    """Bounds (N,) of the wall at N places [mm]; ``upper`` inf where no two points were found."""

    lower: Array
    upper: Array


@dataclass(frozen=True)
class _Leaf:
    """Two convex bodies; ``normals`` and ``spots`` (in the bodies as drawn) at the five places, (5, 3) each.

    ``proven``: at the five places the proven distance (5,), the direction of the witnesses (5, 3), and by how much the
    direction in which it was proven may differ from that (5,).
    """

    bodies: tuple[Convex, Convex]
    slim: tuple[Convex, Convex]
    lower: float
    normals: Array
    spots: tuple[Array, Array]
    frame: Array
    step: float
    proven: tuple[Array, Array, Array]


class MovedPair:
    """Two voids ``a`` and ``b``, ``nominal`` [mm] apart as drawn, moved against each other by at most ``most`` [mm];
    walls beyond ``matters`` [mm] are of no interest. ``at``: the two points of that wall, in the voids.
    """

    def __init__(
        self,
        a: Void,
        b: Void,
        nominal: float,
        matters: float,
        most: float,
        at: tuple[Vec, Vec] | None = None,
    ) -> None:
        self.voids = (a, b)
        self.step = max(1.4143 * most, 1e-3)
        overlap = at is not None and nominal < 0.0
        self.common = _common(a, b, at) if at is not None and overlap else []
        self._at = None if at is None or overlap else np.asarray(at)
        self._leaves = self._solved(_covered(a, b, nominal, matters + most))

    def _solved(self, pairs: list[tuple[Convex, Convex]]) -> list[_Leaf]:
        if not pairs:
            return []
        nominal = distances([p[0] for p in pairs], [p[1] for p in pairs])
        frames, first, second = [], [], []
        for k, (one, two) in enumerate(pairs):
            normal = _normal(one, two, nominal.a[k], nominal.b[k], None)
            frames.append(np.array(perpendicular_pair(normal)))
            for shift in _places(frames[-1], self.step)[1:]:
                first.append(one)
                second.append(two.moved(shift))
        beside = distances(first, second)
        leaves = []
        for k, (one, two) in enumerate(pairs):
            rows = slice(4 * k, 4 * k + 4)
            shifts = _places(frames[k], self.step)
            spots_a = np.vstack([nominal.a[k], beside.a[rows]])
            spots_b = np.vstack([nominal.b[k], beside.b[rows]])
            normals = [_normal(one, two, spots_a[0], spots_b[0], None)]
            for j in range(1, 5):
                normals.append(_normal(one, two, spots_a[j], spots_b[j], normals[0]))
            leaves.append(
                _Leaf(
                    (one, two),
                    (slimmed(one, spots_a, NEAR), slimmed(two, spots_b - shifts, NEAR)),
                    float(nominal.lower[k]),
                    np.array(normals),
                    (spots_a, spots_b - shifts),
                    frames[k],
                    self.step,
                    _proven(
                        np.array([nominal.lower[k], *beside.lower[rows]]),
                        np.array([nominal.upper[k], *beside.upper[rows]]),
                        spots_b - spots_a,
                    ),
                )
            )
        return sorted(leaves, key=lambda leaf: leaf.lower)

    def __len__(self) -> int:
        return len(self._leaves)

    def bounds(self, first: Motion, second: Motion, limit: float) -> Bounds:
        """Bounds of the wall at every place; the lower one is sharp where it is below ``limit``."""
        count = len(first)
        lower, upper = np.full(count, np.inf), np.full(count, np.inf)
        if self._at is not None:
            step = second.applied(self._at[1]) - first.applied(self._at[0])
            upper = np.sqrt(np.einsum("nk,nk->n", step, step))
        for leaf in self._leaves:
            rough = self._rough(leaf, first, second)
            rows = np.flatnonzero(rough < np.minimum(limit, upper))
            if len(rows):
                low, high = self._close(leaf, first.chosen(rows), second.chosen(rows))
                rough[rows] = np.maximum(rough[rows], low)
                upper[rows] = np.minimum(upper[rows], high)
            lower = np.minimum(lower, rough)
        rows = np.flatnonzero((lower <= 0.0) & (upper > 0.0))
        if len(rows):
            upper[rows[self._share(first.chosen(rows), second.chosen(rows))]] = 0.0
        return Bounds(np.minimum(lower, upper), upper)

    def _share(self, first: Motion, second: Motion) -> np.ndarray:
        """Whether one of the points that both voids hold as drawn is still in both; False says nothing."""
        joined: np.ndarray = np.zeros(len(first), dtype=bool)
        for point in self.common:
            for one, two, void in ((first, second, self.voids[1]), (second, first, self.voids[0])):
                left = np.flatnonzero(~joined)
                there = one.chosen(left).applied(point)
                joined[left] = void.contains(two.chosen(left).undone(there), TOUCH)
        return joined

    def _rough(self, leaf: _Leaf, first: Motion, second: Motion) -> Array:
        """A sure lower bound of one pair of bodies: the gap along the line of the wall as drawn."""
        n = leaf.normals[0]
        still = Motion(np.zeros((1, 3)))
        gap = float(_by_planes(leaf, still, still, n[None, :])[0])
        low = gap + second.shift @ n - first.shift @ n
        for side, motion in enumerate((first, second)):
            if motion.growth is not None:
                low = low - motion.growth * _stretch(leaf.slim[side])
            if motion.tilt is not None:
                into = np.asarray(motion.tilt.into)
                deep, wide = self.extent(side, motion.tilt.pivot, into)
                size = np.sqrt(np.einsum("nk,nk->n", motion.tilt.slope, motion.tilt.slope))
                broad = wide if motion.growth is None else wide + motion.growth
                off = np.abs(motion.tilt.slope @ n) * deep + size * broad * abs(float(n @ into))
                low = low - off - size**2 * (deep + broad)
        return np.asarray(low)

    def _close(self, leaf: _Leaf, first: Motion, second: Motion) -> tuple[Array, Array]:
        lower, upper = self._by_axes(leaf, first, second)
        settled = (upper - lower <= TOUCH) | ((upper <= TOUCH) & (lower <= 0.0))
        rows = np.flatnonzero(~settled)
        if len(rows) < len(lower):
            if len(rows):
                low, high = self._between(leaf, first.chosen(rows), second.chosen(rows))
                lower[rows], upper[rows] = np.maximum(lower[rows], low), np.minimum(upper[rows], high)
            return lower, upper
        low, high = self._between(leaf, first, second)
        return np.maximum(lower, low), np.minimum(upper, high)

    def _between(self, leaf: _Leaf, first: Motion, second: Motion) -> tuple[Array, Array]:
        """Bounds by what is interpolated between the five places."""
        one, two = leaf.spots
        shift = (second.applied(two[0]) - two[0]) - (first.applied(one[0]) - one[0])
        share, weights = _weights(leaf, shift)
        normals = weights @ leaf.normals
        normals /= np.maximum(np.sqrt(np.einsum("nk,nk->n", normals, normals)), 1e-12)[:, None]
        lower = _by_planes(leaf, first, second, normals)
        for motion in (first, second):
            if motion.tilt is not None:
                lower = np.maximum(lower, _by_planes(leaf, first, second, motion.turned(normals)))
        if all(motion.tilt is None and motion.growth is None for motion in (first, second)):
            lower = np.maximum(lower, _by_proofs(leaf, shift, share, weights))
        a, b = weights @ one, weights @ two
        good = (share <= 1.0) & self._in_voids(leaf, a, b, None, None)
        gap = second.applied(b) - first.applied(a)
        return lower, np.where(good, np.sqrt(np.einsum("nk,nk->n", gap, gap)), np.inf)

    def _by_axes(self, leaf: _Leaf, first: Motion, second: Motion) -> tuple[Array, Array]:
        one, two = leaf.bodies
        none = np.full(len(first), -np.inf), np.full(len(first), np.inf)
        if one.shape != "cylinder" or two.shape != "cylinder":
            return none
        if one.axis is None or two.axis is None or one.radius is None or two.radius is None:
            return none
        if not (math.isfinite(one.axis.length) and math.isfinite(two.axis.length)):
            return none
        r, q = first.radius(one.radius), second.radius(two.radius)
        gap, foot, other = segments_apart(
            (*first.axis(one.axis), one.axis.length), (*second.axis(two.axis), two.axis.length)
        )
        n = (other - foot) / np.maximum(gap, 1e-12)[:, None]
        a, b = first.undone(foot + r[:, None] * n), second.undone(other - q[:, None] * n)
        lower = gap - r - q
        good = self._in_voids(leaf, a, b, first.growth, second.growth)
        if np.any(lower <= 0.0):  # they overlap where the same point lies in both
            middle = foot + np.clip(0.5 * (gap + r - q), 0.0, gap)[:, None] * n
            a, b = first.undone(middle), second.undone(middle)
            good = np.where(lower <= 0.0, self._in_voids(leaf, a, b, first.growth, second.growth), good)
        return lower, np.where(good, np.maximum(lower, 0.0), np.inf)

    def _in_voids(
        self, leaf: _Leaf, a: Array, b: Array, more_a: Array | None, more_b: Array | None
    ) -> np.ndarray:
        inside: np.ndarray = np.ones(len(a), dtype=bool)
        for void, body, points, more in zip(self.voids, leaf.bodies, (a, b), (more_a, more_b), strict=True):
            room = TOUCH + (0.0 if more is None else more)
            for plane in body.planes:
                inside &= points @ np.asarray(plane.normal) - plane.offset <= TOUCH
            for item in body.rounds:
                inside &= item.violation(points) <= room
            for hole in void.holes:
                inside &= hole.depth(points) <= TOUCH
        return inside

    def exact(
        self, first: Motion, second: Motion, limit: float, known: Array | None = None
    ) -> tuple[Bounds, Array, Array]:
        """Bounds solved afresh at each place, and the two points of the upper bound where they lie in the bodies as
        drawn, (N, 3) each (nan where there are none). Bodies whose lower bound is at least ``limit``, or an upper
        bound ``known`` (N,) of that place, stay away.
        """
        count = len(first)
        lower, upper = np.full(count, np.inf), np.full(count, np.inf)
        at = np.full((2, count, 3), np.nan)
        jobs: list[tuple[int, _Leaf]] = []
        for leaf in self._leaves:
            rough = self._rough(leaf, first, second)
            for way in (self._by_axes, self._between):
                rough = np.maximum(rough, way(leaf, first, second)[0])
            near = rough < (limit if known is None else np.minimum(limit, known))
            lower = np.where(near, lower, np.minimum(lower, rough))
            jobs += [(int(row), leaf) for row in np.flatnonzero(near)]
        if not jobs:
            return Bounds(lower, upper), at[0], at[1]
        found = distances(
            [first.body(row, leaf.bodies[0]) for row, leaf in jobs],
            [second.body(row, leaf.bodies[1]) for row, leaf in jobs],
        )
        rows = np.array([row for row, _ in jobs])
        back = (first.chosen(rows).undone(found.a), second.chosen(rows).undone(found.b))
        for k, (row, _) in enumerate(jobs):
            lower[row] = min(lower[row], found.lower[k])
            good = all(
                bool(np.all(hole.depth(spot[k]) <= TOUCH))
                for void, spot in zip(self.voids, back, strict=True)
                for hole in void.holes
            )
            if good and found.upper[k] < upper[row]:
                upper[row] = found.upper[k]
                at[0, row], at[1, row] = back[0][k], back[1][k]
        return Bounds(lower, upper), at[0], at[1]

    def least_gap(self, normals: Sequence[Array], reach: Callable[[Array], float]) -> float:
        """Sure lower bound of the wall when the voids come nearer by at most ``reach(n)`` along each direction n:
        the largest gap less reach over the directions ``normals`` and its own, the least of that over all bodies.
        """
        least = math.inf
        for leaf in self._leaves:
            tried = np.array([*normals, leaf.normals[0]])
            still = Motion(np.zeros((len(tried), 3)))
            gaps = _by_planes(leaf, still, still, tried)
            least = min(least, max(float(gap) - reach(n) for gap, n in zip(gaps, tried, strict=True)))
        return least

    def extent(self, side: int, pivot: Vec, into: Array) -> tuple[float, float]:
        """How far the bodies of one side reach beyond ``pivot`` along ``into``, and their largest radius [mm]."""
        bodies = [leaf.bodies[side] for leaf in self._leaves]
        deep = [float(support_bound(body, into[None, :])[0]) for body in bodies]
        return max(deep, default=0.0) - float(into @ np.asarray(pivot)), max(
            (body.radius or 0.0 for body in bodies), default=0.0
        )


def _stretch(body: Convex) -> float:
    """By how much a bound moves at most when the radius of a round hole grows by 1: more where planes trim it."""
    slants = [1.0]
    if body.axis is not None:
        for plane in body.planes[ends_of(body) :]:
            share = abs(float(np.asarray(plane.normal) @ np.asarray(body.axis.direction)))
            slants.append(1.0 / share if share > 1e-3 else 1.0)
    return max(slants) + 1.0 if len(slants) > 1 else 1.0


def _covered(a: Void, b: Void, nominal: float, reach: float) -> list[tuple[Convex, Convex]]:
    """Pairs of convex bodies that cover both voids wherever they are nearer than ``reach``."""
    made: list[tuple[Convex, Convex]] = []
    cores = _near([(core_a, core_b) for core_a in a.cores for core_b in b.cores], reach)
    found = distances([pair[0] for pair in cores], [pair[1] for pair in cores])
    for k, (core_a, core_b) in enumerate(cores):
        if found.lower[k] >= nominal - SAGITTAS[0]:  # what the holes take away does not matter
            made.append((core_a, core_b))
            continue
        made += _pieces((a, core_a), (b, core_b), reach)
    return made


def _pieces(one: tuple[Void, Convex], two: tuple[Void, Convex], reach: float) -> list[tuple[Convex, Convex]]:
    """Pairs of convex bodies of two cores without their voids' holes."""
    for sagitta, most in zip(SAGITTAS, (MANY, MOST), strict=True):
        bodies = [
            bodies_near(Void(void.name, void.kind, (core,), void.holes), other, reach, sagitta)[0]
            for (void, core), (_, other) in ((one, two), (two, one))
        ]
        if len(bodies[0]) * len(bodies[1]) > MOST * MOST:
            continue
        near = _near([(first, second) for first in bodies[0] for second in bodies[1]], reach)
        if len(near) <= most:
            return near
    return [(one[1], two[1])]


def _common(a: Void, b: Void, at: tuple[Vec, Vec]) -> list[Array]:
    """Points on the line of an overlap that lie in both voids, the deepest first."""
    ends = np.asarray(at)
    points = ends[0] + np.linspace(0.0, 1.0, 9)[:, None] * (ends[1] - ends[0])
    inside = a.contains(points, TOUCH) & b.contains(points, TOUCH)
    middle = np.abs(np.arange(9) - 4)
    return [points[k] for k in np.argsort(middle, kind="stable") if inside[k]]


def _near(pairs: list[tuple[Convex, Convex]], reach: float) -> list[tuple[Convex, Convex]]:
    if not pairs:
        return []
    found = distances(
        [p[0] for p in pairs], [p[1] for p in pairs], np.full(len(pairs), 2 * reach), polish=False
    )
    return [pair for pair, low in zip(pairs, found.lower, strict=True) if low < reach]


def _places(frame: Array, step: float) -> Array:
    """Where the second body is solved: as drawn, and a step to four sides; (5, 3)."""
    u, v = frame
    return np.array([0.0 * u, step * u, -step * u, step * v, -step * v])


def _normal(one: Convex, two: Convex, a: Array, b: Array, otherwise: Array | None) -> Array:
    """Unit direction from the first body to the second between two witnesses, square to a flat one."""
    for body, sign in ((one, 1.0), (two, -1.0)):
        if body.shape == "half_space" and len(body.planes) == 1:
            return sign * np.asarray(body.planes[0].normal)
    n = np.asarray(b - a)
    size = float(np.linalg.norm(n))
    if size < 1e-7:
        if otherwise is not None:
            return otherwise
        n, size = _between(one, two), 1.0
    n = n / size
    n = np.where(np.abs(n) < ZERO, 0.0, n)
    return np.asarray(n / np.linalg.norm(n))


def _between(one: Convex, two: Convex) -> Array:
    """Some direction for two bodies that overlap: across both axes, else between their middles."""
    if one.axis is not None and two.axis is not None:
        n = np.cross(one.axis.direction, two.axis.direction)
        if np.linalg.norm(n) > 1e-9:
            w = np.asarray(two.axis.point) - np.asarray(one.axis.point)
            return np.asarray(math.copysign(1.0, float(n @ w)) * n / np.linalg.norm(n))
    if one.bound is not None and two.bound is not None:
        n = np.asarray(two.bound[0]) - np.asarray(one.bound[0])
        if np.linalg.norm(n) > 1e-9:
            return np.asarray(n / np.linalg.norm(n))
    return np.array([0.0, 0.0, 1.0])


def _weights(leaf: _Leaf, shift: Array) -> tuple[Array, Array]:
    """Share of the step used (N,) and weights (N, 5) of the five places for shifts (N, 3) of the second body."""
    across = shift @ leaf.frame.T / leaf.step
    weights = np.zeros((len(shift), 5))
    weights[:, 1], weights[:, 2] = np.maximum(across[:, 0], 0.0), np.maximum(-across[:, 0], 0.0)
    weights[:, 3], weights[:, 4] = np.maximum(across[:, 1], 0.0), np.maximum(-across[:, 1], 0.0)
    share = np.sum(weights, axis=1)
    weights[:, 0] = 1.0 - share
    return share, weights


def _proven(lower: Array, upper: Array, across: Array) -> tuple[Array, Array, Array]:
    """Proven distances, directions of witnesses, and how far those may be from the directions of the proofs.

    A proof in direction m says m.(b - a) >= lower for all points; of the witnesses it says upper cos >= lower, so that
    |m - n|^2 <= 2 (1 - lower/upper).
    """
    good = np.isfinite(upper) & (upper > 1e-6)
    size = np.where(good, upper, 1.0)
    off = np.where(good, np.sqrt(2.0 * np.clip(1.0 - lower / size, 0.0, 1.0)) + 1e-9, np.inf)
    return np.where(good, lower, 0.0), np.where(good[:, None], across, 0.0) / size[:, None], off


def _by_proofs(leaf: _Leaf, shift: Array, share: Array, weights: Array) -> Array:
    """Sure lower bound of two bodies that only shift, from the proofs at the five places alone.

    Each proof holds everywhere; so does their weighted sum, whose direction is shorter than 1 where they differ, and a
    bound may be divided by that length.
    """
    lower, normals, off = leaf.proven
    places = _places(leaf.frame, leaf.step)
    moved = shift[:, None, :] - places
    size = np.sqrt(np.einsum("njk,njk->nj", moved, moved))
    known = np.isfinite(off)
    each = np.where(
        known, lower + np.einsum("njk,jk->nj", moved, normals) - np.where(known, off, 0.0) * size, -np.inf
    )
    best = np.max(each, axis=1)
    if np.all(known):
        total = np.einsum("nj,nj->n", weights, each)
        mean = weights @ normals
        length = np.sqrt(np.einsum("nk,nk->n", mean, mean)) + np.abs(weights) @ off
        good = (share <= 1.0) & (total > 0.0)
        best = np.where(good, np.maximum(best, total / np.minimum(length, 1.0)), best)
    return np.asarray(best)


def _by_planes(leaf: _Leaf, first: Motion, second: Motion, normals: Array) -> Array:
    """Gap along unit ``normals`` (N, 3) of the two moved bodies: a sure lower bound, shape (N,)."""
    return -_reach(leaf.slim[0], first, normals) - _reach(leaf.slim[1], second, -normals)


def _reach(body: Convex, motion: Motion, normals: Array) -> Array:
    back = motion.turned(normals, back=True)
    reach = support_bound(body, back, motion.growth) + np.einsum("nk,nk->n", normals, motion.shift)
    if motion.tilt is not None:
        reach = reach + (normals - back) @ np.asarray(motion.tilt.pivot)
    return np.asarray(reach)
