"""Distance of many pairs of convex bodies at once, each with a witness pair and a proof.

Upper bound: the distance of two points that lie in the bodies. Lower bound: a direction n and multipliers
of both bodies' constraints. For any point y of a body and any point a, multipliers z in the cones with
rho = n - G'z give n.(y - a) <= z.s(a) + |rho| |y - a| (weak duality; S. Boyd and L. Vandenberghe, Convex
Optimization, 2004, section 5.9), so the bodies are at least n.(b - a) - both excesses apart, whatever the
solver did. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex, Plane
from headparts.geometry.polish import cone_multipliers, polished, safe_inverse
from headparts.geometry.stack import Stack

ROUGH_GAP, POLISH_GAP = 1e-10, 1e-12
FEASIBLE = 1e-11
"""A witness may stick out of its body by this much (mm): rounding."""


@dataclass(frozen=True)
class Distances:
    """Witnesses a, b (N, 3), ``upper`` (N,) (inf: no witness pair was found), proven ``lower`` (N,)."""

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
    only as the bound of a pair whose other body is endless and that may be empty. Where a body is empty the
    lower bound grows without limit.
    """
    if len(first) == 0:
        return Distances(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0), np.zeros(0))
    a, b = Stack.of(first, cuts and cuts[0]), Stack.of(second, cuts and cuts[1])
    known_a, known_b = np.isfinite(a.bound[:, 3]), np.isfinite(b.bound[:, 3])
    centre = np.where(known_a[:, None], a.bound[:, :3], b.bound[:, :3])
    other = np.where((known_a & known_b)[:, None], b.bound[:, :3], centre)
    origin = (centre + other) / 2
    radii = np.where(known_a, np.nan_to_num(a.bound[:, 3]), 0) + np.where(
        known_b, np.nan_to_num(b.bound[:, 3]), 0
    )
    scale = np.maximum(radii, 1e-3)
    a, b = a.shifted(origin, scale), b.shifted(origin, scale)
    start = np.zeros((len(first), 7))
    start[:, :3] = np.where(known_a[:, None], a.bound[:, :3], b.bound[:, :3])
    start[:, 3:6] = np.where(known_b[:, None], b.bound[:, :3], a.bound[:, :3])
    start[:, 6] = np.linalg.norm(start[:, :3] - start[:, 3:6], axis=1) + 1.0
    answer = solve(_problem(a, b), start, POLISH_GAP if polish else ROUGH_GAP)
    pa, pb = a.pulled_in(answer.x[:, :3]), b.pulled_in(answer.x[:, 3:6])
    lam = None
    if polish:
        la, qa = a.linear.shape[1], a.cone.shape[1]
        zl, zq = answer.linear, answer.cone[:, :-1, 0]
        pa, pb, lam = polished(
            a,
            b,
            pa,
            pb,
            np.concatenate([zl[:, :la], zq[:, :qa]], axis=1),
            np.concatenate([zl[:, la:], zq[:, qa:]], axis=1),
        )
    bad = np.maximum(a.violation(pa), b.violation(pb)) * scale > FEASIBLE
    gap = np.linalg.norm(pb - pa, axis=1)
    upper = np.where(bad, np.inf, gap)
    limit = np.where(np.isfinite(upper), upper, np.inf if reach is None else np.asarray(reach) / scale)
    lower = _lower(a, b, pa, pb, answer.linear, answer.cone, limit)
    if lam is not None:
        split = a.linear.shape[1] + a.cone.shape[1]
        (la2, qa2), (lb2, qb2) = (
            cone_multipliers(a, pa, lam[:, :split]),
            cone_multipliers(b, pb, lam[:, split:]),
        )
        epi = np.concatenate([np.ones((len(pa), 1)), (pb - pa) / np.maximum(gap, 1e-300)[:, None]], axis=1)
        sharp = _lower(
            a,
            b,
            pa,
            pb,
            np.concatenate([la2, lb2], axis=1),
            np.concatenate([qa2, qb2, epi[:, None, :]], axis=1),
            limit,
        )
        lower = np.maximum(lower, sharp)
    return Distances(
        pa * scale[:, None] + origin,
        pb * scale[:, None] + origin,
        upper * scale,
        np.maximum(lower * scale, 0.0),
    )


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


def _lower(a: Stack, b: Stack, pa: Array, pb: Array, zl: Array, zq: Array, limit: Array) -> Array:
    n = zq[:, -1, 1:]
    size = np.maximum(np.linalg.norm(n, axis=1), 1e-300)
    factor = np.where(size > 1.0, 1.0 / size, 1.0)
    stretch = np.clip(1.0 / size, 1.0, 1.0 + 1e-6)  # a direction just short of unit length is made one
    factor = np.where(size < 1.0, stretch, factor)
    n, zl, zq = n * factor[:, None], zl * factor[:, None], zq * factor[:, None, None]
    la, qa = a.linear.shape[1], a.cone.shape[1]
    for _ in range(2):
        n, zl, zq = _sharpened(a, b, n, zl, zq)
    excess_a, rho_a = _excess(a, pa, n, zl[:, :la], zq[:, :qa])
    excess_b, rho_b = _excess(b, pb, -n, zl[:, la:], zq[:, qa:-1])
    reach_a, reach_b = _reach(a, pa, b, limit), _reach(b, pb, a, limit)
    with np.errstate(invalid="ignore"):
        lower = (
            np.einsum("nk,nk->n", n, pb - pa)
            - excess_a
            - excess_b
            - np.where(rho_a > 0, rho_a * reach_a, 0.0)
            - np.where(rho_b > 0, rho_b * reach_b, 0.0)
        )
    return np.asarray(np.where(np.isfinite(lower), np.minimum(lower, limit), 0.0))


def _sharpened(a: Stack, b: Stack, n: Array, zl: Array, zq: Array) -> tuple[Array, Array, Array]:
    """Multipliers moved a little, by weighted least squares, so that they balance n in both bodies.

    Whatever comes out is put back into the cones, so it is as valid as what went in.
    """
    la, qa = a.linear.shape[1], a.cone.shape[1]
    rows, weights, rests = [], [], []
    for body, sign, zl_, zq_ in ((a, 1.0, zl[:, :la], zq[:, :qa]), (b, -1.0, zl[:, la:], zq[:, qa:-1])):
        count = len(n)
        g = np.concatenate([body.linear, body.cone.reshape(count, -1, 3)], axis=1)
        w = np.concatenate([zl_, np.repeat(zq_[..., 0], 4, axis=1)], axis=1)
        z = np.concatenate([zl_, zq_.reshape(count, -1)], axis=1)
        rows.append(g)
        weights.append(w)
        rests.append(np.einsum("nik,ni->nk", g, z) - sign * n)
    matrix = np.zeros((len(n), 6, 6))
    for k, (g, w) in enumerate(zip(rows, weights, strict=True)):
        matrix[:, 3 * k : 3 * k + 3, 3 * k : 3 * k + 3] = np.einsum("nik,ni,nij->nkj", g, w, g) + np.eye(3)
    matrix[:, :3, 3:] = matrix[:, 3:, :3] = -np.eye(3)
    y = -np.einsum("nij,nj->ni", safe_inverse(matrix), np.concatenate(rests, axis=1))
    n = n - y[:, :3] + y[:, 3:]
    new_l, new_q = zl.copy(), zq.copy()
    for k, (body, l0, q0) in enumerate(((a, 0, 0), (b, la, qa))):
        dz = weights[k] * np.einsum("nik,nk->ni", rows[k], y[:, 3 * k : 3 * k + 3])
        split = body.linear.shape[1]
        new_l[:, l0 : l0 + split] += dz[:, :split]
        new_q[:, q0 : q0 + body.cone.shape[1]] += dz[:, split:].reshape(len(n), -1, 4)
    new_l = np.maximum(new_l, 0.0)
    new_q[..., 0] = np.maximum(new_q[..., 0], np.linalg.norm(new_q[..., 1:], axis=-1))
    size = np.maximum(np.linalg.norm(n, axis=1), 1.0)
    return n / size[:, None], new_l / size[:, None], new_q / size[:, None, None]


def _excess(body: Stack, point: Array, n: Array, zl: Array, zq: Array) -> tuple[Array, Array]:
    sl, sq = body.slack(point)
    rho = n - np.einsum("nlk,nl->nk", body.linear, zl) - np.einsum("nqik,nqi->nk", body.cone, zq)
    excess = np.einsum("nl,nl->n", sl, zl) + np.einsum("nqi,nqi->n", sq, zq)
    return excess, np.linalg.norm(rho, axis=1)


def _reach(body: Stack, point: Array, other: Stack, limit: Array) -> Array:
    """How far points that matter may lie from ``point``: the body's ball, else near the other body's."""
    own = np.linalg.norm(body.bound[:, :3] - point, axis=1) + body.bound[:, 3]
    near = np.linalg.norm(other.bound[:, :3] - point, axis=1) + other.bound[:, 3] + limit
    return np.asarray(np.fmin(own, near))
