"""Walls between voids: the metal that is left, with its proof and its place.

`wall` gives the least distance of two voids with an upper bound (two points that lie in them) and a proven
lower bound; when they overlap, minus the penetration. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headparts.geometry.axis import Vec, common_perpendicular, vector
from headparts.geometry.penetration import penetrations
from headparts.geometry.trimmed import BUDGET, INSIDE, Found, least_distances
from headparts.geometry.void import Void

PROVEN_GAP = 1e-6
"""Bounds at most this far apart (mm) are called proven."""


@dataclass(frozen=True)
class Wall:
    """The wall between two voids (mm).

    ``value``: least distance, or minus the penetration when they overlap; it lies between ``lower`` and
    ``upper``. ``at``: the two points between which it was found (first in the first void). ``method``: how.
    ``proven``: the bounds meet within 1e-6 mm; ``remark``: what else there is to say of it.
    A void that its holes remove wholly gives inf and no points.
    """

    value: float
    lower: float
    upper: float
    at: tuple[Vec, Vec] | None
    method: str
    proven: bool
    remark: str = ""


def wall(a: Void, b: Void, budget: int = BUDGET) -> Wall:
    """The wall between two voids; see `walls`."""
    return walls([(a, b)], budget)[0]


def walls(pairs: Sequence[tuple[Void, Void]], budget: int = BUDGET) -> list[Wall]:
    """The walls of many pairs of voids, solved together.

    Overlap of two round holes whose common perpendicular has both feet inside them: -(R + r - axis gap);
    any other overlap: minus the least translation that parts the convex cores (holes left out). Touching
    is 0. ``budget``: convex pieces tried a pair before its bounds are left as they are (proven False).
    Raises GeometryError for a pair of endless bodies.
    """
    found = least_distances(pairs, budget)
    result: list[Wall | None] = []
    deep: list[int] = []
    for k, (pair, item) in enumerate(zip(pairs, found, strict=True)):
        if item.upper > INSIDE:
            result.append(_apart(item))
            continue
        result.append(_crossing(*pair))
        if result[-1] is None:
            deep.append(k)
    cores = [found[k].cores for k in deep]
    for k, depth in zip(deep, penetrations([c for c in cores if c is not None]), strict=True):
        low, high = -depth.upper, -depth.lower
        value = low if depth.upper > INSIDE else 0.0
        result[k] = Wall(
            value, min(low, value), max(high, value), depth.at, "least translation", high - low <= PROVEN_GAP
        )
    return [item for item in result if item is not None]


def _apart(item: Found) -> Wall:
    if item.at is None:
        empty = item.lower == math.inf
        return Wall(
            math.inf, item.lower, math.inf, None, "empty void" if empty else "no witness found", empty
        )
    method = "convex pieces" if item.trimmed else "convex distance"
    at = (vector(item.at[0]), vector(item.at[1]))
    return Wall(item.upper, item.lower, item.upper, at, method, item.upper - item.lower <= PROVEN_GAP)


def _crossing(a: Void, b: Void) -> Wall | None:
    """Closed form of the penetration of two round holes that cross, deepest core pair."""
    best: Wall | None = None
    for core_a in a.cores:
        for core_b in b.cores:
            axis_a, axis_b, r_a, r_b = core_a.axis, core_b.axis, core_a.radius, core_b.radius
            if axis_a is None or axis_b is None or r_a is None or r_b is None:  # not a round hole
                continue
            gap, _, foot_a, foot_b = common_perpendicular(axis_a, axis_b)
            depth = r_a + r_b - gap
            point_a, point_b = axis_a.at(foot_a), axis_b.at(foot_b)
            inside = bool(a.contains(point_a, 0.0)) and bool(b.contains(point_b, 0.0))
            if depth <= INSIDE or not inside or (best is not None and depth <= -best.value):
                continue
            direction = np.asarray(point_b) - np.asarray(point_a)
            size = float(np.linalg.norm(direction))
            if size < 1e-12:
                direction = np.cross(axis_a.direction, axis_b.direction)
                size = float(np.linalg.norm(direction))
            step = direction / size if size > 0 else np.zeros(3)
            at = (vector(np.asarray(point_a) + r_a * step), vector(np.asarray(point_b) - r_b * step))
            best = Wall(-depth, -depth, -depth, at, "crossing round holes, closed form", True)
    return best
