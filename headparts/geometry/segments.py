"""Distance of many pairs of straight stretches at once, exact. Lengths in mm."""

from __future__ import annotations

import numpy as np

from headparts.geometry.axis import Array


def _dot(a: Array, b: Array) -> Array:
    result: Array = np.einsum("nk,nk->n", a, b)
    return result


def segments_apart(
    first: tuple[Array, Array, float], second: tuple[Array, Array, float]
) -> tuple[Array, Array, Array]:
    """Least distance (N,) of stretches (points (N, 3), unit directions (N, 3), length), and the two nearest points.

    The minimum of a convex function over a square of parameters: inside, or else on one of its four sides, each of
    which is a point against a stretch (D. Eberly, Robust computation of distance between line segments, 2018).
    """
    p, d, length = first
    q, e, other = second
    w = q - p
    cosine = _dot(d, e)
    square = 1.0 - cosine**2
    safe = np.where(square > 1e-14, square, 1.0)
    along_d, along_e = _dot(w, d), _dot(w, e)
    s = (along_d - cosine * along_e) / safe
    t = (cosine * along_d - along_e) / safe
    inside = (square > 1e-14) & (s >= 0.0) & (s <= length) & (t >= 0.0) & (t <= other)
    zero = np.zeros(len(p))
    best = np.where(inside, np.linalg.norm(w + t[:, None] * e - s[:, None] * d, axis=1), np.inf)
    best_s, best_t = np.where(inside, s, 0.0), np.where(inside, t, 0.0)
    sides = [
        (zero, np.clip(-along_e, 0.0, other)),
        (zero + length, np.clip(length * cosine - along_e, 0.0, other)),
        (np.clip(along_d, 0.0, length), zero),
        (np.clip(along_d + other * cosine, 0.0, length), zero + other),
    ]
    for s, t in sides:
        gap = np.linalg.norm(w + t[:, None] * e - s[:, None] * d, axis=1)
        nearer = gap < best
        best = np.where(nearer, gap, best)
        best_s, best_t = np.where(nearer, s, best_s), np.where(nearer, t, best_t)
    return best, p + best_s[:, None] * d, q + best_t[:, None] * e
