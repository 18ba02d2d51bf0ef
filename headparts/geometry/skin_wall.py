"""Least distance of a cut to a skin of triangles, without those parts of the skin that do not count.

Every triangle is a flat convex body, so each distance comes with the proof of `pairs.py`. Triangles that cannot be
nearest are told by the distance of the cut's axis, a sure lower bound, and not solved. Lengths in mm.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Vec, vector
from headparts.geometry.convex import Convex, triangle
from headparts.geometry.holes import Hole
from headparts.geometry.triangles import segment_to_triangles
from headparts.geometry.trimmed import INSIDE, least_distances
from headparts.geometry.void import Void

BATCH = 24
MOST, MOST_SPLIT = 1500, 20_000
"""Triangles solved and split at most for one cut; beyond that the lower bound is the closed form's."""
SMALLEST = 0.05
"""A triangle on the rim of what does not count is split until its sides are below this [mm]."""
SAME = 1e-9
"""A triangle whose bound is not below its face's value by more than this is not solved [mm]."""
FLAT = 1e-7
"""Triangles of less height than this are left to their neighbours [mm]."""


@dataclass(frozen=True)
class Region:
    """A convex body, grown by ``grow`` on all sides and without ``holes``, in which the skin does not count."""

    body: Convex
    grow: float = 0.0
    holes: tuple[Hole, ...] = ()

    def holds(self, points: Array) -> np.ndarray:
        """Whether points (..., 3) lie in it; shape (...), bool."""
        found = self.body.violation(points) <= self.grow
        for hole in self.holes:
            found = found & (hole.depth(points) <= self.grow)
        return np.asarray(found)


@dataclass(frozen=True)
class Place:
    """The nearest points of a cut and one triangle: ``value`` between ``at`` (cut, skin), proven ``lower`` [mm].

    0 where they meet.
    """

    value: float
    lower: float
    at: tuple[Vec, Vec]
    face: int


@dataclass
class SkinWall:
    """What was found: for each face its nearest ``places``, least first; nothing is nearer than ``lower`` [mm].

    ``rim`` : pieces on the rim of what does not count were taken at their near side, so that the true value may
    be greater by up to 0.05. The search ends when the cut is found to meet the skin.
    """

    places: dict[int, Place] = field(default_factory=dict)
    lower: float = np.inf
    rim: bool = False

    @property
    def best(self) -> Place | None:
        """The nearest place; None where nothing of the skin counts."""
        return min(self.places.values(), key=lambda place: place.value, default=None)


def counting(corners: Array, faces: np.ndarray, regions: Sequence[Region]) -> tuple[Array, np.ndarray]:
    """Triangles (m, 3, 3) and their faces (m,) without those that lie wholly in one region."""
    gone = np.zeros(len(corners), dtype=bool)
    for region in regions:
        gone |= region.holds(corners).all(axis=1)
    return corners[~gone], faces[~gone]


def this_side(corners: Array, faces: np.ndarray, point: Array, normal: Array) -> tuple[Array, np.ndarray]:
    """The parts of triangles on the near side of a plane, where (x - point) . normal <= 0; normal (3,) outward."""
    height = (corners - point) @ normal
    kept_corners, kept_faces = [corners[(height <= 0.0).all(axis=1)]], [faces[(height <= 0.0).all(axis=1)]]
    parts, owners = [], []
    for k in np.flatnonzero((height <= 0.0).any(axis=1) & (height > 0.0).any(axis=1)):
        ring: list[Array] = []
        for i in range(3):
            a, b, ha, hb = corners[k, i], corners[k, (i + 1) % 3], height[k, i], height[k, (i + 1) % 3]
            if ha <= 0.0:
                ring.append(a)
            if (ha <= 0.0) != (hb <= 0.0):
                ring.append(a + ha / (ha - hb) * (b - a))
        for i in range(1, len(ring) - 1):
            parts.append(np.array([ring[0], ring[i], ring[i + 1]]))
            owners.append(faces[k])
    if parts:
        kept_corners.append(np.array(parts))
        kept_faces.append(np.array(owners, dtype=faces.dtype))
    return np.concatenate(kept_corners), np.concatenate(kept_faces)


def skin_wall(
    cut: Void, corners: Array, faces: np.ndarray, regions: Sequence[Region], slack: float = 0.0
) -> SkinWall:
    """Distance of a round cut from the triangles (m, 3, 3) that count; ``faces`` (m,) numbers them.

    ``slack`` [mm]: every face that is not farther than the nearest one by more than this gets its place, so that
    a chord error of half of it cannot hide the nearest face. Raises GeometryError for a cut that is not round.
    """
    found = SkinWall()
    corners, faces = counting(corners, faces, regions)
    wide = _height(corners) > FLAT
    queue = _Queue(cut, corners[wide], faces[wide])
    solved = split = 0
    while solved < MOST and split < MOST_SPLIT:
        best = found.best
        if best is not None and best.value == 0.0:
            break
        taken = queue.take(np.inf if best is None else best.value + slack, found)
        if not taken:
            break
        rim = _on_rim(np.array([item.corners for item in taken]), regions)
        batch = [item for item, on in zip(taken, rim, strict=True) if not on]
        divided = [item for item, on in zip(taken, rim, strict=True) if on]
        if divided:
            split += len(divided)
            parts = np.concatenate([_quarters(item.corners) for item in divided])
            queue.add(*counting(parts, np.repeat([item.face for item in divided], 4), regions))
        solved += len(batch)
        voids = [Void("outside", "outside", (triangle(item.corners),)) for item in batch]
        for item, wall in zip(batch, least_distances([(cut, void) for void in voids]), strict=True):
            if wall.at is None:
                continue
            if any(bool(region.holds(np.asarray(wall.at[1]))) for region in regions):
                if item.size > SMALLEST:
                    queue.add(*counting(_quarters(item.corners), np.full(4, item.face), regions))
                    continue
                found.rim = True
            value = wall.upper if wall.upper > INSIDE else 0.0
            place = Place(value, min(wall.lower, value), (vector(wall.at[0]), vector(wall.at[1])), item.face)
            known = found.places.get(item.face)
            if known is None or place.value < known.value:
                found.places[item.face] = place
            found.lower = min(found.lower, place.lower)
    found.lower = min(found.lower, queue.bound)
    return found


@dataclass(frozen=True)
class _Item:
    """A triangle (3, 3) with its face and a sure lower bound of its distance to the cut."""

    bound: float
    corners: Array
    face: int

    @property
    def size(self) -> float:
        return float(np.linalg.norm(np.roll(self.corners, 1, axis=0) - self.corners, axis=1).max())


class _Queue:
    """Triangles by their lower bound to a round cut; the bound is worked out for those that may be next."""

    def __init__(self, cut: Void, corners: Array, faces: np.ndarray) -> None:
        core = cut.cores[0]
        if len(cut.cores) != 1 or core.axis is None or core.radius is None:
            raise GeometryError(f"{cut.name}: only a round cut is measured to a skin of triangles")
        self._start, self._along = np.asarray(core.axis.point), np.asarray(core.axis.direction)
        self._length, self._radius = core.axis.length, core.radius
        centres = corners.mean(axis=1)
        spheres = np.linalg.norm(corners - centres[:, None], axis=2).max(axis=1, initial=0.0)
        s = (centres - self._start) @ self._along
        beyond = np.maximum(np.maximum(s - self._length, -s) - spheres, 0.0)
        line = np.linalg.norm(centres - self._start - s[:, None] * self._along, axis=1)
        rough = np.hypot(beyond, np.maximum(line - spheres - self._radius, 0.0))
        order = np.argsort(rough, kind="stable")
        self._rough, self._corners, self._faces = rough[order], corners[order], faces[order]
        self._done = 0
        self._heap: list[tuple[float, int, _Item]] = []
        self._count = 0

    @property
    def bound(self) -> float:
        """No triangle left is nearer than this."""
        rough = float(self._rough[self._done]) if self._done < len(self._rough) else np.inf
        return min(rough, self._heap[0][0] if self._heap else np.inf)

    def add(self, corners: Array, faces: np.ndarray) -> None:
        """Put triangles in with their bounds.

        Of a point of the triangle, its distance beyond the cut's ends and its distance from the endless axis
        are both at least the triangle's own; so is the distance from the axis itself, less the radius. And the
        distance from a convex body is convex: nowhere below its tangent at any point of the triangle.
        """
        end = self._start + self._length * self._along
        axis = segment_to_triangles(self._start, end, corners)
        far = 1e3 * self._along
        line = segment_to_triangles(self._start - far, end + far, corners) - self._radius
        s = (corners - self._start) @ self._along
        beyond = np.maximum(np.maximum(s.min(axis=1) - self._length, -s.max(axis=1)), 0.0)
        bound = np.maximum(np.hypot(beyond, np.maximum(line, 0.0)), axis - self._radius)
        for point in (corners.mean(axis=1), corners[:, 0], corners[:, 1], corners[:, 2]):
            gap, slope = self._to_cut(point)
            bound = np.maximum(
                bound, gap + np.einsum("mkx,mx->mk", corners - point[:, None], slope).min(axis=1)
            )
        for item in map(_Item, bound.tolist(), corners, faces.tolist()):
            heapq.heappush(self._heap, (item.bound, self._count, item))
            self._count += 1

    def _to_cut(self, points: Array) -> tuple[Array, Array]:
        """Distance (m,) of points (m, 3) from the whole round cut, and how it rises (m, 3); 0 inside."""
        s = (points - self._start) @ self._along
        aside = points - self._start - s[:, None] * self._along
        size = np.linalg.norm(aside, axis=1)
        out = np.maximum(size - self._radius, 0.0)
        beyond = np.where(s > self._length, s - self._length, np.minimum(s, 0.0))
        gap = np.hypot(out, beyond)
        step = (out / np.maximum(size, 1e-300))[:, None] * aside + beyond[:, None] * self._along
        return gap, step / np.maximum(gap, 1e-300)[:, None]

    def take(self, reach: float, found: SkinWall) -> list[_Item]:
        """The next triangles that may lie within ``reach`` and may improve on what their face has."""
        batch: list[_Item] = []
        while len(batch) < BATCH:
            while self._done < len(self._rough) and (
                not self._heap or self._rough[self._done] <= self._heap[0][0]
            ):
                block = slice(self._done, self._done + 256)
                self.add(self._corners[block], self._faces[block])
                self._done = min(self._done + 256, len(self._rough))
            if not self._heap or self._heap[0][0] > reach:
                break
            item = heapq.heappop(self._heap)[2]
            known = found.places.get(item.face)
            if known is not None and item.bound >= known.value - SAME:
                found.lower = min(found.lower, item.bound)
            else:
                batch.append(item)
        return batch


def _on_rim(corners: Array, regions: Sequence[Region]) -> np.ndarray:
    """Which triangles (m, 3, 3) have a corner in a region and are large enough to be split."""
    held = np.zeros(corners.shape[:2], dtype=bool)
    for region in regions:
        held |= region.holds(corners)
    size = np.linalg.norm(np.roll(corners, 1, axis=1) - corners, axis=2).max(axis=1)
    return np.asarray(held.any(axis=1) & (size > SMALLEST))


def _height(corners: Array) -> Array:
    """Least height of triangles (m, 3, 3); shape (m,)."""
    a, b, c = (corners[:, k] for k in range(3))
    double = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    longest = np.linalg.norm(np.roll(corners, 1, axis=1) - corners, axis=2).max(axis=1)
    return np.asarray(double / np.maximum(longest, 1e-300))


def _quarters(corners: Array) -> Array:
    """A triangle (3, 3) as four of half its size."""
    a, b, c = corners
    ab, bc, ca = (a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0
    return np.array([[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]])
