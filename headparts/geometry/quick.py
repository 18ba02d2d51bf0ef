"""Nearest points of many pairs of convex bodies at once: an interior point method made for this one problem.

Minimise |x - y|^2 / 2, x and y held by f <= 0: planes g.x - h, round constraints |w|^2 / t - t with
t = c.x + d > 0 and w = M x + m (both convex and smooth). Primal-dual steps with Mehrotra's predictor and
corrector (J. Nocedal and S. Wright, Numerical Optimization, 2nd ed., chapters 14 and 19, from memory); one
6 x 6 system a pair and step. The answer is not trusted as such: `pairs.py` proves a bound from any
multipliers, and gives what this method leaves open to `conic.py`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.stack import Stack

STEPS = 24
MU = 1e-15
"""A pair rests when its mean complementarity (squared scaled length) is below this."""
RESIDUAL = 1e-12
SETTLED = 1e6
"""Once a pair's rest was below this, only a better point is kept; what does not come nearer stops."""
STIFF = 1e12
LEAN = 1e-12
BACK = 0.995


@dataclass(frozen=True)
class Nearest:
    """Points (2 N, 3) and multipliers (2 N, L), (2 N, Q, 4) in the cones: N first bodies, then N second."""

    points: Array
    linear: Array
    cone: Array


def nearest(bodies: Stack, start: Array) -> Nearest:
    """Solve for body k and body N + k of ``bodies``, k < N, from points ``start`` (2 N, 3).

    Sizes should be about 1. A pair whose bodies overlap ends with two points that hardly differ.
    """
    double, planes, rounds = len(start), bodies.linear.shape[1], bodies.cone.shape[1]
    pairs = double // 2
    matrix = np.concatenate([bodies.linear, bodies.cone.reshape(double, -1, 3)], axis=1)
    offset = np.concatenate([bodies.linear_h, bodies.cone_h.reshape(double, -1)], axis=1)
    live, bound = np.arange(pairs), bodies.bound
    points, x = start.copy(), start
    kept = np.zeros((double, planes + rounds))
    best = np.full(pairs, np.inf)
    s = np.maximum(-_values(matrix, offset, x, planes, rounds)[0], 0.1)
    lam = 0.1 / s
    with np.errstate(all="ignore"):
        for _ in range(STEPS):
            old_x, old_lam = x, lam
            x, s, lam, rest, sound = _step(matrix, offset, x, s, lam, bound, planes, rounds)
            better = (rest < best[live]) | (best[live] > SETTLED)
            chosen = live[better]
            best[chosen] = np.minimum(rest[better], best[chosen])
            wide, chosen = np.concatenate([better, better]), np.concatenate([chosen, chosen + pairs])
            points[chosen], kept[chosen] = old_x[wide], old_lam[wide]
            go = sound & (rest > 1.0) & better
            if not go.any():
                break
            if not go.all():
                wide = np.concatenate([go, go])
                live = live[go]
                matrix, offset, x, s, lam, bound = (part[wide] for part in (matrix, offset, x, s, lam, bound))
    slack = bodies.cone_h - np.matmul(bodies.cone, points[:, None, :, None])[..., 0]
    with np.errstate(all="ignore"):
        u = slack[..., 1:] / slack[..., :1]
    cone = np.empty((double, rounds, 4))
    cone[..., 0] = 1.0 + np.einsum("nqi,nqi->nq", u, u)
    cone[..., 1:] = -2.0 * u
    cone *= kept[:, planes:, None]
    cone[~np.isfinite(cone).all(axis=2)] = 0.0
    return Nearest(points, kept[:, :planes], cone)


def _values(matrix: Array, offset: Array, x: Array, planes: int, rounds: int) -> tuple[Array, Array, Array]:
    """Constraint values (2 N, L + Q), t (2 N, Q) and u = w / t (2 N, Q, 3)."""
    slack = offset - np.matmul(matrix, x[..., None])[..., 0]
    rows = slack[:, planes:].reshape(len(x), rounds, 4)
    t = rows[..., 0]
    u = rows[..., 1:] / t[..., None]
    square = np.einsum("nqi,nqi->nq", u, u)
    return np.concatenate([-slack[:, :planes], (square - 1.0) * t], axis=1), t, u


def _step(
    matrix: Array, offset: Array, x: Array, s: Array, lam: Array, bound: Array, planes: int, rounds: int
) -> tuple[Array, Array, Array, Array, np.ndarray]:
    double = len(x)
    pairs = double // 2
    f, t, u = _values(matrix, offset, x, planes, rounds)
    cone = matrix[:, planes:].reshape(double, rounds, 4, 3)
    factor = np.empty((double, rounds, 1, 4))
    factor[..., 0, 0] = np.einsum("nqi,nqi->nq", u, u) + 1.0
    factor[..., 0, 1:] = -2.0 * u
    slope = np.concatenate([matrix[:, :planes], np.matmul(factor, cone)[:, :, 0]], axis=1)
    bend = (cone[:, :, 1:] - u[..., None] * cone[:, :, :1]).reshape(double, -1, 3)
    ratio = np.minimum(lam / s, STIFF)
    rows = np.concatenate([slope, bend], axis=1)
    weight = np.concatenate([ratio, np.repeat(2.0 * lam[:, planes:] / t, 3, axis=1)], axis=1)
    inner = np.matmul((rows * weight[..., None]).swapaxes(1, 2), rows)
    apart = x[:pairs] - x[pairs:]
    pull = np.concatenate([apart, -apart])
    slope_t = slope.swapaxes(1, 2)
    system = np.zeros((pairs, 6, 6))
    system[:, :3, :3], system[:, 3:, 3:] = inner[:pairs], inner[pairs:]
    k = np.arange(6)
    system[:, k, k] += 1.0 + 1e-13
    system[:, k, (k + 3) % 6] = -1.0
    whole = np.isfinite(system).all(axis=(1, 2))
    system[~whole] = np.eye(6)

    def direction(inside: Array) -> tuple[Array, Array, Array]:
        """Step of x, s and lam for complementarity (rc + lam (f + s)) / s = ``inside``."""
        right = -pull - np.matmul(slope_t, (lam + inside)[..., None])[..., 0]
        dx = _solved(system, np.concatenate([right[:pairs], right[pairs:]], axis=1))
        dx = np.concatenate([dx[:, :3], dx[:, 3:]])
        move = np.matmul(slope, dx[..., None])[..., 0]
        return dx, -(f + s) - move, inside + ratio * move

    gap = (s * lam).reshape(2, pairs, -1)
    count = 2 * s.shape[1]
    mu = gap.sum(axis=(0, 2)) / count
    force = np.matmul(slope_t, lam[..., None])[..., 0]
    reach = np.sqrt(np.einsum("nk,nk->n", force, force)) * (
        np.linalg.norm(x - bound[:, :3], axis=1) + bound[:, 3]
    )
    empty = (np.einsum("nm,nm->n", lam, f) > reach).reshape(2, pairs).any(axis=0)
    dual = np.abs(pull + force).max(axis=1)
    miss = np.maximum(np.abs(f + s).max(axis=1), dual).reshape(2, pairs).max(axis=0)
    rest = np.maximum(mu / MU, miss / RESIDUAL)
    _, ds, dl = direction(ratio * f)
    alpha = _length(s, ds, lam, dl, pairs)[:, None]
    ahead = ((s + np.concatenate([alpha, alpha]) * ds) * (lam + np.concatenate([alpha, alpha]) * dl)).reshape(
        2, pairs, -1
    ).sum(axis=(0, 2)) / count
    target = np.clip((ahead / mu) ** 3, 1e-6, 1.0) * mu
    wanted = np.concatenate([target, target])[:, None]
    dx, ds, dl = direction(ratio * f + (wanted - np.concatenate([alpha, alpha]) ** 2 * ds * dl) / s)
    alpha = np.clip(1.0 - mu, BACK, 1.0 - 1e-9) * _length(s, ds, lam, dl, pairs)
    sound = (
        whole
        & ~empty
        & np.isfinite(alpha)
        & np.isfinite(dx).all(axis=1).reshape(2, pairs).all(axis=0)
        & (alpha > 1e-9)
    )
    a = np.where(sound, alpha, 0.0)
    a = np.concatenate([a, a])[:, None]
    dt = -np.matmul(cone[:, :, :1], dx[:, None, :, None])[:, :, 0, 0]
    a = np.minimum(a, 0.9 / np.maximum((-dt / t).max(axis=1, initial=0.9), 0.9)[:, None])
    least = np.minimum(a[:pairs], a[pairs:])
    a = np.concatenate([least, least])
    with np.errstate(all="ignore"):
        x, s, lam = (
            x + a * np.where(np.isfinite(dx), dx, 0.0),
            s + a * np.where(np.isfinite(ds), ds, 0.0),
            lam + a * np.where(np.isfinite(dl), dl, 0.0),
        )
    return x, s, lam, rest, sound


def _solved(system: Array, right: Array) -> Array:
    try:
        return np.asarray(np.linalg.solve(system, right[..., None])[..., 0])
    except np.linalg.LinAlgError:  # one of them is singular: all lean a little on their place
        k = np.arange(system.shape[1])
        system[:, k, k] += LEAN * (1.0 + system[:, k, k].max(axis=1, keepdims=True))
        return np.asarray(np.linalg.solve(system, right[..., None])[..., 0])


def _length(s: Array, ds: Array, lam: Array, dl: Array, pairs: int) -> Array:
    """Longest step up to 1 that keeps s and lam positive, one a pair."""
    worst = np.maximum((-ds / s).max(axis=1), (-dl / lam).max(axis=1)).reshape(2, pairs).max(axis=0)
    return np.asarray(1.0 / np.maximum(worst, 1.0))
