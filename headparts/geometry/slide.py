"""Witness pairs moved along the edges that they lie on to the nearest place: Newton steps with curved holes.

The constraints that bind (of the convex cores and of the holes' round walls) are kept as equations and the
distance is made stationary (Lagrange-Newton method; D. Luenberger and Y. Ye, Linear and Nonlinear
Programming, chapter on Lagrange methods, from memory). Holes bend the other way, so what comes out is only
an upper bound, and only where the caller finds the points in their voids. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.holes import Touch
from headparts.geometry.polish import constraint_parts
from headparts.geometry.stack import Stack

BINDING = 1e-6
STEPS = 6
FARTHEST = 5.0
"""A step longer than this (mm) is not taken."""
SMALL = 1e-12
PUSH = 1e-7
"""A binding constraint whose multiplier is not above this does not hold the points."""


def slid(bodies: Stack, walls: Sequence[Sequence[Touch]], points: Array) -> tuple[Array, np.ndarray]:
    """Points (2 N, 3) moved to a stationary distance of body k and body N + k, and where that was found (N,).

    ``walls[k]``: the tangents of holes that body k was cut by when ``points`` were found (2 N).
    """
    pairs = len(points) // 2
    outside = _Walls(walls)
    f, slope, _ = _constraints(bodies, outside, points)
    active = np.concatenate([f[:, : -outside.most or None] > -BINDING, outside.touched(points)], axis=1)
    count = f.shape[1]
    lam, active = _first_multipliers(slope * active[..., None], active, points)
    last = np.full(pairs, np.inf)
    fixed = np.arange(6, 6 + 2 * count)
    with np.errstate(all="ignore"):
        for _ in range(STEPS):
            f, slope, bend = _constraints(bodies, outside, points)
            across = points[pairs:] - points[:pairs]
            gap = np.maximum(np.linalg.norm(across, axis=1), 1e-12)
            n = across / gap[:, None]
            turned = (np.eye(3) - n[:, :, None] * n[:, None, :]) / gap[:, None, None]
            bent = (bend * lam[..., None, None]).sum(axis=1)
            matrix = np.zeros((pairs, 6 + 2 * count, 6 + 2 * count))
            matrix[:, :3, :3], matrix[:, 3:6, 3:6] = turned + bent[:pairs], turned + bent[pairs:]
            matrix[:, :3, 3:6] = matrix[:, 3:6, :3] = -turned
            used = slope * active[..., None]
            matrix[:, 6 : 6 + count, :3], matrix[:, 6 + count :, 3:6] = used[:pairs], used[pairs:]
            matrix[:, :6, 6:] = matrix[:, 6:, :6].swapaxes(1, 2)
            either = np.concatenate([active[:pairs], active[pairs:]], axis=1)
            matrix[:, fixed, fixed] = np.where(either, -SMALL, 1.0)
            matrix[:, range(6), range(6)] += 1e-9
            value = np.where(active, -f, 0.0)
            right = np.concatenate([n, -n, value[:pairs], value[pairs:]], axis=1)
            matrix[~np.isfinite(matrix).all(axis=(1, 2))] = np.eye(6 + 2 * count)
            try:
                step = np.linalg.solve(matrix, right[..., None])[..., 0]
            except np.linalg.LinAlgError:
                break
            last = np.abs(step[:, :6]).max(axis=1)
            sound = last < FARTHEST
            move = np.where(sound[:, None], step[:, :6], 0.0)
            points = points + np.concatenate([move[:, :3], move[:, 3:]])
            new = np.concatenate([step[:, 6 : 6 + count], step[:, 6 + count :]])
            wide = np.concatenate([sound, sound])[:, None]
            lam = np.where(wide & active, new, lam)
            if last.max() < 1e-13:
                break
    return points, np.asarray(last < 1e-9)


def _first_multipliers(slope: Array, active: np.ndarray, points: Array) -> tuple[Array, np.ndarray]:
    """Least-squares multipliers of the binding constraints (2 N, M), and which of them push the right way."""
    pairs = len(points) // 2
    across = points[pairs:] - points[:pairs]
    n = across / np.maximum(np.linalg.norm(across, axis=1), 1e-300)[:, None]
    force = np.concatenate([n, -n])
    k = np.arange(slope.shape[1])
    for _ in range(2):
        square = np.matmul(slope, slope.swapaxes(1, 2))
        square[:, k, k] += np.where(active, 1e-10, 1.0)
        right = np.matmul(slope, force[..., None])
        lam = np.where(active, np.linalg.solve(square, right)[..., 0], 0.0)
        active = active & (lam > PUSH)
        slope = slope * active[..., None]
    return np.where(active, lam, 0.0), active


class _Walls:
    """Round walls of holes, padded: r - |M x + m| <= 0; and flat ones: g.x - h <= 0."""

    def __init__(self, walls: Sequence[Sequence[Touch]]) -> None:
        self.most = most = max((len(each) for each in walls), default=0)
        self.rows = np.zeros((len(walls), most, 3, 3))
        self.m = np.zeros((len(walls), most, 3))
        self.radius = np.zeros((len(walls), most))
        self.flat = np.zeros((len(walls), most, 3))
        self.offset = np.ones((len(walls), most))
        self.plane, self.level = np.zeros((len(walls), most, 3)), np.ones((len(walls), most))
        for k, each in enumerate(walls):
            for i, touch in enumerate(each):
                self.plane[k, i], self.level[k, i] = touch.normal, touch.offset
                if touch.wall is None:
                    self.flat[k, i], self.offset[k, i] = touch.normal, touch.offset
                else:
                    self.rows[k, i], self.m[k, i], _, self.radius[k, i] = touch.wall.cone_rows()
                    self.offset[k, i] = 0.0

    def touched(self, points: Array) -> np.ndarray:
        """Which tangent planes the points lie on, (2 N, walls)."""
        return np.asarray(np.einsum("nqk,nk->nq", self.plane, points) - self.level > -BINDING)

    def parts(self, points: Array) -> tuple[Array, Array, Array]:
        w = np.einsum("nqik,nk->nqi", self.rows, points) + self.m
        norm = np.maximum(np.linalg.norm(w, axis=-1), 1e-12)
        u = w / norm[..., None]
        value = np.einsum("nqk,nk->nq", self.flat, points) - self.offset + self.radius
        value -= np.where(self.radius > 0, norm, 0.0)
        slope = self.flat - np.einsum("nqik,nqi->nqk", self.rows, u)
        across = (np.eye(3) - u[..., :, None] * u[..., None, :]) / norm[..., None, None]
        return value, slope, -np.einsum("nqik,nqij,nqjl->nqkl", self.rows, across, self.rows)


def _constraints(bodies: Stack, walls: _Walls, points: Array) -> tuple[Array, Array, Array]:
    first, second = constraint_parts(bodies, points), walls.parts(points)
    f, slope, bend = (np.concatenate(both, axis=1) for both in zip(first, second, strict=True))
    return f, slope, bend
