"""The true least wall over all directions of the half-widths, between two bounds.

The worst shifts for the present line of the wall are taken, the wall is solved anew there, and so on until it falls no
further (the conditional gradient method: M. Frank and P. Wolfe, An algorithm for quadratic programming, 1956; for
convex voids that only shift, what it finds is the minimum). What is found is a wall that can happen: an upper bound of
the least. The lower bound is the gap along the line of the wall, less what every source can do along that line.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headparts.checks.uncertainty import Source, combined, towards
from headparts.geometry.axis import Array
from headparts.geometry.moved_pairs import MovedPair

TURNS = 12
STARTS = 5
LEAN = 0.5
"""Further starts lean this much from the line of the wall as drawn."""


def least_over(
    pair: MovedPair, sources: Sequence[Source], normal: Array, nominal: float, worst: float
) -> tuple[float, float]:
    """Bounds (lower, upper) of the least wall [mm] when every source takes any value within its half-width.

    ``normal``: unit direction of the wall as drawn, first void to second; ``nominal``: that wall; ``worst``: W07.
    Where the voids can meet the upper bound is 0.
    """
    normals = _starts(normal)
    found, tried = nominal, [normal]
    for _ in range(TURNS):
        units = {source: towards(source, normals) for source in sources}
        first, second = (
            combined({s: unit for s, unit in units.items() if s.side == side}, len(normals))
            for side in (0, 1)
        )
        bounds, a, b = pair.exact(first, second, found + 1e-9)
        k = int(np.argmin(bounds.upper))
        before, found = found, min(found, float(bounds.upper[k]))
        step = second.applied(b) - first.applied(a)
        size = np.linalg.norm(step, axis=1)
        good = np.isfinite(size) & (size > 1e-9)
        if found <= 1e-9:
            return worst, 0.0
        if not np.any(good) or before - found < 1e-9:
            break
        normals = step[good] / size[good][:, None]
        tried.append(normals[int(np.argmin(size[good]))])
    sure = pair.least_gap(tried, lambda n: sum(_reach_of(source, sources, pair, n) for source in sources))
    return min(max(worst, sure), found), found


def _starts(normal: Array) -> Array:
    helper = np.eye(3)[int(np.argmin(np.abs(normal)))]
    u = np.cross(normal, helper)
    u /= np.linalg.norm(u)
    v = np.cross(normal, u)
    turns = np.arange(STARTS - 1) * (2.0 * np.pi / (STARTS - 1))
    leaning = normal + LEAN * (np.cos(turns)[:, None] * u + np.sin(turns)[:, None] * v)
    return np.vstack([normal, leaning / np.linalg.norm(leaning, axis=1, keepdims=True)])


def _reach_of(source: Source, sources: Sequence[Source], pair: MovedPair, normal: Array) -> float:
    """The most that a source can do along ``normal``, sure [mm]."""
    across = float(np.linalg.norm(source.across(normal)))
    if source.kind == "disc":
        return source.u * across
    if source.kind != "slope":
        return source.u
    deepest, widest = pair.extent(source.side, source.face, -np.asarray(source.square_to))
    widest += sum(other.u for other in sources if other.kind == "growth")
    along = abs(float(normal @ np.asarray(source.square_to)))
    return source.u * (deepest * across + widest * along) + source.u**2 * deepest
