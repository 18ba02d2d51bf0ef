"""Which metal lies between two points: where the straight line between them runs through it, where through voids.

Lengths in mm, counted along the line from its first point. A line in a void's surface, a face of the casting for
one, is in metal: only what lies deeper than `DEPTH` in a void counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headparts.geometry.axis import Array, Vec, vector
from headparts.geometry.chords import chord, hole_chord, pieces_outside
from headparts.geometry.convex import Convex, Round
from headparts.geometry.holes import BallHole, EndlessCylinderHole, Hole, PrismHole
from headparts.geometry.void import Void

TOUCH = 1e-6
"""A line that runs less far than this in a void only touches it (mm)."""
DEPTH = 1e-3
"""A line less deep in a void than this runs along its face: the nearest points are known to about 1e-4 (mm)."""


@dataclass(frozen=True)
class Crossing:
    """A stretch of a line in the void ``name``, mm from the line's first point."""

    name: str
    start: float
    end: float


@dataclass(frozen=True)
class Span:
    """A stretch of a line in metal (mm from its first point), and what bounds it at each end."""

    start: float
    end: float
    between: tuple[str, str]

    @property
    def length(self) -> float:
        """Metal in it (mm)."""
        return self.end - self.start


@dataclass(frozen=True)
class Line:
    """The straight line between two points of the voids ``ends``: its length, crossings and spans, in order.

    A void that lies over another one, earlier in the list, has no crossing of its own there.
    """

    ends: tuple[str, str]
    length: float
    crossings: tuple[Crossing, ...] = ()
    spans: tuple[Span, ...] = ()

    @property
    def in_metal(self) -> bool:
        """Whether no void lies between the two points."""
        return not self.crossings

    @property
    def metal(self) -> float:
        """Metal on the whole line (mm)."""
        return math.fsum(span.length for span in self.spans)

    @property
    def thinnest(self) -> Span | None:
        """The shortest span; None where there is none at all."""
        return min(self.spans, key=lambda span: span.length, default=None)

    @property
    def through(self) -> tuple[str, ...]:
        """Names of the voids on the way, the one with the longest way first."""
        ways: dict[str, float] = {}
        for each in self.crossings:
            ways[each.name] = ways.get(each.name, 0.0) + each.end - each.start
        return tuple(sorted(ways, key=lambda name: (-ways[name], name)))


def lines(
    points: Sequence[tuple[Vec, Vec]], ends: Sequence[tuple[str, str]], voids: Sequence[Void]
) -> list[Line]:
    """The lines between pairs of points that belong to the voids named in ``ends``; those two are no crossing.

    The casting's outside is the exception: it ends a line, and may lie on its way as well.
    """
    if not points:
        return []
    start, finish = (np.array([pair[k] for pair in points], dtype=float) for k in (0, 1))
    size = np.linalg.norm(finish - start, axis=1)
    along = (finish - start) / np.where(size > 0.0, size, 1.0)[:, None]
    found: list[list[Crossing]] = [[] for _ in points]
    for void in voids:
        exact, deep = (stretches(each, start, along, size) for each in (void, shrunk(void, DEPTH)))
        for (low, high), (inner_low, inner_high) in zip(exact, deep, strict=True):
            for k in np.flatnonzero(inner_high - inner_low > TOUCH).tolist():
                if void.kind == "outside" or void.name not in ends[k]:
                    found[k] += _left(Crossing(void.name, float(low[k]), float(high[k])), found[k])
    return [_line(ends[k], float(size[k]), found[k]) for k in range(len(points))]


def _left(new: Crossing, known: Sequence[Crossing]) -> list[Crossing]:
    """What of a crossing no earlier one covers."""
    pieces = [new]
    for each in known:
        pieces = [
            replace(piece, start=low, end=high)
            for piece in pieces
            for low, high in (
                (piece.start, min(piece.end, each.start)),
                (max(piece.start, each.end), piece.end),
            )
            if high - low > TOUCH
        ]
    return pieces


def _line(ends: tuple[str, str], size: float, crossings: Sequence[Crossing]) -> Line:
    ordered = sorted(crossings, key=lambda each: each.start)
    spans, at, before = [], 0.0, ends[0]
    for each in ordered:
        if each.start - at > TOUCH:
            spans.append(Span(at, each.start, (before, each.name)))
        at, before = each.end, each.name
    if size - at > TOUCH or not ordered:
        spans.append(Span(at, size, (before, ends[1])))
    return Line(ends, size, tuple(ordered), tuple(spans))


def stretches(void: Void, start: Array, along: Array, size: Array) -> list[tuple[Array, Array]]:
    """Where N lines from ``start`` (N, 3) along unit vectors (N, 3), ``size`` (N,) long, lie in a void.

    Intervals that may overlap, two arrays (N,) each; high <= low: none. Their number depends on the void alone.
    """
    holes = [hole_chord(hole, start, along) for hole in void.holes]
    found: list[tuple[Array, Array]] = []
    for core in void.cores:
        t0, t1 = chord(core, start, along)
        found += pieces_outside(np.maximum(t0, 0.0), np.minimum(t1, size), holes)
    return found


def shrunk(void: Void, depth: float) -> Void:
    """The points of a void that lie at least ``depth`` (mm) within its faces, one face at a time."""
    holes = tuple(_grown(hole, depth) for hole in void.holes)
    return replace(void, cores=tuple(_shrunk_core(core, depth) for core in void.cores), holes=holes)


def _shrunk_core(core: Convex, depth: float) -> Convex:
    planes = tuple(replace(plane, offset=plane.offset - depth) for plane in core.planes)
    return replace(core, planes=planes, rounds=tuple(_shrunk_round(item, depth) for item in core.rounds))


def _shrunk_round(item: Round, depth: float) -> Round:
    if item.kind != "cone":
        return replace(item, size=max(item.size - depth, 0.0))
    step = depth * math.hypot(1.0, item.size) / item.size
    apex = np.asarray(item.point) + step * np.asarray(item.direction)
    return replace(item, point=vector(apex))


def _grown(hole: Hole, depth: float) -> Hole:
    if isinstance(hole, EndlessCylinderHole | BallHole):
        return replace(hole, radius=hole.radius + depth)
    assert isinstance(hole, PrismHole)
    return replace(
        hole,
        half_x=hole.half_x + depth,
        half_y=hole.half_y + depth,
        corner=hole.corner + depth if hole.corner > 0 else 0.0,
        roof=hole.roof + depth,
    )
