"""Breakthrough of a round bore into another void: the opening in the bore's wall and the shared volume.

The bore's curved surface is a family of lines parallel to its axis; inside the cavity each has a closed-form
chord, so the opening is a function of one angle. The shared volume is the area of the openings of all
radii, one inside the other. Lengths in mm, areas in mm2, volumes in mm3.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Axis, Vec, common_perpendicular, perpendicular_pair, vector
from headparts.geometry.chords import chord, hole_chord, pieces_outside
from headparts.geometry.convex import Convex
from headparts.geometry.holes import Hole
from headparts.geometry.integrate import integral, integrals
from headparts.geometry.void import Void

SCAN = 1440
"""Angles tried round the bore for openings; the direction of the cavity is tried far more finely."""
COARSE = 240
ZOOMS = 14
HALVINGS = 44


@dataclass(frozen=True)
class Opening:
    """The part of a bore's curved surface inside another void.

    ``start``, ``end``, ``centre``: mm along the bore from its foot; ``along`` = end - start; ``area`` mm2;
    ``around``: chord across the angular extent, 2 R sin(half of it), at most 2 R; ``axis_gap`` mm and
    ``axis_angle`` degrees of the two axes (nan without a round cavity); ``overlap_volume`` mm3 with the
    difference of two quadratures as ``volume_error``; ``point``: the middle of the opening on the surface.
    """

    start: float
    end: float
    along: float
    centre: float
    area: float
    around: float
    axis_gap: float
    axis_angle: float
    overlap_volume: float
    volume_error: float
    point: Vec


@dataclass(frozen=True)
class Bore:
    """A round bore: ``axis`` from its foot outward, its length ending at the face; ``radius``; ``holes``.

    ``holes`` are removed from it (the endless cylinder of the bushing body gives the curved inner end, the
    chamber). ``body``: further limits of the bore (planes), e.g. the joint face.
    """

    axis: Axis
    radius: float
    holes: tuple[Hole, ...] = ()
    body: Convex | None = None

    @classmethod
    def of(cls, void: Void) -> Bore:
        """The bore of a void with one round core. Raises GeometryError for any other void."""
        core = void.cores[0]
        if len(void.cores) != 1 or core.shape != "cylinder" or core.axis is None or core.radius is None:
            raise GeometryError(f"void {void.name}: an opening needs one round bore")
        return cls(core.axis, core.radius, void.holes, Convex(core.planes))


def opening(bore: Bore | Void, cavity: Void, with_volume: bool = True) -> Opening | None:
    """The opening of ``bore`` into ``cavity``; None when its curved surface stays outside the cavity.

    ``with_volume`` False leaves the shared volume out (nan), which takes most of the time.
    The chamber (any hole of either void) is left out. Accuracy: extents 1e-9 mm; area and volume about 1e-7
    relative where the opening is not cut by an end or a hole, else see ``volume_error``.
    """
    if isinstance(bore, Void):
        bore = Bore.of(bore)
    lines = _Lines(bore, cavity)
    arcs = lines.arcs(bore.radius)
    if not arcs:
        return None
    start = min(_extreme(lambda q: lines.span(bore.radius, q)[0], arc, -1.0) for arc in arcs)
    end = max(_extreme(lambda q: lines.span(bore.radius, q)[1], arc, 1.0) for arc in arcs)
    extent = _angular_extent(arcs)
    around = 2 * bore.radius * (math.sin(extent / 2) if extent < math.pi else 1.0)
    gap, angle = _axes(bore, cavity)
    volume, error = lines.volume() if with_volume else (math.nan, math.nan)
    middle = lines.points(bore.radius, np.array([_middle(arcs)]))[0]
    point = middle + (start + end) / 2 * np.asarray(bore.axis.direction)
    return Opening(
        start,
        end,
        end - start,
        (start + end) / 2,
        lines.area(bore.radius, arcs),
        around,
        gap,
        angle,
        volume,
        error,
        vector(point),
    )


def overlap_volume(bore: Bore | Void, cavity: Void) -> tuple[float, float]:
    """Volume (mm3) shared by a round bore and a cavity, and an estimate of its error (mm3)."""
    return _Lines(Bore.of(bore) if isinstance(bore, Void) else bore, cavity).volume()


@dataclass(frozen=True)
class Cover:
    """How a tube in a bore covers the bore's opening into a cavity.

    ``area``: of the opening; ``uncovered``: of it beyond the tube's ends (mm2). ``least``: least way along a line
    of the bore from the tube's beginning to the opening (mm), negative where the opening lies before it.
    """

    area: float
    uncovered: float
    least: float


def cover_of(
    bore: Bore | Void, cavity: Void, begins: Callable[[Array], Array], ends: float = math.inf
) -> Cover | None:
    """Cover of an opening by a tube all round the bore; None without an opening.

    ``begins``: where the tube begins on the bore's lines, mm along the bore from its foot, (N,) from the (N, 3)
    unit vectors that point from the axis to the lines; ``ends``: where it ends on all of them. Areas about 1e-6
    relative.
    """
    lines = _Lines(Bore.of(bore) if isinstance(bore, Void) else bore, cavity)
    radius = lines.bore.radius
    arcs = lines.arcs(radius)
    if not arcs:
        return None

    def begin(angles: Array) -> Array:
        return begins(lines.points(1.0, angles) - lines.foot)

    def bare(radii: float | Array, angles: Array) -> Array:
        first, total = begin(angles), np.zeros(len(angles))
        for t0, t1 in lines.stretches(radii, angles):
            hit = t1 > t0
            low, high = np.where(hit, t0, 0.0), np.where(hit, t1, 0.0)
            total += np.maximum(np.minimum(high, first) - low, 0.0)
            total += np.maximum(high - np.maximum(low, ends), 0.0)
        return np.where(lines.length(radii, angles) > 0, total, 0.0)

    least = min(_extreme(lambda q: lines.span(radius, q)[0] - begin(q), arc, -1.0) for arc in arcs)
    return Cover(lines.area(radius, arcs), lines.area(radius, arcs, of=bare), least)


def _axes(bore: Bore, cavity: Void) -> tuple[float, float]:
    for core in cavity.cores:
        if core.axis is not None:
            gap, angle, _, _ = common_perpendicular(bore.axis, core.axis)
            return gap, angle
    return math.nan, math.nan


class _Lines:
    """Lines parallel to the bore's axis and their stretches inside bore and cavity."""

    def __init__(self, bore: Bore, cavity: Void) -> None:
        self.bore, self.cavity = bore, cavity
        self.u, self.v = perpendicular_pair(bore.axis.direction)
        self.d = np.asarray(bore.axis.direction)
        self.foot = np.asarray(bore.axis.point)
        self.seed = self._seed()

    def _seed(self) -> float:
        """Angle toward the cavity, where a small opening would lie."""
        for core in self.cavity.cores:
            toward: Array | None = None
            if core.axis is not None:
                _, _, foot_a, foot_b = common_perpendicular(self.bore.axis, core.axis)
                toward = np.asarray(core.axis.at(foot_b)) - np.asarray(self.bore.axis.at(foot_a))
            elif core.bound is not None:
                toward = np.asarray(core.bound[0]) - self.foot
            if toward is not None:
                return math.atan2(float(toward @ self.v), float(toward @ self.u))
        return 0.0

    def points(self, radius: float | Array, angles: Array) -> Array:
        across = np.asarray(radius)[..., None]
        result: Array = self.foot + across * (
            np.cos(angles)[:, None] * self.u + np.sin(angles)[:, None] * self.v
        )
        return result

    def stretches(self, radius: float | Array, angles: Array) -> list[tuple[Array, Array]]:
        points = self.points(radius, angles)
        low, high = np.full(len(points), -np.inf), np.full(len(points), self.bore.axis.length)
        if self.bore.body is not None:
            t0, t1 = chord(self.bore.body, points, self.d)
            low, high = np.maximum(low, t0), np.minimum(high, t1)
        low = np.maximum(low, 0.0)
        holes = [hole_chord(hole, points, self.d) for hole in (*self.bore.holes, *self.cavity.holes)]
        found: list[tuple[Array, Array]] = []
        for core in self.cavity.cores:
            t0, t1 = chord(core, points, self.d)
            taken = [(np.where(p1 > p0, p0, np.inf), np.where(p1 > p0, p1, -np.inf)) for p0, p1 in found]
            found += pieces_outside(np.maximum(low, t0), np.minimum(high, t1), holes + taken)
        return found

    def length(self, radius: float | Array, angles: Array) -> Array:
        total = np.zeros(len(angles))
        for t0, t1 in self.stretches(radius, angles):
            total += np.maximum(np.where(t1 > t0, t1, 0.0) - np.where(t1 > t0, t0, 0.0), 0.0)
        return total

    def span(self, radius: float, angles: Array) -> tuple[Array, Array]:
        low, high = np.full(len(angles), np.inf), np.full(len(angles), -np.inf)
        for t0, t1 in self.stretches(radius, angles):
            low = np.where(t1 > t0, np.minimum(low, t0), low)
            high = np.where(t1 > t0, np.maximum(high, t1), high)
        return low, high

    def arcs(self, radius: float, scan: int = SCAN, zooms: int = 9) -> list[tuple[float, float]]:
        """Angular stretches with an opening; (a, a + 2 pi) when it runs all the way round."""
        fine = np.geomspace(1e-9, 2 * math.pi / scan, scan // 24)
        steps = np.concatenate([np.linspace(-math.pi, math.pi, scan + 1), fine, -fine, [0.0]])
        grid = self.seed + np.unique(steps)
        hit = self.length(radius, grid) > 0
        if np.all(hit):
            return [(float(grid[0]), float(grid[-1]))]
        changes = np.flatnonzero(hit[1:] != hit[:-1])
        edges = [self._edge(radius, grid[k], grid[k + 1], bool(hit[k]), zooms) for k in changes]
        if hit[0]:
            edges = [*edges[1:], edges[0] + 2 * math.pi]
        return [(edges[k], edges[k + 1]) for k in range(0, len(edges) - 1, 2)]

    def _edge(self, radius: float, a: float, b: float, hit_a: bool, zooms: int) -> float:
        for _ in range(zooms):
            grid = np.linspace(a, b, 33)
            hit = self.length(radius, grid) > 0
            k = int(np.flatnonzero(hit != hit_a)[0]) if np.any(hit != hit_a) else 32
            a, b = float(grid[k - 1]), float(grid[k])
        return (a + b) / 2

    def area(
        self,
        radius: float,
        arcs: Sequence[tuple[float, float]],
        tolerance: float = 1e-10,
        of: Callable[[float | Array, Array], Array] | None = None,
    ) -> float:
        if not arcs:
            return 0.0
        radii = np.full(len(arcs), radius)
        return float(self._arc_areas(radii, np.array(arcs), tolerance, of or self.length).sum())

    def _arc_areas(
        self, radii: Array, arcs: Array, tolerance: float, length: Callable[[float | Array, Array], Array]
    ) -> Array:
        """Area of each opening (N,): ``radii`` (N,), ``arcs`` (N, 2) its first and last angle."""
        centre, half = arcs.mean(axis=1), (arcs[:, 1] - arcs[:, 0]) / 2

        def density(owner: np.ndarray, theta: Array) -> Array:
            angles = centre[owner] + half[owner] * np.sin(theta)
            return np.asarray(length(radii[owner], angles) * half[owner] * np.cos(theta))

        quarter = np.full(len(arcs), math.pi / 2)
        return np.asarray(integrals(density, -quarter, quarter, tolerance)[0] * radii)

    def volume(self) -> tuple[float, float]:
        greatest = self._greatest_radius()
        if greatest is None:
            return 0.0, 0.0

        return integral(lambda radii: self.areas(radii, 1e-9), self._least_radius(greatest), greatest, 2e-7)

    def areas(self, radii: Array, tolerance: float) -> Array:
        """Opening areas of many radii at once: edges by bisection, then one integral an arc."""
        steps = np.concatenate([np.linspace(-math.pi, math.pi, COARSE + 1), [-1e-9, 1e-9]])
        grid = self.seed + np.sort(steps)
        count = len(grid)
        hit = (self.length(np.repeat(radii, count), np.tile(grid, len(radii))) > 0).reshape(len(radii), count)
        row, k = np.nonzero(hit[:, 1:] != hit[:, :-1])
        low, high, first = grid[k], grid[k + 1], hit[row, k]
        for _ in range(34):
            middle = (low + high) / 2
            same = (self.length(radii[row], middle) > 0) == first
            low, high = np.where(same, middle, low), np.where(same, high, middle)
        owner, ends = [], []
        for each in range(len(radii)):
            edges = list((low[row == each] + high[row == each]) / 2)
            if hit[each, 0]:
                edges = [*edges[1:], edges[0] + 2 * math.pi] if edges else [grid[0], grid[0] + 2 * math.pi]
            for a, b in zip(edges[::2], edges[1::2], strict=True):
                owner.append(each)
                ends.append((a, b))
        total = np.zeros(len(radii))
        if not owner:
            return total
        index = np.array(owner)
        np.add.at(total, index, self._arc_areas(radii[index], np.array(ends), tolerance, self.length))
        return total

    def _greatest_radius(self) -> float | None:
        """Radius of the outermost lines that enter the cavity; None: no line does."""
        r = self.bore.radius
        if self.arcs(r):
            return r
        entered = [x for x in np.linspace(0.0, r, 9)[1:-1] if self.arcs(float(x), COARSE, 0)]
        if not entered:
            return None
        low, high = float(max(entered)), r
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.arcs(middle, COARSE, 0) else (low, middle)
        return low

    def _least_radius(self, greatest: float) -> float:
        low, high = 0.0, greatest
        if self.arcs(1e-9 * high, COARSE, 0):
            return 0.0
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (low, middle) if self.arcs(middle, COARSE, 0) else (middle, high)
        return high


def _extreme(function: Callable[[Array], Array], arc: tuple[float, float], sign: float) -> float:
    """Least (sign -1) or greatest (+1) value over an arc: scan, then zoom into the best cell."""
    a, b = arc
    best = -math.inf
    for _ in range(ZOOMS):
        grid = np.linspace(a, b, 181)
        values = sign * function(grid)
        values = np.where(np.isfinite(values), values, -np.inf)
        k = int(np.argmax(values))
        best = max(best, float(values[k]))
        a, b = float(grid[max(k - 1, 0)]), float(grid[min(k + 1, 180)])
    return sign * best


def _angular_extent(arcs: Sequence[tuple[float, float]]) -> float:
    """Width of the smallest arc that holds all openings: the full turn less the widest gap."""
    ordered = sorted(arcs)
    gaps = [ordered[k + 1][0] - ordered[k][1] for k in range(len(ordered) - 1)]
    gaps.append(ordered[0][0] + 2 * math.pi - ordered[-1][1])
    return max(0.0, 2 * math.pi - max(gaps))


def _middle(arcs: Sequence[tuple[float, float]]) -> float:
    widest = max(arcs, key=lambda arc: arc[1] - arc[0])
    return (widest[0] + widest[1]) / 2
