"""Penetration depth of two convex bodies: the least translation that parts them, with two bounds.

A ball, a half-space and two parallel cylinders have closed forms; where the farthest points of both bodies
have one (`farthest.py`), `least_move.py` searches the direction.

Else: the depth is the least distance from the origin to the surface of the difference body M = A - B. Rays
from the origin to that surface are cone programs. A surface point's tangent plane gives an upper bound of
the depth; the tetrahedra from the origin to the points of a fine enough net of rays lie inside M and give a
lower bound. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Vec, perpendicular_pair, unit, vector
from headparts.geometry.conic import Problems, solve
from headparts.geometry.convex import Convex, box, half_space
from headparts.geometry.farthest import Supports
from headparts.geometry.least_move import finer, least_move
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
    return [_of_pair(a, b) for a, b in pairs]


def _of_pair(a: Convex, b: Convex) -> Depth:
    closed = _closed(a, b)
    if closed is not None:
        return closed
    if a.bound is not None and b.bound is not None:
        return _depth(a, b)
    near = a.bound or b.bound
    if near is None:
        raise GeometryError("a penetration needs at least one bounded body")
    reach, centre = 6.0 * near[1], np.asarray(near[0])
    room = box(centre - reach, centre + reach)
    found = _depth(a if a.bound else a.intersect(room), b if b.bound else b.intersect(room))
    return _against_endless(a, b, found)


def _closed(a: Convex, b: Convex) -> Depth | None:
    """Closed forms of a ball whose centre lies in the other body and of two cylinders side by side."""
    for first, second, sign in ((a, b, 1.0), (b, a, -1.0)):
        if first.shape == "ball" and len(first.rounds) == 1 and not first.planes:
            centre, radius = np.asarray(first.rounds[0].point), first.rounds[0].size
            inside = -float(second.violation(centre))
            if inside < 0:
                continue
            away = _outward(second, centre)
            depth = radius + inside
            at = (vector(centre - radius * away), vector(centre + inside * away))
            direction = vector(-sign * away)
            return Depth(depth, depth, direction, at if sign > 0 else (at[1], at[0]))
    return _side_by_side(a, b)


def _outward(body: Convex, point: Array) -> Array:
    """Unit direction from a point of the body to the nearest place of its surface."""
    f, slope = Stack.of([body]).constraints(point[None])
    away = slope[0, int(np.argmax(f[0]))]
    size = float(np.linalg.norm(away))
    if size < 1e-9:  # on an axis: every way across it is as near
        item = body.rounds[0]
        away = np.asarray(perpendicular_pair(item.direction)[0])
        size = 1.0
    return np.asarray(away / size)


def _side_by_side(a: Convex, b: Convex) -> Depth | None:
    """Two whole cylinders with parallel axes: their difference body is a cylinder, too."""
    axis_a, axis_b, r_a, r_b = a.axis, b.axis, a.radius, b.radius
    if axis_a is None or axis_b is None or r_a is None or r_b is None:
        return None
    if not (a.shape == b.shape == "cylinder" and len(a.planes) == len(b.planes) == 2):
        return None
    d = np.asarray(axis_a.direction)
    if float(np.linalg.norm(np.cross(d, axis_b.direction))) > 1e-15:
        return None
    offset = np.asarray(axis_b.point) - np.asarray(axis_a.point)
    along = float(offset @ d)
    turned = float(d @ np.asarray(axis_b.direction)) < 0
    low = along - axis_b.length if turned else along
    across = offset - along * d
    gap = float(np.linalg.norm(across))
    side = across / gap if gap > 1e-12 else np.asarray(perpendicular_pair(d)[0])
    ways = [(r_a + r_b - gap, side), (axis_a.length - low, d), (low + axis_b.length, -d)]
    depth, n = min(ways, key=lambda way: way[0])
    start = np.asarray(axis_a.point) + max(0.0, low) * d
    if depth == ways[0][0]:
        first = start + r_a * n
    else:
        first = np.asarray(axis_a.point) + (axis_a.length if n @ d > 0 else 0.0) * d
    return Depth(depth, depth, vector(n), (vector(first), vector(first - depth * n)))


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
    first, second = Supports(a), Supports(b)
    if not (first.known and second.known):
        return _by_rays(a, b)
    special = [plane.normal for plane in a.planes] + [_turned(plane.normal) for plane in b.planes]
    for one in (a, b):
        special += [way for item in one.rounds for way in (item.direction, _turned(item.direction))]
    if a.axis is not None and b.axis is not None:
        across = np.cross(a.axis.direction, b.axis.direction)
        if np.linalg.norm(across) > 1e-9:
            special += [unit(across), unit(-across)]
    found = least_move(lambda n: first(n) - second(-n), np.array(special).reshape(-1, 3))
    ray = _cast(a, b, found.direction[None])
    return Depth(found.upper, found.lower, vector(found.direction), (vector(ray.a[0]), vector(ray.b[0])))


def _turned(direction: Vec) -> Vec:
    return (-direction[0], -direction[1], -direction[2])


def _by_rays(a: Convex, b: Convex) -> Depth:
    corners = np.array([[1, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], dtype=float)
    faces = np.array([[x, y, z] for x in (0, 1) for y in (2, 3) for z in (4, 5)])
    rays = _cast(a, b, corners)
    best = _best(rays, None)
    for _ in range(6):
        spread = corners + 0.0
        corners, faces = finer(spread, faces) if len(faces) < 100 else (corners, faces)
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
        corners, faces = finer(corners, faces)
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
