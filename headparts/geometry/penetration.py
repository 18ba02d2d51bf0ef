"""Penetration depth of two convex bodies: the least translation that parts them, with two bounds.

The depth is the least distance from the origin to the surface of the difference body M = A - B. Rays from
the origin to that surface are cone programs. A surface point's tangent plane gives an upper bound of the
depth; the tetrahedra from the origin to the points of a fine enough net of rays lie inside M and give a
lower bound. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Vec, vector
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex, ball, half_space
from headparts.geometry.pairs import distances
from headparts.geometry.stack import Stack

GAP = 5e-7
ROUNDS = 24
BUDGET = 4000


@dataclass(frozen=True)
class Depth:
    """Least translation (mm): ``upper`` parts the bodies for sure, nothing below ``lower`` does."""

    upper: float
    lower: float
    direction: Vec
    at: tuple[Vec, Vec]


def penetrations(pairs: Sequence[tuple[Convex, Convex]]) -> list[Depth]:
    """The penetration depth of every pair of overlapping convex bodies, one of them bounded.

    An endless body is searched near the other one only; that part lies inside it, so the lower bound holds,
    and the upper bound is proven again with the whole body.
    """
    result = []
    for a, b in pairs:
        if a.bound is not None and b.bound is not None:
            result.append(_depth(a, b))
            continue
        near = a.bound or b.bound
        if near is None:
            raise GeometryError("a penetration needs at least one bounded body")
        room = ball(near[0], 6.0 * near[1])
        found = _depth(a if a.bound else a.intersect(room), b if b.bound else b.intersect(room))
        result.append(_against_endless(a, b, found))
    return result


def _against_endless(a: Convex, b: Convex, found: Depth) -> Depth:
    """Upper bound with the whole endless body: away from one of its planes, whose offset is exact."""
    body, endless, sign = (a, b, 1.0) if b.bound is None else (b, a, -1.0)
    if body.bound is None:
        raise GeometryError("a penetration needs at least one bounded body")
    best = replace(found, upper=np.inf)
    for plane in endless.planes:
        normal = np.asarray(plane.normal)
        far = float(-normal @ np.asarray(body.bound[0])) + body.bound[1] + 1.0
        reach = distances([body], [half_space(-far * normal, normal)])
        depth = plane.offset + far - float(reach.lower[0])  # offset - least normal.x over the body
        if depth < best.upper:
            inner, outer = reach.a[0], reach.a[0] + depth * normal
            at = (vector(inner), vector(outer)) if sign > 0 else (vector(outer), vector(inner))
            best = replace(found, upper=depth, direction=vector(-sign * normal), at=at)
    return best


@dataclass(frozen=True)
class _Rays:
    points: Array  # (N, 3) surface points of M along the rays, safely inside
    normals: Array  # (N, 3) unit normals
    upper: Array  # (N,) proven support value of M along the normals
    a: Array
    b: Array


def _cast(a: Convex, b: Convex, directions: Array) -> _Rays:
    count = len(directions)
    sa, sb = Stack.of([a]), Stack.of([b])
    known = sa.bound if np.isfinite(sa.bound[0, 3]) else sb.bound
    origin, scale = known[:, :3], np.maximum(known[:, 3], 1e-3)
    sa, sb = sa.shifted(origin, scale), sb.shifted(origin, scale)
    one = np.ones((count, 1, 1))
    la, lb, qa, qb = sa.linear.shape[1], sb.linear.shape[1], sa.cone.shape[1], sb.cone.shape[1]
    linear, cone = np.zeros((count, la + lb, 4)), np.zeros((count, qa + qb, 4, 4))
    linear[:, :la, :3], linear[:, la:, :3] = sa.linear * one, sb.linear * one
    cone[:, :qa, :, :3], cone[:, qa:, :, :3] = sa.cone * one[..., None], sb.cone * one[..., None]
    # b = a - t v
    linear[:, la:, 3] = -np.einsum("nlk,nk->nl", linear[:, la:, :3], directions)
    cone[:, qa:, :, 3] = -np.einsum("nqik,nk->nqi", cone[:, qa:, :, :3], directions)
    cost = np.zeros((count, 4))
    cost[:, 3] = -1.0
    linear_h = np.concatenate([sa.linear_h, sb.linear_h], axis=1) * np.ones((count, 1))
    cone_h = np.concatenate([sa.cone_h, sb.cone_h], axis=1) * one
    answer = solve(Problems(cost, linear, linear_h, cone, cone_h), np.zeros((count, 4)))
    wide_a, wide_b = _repeat(sa, count), _repeat(sb, count)
    pa = answer.x[:, :3]
    pb = pa - answer.x[:, 3:] * directions
    outside = np.maximum(np.maximum(wide_a.violation(pa), wide_b.violation(pb)), 0.0)
    zl, zq = answer.linear, answer.cone
    n = np.einsum("nlk,nl->nk", wide_a.linear, zl[:, :la]) + np.einsum(
        "nqik,nqi->nk", wide_a.cone, zq[:, :qa]
    )
    size = np.maximum(np.linalg.norm(n, axis=1), 1e-300)
    n, zl, zq = n / size[:, None], zl / size[:, None], zq / size[:, None, None]
    slack_a, slack_b = wide_a.slack(pa), wide_b.slack(pb)
    excess = (
        np.einsum("nl,nl->n", slack_a[0], zl[:, :la])
        + np.einsum("nqi,nqi->n", slack_a[1], zq[:, :qa])
        + np.einsum("nl,nl->n", slack_b[0], zl[:, la:])
        + np.einsum("nqi,nqi->n", slack_b[1], zq[:, qa:])
    )
    rho = -n - (
        np.einsum("nlk,nl->nk", wide_b.linear, zl[:, la:])
        + np.einsum("nqik,nqi->nk", wide_b.cone, zq[:, qa:])
    )
    reach = np.linalg.norm(wide_b.bound[:, :3] - pb, axis=1) + wide_b.bound[:, 3]
    near = np.linalg.norm(rho, axis=1)
    reach = np.where(np.isfinite(reach), reach, np.where(near == 0.0, 0.0, np.inf))
    upper = (
        np.einsum("nk,nk->n", n, pa - pb) + np.maximum(excess, 0.0) + np.where(near > 0, near * reach, 0.0)
    )
    points = directions * (answer.x[:, 3] - 2.0 * outside)[:, None]
    return _Rays(points * scale, n, upper * scale[0], pa * scale + origin, pb * scale + origin)


def _repeat(stack: Stack, count: int) -> Stack:
    return Stack(
        *(
            np.repeat(part, count, axis=0)
            for part in (stack.linear, stack.linear_h, stack.cone, stack.cone_h, stack.bound)
        )
    )


def _depth(a: Convex, b: Convex) -> Depth:
    corners = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], dtype=float)
    faces = np.array([[x, y, z] for x in (0, 1) for y in (2, 3) for z in (4, 5)])
    rays = _cast(a, b, corners)
    best = _best(rays, None)
    for _ in range(6):
        spread = corners + 0.0
        corners, faces = _finer(spread, faces) if len(faces) < 100 else (corners, faces)
        if len(corners) == len(spread):
            break
        rays = _cast(a, b, corners)
        best = _best(rays, best)
    for _ in range(40):
        polished = _cast(a, b, np.asarray(best.direction)[None, :])
        better = _best(polished, best)
        if better.upper >= best.upper - 1e-13:
            break
        best = better
    closed = np.inf
    points = rays.points
    cast = len(corners)
    for _ in range(ROUNDS):
        bounds = _inner(points[faces])
        keep = bounds < best.upper - GAP
        closed = min(closed, float(np.min(bounds[~keep], initial=np.inf)))
        faces = faces[keep]
        if len(faces) == 0 or cast > BUDGET:
            break
        corners, faces = _finer(corners, faces)
        fresh = _cast(a, b, corners[len(points) :])
        best = _best(fresh, best)
        points = np.concatenate([points, fresh.points])
        cast = len(corners)
    lower = min(closed, float(np.min(_inner(points[faces]), initial=np.inf)) if len(faces) else np.inf)
    return Depth(best.upper, max(0.0, min(lower, best.upper)), best.direction, best.at)


def _best(rays: _Rays, old: Depth | None) -> Depth:
    k = int(np.argmin(np.where(np.isfinite(rays.upper), rays.upper, np.inf)))
    if old is not None and not rays.upper[k] < old.upper:
        return old
    return Depth(float(rays.upper[k]), 0.0, vector(rays.normals[k]), (vector(rays.a[k]), vector(rays.b[k])))


def _inner(triangles: Array) -> Array:
    """Distance of the origin from the plane of each triangle (N, 3, 3); 0 where it degenerates."""
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    size = np.linalg.norm(normal, axis=1)
    height = np.abs(np.einsum("nk,nk->n", normal, triangles[:, 0])) / np.maximum(size, 1e-300)
    return np.asarray(np.where(size > 1e-30, height, 0.0))


def _finer(corners: Array, faces: np.ndarray) -> tuple[Array, np.ndarray]:
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
