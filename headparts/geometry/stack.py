"""Constraint rows of many bodies, padded into arrays so that numpy handles them together.

A body's constraint is s = h - G x in a half-line (planes) or in a second-order cone of four rows (round
solids). Lengths in mm, or in whatever unit `Stack.shifted` scales them to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, Plane

PULLS = 16
ROUNDING = 2e-14
PULL_LIMIT = 1e-6


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
        unique = {id(body): body for body in bodies}
        place = {key: k for k, key in enumerate(unique)}
        parts = [body.rows for body in unique.values()]
        count = len(parts)
        most_l = max((len(part[1]) for part in parts), default=0)
        most_q = max((len(part[3]) for part in parts), default=0)
        linear, linear_h = np.zeros((count, most_l, 3)), np.ones((count, most_l))
        cone, cone_h = np.zeros((count, most_q, 4, 3)), np.zeros((count, most_q, 4))
        cone_h[..., 0] = 1.0
        bound = np.full((count, 4), np.nan)
        for k, (body, (gl, hl, gq, hq)) in enumerate(zip(unique.values(), parts, strict=True)):
            linear[k, : len(hl)], linear_h[k, : len(hl)] = gl, hl
            cone[k, : len(hq)], cone_h[k, : len(hq)] = gq, hq
            if body.bound is not None:
                bound[k] = (*body.bound[0], body.bound[1])
        stack = cls(linear, linear_h, cone, cone_h, bound)
        stack = stack.take(np.array([place[id(body)] for body in bodies], dtype=int))
        return stack if extra is None else stack._cut(extra)

    def _cut(self, extra: Sequence[Sequence[Plane]]) -> Stack:
        counts = np.array([len(planes) for planes in extra])
        if not counts.any():
            return self
        owner = np.repeat(np.arange(len(counts)), counts)
        slot = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
        linear, linear_h = np.zeros((len(counts), counts.max(), 3)), np.ones((len(counts), counts.max()))
        linear[owner, slot] = [plane.normal for planes in extra for plane in planes]
        linear_h[owner, slot] = [plane.offset for planes in extra for plane in planes]
        return replace(
            self,
            linear=np.concatenate([self.linear, linear], axis=1),
            linear_h=np.concatenate([self.linear_h, linear_h], axis=1),
        )

    def take(self, index: np.ndarray) -> Stack:
        """The bodies of these places, in this order."""
        return Stack(
            self.linear[index], self.linear_h[index], self.cone[index], self.cone_h[index], self.bound[index]
        )

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
        out, body = np.arange(len(moved)), self
        for turn in range(PULLS):
            f, slope = body.constraints(moved[out])
            if f.shape[1] == 0:
                break
            still = np.any(f > ROUNDING, axis=1)
            if not still.all():
                out, f, slope = out[still], f[still], slope[still]
                body = self.take(out)
            if len(out) == 0:
                break
            if turn % 4 == 3:
                near = (np.abs(f) < PULL_LIMIT)[..., None] * slope
                right = np.einsum("nmk,nm->nk", near, f)
                square = np.linalg.pinv(np.einsum("nmk,nmj->nkj", near, near), rcond=1e-13, hermitian=True)
                step = np.einsum("nkj,nj->nk", square, right)
                small = np.linalg.norm(step, axis=1, keepdims=True) < 100 * PULL_LIMIT
                moved[out] -= np.where(small, step, 0.0)
                continue
            k, each = np.argmax(f, axis=1), np.arange(len(out))
            chosen = slope[each, k]
            size = np.maximum(np.einsum("nk,nk->n", chosen, chosen), 1e-300)
            moved[out] -= (np.clip(f[each, k], 0.0, PULL_LIMIT) / size)[:, None] * chosen
        return moved
