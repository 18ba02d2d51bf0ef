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
from functools import lru_cache

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex, Plane

FEASIBLE = 1e-11
"""A witness may stick out of its body by this much (mm): rounding."""
PULLS = 12
PULL_LIMIT = 1e-6


@lru_cache(maxsize=20000)
def rows_of(body: Convex) -> tuple[Array, Array, Array, Array]:
    """Constraint rows of a body: s = h - G x with G (L, 3), h (L,) and cones G (Q, 4, 3), h (Q, 4)."""
    linear = np.array([plane.normal for plane in body.planes], dtype=float).reshape(-1, 3)
    linear_h = np.array([plane.offset for plane in body.planes], dtype=float)
    cone = np.zeros((len(body.rounds), 4, 3))
    cone_h = np.zeros((len(body.rounds), 4))
    for k, item in enumerate(body.rounds):
        matrix, m, c, d = item.cone_rows()
        cone[k, 0], cone[k, 1:] = -c, -matrix
        cone_h[k, 0], cone_h[k, 1:] = d, m
    return linear, linear_h, cone, cone_h


def _with_planes(rows: tuple[Array, Array, Array, Array], planes: Sequence[Plane]) -> tuple[
        Array, Array, Array, Array]:
    if not planes:
        return rows
    normals = np.array([plane.normal for plane in planes])
    offsets = np.array([plane.offset for plane in planes])
    return np.concatenate([rows[0], normals]), np.concatenate([rows[1], offsets]), rows[2], rows[3]


@dataclass(frozen=True)
class Stack:
    """N bodies with padded rows: linear (N, L, 3), (N, L), cone (N, Q, 4, 3), (N, Q, 4), bound (N, 4).

    ``bound``: centre and radius of a ball that holds the body, nan where endless.
    """

    linear: Array
    linear_h: Array
    cone: Array
    cone_h: Array
    bound: Array

    @classmethod
    def of(cls, bodies: Sequence[Convex], extra: Sequence[Sequence[Plane]] | None = None) -> Stack:
        """Rows of the bodies, each cut by its ``extra`` half-spaces."""
        parts = [rows_of(body) for body in bodies]
        if extra is not None:
            parts = [_with_planes(part, planes) for part, planes in zip(parts, extra, strict=True)]
        count = len(parts)
        most_l = max((len(part[1]) for part in parts), default=0)
        most_q = max((len(part[3]) for part in parts), default=0)
        linear, linear_h = np.zeros((count, most_l, 3)), np.ones((count, most_l))
        cone, cone_h = np.zeros((count, most_q, 4, 3)), np.zeros((count, most_q, 4))
        cone_h[..., 0] = 1.0
        bound = np.full((count, 4), np.nan)
        for k, (gl, hl, gq, hq) in enumerate(parts):
            linear[k, :len(hl)], linear_h[k, :len(hl)] = gl, hl
            cone[k, :len(hq)], cone_h[k, :len(hq)] = gq, hq
            ball = bodies[k].bound
            if ball is not None:
                bound[k] = (*ball[0], ball[1])
        return cls(linear, linear_h, cone, cone_h, bound)

    def shifted(self, origin: Array, scale: Array) -> Stack:
        """The bodies in coordinates (x - origin) / scale, one origin (N, 3) and scale (N,) a body."""
        linear_h = (self.linear_h - np.einsum("nlk,nk->nl", self.linear, origin)) / scale[:, None]
        cone_h = (self.cone_h - np.einsum("nqik,nk->nqi", self.cone, origin)) / scale[:, None, None]
        bound = np.concatenate([(self.bound[:, :3] - origin), self.bound[:, 3:]], axis=1) / scale[:, None]
        return Stack(self.linear, linear_h, self.cone, cone_h, bound)

    def slack(self, points: Array) -> tuple[Array, Array]:
        """h - G x at one point a body (N, 3)."""
        return (self.linear_h - np.einsum("nlk,nk->nl", self.linear, points),
                self.cone_h - np.einsum("nqik,nk->nqi", self.cone, points))

    def violation(self, points: Array) -> Array:
        """Largest violated constraint at one point a body, <= 0 inside; shape (N,)."""
        sl, sq = self.slack(points)
        worst = np.maximum(np.max(-sl, axis=1, initial=-np.inf),
                           np.max(np.linalg.norm(sq[..., 1:], axis=-1) - sq[..., 0], axis=1, initial=-np.inf))
        return np.asarray(worst)


    def pulled_in(self, points: Array) -> Array:
        """Points (N, 3) that stick out a little, moved onto their worst constraint again and again."""
        moved = points.copy()
        for _ in range(PULLS):
            sl, sq = self.slack(moved)
            norm = np.linalg.norm(sq[..., 1:], axis=-1)
            out = np.concatenate([-sl, norm - sq[..., 0]], axis=1)
            if out.shape[1] == 0 or not np.any(out > 0):
                break
            k = np.argmax(out, axis=1)
            each = np.arange(len(moved))
            slopes = self.cone[:, :, 0] - np.einsum("nqik,nqi->nqk", self.cone[:, :, 1:],
                                                    sq[..., 1:] / np.maximum(norm, 1e-300)[..., None])
            slope = np.concatenate([self.linear, slopes], axis=1)[each, k]
            size = np.maximum(np.einsum("nk,nk->n", slope, slope), 1e-300)
            step = np.clip(out[each, k], 0.0, PULL_LIMIT) / size
            moved -= step[:, None] * slope
        return moved


@dataclass(frozen=True)
class Distances:
    """Witnesses a, b (N, 3), ``upper`` (N,) (inf: no witness pair was found), proven ``lower`` (N,)."""

    a: Array
    b: Array
    upper: Array
    lower: Array


def distances(first: Sequence[Convex], second: Sequence[Convex], reach: Array | None = None,
              cuts: tuple[Sequence[Sequence[Plane]], Sequence[Sequence[Plane]]] | None = None) -> Distances:
    """Distance of first[k] and second[k] for every k (mm); ``cuts``: half-spaces that cut each of them.

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
    radii = np.where(known_a, np.nan_to_num(a.bound[:, 3]), 0) + np.where(known_b, np.nan_to_num(b.bound[:, 3]), 0)
    scale = np.maximum(radii, 1e-3)
    a, b = a.shifted(origin, scale), b.shifted(origin, scale)
    start = np.zeros((len(first), 7))
    start[:, :3] = np.where(known_a[:, None], a.bound[:, :3], b.bound[:, :3])
    start[:, 3:6] = np.where(known_b[:, None], b.bound[:, :3], a.bound[:, :3])
    start[:, 6] = np.linalg.norm(start[:, :3] - start[:, 3:6], axis=1) + 1.0
    answer = solve(_problem(a, b), start)
    pa, pb = a.pulled_in(answer.x[:, :3]), b.pulled_in(answer.x[:, 3:6])
    bad = np.maximum(a.violation(pa), b.violation(pb)) * scale > FEASIBLE
    gap = np.linalg.norm(pb - pa, axis=1)
    upper = np.where(bad, np.inf, gap)
    limit = np.where(np.isfinite(upper), upper, np.inf if reach is None else np.asarray(reach) / scale)
    lower = _lower(a, b, pa, pb, answer.linear, answer.cone, limit)
    return Distances(pa * scale[:, None] + origin, pb * scale[:, None] + origin, upper * scale,
                     np.maximum(lower * scale, 0.0))


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
    return Problems(cost, linear, np.concatenate([a.linear_h, b.linear_h], axis=1), cone,
                    np.concatenate([a.cone_h, b.cone_h, np.zeros((count, 1, 4))], axis=1))


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
        lower = (np.einsum("nk,nk->n", n, pb - pa) - excess_a - excess_b
                 - np.where(rho_a > 0, rho_a * reach_a, 0.0) - np.where(rho_b > 0, rho_b * reach_b, 0.0))
    return np.where(np.isfinite(lower), np.minimum(lower, limit), 0.0)


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
        matrix[:, 3 * k:3 * k + 3, 3 * k:3 * k + 3] = np.einsum("nik,ni,nij->nkj", g, w, g) + np.eye(3)
    matrix[:, :3, 3:] = matrix[:, 3:, :3] = -np.eye(3)
    y = -np.einsum("nij,nj->ni", np.linalg.pinv(matrix, rcond=1e-12, hermitian=True), np.concatenate(rests, axis=1))
    n = n - y[:, :3] + y[:, 3:]
    new_l, new_q = zl.copy(), zq.copy()
    for k, (body, l0, q0) in enumerate(((a, 0, 0), (b, la, qa))):
        dz = weights[k] * np.einsum("nik,nk->ni", rows[k], y[:, 3 * k:3 * k + 3])
        split = body.linear.shape[1]
        new_l[:, l0:l0 + split] += dz[:, :split]
        new_q[:, q0:q0 + body.cone.shape[1]] += dz[:, split:].reshape(len(n), -1, 4)
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
    return np.fmin(own, near)
