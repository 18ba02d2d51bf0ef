"""Last digits of witness pairs: Newton steps on the conditions of a minimum with the binding constraints.

Lagrange-Newton method for equality constraints (D. Luenberger and Y. Ye, Linear and Nonlinear Programming,
chapter on Lagrange methods, from memory). Lengths in whatever unit the bodies are given in.
"""

from __future__ import annotations

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.stack import Stack

BINDING = 1e-6
"""A constraint binds when its multiplier is above and its slack below this (scaled units)."""
STEPS = 2


def safe_inverse(matrix: Array, wanted: np.ndarray | bool = True) -> Array:
    """Pseudo-inverses of symmetric matrices (N, m, m); zero where not ``wanted``, not finite or not found."""
    use = np.all(np.isfinite(matrix), axis=(1, 2)) & wanted
    kept = np.where(use[:, None, None], matrix, np.eye(matrix.shape[1]))
    try:
        inverse = np.linalg.pinv(kept, rcond=1e-11, hermitian=True)
    except np.linalg.LinAlgError:
        return np.zeros_like(matrix)
    return np.asarray(np.where(use[:, None, None], inverse, 0.0))


def constraint_parts(body: Stack, point: Array) -> tuple[Array, Array, Array]:
    """Values (N, M), gradients (N, M, 3), second derivatives (N, M, 3, 3) of f <= 0, planes first."""
    sl, sq = body.slack(point)
    norm = np.maximum(np.linalg.norm(sq[..., 1:], axis=-1), 1e-12)
    unit = sq[..., 1:] / norm[..., None]
    rows = body.cone[:, :, 1:]
    slopes = body.cone[:, :, 0] - np.einsum("nqik,nqi->nqk", rows, unit)
    across = np.eye(3) - unit[..., :, None] * unit[..., None, :]
    bend = np.einsum("nqik,nqij,nqjl->nqkl", rows, across, rows) / norm[..., None, None]
    count = len(point)
    return (
        np.concatenate([-sl, norm - sq[..., 0]], axis=1),
        np.concatenate([body.linear, slopes], axis=1),
        np.concatenate([np.zeros((count, sl.shape[1], 3, 3)), bend], axis=1),
    )


def polished(a: Stack, b: Stack, pa: Array, pb: Array, za: Array, zb: Array) -> tuple[Array, Array, Array]:
    """Witness pairs moved to the minimum that the multipliers point at; kept only where they come nearer, and
    the multipliers of the last step (N, M of a + M of b).

    ``za`` (N, M): one multiplier a constraint of ``a``, planes first; ``zb`` the same for ``b``.
    """
    best_a, best_b = pa.copy(), pb.copy()
    lam = np.concatenate([za, zb], axis=1)
    for _ in range(STEPS):
        fa, ga, ha = constraint_parts(a, pa)
        fb, gb, hb = constraint_parts(b, pb)
        ma, m = fa.shape[1], lam.shape[1]
        f = np.concatenate([fa, fb], axis=1)
        active = (lam > BINDING) & (f > -BINDING)
        lam = np.where(active, lam, 0.0)
        gap = pb - pa
        size = np.linalg.norm(gap, axis=1)
        safe = np.maximum(size, 1e-12)[:, None]
        n = gap / safe
        turn = (np.eye(3) - n[:, :, None] * n[:, None, :]) / safe[..., None]
        matrix = np.zeros((len(pa), 6 + m, 6 + m))
        matrix[:, :3, :3] = turn + np.einsum("nm,nmkl->nkl", lam[:, :ma], ha)
        matrix[:, 3:6, 3:6] = turn + np.einsum("nm,nmkl->nkl", lam[:, ma:], hb)
        matrix[:, :3, 3:6] = matrix[:, 3:6, :3] = -turn
        matrix[:, 6 : 6 + ma, :3] = ga * active[:, :ma, None]
        matrix[:, 6 + ma :, 3:6] = gb * active[:, ma:, None]
        matrix[:, :6, 6:] = np.swapaxes(matrix[:, 6:, :6], 1, 2)
        k = np.arange(m)
        matrix[:, 6 + k, 6 + k] = np.where(active, 0.0, 1.0)
        right = np.concatenate([n, -n, np.where(active, -f, 0.0)], axis=1)
        step = np.einsum("nij,nj->ni", safe_inverse(matrix, size > 1e-9), right)
        sound = (
            np.all(np.isfinite(step), axis=1) & (np.max(np.abs(step[:, :6]), axis=1) < 1e-3) & (size > 1e-9)
        )
        pa = a.pulled_in(pa + np.where(sound[:, None], step[:, :3], 0.0))
        pb = b.pulled_in(pb + np.where(sound[:, None], step[:, 3:6], 0.0))
        lam = np.where(sound[:, None], np.maximum(step[:, 6:], 0.0), lam)
        inside = np.maximum(a.violation(pa), b.violation(pb)) <= np.maximum(
            np.maximum(a.violation(best_a), b.violation(best_b)), 1e-14
        )
        nearer = inside & (np.linalg.norm(pb - pa, axis=1) < np.linalg.norm(best_b - best_a, axis=1))
        best_a, best_b = np.where(nearer[:, None], pa, best_a), np.where(nearer[:, None], pb, best_b)
    return best_a, best_b, lam


def cone_multipliers(body: Stack, point: Array, lam: Array) -> tuple[Array, Array]:
    """Multipliers in the cones, (N, L) and (N, Q, 4), that stand for ``lam`` (N, L + Q) at ``point``."""
    split = body.linear.shape[1]
    _, sq = body.slack(point)
    norm = np.maximum(np.linalg.norm(sq[..., 1:], axis=-1), 1e-300)
    cone = np.concatenate([np.ones((*norm.shape, 1)), -sq[..., 1:] / norm[..., None]], axis=-1)
    return lam[:, :split], cone * lam[:, split:, None]
