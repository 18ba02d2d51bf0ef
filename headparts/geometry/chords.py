"""Where straight lines run inside convex bodies and holes, in closed form (mm along the line)."""

from __future__ import annotations

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, Round
from headparts.geometry.holes import BallHole, EndlessCylinderHole, Hole, PrismHole

EMPTY = (np.inf, -np.inf)


def _quadratic(a: Array, b: Array, c: Array) -> tuple[Array, Array]:
    """Interval where a t^2 + 2 b t + c <= 0 with a >= 0; a = 0 means b = 0 too."""
    flat = a < 1e-14
    safe = np.where(flat, 1.0, a)
    disc = b * b - safe * c
    root = np.sqrt(np.maximum(disc, 0.0))
    miss = np.where(flat, c > 0, disc < 0)
    low = np.where(flat, -np.inf, (-b - root) / safe)
    high = np.where(flat, np.inf, (-b + root) / safe)
    return np.where(miss, np.inf, low), np.where(miss, -np.inf, high)


def _round(item: Round, points: Array, direction: Array) -> tuple[Array, Array]:
    rows, m, c, d = item.cone_rows()
    along = np.atleast_2d(direction)
    y, dy = points @ rows.T + m, along @ rows.T
    square = np.einsum("nk,nk->n", dy, dy)
    mixed = y @ dy[0] if len(dy) == 1 else np.einsum("nk,nk->n", y, dy)
    if item.kind != "cone":
        return _quadratic(square, mixed, np.einsum("nk,nk->n", y, y) - d * d)
    height, dh = points @ c + d, along @ c
    a = square - dh * dh
    b = mixed - height * dh
    q = np.einsum("nk,nk->n", y, y) - height * height
    root = np.sqrt(np.maximum(b * b - a * q, 0.0))
    flat = np.abs(a) < 1e-14  # along a generator's slope: one crossing
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = np.where(b != 0.0, -q / (2 * b), np.nan)
        t1, t2 = (-b - root) / a, (-b + root) / a
        low, high = np.minimum(t1, t2), np.maximum(t1, t2)
        miss = (b * b < a * q) | (height + dh * (low + high) / 2 < 0)  # beside it, or its other nappe
    forward = dh > 0
    steep = np.where(forward, high, -np.inf), np.where(forward, np.inf, low)
    one = np.where(dh >= 0, cross, -np.inf), np.where(dh >= 0, np.inf, cross)
    gone = np.where(flat, ~np.isfinite(cross), (a > 0) & miss)
    low = np.where(flat, one[0], np.where(a > 0, low, steep[0]))
    high = np.where(flat, one[1], np.where(a > 0, high, steep[1]))
    return np.where(gone, np.inf, low), np.where(gone, -np.inf, high)


def chord(body: Convex, points: Array, direction: Array) -> tuple[Array, Array]:
    """Interval [t0, t1] with points + t direction inside the body; t0 > t1: the line misses it.

    points (N, 3) mm, direction (3,) unit vector, or (N, 3), one a line; two arrays (N,) in mm.
    """
    low, high = np.full(len(points), -np.inf), np.full(len(points), np.inf)
    for plane in body.planes:
        normal = np.asarray(plane.normal)
        low, high = _half(np.atleast_2d(direction) @ normal, plane.offset - points @ normal, low, high)
    for item in body.rounds:
        t0, t1 = _round(item, points, direction)
        low, high = np.maximum(low, t0), np.minimum(high, t1)
    return low, high


def _half(rate: Array, room: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """The part of intervals with rate t <= room; ``rate`` (1,), the same for all of them, or (N,)."""
    if len(rate) == 1 and abs(rate[0]) >= 1e-14:
        cross = room / rate[0]
        return (low, np.minimum(high, cross)) if rate[0] > 0 else (np.maximum(low, cross), high)
    still = np.abs(rate) < 1e-14
    missed = still & (room < 0)
    cross = room / np.where(still, 1.0, rate)
    low = np.where(~still & (rate < 0), np.maximum(low, cross), low)
    high = np.where(~still & (rate > 0), np.minimum(high, cross), high)
    return np.where(missed, np.inf, low), np.where(missed, -np.inf, high)


def hole_chord(hole: Hole, points: Array, direction: Array) -> tuple[Array, Array]:
    """Interval of each line inside a hole, as `chord`."""
    if isinstance(hole, EndlessCylinderHole):
        return _round(Round("cylinder", hole.point, hole.direction, hole.radius), points, direction)
    if isinstance(hole, BallHole):
        return _round(Round("ball", hole.centre, (0.0, 0.0, 1.0), hole.radius), points, direction)
    if isinstance(hole, PrismHole):
        return _prism(hole, points, direction)
    raise GeometryError(f"no chord is known for a hole of type {type(hole).__name__}")


def _prism(hole: PrismHole, points: Array, direction: Array) -> tuple[Array, Array]:
    (cx, cy), r = hole.centre, hole.corner
    dx, dy = hole.half_x - r, hole.half_y - r
    low, high = np.full(len(points), np.inf), np.full(len(points), -np.inf)
    for hx, hy in {(hole.half_x, dy), (dx, hole.half_y)}:
        if hx > 0 and hy > 0:
            t0, t1 = _slabs(points, direction, ((0, cx, hx), (1, cy, hy)))
            low, high = (
                np.where(t0 <= t1, np.minimum(low, t0), low),
                np.where(t0 <= t1, np.maximum(high, t1), high),
            )
    if r > 0:
        for x, y in {(cx + sx * dx, cy + sy * dy) for sx in (1, -1) for sy in (1, -1)}:
            t0, t1 = _round(Round("cylinder", (x, y, 0.0), (0.0, 0.0, 1.0), r), points, direction)
            low, high = (
                np.where(t0 <= t1, np.minimum(low, t0), low),
                np.where(t0 <= t1, np.maximum(high, t1), high),
            )
    return _half(np.atleast_2d(direction)[:, 2], hole.roof - points[:, 2], low, high)


def _slabs(
    points: Array, direction: Array, slabs: tuple[tuple[int, float, float], ...]
) -> tuple[Array, Array]:
    low, high = np.full(len(points), -np.inf), np.full(len(points), np.inf)
    for axis, centre, half in slabs:
        rate, offset = np.atleast_2d(direction)[:, axis], points[:, axis] - centre
        low, high = _half(rate, half - offset, low, high)
        low, high = _half(-rate, half + offset, low, high)
    return low, high


def pieces_outside(low: Array, high: Array, holes: list[tuple[Array, Array]]) -> list[tuple[Array, Array]]:
    """What of the intervals [low, high] lies outside the hole intervals: disjoint intervals, some empty."""
    pieces = [(low, high)]
    for h0, h1 in holes:
        hit = h0 <= h1
        cut: list[tuple[Array, Array]] = []
        for p0, p1 in pieces:
            cut.append((p0, np.where(hit, np.minimum(p1, h0), p1)))
            cut.append((np.where(hit, np.maximum(p0, h1), np.inf), np.where(hit, p1, -np.inf)))
        pieces = cut
    return pieces
