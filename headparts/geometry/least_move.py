"""The least translation that parts two overlapping convex bodies, by branch and bound over its direction.

To part A and B along the unit vector n one must move by h(n) = max n.p over the difference body M = A - B,
so the depth is the least h. On the directions between three unit vectors n_i with farthest points p_i of M,
every weighting w of the p_i gives h(n) >= n.(sum w_i p_i) >= min_i n_i.(sum w_j p_j), as the weights of the
n_i in a unit vector sum to at least 1. The best weighting is that of a 3 x 3 matrix game. Lengths in mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Array

GAP = 4e-7
ROUNDS = 26
MOST = 30000
"""Directions after which a flat minimum is left with the bounds it has."""
FINEST = 3e-7
TRIOS = np.array(list(itertools.combinations(range(6), 3)))

Farthest = Callable[[Array], Array]


@dataclass(frozen=True)
class LeastMove:
    """Depth bounds (mm), the unit direction and the point of M farthest along it."""

    upper: float
    lower: float
    direction: Array


def least_move(farthest: Farthest, special: Array) -> LeastMove:
    """The least h of the body M with farthest points ``farthest``((K, 3)) -> (K, 3); M holds the origin.

    ``special`` (S, 3): unit directions tried besides, such as normals of flat faces.
    """
    corners = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], dtype=float)
    # leaning a little, so that no face of a body along the axes lies on a border
    turn, _ = np.linalg.qr(np.array([[1.0, 0.21, 0.13], [-0.17, 1.0, 0.19], [0.11, -0.23, 1.0]]))
    corners = corners @ turn
    faces = np.array([[x, y, z] for x in (0, 1) for y in (2, 3) for z in (4, 5)])
    corners, faces = finer(corners, faces)
    corners, faces = finer(corners, faces)
    points = farthest(corners)
    best = _Best()
    best.offer(corners, points)
    best.offer(special, farthest(special))
    best.polish(farthest)
    closed = np.inf
    for _ in range(ROUNDS):
        bounds = _floors(corners[faces], points[faces])
        keep = bounds < best.value - GAP
        closed = min(closed, float(np.min(bounds[~keep], initial=np.inf)))
        faces, bounds = faces[keep], bounds[keep]
        if len(faces) == 0 or len(corners) > MOST:
            break
        known = len(corners)
        corners, faces = finer(corners, faces)
        fresh = farthest(corners[known:])
        points = np.concatenate([points, fresh])
        before = best.value
        best.offer(corners[known:], fresh)
        if best.value < before - GAP:
            best.polish(farthest)
    best.polish(farthest)
    lower = closed if len(faces) == 0 else min(closed, float(bounds.min()))
    return LeastMove(best.value, max(0.0, min(lower, best.value)), best.direction)


class _Best:
    """The direction with the least h so far."""

    def __init__(self) -> None:
        self.value, self.direction = np.inf, np.array([0.0, 0.0, 1.0])

    def offer(self, directions: Array, points: Array) -> None:
        if len(directions) == 0:
            return
        heights = np.einsum("ki,ki->k", directions, points)
        k = int(np.argmin(heights))
        if heights[k] < self.value:
            self.value, self.direction = float(heights[k]), directions[k]

    def polish(self, farthest: Farthest) -> None:
        """Normals of the facets that farthest points round the best direction span, ever nearer to it."""
        spread = 0.2
        while spread > FINEST:
            first = np.cross(self.direction, np.eye(3)[int(np.argmin(np.abs(self.direction)))])
            first /= np.linalg.norm(first)
            second = np.cross(self.direction, first)
            angle = np.arange(6) * np.pi / 3 + spread
            near = self.direction + spread * (
                np.cos(angle)[:, None] * first + np.sin(angle)[:, None] * second
            )
            points = farthest(near)
            trios = points[TRIOS]
            normal = np.cross(trios[:, 1] - trios[:, 0], trios[:, 2] - trios[:, 0])
            size = np.linalg.norm(normal, axis=1, keepdims=True)
            normal = (normal / np.maximum(size, 1e-300))[size[:, 0] > 1e-24]
            normal *= np.where(normal @ self.direction > 0, 1.0, -1.0)[:, None]
            near = np.concatenate([near / np.linalg.norm(near, axis=1, keepdims=True), normal])
            before = self.value
            self.offer(near, farthest(near))
            spread *= 0.5 if self.value < before else 0.2


def _floors(n: Array, p: Array) -> Array:
    """A lower bound of h on each direction triangle: n, p (F, 3, 3) unit vectors and farthest points."""
    game = np.einsum("fik,fjk->fij", n, p)  # n_i . p_j
    eye = np.eye(3)
    size = np.abs(game).max(axis=(1, 2))
    with np.errstate(all="ignore"):
        try:
            even = np.linalg.solve(game + 1e-13 * size[:, None, None] * eye, np.ones((len(n), 3, 1)))[..., 0]
        except np.linalg.LinAlgError:
            even = np.ones((len(n), 3))
        even = np.maximum(np.where(np.isfinite(even), even, 0.0), 0.0)
        total = even.sum(axis=1, keepdims=True)
        even = np.where(total > 0, even / total, 1.0 / 3.0)
    pure = game.min(axis=1).max(axis=1)  # one farthest point alone
    pairs = [np.array([0.5, 0.5, 0.0]), np.array([0.0, 0.5, 0.5]), np.array([0.5, 0.0, 0.5])]
    mixed = [np.einsum("fij,j->fi", game, w).min(axis=1) for w in pairs]
    even_floor = np.einsum("fij,fj->fi", game, even).min(axis=1)
    return np.asarray(np.maximum(np.maximum.reduce([pure, *mixed, even_floor]), 0.0))


def finer(corners: Array, faces: np.ndarray) -> tuple[Array, np.ndarray]:
    """Each direction triangle into four; returns all corners (old ones first) and the new triangles."""
    edges = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    unique, back = np.unique(edges, axis=0, return_inverse=True)
    middle = corners[unique[:, 0]] + corners[unique[:, 1]]
    middle /= np.linalg.norm(middle, axis=1)[:, None]
    count = len(faces)
    ab, bc, ca = (len(corners) + back.reshape(-1)[k * count : (k + 1) * count] for k in range(3))
    a, b, c = faces.T
    split = np.concatenate(
        [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
    )
    return np.concatenate([corners, middle]), split
