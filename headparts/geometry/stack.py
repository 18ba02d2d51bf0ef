"""Constraint rows of many bodies, padded into arrays so that numpy handles them together.

A body's constraint is s = h - G x in a half-line (planes) or in a second-order cone of four rows (round
solids). Lengths in mm, or in whatever unit `Stack.shifted` scales them to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, Plane

PULLS = 16
ROUNDING = 2e-14
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


def _with_planes(
    rows: tuple[Array, Array, Array, Array], planes: Sequence[Plane]
) -> tuple[Array, Array, Array, Array]:
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
            linear[k, : len(hl)], linear_h[k, : len(hl)] = gl, hl
            cone[k, : len(hq)], cone_h[k, : len(hq)] = gq, hq
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
        return (
            self.linear_h - np.einsum("nlk,nk->nl", self.linear, points),
            self.cone_h - np.einsum("nqik,nk->nqi", self.cone, points),
        )

    def violation(self, points: Array) -> Array:
        """Largest violated constraint at one point a body, <= 0 inside; shape (N,)."""
        sl, sq = self.slack(points)
        worst = np.maximum(
            np.max(-sl, axis=1, initial=-np.inf),
            np.max(np.linalg.norm(sq[..., 1:], axis=-1) - sq[..., 0], axis=1, initial=-np.inf),
        )
        return np.asarray(worst)

    def constraints(self, points: Array) -> tuple[Array, Array]:
        """Values (N, M) of f <= 0 and gradients (N, M, 3) at one point a body, planes first."""
        sl, sq = self.slack(points)
        norm = np.linalg.norm(sq[..., 1:], axis=-1)
        unit = sq[..., 1:] / np.maximum(norm, 1e-300)[..., None]
        slopes = self.cone[:, :, 0] - np.einsum("nqik,nqi->nqk", self.cone[:, :, 1:], unit)
        return (
            np.concatenate([-sl, norm - sq[..., 0]], axis=1),
            np.concatenate([self.linear, slopes], axis=1),
        )

    def pulled_in(self, points: Array) -> Array:
        """Points (N, 3) that stick out a little, moved in: onto the worst constraint, again and again.

        At a sharp edge that is slow: there all constraints that nearly bind are met at once (least squares).
        """
        moved = points.copy()
        each = np.arange(len(moved))
        for turn in range(PULLS):
            f, slope = self.constraints(moved)
            if f.shape[1] == 0 or not np.any(f > ROUNDING):
                break
            if turn % 4 == 3:
                out = np.any(f > ROUNDING, axis=1)
                near = (np.abs(f[out]) < PULL_LIMIT)[..., None] * slope[out]
                right = np.einsum("nmk,nm->nk", near, f[out])
                square = np.linalg.pinv(np.einsum("nmk,nmj->nkj", near, near), rcond=1e-13, hermitian=True)
                step = np.einsum("nkj,nj->nk", square, right)
                moved[out] -= np.where(
                    np.linalg.norm(step, axis=1, keepdims=True) < 100 * PULL_LIMIT, step, 0.0
                )
                continue
            k = np.argmax(f, axis=1)
            chosen = slope[each, k]
            size = np.maximum(np.einsum("nk,nk->n", chosen, chosen), 1e-300)
            moved -= (np.clip(f[each, k], 0.0, PULL_LIMIT) / size)[:, None] * chosen
        return moved
