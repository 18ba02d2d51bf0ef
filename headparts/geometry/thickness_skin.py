"""The thickness field of a skin of triangles: a scan, or a solid that exists only as STL."""

from __future__ import annotations

import numpy as np

from headparts.geometry.box_tree import BoxTree
from headparts.geometry.skin import Floats, Ints, Skin
from headparts.geometry.thickness import Flags, Thickness, Thin, best_by_pair, by_ray, thin_pairs, vector
from headparts.geometry.triangles import triangles_nearest

MOST_PAIRS = 300
"""Pairs of faces that are refined, those with the shortest rays first."""
STEPS = 60
_SPOTS = (
    np.array([[i, j, 10.0 - i - j] for i, j in ((1, 1), (1, 8), (8, 1), (3, 3), (1, 4), (4, 1), (5, 4))])
    / 10.0
)
"""Places in a triangle from which shorter rays are tried."""
_PLASTIC = 1.324717957244746

REMARK = (
    "a scan: what its triangles are off the real surface is not known and not included; a face ends where "
    "the skin turns by 30 deg"
)


def skin_thickness(skin: Skin, points: int = 10_000, below: float = 0.0) -> Thickness:
    """Thickness at about ``points`` places spread evenly over the skin's area; at least one a face.

    The same skin gives the same places. ``below`` [mm]: every pair of faces that may be nearer than this is
    refined, not only those that may hold the least (300 pairs at most). Exact pairs are of triangles: from the
    shortest ray of two faces its two triangles walk to their neighbours as long as that brings them nearer.
    """
    start, triangle = sampled(skin, points)
    normals = skin.normals[triangle]
    tree = BoxTree(skin)
    far, hit = tree.first_exit(start, -normals, triangle)
    sound = hit >= 0
    leaving = np.einsum("ij,ij->i", skin.normals[hit], -normals) > 0.0
    sound &= leaving
    values = np.where(sound, far, np.nan)
    faces = skin.faces[triangle]
    exits = np.where(sound, skin.faces[hit], -1)
    touching = _touching(skin)
    adjacent = np.array([(a, b) in touching for a, b in zip(faces.tolist(), exits.tolist(), strict=True)])
    adjacent |= sound & _share_corner(skin, triangle, hit)
    seen = best_by_pair(values, faces, exits, sound & ~adjacent)
    edges = best_by_pair(values, faces, exits, sound & adjacent)
    around = _Around(skin, tree)
    rays = [
        (by_ray(float(values[k]), start[k], -normals[k], pair, float(values[k])), k)
        for pair, k in seen.items()
    ]

    def measure(ray: Thin, k: int) -> Thin:
        return around.thinnest(ray.faces, int(triangle[k]), int(hit[k]), ray, start[k])

    pairs, untried = thin_pairs(rays, below, MOST_PAIRS, around.apart, measure)
    low, high = skin.box
    return Thickness(
        kind="STL",
        volume=skin.volume,
        box=(vector(low), vector(high)),
        face_count=int(skin.faces.max()) + 1,
        points=start,
        normals=normals,
        values=values,
        faces=faces,
        exits=exits,
        adjacent=adjacent,
        shares=np.full(len(start), skin.areas.sum() / len(start)),
        pairs=tuple(sorted(pairs, key=lambda thin: thin.value)),
        edges=tuple(
            by_ray(float(values[k]), start[k], -normals[k], ab, float(values[k])) for ab, k in edges.items()
        ),
        untried=untried,
        remark=REMARK if skin.chord is None else f"triangles lie within {skin.chord:.4f} of the surface",
    )


def sampled(skin: Skin, points: int) -> tuple[Floats, Ints]:
    """(n, 3) places and (n,) their triangles: evenly by area, one at least in the largest triangle of a face."""
    total = np.cumsum(skin.areas)
    wanted = (np.arange(points) + 0.5) / points * total[-1]
    triangle = np.searchsorted(total, wanted)
    largest = {int(skin.faces[k]): int(k) for k in np.argsort(skin.areas, kind="stable")}
    missing = sorted(set(largest) - set(skin.faces[triangle].tolist()))
    triangle = np.concatenate([triangle, np.array([largest[f] for f in missing], dtype=np.int64)])
    index = np.arange(len(triangle))
    u, v = (0.5 + index / _PLASTIC) % 1.0, (0.5 + index / _PLASTIC**2) % 1.0
    over = u + v > 1.0
    u, v = np.where(over, 1.0 - u, u), np.where(over, 1.0 - v, v)
    u, v = 0.02 + 0.94 * u, 0.02 + 0.94 * v  # clear of the triangle's own edges
    a, b, c = (skin.corners[triangle, k] for k in range(3))
    return a + u[:, None] * (b - a) + v[:, None] * (c - a), triangle


def _touching(skin: Skin) -> set[tuple[int, int]]:
    """Pairs (a, b) of different faces that share a corner, both ways round."""
    corner = np.stack([skin.triangles.reshape(-1), np.repeat(skin.faces, 3)], axis=1)
    unique = np.unique(corner, axis=0)
    groups: dict[int, list[int]] = {}
    for vertex, face in unique.tolist():
        groups.setdefault(vertex, []).append(face)
    return {(a, b) for group in groups.values() if len(group) > 1 for a in group for b in group if a != b}


class _Around:
    """Triangles by the corner they share: from the best place found so far to a better one near by."""

    def __init__(self, skin: Skin, tree: BoxTree) -> None:
        self._skin, self._tree = skin, tree
        flat = skin.triangles.reshape(-1)
        self._order = np.argsort(flat, kind="stable") // 3
        self._start = np.searchsorted(np.sort(flat), np.arange(len(skin.vertices) + 1))
        count = int(skin.faces.max()) + 1
        self._low, self._high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
        np.minimum.at(self._low, skin.faces, skin.corners.min(axis=1))
        np.maximum.at(self._high, skin.faces, skin.corners.max(axis=1))

    def apart(self, a: int, b: int) -> float:
        """Distance of the upright boxes round two faces [mm]."""
        gaps = np.maximum(self._low[a] - self._high[b], self._low[b] - self._high[a])
        return float(np.linalg.norm(np.maximum(gaps, 0.0)))

    def thinnest(self, faces: tuple[int, int], triangle: int, hit: int, ray: Thin, start: Floats) -> Thin:
        """The pair's thin place, beginning from the two triangles of its shortest ray."""
        if faces[0] == faces[1]:
            value, start, along = self.shorter_ray(triangle, ray.value, start)
            return by_ray(value, start, along, faces, ray.seen)
        value, p, q = self.nearest(triangle, hit)
        if value <= ray.value and self._in_metal(p, q):
            return Thin(value, (vector(p), vector(q)), faces, "face pair", ray.seen)
        return ray

    def _in_metal(self, p: Floats, q: Floats) -> bool:
        """Whether the line between two points of the skin runs inside: from within it, the next skin is left."""
        length = float(np.linalg.norm(q - p))
        if length == 0.0:
            return False
        along = np.tile((q - p) / length, (3, 1))
        shares = np.array([[0.05], [0.5], [0.95]])
        _, hit = self._tree.first_exit(p + shares * (q - p), along, np.full(3, -1))
        return bool(np.all(hit >= 0) and np.all((self._skin.normals[hit] * along).sum(axis=1) > -1e-9))

    def _near(self, triangle: int) -> Ints:
        """The triangles of the same face that share a corner with one, itself among them."""
        skin = self._skin
        found = np.unique(
            np.concatenate(
                [self._order[self._start[c] : self._start[c + 1]] for c in skin.triangles[triangle]]
            )
        )
        same: Ints = found[skin.faces[found] == skin.faces[triangle]]
        return same

    def nearest(self, a: int, b: int) -> tuple[float, Floats, Floats]:
        """Least distance of two triangles of two faces after walking both as long as they come nearer."""
        corners = self._skin.corners
        value, p, q = triangles_nearest(corners[[a]], corners[[b]])
        best = (float(value[0]), p[0], q[0])
        for _ in range(STEPS):
            one, other = (
                grid.reshape(-1) for grid in np.meshgrid(self._near(a), self._near(b), indexing="ij")
            )
            gaps, p, q = triangles_nearest(corners[one], corners[other])
            k = int(np.argmin(gaps))
            if gaps[k] >= best[0] - 1e-12:
                break
            best, a, b = (float(gaps[k]), p[k], q[k]), int(one[k]), int(other[k])
        return best

    def shorter_ray(self, triangle: int, value: float, start: Floats) -> tuple[float, Floats, Floats]:
        """A shorter ray that begins and ends on one face: length, start and direction (3,)."""
        skin = self._skin
        along = -skin.normals[triangle]
        for _ in range(STEPS):
            near = np.repeat(self._near(triangle), len(_SPOTS))
            places = np.einsum("sk,mkx->msx", _SPOTS, skin.corners[near[:: len(_SPOTS)]]).reshape(-1, 3)
            far, hit = self._tree.first_exit(places, -skin.normals[near], near)
            good = (hit >= 0) & (skin.faces[hit] == skin.faces[triangle]) & (skin.areas[near] > 0.0)
            good &= np.einsum("ij,ij->i", skin.normals[hit], -skin.normals[near]) > 0.0
            good &= ~_share_corner(skin, near, hit)
            far = np.where(good, far, np.inf)
            k = int(np.argmin(far))
            if far[k] >= value - 1e-9:
                break
            value, start, triangle = float(far[k]), places[k], int(near[k])
            along = -skin.normals[triangle]
        return value, start, along


def _share_corner(skin: Skin, one: Ints, other: Ints) -> Flags:
    """(n,) whether two triangles have a corner in common."""
    found: Flags = (skin.triangles[one][:, :, None] == skin.triangles[other][:, None, :]).any(axis=(1, 2))
    return found
