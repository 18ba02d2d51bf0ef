"""Rays against many triangles: a binary tree of upright boxes, walked for all rays together. numpy only."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from headparts.geometry.skin import Floats, Ints, Skin
from headparts.geometry.triangles import ray_hits

LEAF = 4
ODD = (0.4231, 0.2718, 0.8643)
"""A direction along no axis, plane or usual tilt of a head."""
RAYS = 1000
"""Rays walked together: keeps the memory small."""


class BoxTree:
    """Triangles put in order along a space-filling curve, with boxes over 4, 8, 16 ... of them."""

    def __init__(self, skin: Skin) -> None:
        low, high = skin.corners.min(axis=1), skin.corners.max(axis=1)
        self._corners = skin.corners
        order = np.argsort(_curve((low + high) / 2.0), kind="stable")
        leaves = 1 << max(0, int(np.ceil(np.log2(max(1.0, len(order) / LEAF)))))
        slots = np.full(leaves * LEAF, -1, dtype=np.int64)
        slots[: len(order)] = order
        self._slots = slots.reshape(leaves, LEAF)
        empty = self._slots < 0
        lows = np.where(empty[..., None], np.inf, low[self._slots]).min(axis=1)
        highs = np.where(empty[..., None], -np.inf, high[self._slots]).max(axis=1)
        self._levels = [(lows, highs)]
        while len(lows) > 1:
            lows, highs = lows.reshape(-1, 2, 3).min(axis=1), highs.reshape(-1, 2, 3).max(axis=1)
            self._levels.append((lows, highs))

    def first_exit(self, start: Floats, along: Floats, own: Ints, least: float = 1e-9) -> tuple[Floats, Ints]:
        """How far (n,) each ray runs to the first triangle it meets, and which (n,): inf and -1 where none.

        ``start``, ``along`` (n, 3); ``own`` (n,): the triangle each ray starts on, which does not count;
        ``least`` [mm]: hits nearer than this do not count.
        """
        far = np.full(len(start), np.inf)
        which = np.full(len(start), -1, dtype=np.int64)
        for block in np.array_split(np.arange(len(start)), max(1, -(-len(start) // RAYS))):
            ray, triangle = self._candidates(start[block], along[block])
            hit = ray_hits(start[block][ray], along[block][ray], self._corners[triangle])
            good = (hit >= least) & (triangle != own[block][ray])
            ray, triangle, hit = ray[good], triangle[good], hit[good]
            order = np.lexsort((triangle, hit, ray))
            ray, first = np.unique(ray[order], return_index=True)
            far[block[ray]] = hit[order][first]
            which[block[ray]] = triangle[order][first]
        return far, which

    def crossings(self, start: Floats, along: Floats) -> tuple[Ints, Floats]:
        """Every place where endless lines (start and unit direction, (n, 3)) pass the skin.

        Returns the line (k,) and how far along it (k,), by line and then by distance, before the start too.
        """
        lines, places = [], []
        low, high = self._levels[-1]
        far = float(np.linalg.norm(high[0] - low[0])) + float(np.abs(start).max(initial=0.0)) * 2.0 + 1.0
        begin = start - far * along
        for block in np.array_split(np.arange(len(start)), max(1, -(-len(start) // RAYS))):
            ray, triangle = self._candidates(begin[block], along[block])
            hit = ray_hits(begin[block][ray], along[block][ray], self._corners[triangle])
            good = np.isfinite(hit)
            ray, hit = ray[good], hit[good]
            order = np.lexsort((hit, ray))
            lines.append(block[ray[order]])
            places.append(hit[order] - far)
        return np.concatenate(lines), np.concatenate(places)

    def contains(self, points: Floats, along: tuple[float, float, float] = ODD) -> NDArray[np.bool_]:
        """Whether points (n, 3) lie inside the skin: an odd number of crossings before them."""
        direction = np.broadcast_to(np.asarray(along) / np.linalg.norm(along), points.shape)
        line, place = self.crossings(points, direction)
        before = np.bincount(line[place < 0.0], minlength=len(points))
        found: NDArray[np.bool_] = before % 2 == 1
        return found

    def _candidates(self, start: Floats, along: Floats) -> tuple[Ints, Ints]:
        """Pairs (ray, triangle) whose boxes meet."""
        with np.errstate(divide="ignore"):
            inverse = 1.0 / along
        ray, node = np.arange(len(start)), np.zeros(len(start), dtype=np.int64)
        for depth in range(len(self._levels) - 1, -1, -1):
            low, high = self._levels[depth]
            kept = _meets(start[ray], inverse[ray], low[node], high[node])
            ray, node = ray[kept], node[kept]
            if depth:
                ray, node = np.repeat(ray, 2), (2 * node[:, None] + np.array([0, 1])).reshape(-1)
        triangle = self._slots[node].reshape(-1)
        ray = np.repeat(ray, LEAF)
        return ray[triangle >= 0], triangle[triangle >= 0]


def _meets(start: Floats, inverse: Floats, low: Floats, high: Floats) -> np.ndarray:
    """Whether rays pass boxes; a hair is added so that none slips through a flat box."""
    with np.errstate(invalid="ignore"):
        t0, t1 = (low - 1e-9 - start) * inverse, (high + 1e-9 - start) * inverse
    enter = np.nanmax(np.fmin(t0, t1), axis=1)
    leave = np.nanmin(np.fmax(t0, t1), axis=1)
    return np.asarray((leave >= np.maximum(enter, 0.0)) & (low[:, 0] <= high[:, 0]))


def _curve(points: Floats) -> Ints:
    """Place of points (n, 3) on the Z-order curve of a 1024 x 1024 x 1024 grid over their box."""
    low, size = points.min(axis=0), np.ptp(points, axis=0)
    cell = ((points - low) / np.where(size > 0.0, size, 1.0) * 1023.0).astype(np.int64)
    found = np.zeros(len(points), dtype=np.int64)
    for bit in range(10):
        for axis in range(3):
            found |= ((cell[:, axis] >> bit) & 1) << (3 * bit + axis)
    return found
