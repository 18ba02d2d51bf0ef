"""Triangles that should be a closed surface: unite their corners, count open edges, measure what they hold."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

WELD = 1e-7


def weld(points: Floats, triangles: Ints, tolerance: float = WELD) -> tuple[Floats, Ints]:
    """Unite points nearer than ``tolerance`` in every coordinate and drop triangles that lose an edge.

    Args:
        points: (n, 3) [mm]. triangles: (m, 3) indices.

    Returns:
        The points left (first of each cluster) and the triangles on them. Rounding to a grid would part
        neighbours on both sides of a grid line; here only gaps above the tolerance part points.
    """
    united, moved = joined(points, triangles, tolerance)
    return united, moved[whole(moved)]


def joined(points: Floats, triangles: Ints, tolerance: float = WELD) -> tuple[Floats, Ints]:
    """As ``weld``, with the triangles that lose an edge kept in their place."""
    labels = np.zeros(len(points), dtype=np.int64)
    clusters = 0
    while True:
        for axis in range(3):
            order = np.lexsort((points[:, axis], labels))
            apart = np.empty(len(points), dtype=bool)
            apart[0] = False
            apart[1:] = (np.diff(labels[order]) != 0) | (np.diff(points[order, axis]) > tolerance)
            labels[order] = np.cumsum(apart)
        found = int(labels.max()) + 1
        if found == clusters:
            break
        clusters = found
    _, first = np.unique(labels, return_index=True)
    kept = np.sort(first)  # in the order of first appearance: the same mesh gives the same file
    rank = np.empty(len(points), dtype=np.int64)
    rank[kept] = np.arange(len(kept))
    return points[kept], rank[first[labels]][triangles]


def whole(triangles: Ints) -> NDArray[np.bool_]:
    """(m,) whether a triangle has three different corners."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    found: NDArray[np.bool_] = (a != b) & (b != c) & (c != a)
    return found


def open_edges(triangles: Ints) -> int:
    """Number of directed edges without exactly one partner running the other way; 0 is watertight."""
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    size = int(triangles.max()) + 1 if len(triangles) else 1
    forward = np.sort(edges[:, 0] * size + edges[:, 1])
    backward = np.sort(edges[:, 1] * size + edges[:, 0])
    doubled = int(np.count_nonzero(np.diff(forward) == 0))
    unmatched = len(np.setdiff1d(forward, backward))
    return doubled + unmatched


def enclosed_volume(vertices: Floats, triangles: Ints) -> float:
    """Volume [mm3] inside a closed mesh with outward normals, by the divergence theorem."""
    centred = vertices - vertices.mean(axis=0)
    a, b, c = (centred[triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)
