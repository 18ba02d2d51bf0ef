"""The wall that is metal, where the nearest points of two voids are not joined by metal.

Two ways: the voids cut down to the casting, which is exact, and straight lines that run from one void to the other
through metal alone, which are searched. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headparts.geometry.axis import Array, Vec, vector
from headparts.geometry.convex import Convex
from headparts.geometry.distance import Wall, wall
from headparts.geometry.emptiness import beyond_reach, proven_empty
from headparts.geometry.metal import TOUCH, shrunk, stretches
from headparts.geometry.void import Void

WIDELY, CLOSELY = (2, 2000), (30, 250)
"""Rounds of the search, and lines tried in each: first widely, then closely about the best."""
KEPT, SHRINK = 10, 0.66
"""Lines kept for the next round, and how much nearer to them that one tries."""
SLIDES, SAME_PLACE = 401, 1e-7
"""Places tried along an axis, and how far from a void a point may lie and still count as in it (mm)."""
SPREAD = 0.75
"""How far about the two points the first round tries, as a share of their distance and of the least radius of 4 mm."""


def within(void: Void, casting: Sequence[Convex]) -> Void | None:
    """What of a void lies in the casting, a union of convex pieces; None where nothing does."""
    cores = [core.intersect(piece) for piece in casting for core in void.cores]
    extra = [piece.planes for piece in casting for _ in void.cores]
    bare = [core for _ in casting for core in void.cores]
    empty = beyond_reach(bare, extra) | proven_empty(bare, extra)
    left = tuple(core for core, gone in zip(cores, empty, strict=True) if not gone)
    return Void(void.name, void.kind, left, void.holes, void.u, void.core_group) if left else None


def wall_within(a: Void, b: Void, casting: Sequence[Convex]) -> Wall | None:
    """The wall of what of two voids lies in the casting; None where one of them lies wholly outside."""
    first, second = within(a, casting), within(b, casting)
    if first is None or second is None:
        return None
    found = wall(first, second)
    return None if found.value == math.inf else found


def slid(a: Void, b: Void, at: tuple[Vec, Vec], others: Sequence[Void]) -> tuple[Vec, Vec] | None:
    """Another place of the same wall that is all metal: the two points moved along an axis of either void.

    Two parallel bores, or a bore beside a flat side, are equally thick all along: which place a search gives is
    chance. None where no place tried lies in both voids with metal alone between them.
    """
    p, q = (np.asarray(point, dtype=float) for point in at)
    size = float(np.linalg.norm(q - p))
    axes = [core.axis for void in (a, b) for core in void.cores if core.axis is not None]
    for axis in axes:
        reach = axis.length if math.isfinite(axis.length) else 2.0 * size
        d = np.asarray(axis.direction)
        if size == 0.0 or abs(float(d @ (q - p))) > 1e-3 * size:
            continue
        steps = np.linspace(-reach, reach, SLIDES)[:, None] * d
        steps = steps[np.argsort(np.linalg.norm(steps, axis=1), kind="stable")]
        steps = steps[a.contains(p + steps, SAME_PLACE) & b.contains(q + steps, SAME_PLACE)]
        if len(steps) == 0:
            continue
        along, full = np.broadcast_to((q - p) / size, steps.shape), np.full(len(steps), size)
        clear = np.ones(len(steps), dtype=bool)
        for void in others:
            if not clear.any():
                break
            for low, high in stretches(void, p + steps, along, full):
                clear &= ~(high - low > TOUCH)
        if clear.any():
            step = steps[int(np.argmax(clear))]
            return vector(p + step), vector(q + step)
    return None


@dataclass(frozen=True)
class Straight:
    """The shortest straight line found that runs from one void to the other through metal alone."""

    length: float
    at: tuple[Vec, Vec]


def straight_metal(a: Void, b: Void, others: Sequence[Void], near: tuple[Vec, Vec]) -> Straight | None:
    """A short straight line through metal alone from void ``a`` to ``b``; None where none was found.

    It is searched around the points ``near``, always the same way: what is found is metal, so no wall of the
    two is thicker than that there; that none is thinner is not proven. Not nearer than the voids' distance.
    """
    p, q = (np.asarray(point, dtype=float) for point in near)
    size = float(np.linalg.norm(q - p))
    spread = max(SPREAD * size, 4.0)
    reach = size / 2 + 2.0 * spread
    near_by = [_near(void, (p + q) / 2, reach + 2.0 * spread) for void in others]
    others = [shrunk(void, TOUCH) for void in near_by if void is not None]
    rng = np.random.default_rng(20_26)
    kept = np.concatenate([p, q])[None, :]
    best: tuple[float, Array] | None = None
    for count in [WIDELY[1]] * WIDELY[0] + [CLOSELY[1]] * CLOSELY[0]:
        tried = kept[np.arange(count) % len(kept)] + spread * rng.uniform(-1.0, 1.0, (count, 6))
        tried[: len(kept)] = kept
        lengths, ends = _from_a_to_b(a, b, others, tried, reach)
        order = np.argsort(lengths)[:KEPT]
        order = order[np.isfinite(lengths[order])]
        if len(order) == 0:
            continue
        if best is None or lengths[order[0]] < best[0]:
            best = float(lengths[order[0]]), ends[order[0]]
        kept = ends[order]
        spread *= SHRINK
    if best is None:
        return None
    return Straight(best[0], (vector(best[1][:3]), vector(best[1][3:])))


def _near(void: Void, point: Array, reach: float) -> Void | None:
    """The void without cores that lie farther than ``reach`` from a point; None where none is left."""
    cores = tuple(core for core in void.cores if float(core.violation(point)) <= reach)
    return replace(void, cores=cores) if cores else None


def _from_a_to_b(a: Void, b: Void, others: Sequence[Void], tried: Array, reach: float) -> tuple[Array, Array]:
    """For each line (two points, (N, 6)) its shortest metal from a to b (N,), inf: none; and its ends (N, 6).

    The lines are followed to ``reach`` both ways from the middle of their two points.
    """
    middle, way = (tried[:, :3] + tried[:, 3:]) / 2, tried[:, 3:] - tried[:, :3]
    size = np.linalg.norm(way, axis=1)
    along = way / np.where(size > 0.0, size, 1.0)[:, None]
    start, full = middle - reach * along, np.full(len(tried), 2.0 * reach)
    enter, leave, owner = [], [], []
    for number, void in enumerate((a, b, *others)):
        for low, high in stretches(void, start, along, full):
            hit = high - low > (0.0 if number < 2 else TOUCH)
            enter.append(np.where(hit, low, np.inf))
            leave.append(np.where(hit, high, -np.inf))
            owner.append(min(number, 2))
    order = np.argsort(np.array(enter), axis=0, kind="stable")
    opens, shuts = (np.take_along_axis(np.array(row), order, axis=0) for row in (enter, leave))
    owners = np.array(owner)[order]
    best, low, high = np.full(len(tried), np.inf), np.zeros(len(tried)), np.zeros(len(tried))
    done, last = shuts[0], owners[0]
    for opened, shut, name in zip(opens[1:], shuts[1:], owners[1:], strict=True):
        joins = (name + last == 1) & np.isfinite(opened) & (opened >= done) & np.isfinite(done)
        gap = np.where(joins, opened - np.where(joins, done, 0.0), np.inf)
        better = gap < best
        best = np.where(better, gap, best)
        low = np.where(better, np.where(last == 0, done, opened), low)
        high = np.where(better, np.where(last == 0, opened, done), high)
        last = np.where(shut > done, name, last)
        done = np.maximum(done, shut)
    ends = np.concatenate([start + low[:, None] * along, start + high[:, None] * along], axis=1)
    return best, ends
