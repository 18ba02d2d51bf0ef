"""Distances and ray hits of triangles in closed form, many at once. numpy only; lengths in mm."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_EDGES = ((0, 1), (1, 2), (2, 0))
SLIVER = 1e-9
"""A ray may pass this far (share of the triangle) outside a triangle and still hit: none slips through an edge."""


def ray_hits(start: Floats, along: Floats, corners: Floats) -> Floats:
    """How far along each ray (start, unit direction, both (n, 3)) it meets its triangle (n, 3, 3); nan: missed.

    T. Moller and B. Trumbore, Fast, minimum storage ray/triangle intersection (1997). Edges belong to both of
    their triangles. Rays within the triangle's plane miss it.
    """
    origin = corners[:, 0]
    first, second = corners[:, 1] - origin, corners[:, 2] - origin
    across = np.cross(along, second)
    size = np.einsum("ij,ij->i", first, across)
    flat = np.linalg.norm(first, axis=1) * np.linalg.norm(second, axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        inverse = np.where(np.abs(size) > 1e-14 * flat, 1.0 / size, np.nan)
        offset = start - origin
        u = np.einsum("ij,ij->i", offset, across) * inverse
        normal = np.cross(offset, first)
        v = np.einsum("ij,ij->i", along, normal) * inverse
        t = np.einsum("ij,ij->i", second, normal) * inverse
        hit = (u >= -SLIVER) & (v >= -SLIVER) & (u + v <= 1.0 + SLIVER)
    found: Floats = np.where(hit, t, np.nan)
    return found


def nearest_in_triangles(points: Floats, corners: Floats) -> Floats:
    """(n, 3) the point of each triangle (n, 3, 3) that is nearest to its point (n, 3)."""
    origin = corners[:, 0]
    first, second = corners[:, 1] - origin, corners[:, 2] - origin
    offset = points - origin
    aa, ab, bb = (np.einsum("ij,ij->i", p, q) for p, q in ((first, first), (first, second), (second, second)))
    pa, pb = np.einsum("ij,ij->i", offset, first), np.einsum("ij,ij->i", offset, second)
    size = aa * bb - ab * ab
    with np.errstate(divide="ignore", invalid="ignore"):
        u, v = (bb * pa - ab * pb) / size, (aa * pb - ab * pa) / size
    inside = (size > 1e-24 * aa * bb) & (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0)
    u, v = np.where(inside, u, 0.0), np.where(inside, v, 0.0)
    best = origin + u[:, None] * first + v[:, None] * second
    least = np.where(inside, np.linalg.norm(points - best, axis=1), np.inf)
    for i, j in _EDGES:
        tried = _on_segment(points, corners[:, i], corners[:, j])
        gap = np.linalg.norm(points - tried, axis=1)
        nearer = gap < least
        best, least = np.where(nearer[:, None], tried, best), np.where(nearer, gap, least)
    return best


def _on_segment(points: Floats, start: Floats, end: Floats) -> Floats:
    step = end - start
    square = np.maximum(np.einsum("ij,ij->i", step, step), 1e-300)
    share = np.clip(np.einsum("ij,ij->i", points - start, step) / square, 0.0, 1.0)
    found: Floats = start + share[:, None] * step
    return found


def segments_nearest(a0: Floats, a1: Floats, b0: Floats, b1: Floats) -> tuple[Floats, Floats]:
    """(n, 3), (n, 3) the nearest points of two segments each; C. Ericson, Real-Time Collision Detection, 5.1.9."""
    u, v, w = a1 - a0, b1 - b0, a0 - b0
    a, e = np.einsum("ij,ij->i", u, u), np.einsum("ij,ij->i", v, v)
    b, c, f = (np.einsum("ij,ij->i", p, q) for p, q in ((u, v), (u, w), (v, w)))
    size = a * e - b * b
    with np.errstate(divide="ignore", invalid="ignore"):
        s = np.where(size > 1e-14 * a * e, np.clip((b * f - c * e) / size, 0.0, 1.0), 0.0)
        t = np.where(e > 0.0, (b * s + f) / np.where(e > 0.0, e, 1.0), 0.0)
    low, high = t < 0.0, t > 1.0
    t = np.clip(t, 0.0, 1.0)
    safe = np.where(a > 0.0, a, 1.0)
    s = np.where(low, np.clip(-c / safe, 0.0, 1.0), np.where(high, np.clip((b - c) / safe, 0.0, 1.0), s))
    return a0 + s[:, None] * u, b0 + t[:, None] * v


def segment_to_triangles(start: Floats, end: Floats, corners: Floats) -> Floats:
    """(n,) distance of one segment, ends (3,), from triangles (n, 3, 3); 0 where it pierces one."""
    count = len(corners)
    a, b = (np.broadcast_to(each, (count, 3)) for each in (start, end))
    found: Floats = np.minimum(
        np.linalg.norm(a - nearest_in_triangles(a, corners), axis=1),
        np.linalg.norm(b - nearest_in_triangles(b, corners), axis=1),
    )
    for i, j in _EDGES:
        p, q = segments_nearest(a, b, corners[:, i], corners[:, j])
        found = np.minimum(found, np.linalg.norm(p - q, axis=1))
    length = float(np.linalg.norm(end - start))
    if length > 0.0:
        t = ray_hits(a, np.broadcast_to((end - start) / length, (count, 3)), corners)
        found[(t >= 0.0) & (t <= length)] = 0.0
    return found


def triangles_nearest(first: Floats, second: Floats) -> tuple[Floats, Floats, Floats]:
    """Least distance (n,) of triangles (n, 3, 3) and the two points (n, 3), (n, 3); 0 where they cross.

    Least of the six corners against the other triangle and the nine pairs of edges, which is exact for two
    triangles that do not cross; crossing is told by an edge that pierces the other triangle.
    """
    count = len(first)
    least = np.full(count, np.inf)
    p, q = np.zeros((count, 3)), np.zeros((count, 3))

    def offer(a: Floats, b: Floats) -> None:
        gap = np.linalg.norm(a - b, axis=1)
        nearer = gap < least
        least[nearer], p[nearer], q[nearer] = gap[nearer], a[nearer], b[nearer]

    for k in range(3):
        offer(first[:, k], nearest_in_triangles(first[:, k], second))
        offer(nearest_in_triangles(second[:, k], first), second[:, k])
    for i, j in _EDGES:
        for k, m in _EDGES:
            offer(*segments_nearest(first[:, i], first[:, j], second[:, k], second[:, m]))
    for one, other in ((first, second), (second, first)):
        for i, j in _EDGES:
            step = one[:, j] - one[:, i]
            length = np.maximum(np.linalg.norm(step, axis=1), 1e-300)
            t = ray_hits(one[:, i], step / length[:, None], other)
            pierced = (t >= 0.0) & (t <= length)
            at = one[:, i] + np.where(pierced, t, 0.0)[:, None] * step / length[:, None]
            least[pierced], p[pierced], q[pierced] = 0.0, at[pierced], at[pierced]
    return least, p, q
