"""Area of a round cut's surface that lies nearer to another void than a limit, in mm2.

The curved surface is a family of lines parallel to the axis, a flat end a family of parallel chords. On each
line the part nearer than the limit is known exactly (`reach.py`), so the area is one integral over an angle or
an offset. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, perpendicular_pair
from headparts.geometry.chords import chord, hole_chord, pieces_outside
from headparts.geometry.convex import Convex
from headparts.geometry.hole_cover import bodies_near
from headparts.geometry.holes import Hole
from headparts.geometry.integrate import integrals
from headparts.geometry.reach import covered, near_stretches
from headparts.geometry.void import Void

TOLERANCE = 2e-3
SCAN = 120
SAGITTA = 0.005
"""Chords of a trimmed void stand off its round walls by at most this share of the limit, at first."""
GOOD, TRIES = 0.04, 3
"""Chords are halved again, up to twice, while the error is above this share of the area."""
ZOOMS, CELLS = 5, 8
PARTS = 3
"""Parts of an arc that are integrated apart, since a stretch has kinks where it meets an end or a hole."""


@dataclass(frozen=True)
class ThinArea:
    """``value`` mm2 = ``curved`` + ``ends``; ``error``: estimate of the value's error, mm2."""

    value: float
    error: float
    curved: float
    ends: float


@dataclass(frozen=True)
class _Lines:
    """Parallel lines of a surface: parameter from ``low`` to ``high``, ``weight`` mm across a unit of it."""

    low: float
    high: float
    weight: float
    points: Callable[[Array], Array]
    direction: Array
    limits: Convex
    holes: tuple[Hole, ...]
    parameter: Callable[[Array], float]

    def length(self, bodies: Sequence[Convex], limit: float, at: Array) -> Array:
        points = self.points(at)
        low, high = chord(self.limits, points, self.direction)
        holes = [hole_chord(hole, points, self.direction) for hole in self.holes]
        pieces = pieces_outside(low, high, holes)
        starts = np.array([np.where(b > a, a, np.inf) for a, b in pieces]).min(axis=0)
        ends = np.array([np.where(b > a, b, -np.inf) for a, b in pieces]).max(axis=0)
        near = near_stretches(bodies, points, self.direction, (starts, ends), limit)
        return covered(*near, pieces)


def thin_area(
    cut: Void,
    other: Void,
    limit: float,
    ends: Sequence[float] = (),
    end_holes: Sequence[Hole] = (),
) -> ThinArea:
    """Area of the surface of ``cut`` whose distance to ``other`` is below ``limit`` (mm2), to 5 % or better.

    The surface is the curved one of the cut's round core and the flat ends at the distances ``ends`` along its
    axis, without what the cut's planes and holes (chamber, bushing body) remove; ``end_holes`` are removed
    from the flat ends alone. Surface inside ``other`` counts: its distance is below any limit. Distances are
    straight ones to the union of the cores of ``other`` without its holes, whatever lies between. Raises
    GeometryError for a cut that is not one round bore of finite length and for a limit that is not positive.
    """
    core = cut.cores[0]
    if len(cut.cores) != 1 or core.shape != "cylinder" or core.axis is None or core.radius is None:
        raise GeometryError(f"void {cut.name}: a thin area needs one round bore")
    if not math.isfinite(core.axis.length):
        raise GeometryError(f"void {cut.name}: a thin area needs a bore of finite length")
    if not (math.isfinite(limit) and limit > 0):
        raise GeometryError(f"the limit must be a positive length in mm, got {limit!r}")
    families = [_generators(cut, core)]
    families += [_flat_end(cut, core, each, tuple(end_holes)) for each in ends]
    sagitta = SAGITTA * limit
    for _ in range(TRIES):
        found = _with_chords(families, core, other, limit, sagitta)
        if found.error <= GOOD * found.value:
            break
        sagitta /= 2.0
    return found


def _with_chords(
    families: Sequence[_Lines], core: Convex, other: Void, limit: float, sagitta: float
) -> ThinArea:
    """The area, with chords in place of the round walls of what is cut away from ``other``.

    The bodies behind chords hold a little more than ``other``; the true area lies between theirs and the one
    within a limit that is less by two sagittas. The middle is given, and half of the difference is its error.
    """
    bodies, seeds, chords = bodies_near(other, core, limit, sagitta)
    if not bodies:
        return ThinArea(0.0, 0.0, 0.0, 0.0)
    areas = [_area(lines, bodies, seeds, limit) for lines in families]
    error = sum(each[1] for each in areas)
    values = [each[0] for each in areas]
    if chords:
        less = [_area(lines, bodies, seeds, limit - 2.0 * sagitta)[0] for lines in families]
        error += abs(sum(values) - sum(less)) / 2.0
        values = [(outer + inner) / 2.0 for outer, inner in zip(values, less, strict=True)]
    return ThinArea(sum(values), error, values[0], sum(values[1:]))


def _frame(core: Convex) -> tuple[Array, Array, Array, Array, float]:
    assert core.axis is not None
    assert core.radius is not None
    u, v = perpendicular_pair(core.axis.direction)
    return np.asarray(core.axis.point), np.asarray(core.axis.direction), u, v, core.radius


def _generators(cut: Void, core: Convex) -> _Lines:
    foot, d, u, v, radius = _frame(core)

    def points(angles: Array) -> Array:
        return np.asarray(foot + radius * (np.cos(angles)[:, None] * u + np.sin(angles)[:, None] * v))

    def angle(point: Array) -> float:
        return math.atan2(float((point - foot) @ v), float((point - foot) @ u))

    return _Lines(-math.pi, math.pi, radius, points, d, Convex(core.planes), cut.holes, angle)


def _flat_end(cut: Void, core: Convex, at: float, holes: tuple[Hole, ...]) -> _Lines:
    foot, d, u, v, radius = _frame(core)
    centre = foot + at * d
    oblique = tuple(plane for plane in core.planes if abs(np.asarray(plane.normal) @ d) < 1.0 - 1e-12)

    def points(offsets: Array) -> Array:
        return np.asarray(centre + offsets[:, None] * v)

    def offset(point: Array) -> float:
        return float(np.clip((point - centre) @ v, -radius, radius))

    limits = Convex(oblique, core.rounds)
    return _Lines(-radius, radius, 1.0, points, u, limits, (*cut.holes, *holes), offset)


def _area(
    lines: _Lines, bodies: Sequence[Convex], seeds: Sequence[Array], limit: float
) -> tuple[float, float]:
    """Area and an estimate of its error (mm2)."""

    def length(at: Array) -> Array:
        return lines.length(bodies, limit, at)

    width = lines.high - lines.low
    fine = np.geomspace(1e-6, 1.0 / SCAN, 10) * width
    near = np.unique(np.round([lines.parameter(seed) for seed in seeds], 6))
    steps = [lines.low + width * np.linspace(0.0, 1.0, SCAN + 1)]
    steps += [seed + np.concatenate([-fine, [0.0], fine]) for seed in (near if len(near) <= 6 else near[::8])]
    grid = np.unique(np.concatenate(steps))
    grid = grid[(grid >= lines.low) & (grid <= lines.high)]
    hit = length(grid) > 0
    if not np.any(hit):
        return 0.0, 0.0
    change = np.flatnonzero(hit[1:] != hit[:-1])
    left, right, first = grid[change], grid[change + 1], hit[change]
    for _ in range(ZOOMS if len(change) else 0):
        cells = left[:, None] + (right - left)[:, None] * np.linspace(0.0, 1.0, CELLS + 1)[1:-1]
        inside = (length(cells.ravel()) > 0).reshape(cells.shape)
        other = inside != first[:, None]
        k = np.where(np.any(other, axis=1), np.argmax(other, axis=1), CELLS - 1)
        size = (right - left) / CELLS
        left, right = left + k * size, left + (k + 1) * size
    edges = [float(edge) for edge in (left + right) / 2]
    if hit[0]:
        edges.insert(0, lines.low)
    if hit[-1]:
        edges.append(lines.high)
    begin, finish = np.array(edges[::2]), np.array(edges[1::2])
    centre, half = (begin + finish) / 2, (finish - begin) / 2

    def density(owner: np.ndarray, theta: Array) -> Array:
        arc = owner // PARTS
        return np.asarray(length(centre[arc] + half[arc] * np.sin(theta)) * half[arc] * np.cos(theta))

    corners = np.linspace(-math.pi / 2, math.pi / 2, PARTS + 1)
    starts, ends = (np.tile(part, len(centre)) for part in (corners[:-1], corners[1:]))
    values, errors = integrals(density, starts, ends, TOLERANCE)
    return float(values.sum()) * lines.weight, float(errors.sum()) * lines.weight
