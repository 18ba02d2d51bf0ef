"""Distance of many pairs of convex bodies at once, each with a witness pair and a proof.

Upper bound: the distance of two points that lie in the bodies. Lower bound: `proof.py`, whatever the solver
did. All pairs go through the quick method (`quick.py`); where its two bounds do not meet, the pair goes on
to the cone program (`conic.py`) and its witnesses are driven to the last digits (`polish.py`). Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headparts.geometry import tips
from headparts.geometry.axis import Array
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex, Plane
from headparts.geometry.polish import cone_multipliers, polished
from headparts.geometry.proof import empty_bodies, lower_bounds
from headparts.geometry.quick import Nearest, nearest
from headparts.geometry.stack import Stack

ROUGH_GAP, POLISH_GAP = 1e-10, 1e-12
FEASIBLE = 1e-11
"""A witness may stick out of its body by this much (mm): rounding."""
MET, ROUGHLY_MET = 1e-10, 2e-8
"""Bounds of the quick method at most this far apart (mm) need no cone program, polished and not."""
ROUNDING = 1e-12
"""A lower bound this little (scaled) above the upper one is that one."""
SHARED = 1e-12
"""A point this deep (scaled) in both bodies shows that they overlap."""


@dataclass(frozen=True)
class Distances:
    """Witnesses a, b (N, 3), ``upper`` (N,) (inf: no witness pair was found), proven ``lower`` (N,).

    ``lower`` is inf where one of the bodies is proven empty.
    """

    a: Array
    b: Array
    upper: Array
    lower: Array


def distances(
    first: Sequence[Convex],
    second: Sequence[Convex],
    reach: Array | None = None,
    cuts: tuple[Sequence[Sequence[Plane]], Sequence[Sequence[Plane]]] | None = None,
    polish: bool = True,
) -> Distances:
    """Distance of first[k] and second[k] for every k (mm); ``cuts``: half-spaces that cut each of them;
    ``polish``: drive the witnesses to the last digits.

    One body of each pair must be bounded. ``reach`` (N,): distances beyond it are of no interest; needed
    only as the bound of a pair whose other body is endless and that may be empty.
    """
    count = len(first)
    if count == 0:
        return Distances(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0), np.zeros(0))
    bodies = Stack.of([*first, *second], cuts and [*cuts[0], *cuts[1]])
    known = np.isfinite(bodies.bound[:, 3])
    other = np.concatenate([bodies.bound[count:], bodies.bound[:count]])
    middle = np.where(known[:, None], bodies.bound[:, :3], other[:, :3])
    origin = (middle[:count] + middle[count:]) / 2
    radii = np.where(known, np.nan_to_num(bodies.bound[:, 3]), 0.0)
    scale = np.maximum(radii[:count] + radii[count:], 1e-3)
    bodies = bodies.shifted(np.concatenate([origin, origin]), np.concatenate([scale, scale]))
    start = (middle - np.concatenate([origin, origin])) / np.concatenate([scale, scale])[:, None]
    limit = np.full(count, np.inf) if reach is None else np.asarray(reach) / scale
    points, upper, lower = _quickly(bodies, start, limit, scale)
    with np.errstate(invalid="ignore"):
        met = (upper - lower) * scale <= (MET if polish else ROUGHLY_MET)
    left = np.flatnonzero(~(met | (lower >= limit)))
    if len(left):
        wide = np.concatenate([left, left + count])
        found, high, low = _with_cones(bodies.take(wide), start[wide], limit[left], scale[left], polish)
        better = high < upper[left]
        chosen = left[better]
        points[np.concatenate([chosen, chosen + count])] = found[np.concatenate([better, better])]
        upper[left], lower[left] = np.minimum(high, upper[left]), np.maximum(low, lower[left])
    over = (lower > upper) & (lower < upper + ROUNDING)
    lower = np.where(over, upper, lower)
    points = points * np.concatenate([scale, scale])[:, None] + np.concatenate([origin, origin])
    return Distances(points[:count], points[count:], upper * scale, np.maximum(lower * scale, 0.0))


def _halves(values: Array) -> Array:
    return np.asarray(values.reshape(2, -1).max(axis=0))


def _quickly(bodies: Stack, start: Array, reach: Array, scale: Array) -> tuple[Array, Array, Array]:
    """Points (2 N, 3), upper and proven lower bounds (N,) in scaled lengths."""
    count = len(scale)
    found = nearest(bodies, start)
    points = bodies.pulled_in(found.points)
    upper = _upper(bodies, points, scale)
    middle = (points[:count] + points[count:]) / 2
    shared = _halves(bodies.violation(np.concatenate([middle, middle]))) < -SHARED
    points = np.where(np.concatenate([shared, shared])[:, None], np.concatenate([middle, middle]), points)
    upper = np.where(shared, 0.0, upper)
    empty = _halves(empty_bodies(bodies, found.linear, found.cone)) & ~np.isfinite(upper)
    lower = _proven(bodies, found, points, np.where(np.isfinite(upper), upper, reach))
    lower = np.where(shared, 0.0, np.where(empty, np.inf, lower))
    return points, upper, lower


def _proven(bodies: Stack, found: Nearest, points: Array, limit: Array) -> Array:
    count = len(limit)
    across = points[count:] - points[:count]
    size = np.maximum(np.linalg.norm(found.points[count:] - found.points[:count], axis=1), 1e-300)
    wide = np.concatenate([size, size])
    linear, cone = found.linear / wide[:, None], found.cone / wide[:, None, None]
    return lower_bounds(bodies, points, across / size[:, None], linear, cone, limit)


def _upper(bodies: Stack, points: Array, scale: Array) -> Array:
    """Distance of the points (N,), inf where one of them sticks out of its body."""
    count = len(scale)
    gap = np.linalg.norm(points[count:] - points[:count], axis=1)
    inside = _halves(bodies.violation(points)) * scale <= FEASIBLE
    return np.asarray(np.where(inside & np.isfinite(gap), gap, np.inf))


def _with_cones(
    bodies: Stack, start: Array, reach: Array, scale: Array, polish: bool
) -> tuple[Array, Array, Array]:
    """The same by a cone program."""
    count = len(scale)
    begin = np.zeros((count, 7))
    begin[:, :3], begin[:, 3:6] = start[:count], start[count:]
    begin[:, 6] = np.linalg.norm(start[:count] - start[count:], axis=1) + 1.0
    a, b = bodies.take(np.arange(count)), bodies.take(np.arange(count, 2 * count))
    answer = solve(_problem(a, b), begin, POLISH_GAP if polish else ROUGH_GAP)
    points = bodies.pulled_in(np.concatenate([answer.x[:, :3], answer.x[:, 3:6]]))
    planes, rounds = a.linear.shape[1], a.cone.shape[1]
    linear = np.concatenate([answer.linear[:, :planes], answer.linear[:, planes:]])
    cone = np.concatenate([answer.cone[:, :rounds], answer.cone[:, rounds:-1]])
    if polish:
        each = np.concatenate([linear, cone[..., 0]], axis=1)
        pa, pb, lam = polished(a, b, points[:count], points[count:], each[:count], each[count:])
        points = np.concatenate([pa, pb])
    upper = _upper(bodies, points, scale)
    limit = np.where(np.isfinite(upper), upper, reach)
    lower = lower_bounds(bodies, points, answer.cone[:, -1, 1:], linear, cone, limit)
    if polish:
        split = planes + rounds
        linear, cone = cone_multipliers(bodies, points, np.concatenate([lam[:, :split], lam[:, split:]]))
        across = points[count:] - points[:count]
        n = across / np.maximum(np.linalg.norm(across, axis=1), 1e-300)[:, None]
        lower = np.maximum(lower, lower_bounds(bodies, points, n, linear, cone, limit))
    tips.at_tips(bodies, (points, upper, lower), limit)
    return points, upper, lower


def _problem(a: Stack, b: Stack) -> Problems:
    count, la, lb = len(a.linear), a.linear.shape[1], b.linear.shape[1]
    qa, qb = a.cone.shape[1], b.cone.shape[1]
    linear = np.zeros((count, la + lb, 7))
    linear[:, :la, :3], linear[:, la:, 3:6] = a.linear, b.linear
    cone = np.zeros((count, qa + qb + 1, 4, 7))
    cone[:, :qa, :, :3], cone[:, qa:-1, :, 3:6] = a.cone, b.cone
    cone[:, -1, 0, 6] = -1.0
    cone[:, -1, 1:, :3], cone[:, -1, 1:, 3:6] = -np.eye(3), np.eye(3)
    cost = np.zeros((count, 7))
    cost[:, 6] = 1.0
    return Problems(
        cost,
        linear,
        np.concatenate([a.linear_h, b.linear_h], axis=1),
        cone,
        np.concatenate([a.cone_h, b.cone_h, np.zeros((count, 1, 4))], axis=1),
    )
