"""Many small second-order cone programs at once: a primal-dual interior point method in numpy.

Each problem of a batch is: minimise cost.x subject to G x + s = h, s in a product of cones: half-lines
(s >= 0) and second-order cones of four rows (s[0] >= |s[1:]|). Method: Nesterov-Todd scaling with
Mehrotra's predictor and corrector, as described by L. Vandenberghe, "The CVXOPT linear and quadratic cone
program solvers" (2010), sections 4 to 7 (from memory), without self-dual embedding.

The answer is never trusted as such: `pairs.py` turns any multipliers in the cones into a proven bound, so a
solver that stops early costs sharpness, not truth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Array

STEP = 0.995
MAX_STEPS = 60
GAP = 3e-14


@dataclass(frozen=True)
class Problems:
    """A batch of N programs: cost (N, n), linear rows (N, L, n), (N, L), cone rows (N, Q, 4, n), (N, Q, 4).

    Unused rows are padded with G = 0 and h = 1 (cones: h = (1, 0, 0, 0)), which never bind.
    """

    cost: Array
    linear: Array
    linear_h: Array
    cone: Array
    cone_h: Array

    def take(self, index: np.ndarray) -> Problems:
        return Problems(
            self.cost[index], self.linear[index], self.linear_h[index], self.cone[index], self.cone_h[index]
        )


@dataclass(frozen=True)
class Answers:
    """Points x (N, n) and multipliers (N, L), (N, Q, 4), all multipliers inside their cones."""

    x: Array
    linear: Array
    cone: Array


def _det(s: Array) -> Array:
    norm = np.sqrt(np.einsum("...i,...i->...", s[..., 1:], s[..., 1:]))
    result: Array = (s[..., 0] - norm) * (s[..., 0] + norm)
    return result


class _Scaling:
    """Nesterov-Todd scaling of the cone part: W z = W^-1 s = lam."""

    def __init__(self, s: Array, z: Array) -> None:
        ds, dz = np.sqrt(np.maximum(_det(s), 1e-300)), np.sqrt(np.maximum(_det(z), 1e-300))
        sn, zn = s / ds[..., None], z / dz[..., None]
        gamma = np.sqrt((1.0 + np.einsum("...i,...i->...", sn, zn)) / 2.0)
        zj = zn.copy()
        zj[..., 1:] *= -1.0
        self.w = (sn + zj) / (2.0 * gamma[..., None])
        self.eta = np.sqrt(ds / dz)
        self.lam = self.times(z)

    def _apply(self, v: Array, sign: float) -> Array:
        w0, w1 = self.w[..., 0], self.w[..., 1:]
        inner = np.einsum("...i,...i->...", w1, v[..., 1:])
        out = np.empty_like(v)
        out[..., 0] = w0 * v[..., 0] + sign * inner
        out[..., 1:] = v[..., 1:] + (sign * v[..., 0] + inner / (1.0 + w0))[..., None] * w1
        return out

    def times(self, v: Array) -> Array:
        return self._apply(v, 1.0) * self.eta[..., None]

    def divide(self, v: Array) -> Array:
        return self._apply(v, -1.0) / self.eta[..., None]


def _arrow_divide(lam: Array, v: Array) -> Array:
    """u with lam o u = v in the algebra of the second-order cone."""
    det = np.maximum(_det(lam), 1e-300)
    inner = np.einsum("...i,...i->...", lam[..., 1:], v[..., 1:])
    out = np.empty_like(v)
    out[..., 0] = (lam[..., 0] * v[..., 0] - inner) / det
    out[..., 1:] = (v[..., 1:] - out[..., :1] * lam[..., 1:]) / lam[..., :1]
    return out


def _product(a: Array, b: Array) -> Array:
    out = a[..., :1] * b + b[..., :1] * a
    out[..., 0] = np.einsum("...i,...i->...", a, b)
    return out


def _cone_step(lam: Array, d: Array) -> Array:
    """Inverse of the largest step alpha with lam + alpha d in the cone (0: any step), shape (N,)."""
    root = np.sqrt(np.maximum(_det(lam), 1e-300))
    unit = lam / root[..., None]
    inner = np.einsum("...i,...i->...", unit[..., 1:], d[..., 1:])
    rho0 = unit[..., 0] * d[..., 0] - inner
    rest = d[..., 1:] - ((rho0 + d[..., 0]) / (unit[..., 0] + 1.0))[..., None] * unit[..., 1:]
    size = np.sqrt(np.einsum("...i,...i->...", rest, rest))
    return np.asarray(np.max((size - rho0) / root, axis=-1, initial=0.0))


def _line_step(lam: Array, d: Array) -> Array:
    return np.asarray(np.max(-d / lam, axis=-1, initial=0.0))


def solve(problems: Problems, start: Array, gap: float = GAP) -> Answers:
    """Solve all problems of the batch from the points ``start`` (N, n); never raises for a bad problem.

    A problem rests when its duality gap and residuals together are below ``gap``.

    A problem without a solution ends with the last multipliers that were sound.
    """
    total = len(start)
    keep_x = start.copy()
    keep_l = np.ones_like(problems.linear_h)
    keep_q = np.zeros_like(problems.cone_h)
    keep_q[..., 0] = 1.0
    live = np.arange(total)
    p = problems
    x = start.copy()
    degree = p.linear_h.shape[1] + p.cone_h.shape[1]
    sl = np.maximum(p.linear_h - np.einsum("nlk,nk->nl", p.linear, x), 0.3)
    sq = p.cone_h - np.einsum("nqik,nk->nqi", p.cone, x)
    lack = np.linalg.norm(sq[..., 1:], axis=-1) - sq[..., 0]
    sq[..., 0] += np.maximum(lack + 0.3, 0.0)
    zl, zq = keep_l.copy(), keep_q.copy()
    best = np.full(total, np.inf)
    stale = np.zeros(total, dtype=int)
    with np.errstate(all="ignore"):
        for _ in range(MAX_STEPS):
            step = _newton(p, x, sl, sq, zl, zq, degree)
            x, sl, sq, zl, zq, merit, sound = step
            better = sound & (merit < best)
            keep_x[live[better]], keep_l[live[better]], keep_q[live[better]] = (
                x[better],
                zl[better],
                zq[better],
            )
            stale = np.where(better & (merit < 0.5 * best), 0, stale + 1)
            best = np.where(better, merit, best)
            go = sound & (merit > gap) & (stale < 5)
            if not np.all(go):
                live, x, sl, sq, zl, zq = live[go], x[go], sl[go], sq[go], zl[go], zq[go]
                best, stale, p = best[go], stale[go], p.take(go)
            if len(live) == 0:
                break
    return Answers(keep_x, keep_l, keep_q)


def _newton(
    p: Problems, x: Array, sl: Array, sq: Array, zl: Array, zq: Array, degree: int
) -> tuple[Array, Array, Array, Array, Array, Array, np.ndarray]:
    n = x.shape[1]
    gap = np.einsum("nl,nl->n", sl, zl) + np.einsum("nqi,nqi->n", sq, zq)
    mu = gap / degree
    rx = p.cost + np.einsum("nlk,nl->nk", p.linear, zl) + np.einsum("nqik,nqi->nk", p.cone, zq)
    rl = np.einsum("nlk,nk->nl", p.linear, x) + sl - p.linear_h
    rq = np.einsum("nqik,nk->nqi", p.cone, x) + sq - p.cone_h
    scale = _Scaling(sq, zq)
    wl = np.sqrt(sl / zl)
    laml, lamq = np.sqrt(sl * zl), scale.lam
    gl = p.linear / wl[..., None]
    gq = np.swapaxes(_divide_rows(scale, p.cone), -1, -2)
    flat = gq.reshape(len(x), -1, n)
    rows = np.concatenate([gl, flat], axis=1)
    normal = np.einsum("nik,nij->nkj", rows, rows)
    trace = np.einsum("nkk->n", normal) / n
    normal = normal + (1e-15 * trace)[:, None, None] * np.eye(n)

    def direction(
        fx: Array, fl: Array, fq: Array, dl: Array, dq: Array, corrections: int
    ) -> tuple[Array, ...]:
        # scaled right-hand sides: W^-1 r + d
        tl, tq = fl / wl + dl, scale.divide(fq) + dq
        both = np.concatenate([tl, tq.reshape(len(x), -1)], axis=1)
        rhs = -fx - np.einsum("nik,ni->nk", rows, both)
        dx = np.linalg.solve(normal, rhs[..., None])[..., 0]
        for _ in range(corrections):
            z = np.einsum("nik,nk->ni", rows, dx) + both
            rest = -fx - np.einsum("nik,ni->nk", rows, z)
            dx = dx + np.linalg.solve(normal, rest[..., None])[..., 0]
        z = np.einsum("nik,nk->ni", rows, dx) + both
        zls, zqs = z[:, : zl.shape[1]], z[:, zl.shape[1] :].reshape(zq.shape)
        return dx, zls, zqs, dl - zls, dq - zqs  # scaled: W dz and W^-1 ds

    dl, dq = -laml, -lamq
    try:
        _, zla, zqa, sla, sqa = direction(rx, rl, rq, dl, dq, 0)
        inverse = np.maximum.reduce(
            [
                _line_step(laml, zla),
                _line_step(laml, sla),
                _cone_step(lamq, zqa),
                _cone_step(lamq, sqa),
                np.full(len(x), 1.0),
            ]
        )
        alpha = 1.0 / inverse
        sigma = np.clip((1.0 - alpha) ** 3, 1e-8, 1.0)
        dl = -laml + (sigma * mu)[:, None] / laml - sla * zla / laml
        target = -_product(lamq, lamq) - _product(sqa, zqa)
        target[..., 0] += (sigma * mu)[:, None]
        dq = _arrow_divide(lamq, target)
        keep = (1.0 - sigma)[:, None]
        dx, zls, zqs, sls, sqs = direction(keep * rx, keep * rl, keep[..., None] * rq, dl, dq, 2)
    except np.linalg.LinAlgError:
        return x, sl, sq, zl, zq, mu, np.zeros(len(x), dtype=bool)
    inverse = np.maximum.reduce(
        [_line_step(laml, zls), _line_step(laml, sls), _cone_step(lamq, zqs), _cone_step(lamq, sqs)]
    )
    alpha = np.minimum(1.0, STEP / np.maximum(inverse, 1e-12))
    sound = np.isfinite(alpha) & np.all(np.isfinite(dx), axis=1) & (alpha > 1e-8)
    a = np.where(sound, alpha, 0.0)[:, None]
    new_x = x + a * np.where(np.isfinite(dx), dx, 0.0)
    zl2, sl2 = zl + a * zls / wl, sl + a * sls * wl
    zq2, sq2 = zq + a[..., None] * scale.divide(zqs), sq + a[..., None] * scale.times(sqs)
    inside = (
        np.all((zl2 > 0) & (sl2 > 0), axis=1)
        & np.all((_det(zq2) > 0) & (zq2[..., 0] > 0), axis=1)
        & np.all((_det(sq2) > 0) & (sq2[..., 0] > 0), axis=1)
    )
    sound = sound & inside
    gap2 = np.einsum("nl,nl->n", sl2, zl2) + np.einsum("nqi,nqi->n", sq2, zq2)
    rx2 = p.cost + np.einsum("nlk,nl->nk", p.linear, zl2) + np.einsum("nqik,nqi->nk", p.cone, zq2)
    rq2 = np.einsum("nqik,nk->nqi", p.cone, new_x) + sq2 - p.cone_h
    rl2 = np.einsum("nlk,nk->nl", p.linear, new_x) + sl2 - p.linear_h
    merit = (
        gap2
        + np.max(np.abs(rx2), axis=1)
        + np.max(np.abs(rq2), axis=(1, 2), initial=0.0)
        + np.max(np.abs(rl2), axis=1, initial=0.0)
    )
    sound = sound & np.isfinite(merit)
    return new_x, sl2, sq2, zl2, zq2, merit, sound


def _divide_rows(scale: _Scaling, cone: Array) -> Array:
    """W^-1 applied to every column of the cone rows: (N, Q, 4, n) -> (N, Q, n, 4)."""
    columns = np.swapaxes(cone, -1, -2)
    w0, w1 = scale.w[..., 0][..., None], scale.w[..., 1:][..., None, :]
    inner = np.einsum("nqki,nqi->nqk", columns[..., 1:], scale.w[..., 1:])
    out = np.empty_like(columns)
    out[..., 0] = w0 * columns[..., 0] - inner
    out[..., 1:] = columns[..., 1:] + (inner / (1.0 + w0) - columns[..., 0])[..., None] * w1
    result: Array = out / scale.eta[..., None, None]
    return result
