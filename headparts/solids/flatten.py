"""From kernel edges to plane curves: the plane of a section or a view, and the projection of one edge on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from headparts.errors import GeometryError
from headparts.geometry.curves import Arc, Curve, Ellipse, Line, Point, Polyline

Vector = tuple[float, float, float]
#: largest chord error of a spline drawn as a polyline [mm]
DEFLECTION = 1e-3


@dataclass(frozen=True)
class Plane:
    """Cutting or viewing plane: origin [mm], unit normal toward the viewer, unit x to the right of the sheet."""

    origin: Vector
    normal: Vector
    x: Vector

    def __post_init__(self) -> None:
        for name, v in (("normal", self.normal), ("x", self.x)):
            if not math.isclose(math.hypot(*v), 1.0, abs_tol=1e-9):
                raise GeometryError(f"plane {name} {v!r} is not a unit vector")
        if abs(sum(a * b for a, b in zip(self.normal, self.x, strict=True))) > 1e-9:
            raise GeometryError("the plane's x must be square to its normal")

    @property
    def y(self) -> Vector:
        """Unit vector up the sheet: normal x x."""
        n, x = self.normal, self.x
        return n[1] * x[2] - n[2] * x[1], n[2] * x[0] - n[0] * x[2], n[0] * x[1] - n[1] * x[0]

    def flat(self, point: Sequence[float]) -> Point:
        """Sheet coordinates of a point, projected along the normal [mm]."""
        d = [p - o for p, o in zip(point, self.origin, strict=True)]
        return (
            sum(a * b for a, b in zip(d, self.x, strict=True)),
            sum(a * b for a, b in zip(d, self.y, strict=True)),
        )

    def flat_direction(self, v: Sequence[float]) -> Point:
        """Sheet components of a direction, not normalised."""
        return (
            sum(a * b for a, b in zip(v, self.x, strict=True)),
            sum(a * b for a, b in zip(v, self.y, strict=True)),
        )

    def point(self, flat: Point) -> Vector:
        """The point of space on the plane at sheet coordinates ``flat`` [mm]."""
        a, b = flat
        x, y, o = self.x, self.y, self.origin
        return (o[0] + a * x[0] + b * y[0], o[1] + a * x[1] + b * y[1], o[2] + a * x[2] + b * y[2])


def flat_curve(edge: Any, plane: Plane) -> Curve | None:
    """One kernel edge projected on the plane: exact for line, circle and ellipse [mm]; None when it is a point.

    A circle seen edge-on becomes a line over its full width, one seen obliquely an ellipse; a free curve
    becomes a polyline within DEFLECTION.
    """
    from OCP.BRep import BRep_Tool
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GeomAbs import GeomAbs_CurveType as Kind

    if BRep_Tool.Degenerated_s(edge):
        return None
    curve = BRepAdaptor_Curve(edge)
    first, last = curve.FirstParameter(), curve.LastParameter()

    def at(u: float) -> Point:
        p = curve.Value(u)
        return plane.flat((p.X(), p.Y(), p.Z()))

    kind = curve.GetType()
    if kind == Kind.GeomAbs_Line:
        return _line(at(first), at(last))
    if kind in (Kind.GeomAbs_Circle, Kind.GeomAbs_Ellipse):
        conic = curve.Circle() if kind == Kind.GeomAbs_Circle else curve.Ellipse()
        axes = [(d.X(), d.Y(), d.Z()) for d in (conic.XAxis().Direction(), conic.YAxis().Direction())]
        size = (
            (conic.Radius(),) * 2
            if kind == Kind.GeomAbs_Circle
            else (conic.MajorRadius(), conic.MinorRadius())
        )
        where = conic.Location()
        flat = [plane.flat_direction(v) for v in axes]
        u, v = ((size[i] * flat[i][0], size[i] * flat[i][1]) for i in (0, 1))
        return _conic(plane.flat((where.X(), where.Y(), where.Z())), u, v, first, last)
    return _sampled(curve, at, first, last)


def _line(a: Point, b: Point) -> Curve | None:
    return Line(a, b) if math.dist(a, b) > 1e-9 else None


def _conic(centre: Point, u: Point, v: Point, first: float, last: float) -> Curve | None:
    """centre + u cos t + v sin t for t in first..last, as a line, arc or ellipse."""
    turned = u[0] * v[1] - u[1] * v[0]
    lu, lv = math.hypot(*u), math.hypot(*v)
    reach = max(lu, lv)
    if abs(turned) < 1e-9 * reach * reach:
        return _edge_on(centre, u, v, first, last)
    if abs(lu - lv) < 1e-9 * reach and abs(u[0] * v[0] + u[1] * v[1]) < 1e-9 * reach * reach:
        start = math.degrees(math.atan2(u[1], u[0]))
        sign = 1.0 if turned > 0.0 else -1.0
        a, b = start + sign * math.degrees(first), start + sign * math.degrees(last)
        return Arc(centre, lu, min(a, b), min(abs(b - a), 360.0))
    # turn the parameter so that the two half-axes are square
    t0 = 0.5 * math.atan2(2.0 * (u[0] * v[0] + u[1] * v[1]), lu * lu - lv * lv)
    c, s = math.cos(t0), math.sin(t0)
    p = (u[0] * c + v[0] * s, u[1] * c + v[1] * s)
    q = (v[0] * c - u[0] * s, v[1] * c - u[1] * s)
    a, b = first - t0, last - t0
    if math.hypot(*q) > math.hypot(*p):
        p, q = q, (-p[0], -p[1])
        a, b = a - math.pi / 2.0, b - math.pi / 2.0
    if p[0] * q[1] - p[1] * q[0] < 0.0:
        a, b = -b, -a
    return Ellipse(
        centre, p, math.hypot(*q) / math.hypot(*p), math.degrees(a), min(math.degrees(b - a), 360.0)
    )


def _edge_on(centre: Point, u: Point, v: Point, first: float, last: float) -> Curve | None:
    axis = u if math.hypot(*u) >= math.hypot(*v) else v
    length = math.hypot(*axis)
    d = (axis[0] / length, axis[1] / length)
    a, b = u[0] * d[0] + u[1] * d[1], v[0] * d[0] + v[1] * d[1]
    turn = math.atan2(b, a)
    ts = [first, last] + [turn + k * math.pi for k in range(-4, 5) if first < turn + k * math.pi < last]
    values = [a * math.cos(t) + b * math.sin(t) for t in ts]
    low, high = min(values), max(values)
    return _line(
        (centre[0] + low * d[0], centre[1] + low * d[1]), (centre[0] + high * d[0], centre[1] + high * d[1])
    )


def _sampled(curve: Any, at: Any, first: float, last: float) -> Curve | None:
    from OCP.GCPnts import GCPnts_QuasiUniformDeflection

    points = GCPnts_QuasiUniformDeflection(curve, DEFLECTION, first, last)
    if not points.IsDone() or points.NbPoints() < 2:
        return None
    flat = [at(points.Parameter(i)) for i in range(1, points.NbPoints() + 1)]
    straight = _line(flat[0], flat[-1])
    if straight is not None and all(_off(p, flat[0], flat[-1]) < 1e-4 for p in flat):
        return straight
    return Polyline(tuple(flat))


def _off(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    return abs(dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / math.hypot(dx, dy)
