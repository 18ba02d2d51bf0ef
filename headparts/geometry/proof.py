"""Proven lower bounds of distances from a direction and any multipliers.

For any point y of a body and any point a, multipliers z in the cones with rho = n - G'z give
n.(y - a) <= z.s(a) + |rho| |y - a| (weak duality; S. Boyd and L. Vandenberghe, Convex Optimization, 2004,
section 5.9), so two bodies are at least n.(b - a) - both excesses apart, whoever found the multipliers.
"""

from __future__ import annotations

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.stack import Stack

STRETCH = 1e-6
"""A direction this much short of unit length is made one."""
MARGIN = 1e-13
"""A body must miss by more than this (scaled) to be called empty."""


def lower_bounds(
    bodies: Stack, points: Array, n: Array, linear: Array, cone: Array, limit: Array, rounds: int = 2
) -> Array:
    """Proven lower bound of the distance of body k and body N + k, for every k < N; at most ``limit`` (N,).

    ``points`` (2 N, 3): one near or in each body; ``n`` (N, 3): direction from body k to body N + k, of any
    length up to 1; ``linear`` (2 N, L), ``cone`` (2 N, Q, 4): multipliers in the cones for that length;
    ``rounds``: how often the multipliers are balanced against n. 0 where no bound comes out.
    """
    pairs = len(n)
    ok = np.asarray(np.isfinite(linear).all(axis=1) & np.isfinite(cone).all(axis=(1, 2)))
    linear, cone = np.where(ok[:, None], linear, 0.0), np.where(ok[:, None, None], cone, 0.0)
    size = np.maximum(np.sqrt(np.einsum("nk,nk->n", n, n)), 1e-300)
    factor = np.where(size > 1.0, 1.0 / size, np.minimum(1.0 / size, 1.0 + STRETCH))
    wide = np.concatenate([factor, factor])
    n, linear, cone = n * factor[:, None], linear * wide[:, None], cone * wide[:, None, None]
    with np.errstate(all="ignore"):
        for _ in range(rounds):
            n, linear, cone = _balanced(bodies, n, linear, cone)
    sl, sq = bodies.slack(points)
    rho = np.concatenate([n, -n]) - _sum_of(bodies, linear, cone)
    away = np.sqrt(np.einsum("nk,nk->n", rho, rho))
    excess = np.einsum("nl,nl->n", sl, linear) + np.einsum("nqi,nqi->n", sq, cone)
    with np.errstate(all="ignore"):
        excess = excess + np.where(away > 0, away * _reach(bodies, points, limit), 0.0)
        lower = np.einsum("nk,nk->n", n, points[pairs:] - points[:pairs]) - excess[:pairs] - excess[pairs:]
    return np.asarray(np.where(np.isfinite(lower), np.minimum(lower, limit), 0.0))


def empty_bodies(bodies: Stack, linear: Array, cone: Array) -> np.ndarray:
    """Whether multipliers in the cones prove that bodies hold no point; shape (N,), bool.

    A point x of a body has z.s(x) >= 0, and z.s(x) <= z.s(c) + |G'z| r within a ball of radius r about c.
    """
    known = np.isfinite(bodies.bound[:, 3])
    centre = np.where(known[:, None], bodies.bound[:, :3], 0.0)
    with np.errstate(all="ignore"):
        size = 1.0 / np.maximum(linear.sum(axis=1) + cone[..., 0].sum(axis=1), 1e-300)
        sl, sq = bodies.slack(centre)
        most = np.einsum("nl,nl->n", sl, linear) + np.einsum("nqi,nqi->n", sq, cone)
        most += np.linalg.norm(_sum_of(bodies, linear, cone), axis=1) * bodies.bound[:, 3]
        return np.asarray(known & (most * size < -MARGIN))


def _sum_of(bodies: Stack, linear: Array, cone: Array) -> Array:
    """G'z, shape (2 N, 3)."""
    return np.asarray(
        np.einsum("nlk,nl->nk", bodies.linear, linear) + np.einsum("nqik,nqi->nk", bodies.cone, cone)
    )


def _balanced(bodies: Stack, n: Array, linear: Array, cone: Array) -> tuple[Array, Array, Array]:
    """Multipliers moved a little, by weighted least squares, so that they balance n in both bodies.

    Whatever comes out is put back into the cones, so it is as valid as what went in.
    """
    pairs, planes = len(n), linear.shape[1]
    rows = np.concatenate([bodies.linear, bodies.cone.reshape(2 * pairs, -1, 3)], axis=1)
    weight = np.concatenate([linear, np.repeat(cone[..., 0], 4, axis=1)], axis=1)
    rest = _sum_of(bodies, linear, cone) - np.concatenate([n, -n])
    inner = np.matmul((rows * weight[..., None]).swapaxes(1, 2), rows)
    matrix = np.zeros((pairs, 6, 6))
    matrix[:, :3, :3], matrix[:, 3:, 3:] = inner[:pairs], inner[pairs:]
    k = np.arange(6)
    matrix[:, k, k] += 1.0 + 1e-13 * (1.0 + np.einsum("nkk->n", matrix))[:, None]
    matrix[:, k, (k + 3) % 6] = -1.0
    matrix[~np.isfinite(matrix).all(axis=(1, 2))] = np.eye(6)
    try:
        y = -np.linalg.solve(matrix, np.concatenate([rest[:pairs], rest[pairs:]], axis=1)[..., None])[..., 0]
    except np.linalg.LinAlgError:
        return n, linear, cone
    y = np.where(np.isfinite(y), y, 0.0)
    n = n - y[:, :3] + y[:, 3:]
    dz = weight * np.matmul(rows, np.concatenate([y[:, :3], y[:, 3:]])[..., None])[..., 0]
    linear = np.maximum(linear + dz[:, :planes], 0.0)
    cone = cone + dz[:, planes:].reshape(cone.shape)
    cone[..., 0] = np.maximum(cone[..., 0], np.sqrt(np.einsum("nqi,nqi->nq", cone[..., 1:], cone[..., 1:])))
    size = np.maximum(np.sqrt(np.einsum("nk,nk->n", n, n)), 1.0)
    wide = np.concatenate([size, size])
    return n / size[:, None], linear / wide[:, None], cone / wide[:, None, None]


def _reach(bodies: Stack, points: Array, limit: Array) -> Array:
    """How far points that matter may lie from ``points``: the body's ball, else near the other body's."""
    pairs = len(limit)
    own = np.linalg.norm(bodies.bound[:, :3] - points, axis=1) + bodies.bound[:, 3]
    other = np.concatenate([bodies.bound[pairs:], bodies.bound[:pairs]])
    near = np.linalg.norm(other[:, :3] - points, axis=1) + other[:, 3] + np.concatenate([limit, limit])
    return np.asarray(np.fmin(own, near))
