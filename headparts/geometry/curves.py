"""Plane curves of sections and views: line, arc, circle, ellipse and fine polyline, in mm.

Plain data with no kernel and no drawing library behind it: the solids room fills them, the drafting room
draws them. Angles in degrees, counter-clockwise positive. Curves that the kernel holds exactly stay exact;
only a free spline becomes a polyline, whose deflection its maker states.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from headparts.errors import GeometryError

Point = tuple[float, float]
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Line:
    """Straight piece from ``start`` to ``end`` [mm]."""

    start: Point
    end: Point

    def at(self, t: float) -> Point:
        """Point at parameter t in 0..1 [mm]."""
        (x0, y0), (x1, y1) = self.start, self.end
        return x0 + (x1 - x0) * t, y0 + (y1 - y0) * t

    def part(self, t0: float, t1: float) -> Line:
        """The piece between two parameters, t0 < t1."""
        return Line(self.at(t0), self.at(t1))

    def moved(self, scale: float, shift: Point) -> Line:
        """Scaled about the origin, then shifted by ``shift`` [mm]."""
        return Line(_move(self.start, scale, shift), _move(self.end, scale, shift))

    def points(self, deflection: float = 0.01) -> tuple[Point, ...]:
        """Points along the piece; a straight piece needs two whatever the deflection [mm]."""
        return self.start, self.end


@dataclass(frozen=True)
class Arc:
    """Circular arc: centre, radius [mm], counter-clockwise from angle ``begin`` through ``sweep`` [deg]."""

    centre: Point
    radius: float
    begin: float
    sweep: float

    def __post_init__(self) -> None:
        if not (self.radius > 0.0 and 0.0 < self.sweep <= 360.0):
            raise GeometryError(
                f"arc of radius {self.radius!r} and sweep {self.sweep!r}: both must be "
                "positive, the sweep at most 360 degrees"
            )

    def at(self, t: float) -> Point:
        """Point at parameter t in 0..1 [mm]."""
        angle = math.radians(self.begin + self.sweep * t)
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )

    def part(self, t0: float, t1: float) -> Arc:
        """The piece between two parameters, t0 < t1."""
        return Arc(self.centre, self.radius, self.begin + self.sweep * t0, self.sweep * (t1 - t0))

    def moved(self, scale: float, shift: Point) -> Arc:
        """Scaled about the origin, then shifted by ``shift`` [mm]."""
        return Arc(_move(self.centre, scale, shift), self.radius * scale, self.begin, self.sweep)

    def points(self, deflection: float = 0.01) -> tuple[Point, ...]:
        """Points on the arc whose chords stay within ``deflection`` [mm]."""
        ratio = min(max(deflection / self.radius, 1e-9), 1.0)
        count = max(2, math.ceil(math.radians(self.sweep) / (2.0 * math.acos(1.0 - ratio))))
        return tuple(self.at(i / count) for i in range(count + 1))


def circle(centre: Point, radius: float) -> Arc:
    """Full circle as an arc of 360 degrees [mm]."""
    return Arc(centre, radius, 0.0, 360.0)


@dataclass(frozen=True)
class Ellipse:
    """Elliptic arc: centre, major half-axis as a vector [mm], ratio minor/major, parameter range [deg]."""

    centre: Point
    major: Point
    ratio: float
    begin: float
    sweep: float

    def __post_init__(self) -> None:
        if not (0.0 < self.ratio <= 1.0 and 0.0 < self.sweep <= 360.0 and math.hypot(*self.major) > 0.0):
            raise GeometryError(f"ellipse of ratio {self.ratio!r} and sweep {self.sweep!r}")

    def at(self, t: float) -> Point:
        """Point at parameter t in 0..1 [mm]."""
        angle = math.radians(self.begin + self.sweep * t)
        c, s = math.cos(angle), math.sin(angle) * self.ratio
        mx, my = self.major
        return self.centre[0] + c * mx - s * my, self.centre[1] + c * my + s * mx

    def part(self, t0: float, t1: float) -> Ellipse:
        """The piece between two parameters, t0 < t1."""
        return Ellipse(
            self.centre, self.major, self.ratio, self.begin + self.sweep * t0, self.sweep * (t1 - t0)
        )

    def moved(self, scale: float, shift: Point) -> Ellipse:
        """Scaled about the origin, then shifted by ``shift`` [mm]."""
        return Ellipse(
            _move(self.centre, scale, shift),
            (self.major[0] * scale, self.major[1] * scale),
            self.ratio,
            self.begin,
            self.sweep,
        )

    def points(self, deflection: float = 0.01) -> tuple[Point, ...]:
        """Points on the curve whose chords stay within ``deflection`` [mm] of it."""
        ratio = min(max(deflection / math.hypot(*self.major), 1e-9), 1.0)
        count = max(2, math.ceil(math.radians(self.sweep) / (2.0 * math.acos(1.0 - ratio))))
        return tuple(self.at(i / count) for i in range(count + 1))


@dataclass(frozen=True)
class Polyline:
    """Chain of straight pieces through ``vertices`` [mm], standing for a free curve."""

    vertices: tuple[Point, ...]

    def __post_init__(self) -> None:
        if len(self.vertices) < 2:
            raise GeometryError("a polyline needs two points or more")

    def at(self, t: float) -> Point:
        """Point at parameter t in 0..1, spread evenly over the pieces [mm]."""
        last = len(self.vertices) - 1
        i = min(int(t * last), last - 1)
        return Line(self.vertices[i], self.vertices[i + 1]).at(t * last - i)

    def part(self, t0: float, t1: float) -> Polyline:
        """The piece between two parameters, t0 < t1."""
        last = len(self.vertices) - 1
        inner = [self.vertices[i] for i in range(last + 1) if t0 * last < i < t1 * last]
        return Polyline((self.at(t0), *inner, self.at(t1)))

    def moved(self, scale: float, shift: Point) -> Polyline:
        """Scaled about the origin, then shifted by ``shift`` [mm]."""
        return Polyline(tuple(_move(p, scale, shift) for p in self.vertices))

    def points(self, deflection: float = 0.01) -> tuple[Point, ...]:
        """The vertices themselves; ``deflection`` [mm] is not used."""
        return self.vertices


Curve = Line | Arc | Ellipse | Polyline


def _move(p: Point, scale: float, shift: Point) -> Point:
    return p[0] * scale + shift[0], p[1] * scale + shift[1]


def bounds(curves: Iterable[Curve]) -> Box:
    """Smallest upright box (x low, y low, x high, y high) [mm]; exact to 0.001 for round curves.

    Raises GeometryError when there is no curve.
    """
    points = [p for curve in curves for p in curve.points(0.001)]
    if not points:
        raise GeometryError("no curve to take the bounds of")
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def clipped(
    curves: Iterable[Curve], inside: Callable[[Point], float], samples: int = 64
) -> tuple[Curve, ...]:
    """Parts of the curves where ``inside(point)`` is positive, ends found by bisection to 1e-12 of a curve.

    ``inside`` is a continuous signed function [mm]; a crossing pair nearer than 1/samples of a curve (or of a
    polyline's piece) is missed.
    """
    kept: list[Curve] = []
    for curve in curves:
        count = samples if not isinstance(curve, Polyline) else max(samples, 2 * len(curve.vertices))
        ts = [i / count for i in range(count + 1)]
        values = [inside(curve.at(t)) for t in ts]
        cuts = [0.0]
        for a, b, va, vb in zip(ts, ts[1:], values, values[1:], strict=False):
            if (va > 0.0) != (vb > 0.0):
                cuts.append(_crossing(curve, inside, a, b, va > 0.0))
        cuts.append(1.0)
        for t0, t1 in pairwise(cuts):
            if t1 - t0 > 1e-9 and inside(curve.at((t0 + t1) / 2.0)) > 0.0:
                kept.append(curve if (t0, t1) == (0.0, 1.0) else curve.part(t0, t1))
    return tuple(kept)


def _crossing(curve: Curve, inside: Callable[[Point], float], a: float, b: float, positive: bool) -> float:
    for _ in range(50):
        middle = (a + b) / 2.0
        if (inside(curve.at(middle)) > 0.0) == positive:
            a = middle
        else:
            b = middle
    return (a + b) / 2.0


def in_circle(curves: Iterable[Curve], centre: Point, radius: float) -> tuple[Curve, ...]:
    """Parts of the curves inside a circle [mm]."""
    return clipped(curves, lambda p: radius - math.hypot(p[0] - centre[0], p[1] - centre[1]))


def chained(loop: Sequence[Curve]) -> tuple[tuple[Curve, bool], ...]:
    """The curves of a closed chain in order, each with True when it runs forward along the chain.

    The kernel hands wires out edge by edge, each in its own direction; ends are matched by distance.
    """
    if len(loop) == 1:
        return ((loop[0], True),)
    a, b = loop[0], loop[1]
    first = min(math.dist(a.at(1.0), b.at(t)) for t in (0.0, 1.0))
    last = min(math.dist(a.at(0.0), b.at(t)) for t in (0.0, 1.0))
    out = [(a, first <= last)]
    for curve in loop[1:]:
        before, forward = out[-1]
        tip = before.at(1.0 if forward else 0.0)
        out.append((curve, math.dist(tip, curve.at(0.0)) <= math.dist(tip, curve.at(1.0))))
    return tuple(out)


def outline_points(loop: Sequence[Curve], deflection: float = 0.01) -> tuple[Point, ...]:
    """Vertices of a closed chain in order, chords within ``deflection`` [mm]; the first is not repeated."""
    points: list[Point] = []
    for curve, forward in chained(loop):
        run = curve.points(deflection)
        points.extend((run if forward else run[::-1])[:-1])
    return tuple(points)


def area_of(loop: Sequence[Curve], deflection: float = 1e-4) -> float:
    """Area enclosed by a closed chain of curves [mm2], chords within ``deflection`` [mm]."""
    points = outline_points(loop, deflection)
    total = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True))
    return abs(total) / 2.0
