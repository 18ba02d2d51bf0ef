"""Distances that end at the tip of a cone: there the cone's constraint has no slope.

The nearest point of the other body to the tip is also its nearest to a small ball about the tip, which is a
smooth problem; a direction n within the cone's normals at the tip balances it with multipliers in closed
form. Lengths scaled as the caller's.
"""

from __future__ import annotations

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.proof import lower_bounds
from headparts.geometry.quick import nearest
from headparts.geometry.stack import Stack

NEAR = 1e-3
"""A point this near to a tip is tried at the tip."""
SMALL = 1e-3
"""Radius of the ball that stands for a tip."""


def at_tips(bodies: Stack, bounds: tuple[Array, Array, Array], limit: Array) -> None:
    """Points (2 N, 3) near a tip moved into it, in place with their ``upper`` and ``lower`` (N,), where that
    brings the two bounds together."""
    points, upper, lower = bounds
    count = len(upper)
    tips, which = _tips(bodies, points)
    use = np.flatnonzero((which >= 0).reshape(2, count).any(axis=0) & (upper > lower))
    if len(use) == 0:
        return
    wide = np.concatenate([use, use + count])
    part, tips, which = bodies.take(wide), tips[wide], which[wide]
    sharp = which >= 0
    balls = _as_balls(part, tips, sharp)
    found = nearest(balls, np.where(sharp[:, None], tips, points[wide]))
    tried = np.where(sharp[:, None], tips, balls.pulled_in(found.points))
    half = len(use)
    across = tried[half:] - tried[:half]
    high = np.linalg.norm(across, axis=1)
    n = across / np.maximum(high, 1e-300)[:, None]
    inside = (part.violation(tried) <= 1e-13).reshape(2, half).all(axis=0)
    high = np.where(inside, high, np.inf)
    length = np.linalg.norm(found.points[half:] - found.points[:half], axis=1)
    size = np.maximum(np.concatenate([length, length]), 1e-300)
    linear = np.where(sharp[:, None], 0.0, found.linear / size[:, None])
    cone = np.where(sharp[:, None, None], 0.0, found.cone / size[:, None, None])
    each = np.flatnonzero(sharp)
    rows = part.cone[each, which[each]]
    outward = np.concatenate([n, -n])[each]
    cone[each, which[each]] = _multipliers(rows, outward)
    low = np.maximum(lower_bounds(part, tried, n, linear, cone, np.minimum(high, limit[use])), lower[use])
    better = high - low < np.where(np.isfinite(upper[use]), upper[use] - lower[use], np.inf)
    chosen = use[better]
    points[np.concatenate([chosen, chosen + count])] = tried[np.concatenate([better, better])]
    upper[chosen], lower[chosen] = high[better], low[better]


def _tips(bodies: Stack, points: Array) -> tuple[Array, np.ndarray]:
    """For one point a body the tip that is near to it, (N, 3), and the number of its cone (-1: none)."""
    tips, which = np.zeros_like(points), np.full(len(points), -1)
    for q in range(bodies.cone.shape[1]):
        use = np.flatnonzero(np.abs(bodies.cone[:, q, 0]).max(axis=1) > 1e-9)
        if len(use):
            rows, rest = bodies.cone[use, q], bodies.cone_h[use, q]
            square = np.matmul(rows.swapaxes(1, 2), rows)
            found = np.linalg.solve(square, np.einsum("nik,ni->nk", rows, rest)[..., None])[..., 0]
            near = np.linalg.norm(found - points[use], axis=1) < NEAR
            tips[use[near]], which[use[near]] = found[near], q
    return tips, which


def _as_balls(bodies: Stack, tips: Array, sharp: np.ndarray) -> Stack:
    linear, linear_h = bodies.linear.copy(), bodies.linear_h.copy()
    cone, cone_h = bodies.cone.copy(), bodies.cone_h.copy()
    linear[sharp], linear_h[sharp] = 0.0, 1.0
    cone[sharp], cone_h[sharp] = 0.0, np.array([1.0, 0.0, 0.0, 0.0])
    cone[sharp, 0, 1:] = -np.eye(3)
    cone_h[sharp, 0, 0], cone_h[sharp, 0, 1:] = SMALL, -tips[sharp]
    return Stack(linear, linear_h, cone, cone_h, bodies.bound)


def _multipliers(rows: Array, n: Array) -> Array:
    """z (K, 4) with rows'z = n for cones' rows (K, 4, 3), put into the second-order cone."""
    c, m = rows[:, 0], rows[:, 1:]
    size = np.einsum("nk,nk->n", c, c)
    z = np.empty((len(n), 4))
    z[:, 0] = np.einsum("nk,nk->n", c, n) / np.maximum(size, 1e-300)
    z[:, 1:] = np.einsum("nik,nk->ni", m, n) / np.maximum(np.einsum("nik,nik->n", m, m) / 2, 1e-300)[:, None]
    z[:, 0] = np.maximum(z[:, 0], np.linalg.norm(z[:, 1:], axis=1))
    return z
