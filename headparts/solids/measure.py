"""Surface probes: find a face or an edge of any solid again and read its size from the surface itself.

A probe knows what kind of surface it looks for, the line of its axis (or a plane's normal), a place on it,
whether metal lies inside ("solid") or outside ("hollow") of it, and how far off it may be. It works on a
solid that was built, cut, or read from a STEP file.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.GeomAbs import GeomAbs_Circle, GeomAbs_Cone, GeomAbs_Cylinder, GeomAbs_Plane, GeomAbs_Sphere
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_REVERSED
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from headparts.errors import KernelError
from headparts.solids.primitives import Vector
from headparts.solids.shapes import wrapped

PARALLEL = math.radians(3.0)
"""How far an axis or a normal may be turned from its hint and still be the same feature."""
ASIDE = 0.25
"""How far an axis may lie beside its hint, near the place looked at [mm]."""


@dataclass(frozen=True)
class Reading:
    """What a surface says of itself, in the solid's own frame.

    kind : cylinder, cone, plane, sphere or circle.
    point : on the axis (cylinder, cone: at the hint's place; circle, sphere: the centre) or on the plane.
    direction : unit axis, or the plane's outward normal (out of the metal); turned to agree with the hint.
    radius : of a cylinder, sphere or circle [mm]; None for planes and cones.
    half_angle : of a cone, between its axis and its side [deg]; None otherwise.
    face : the kernel's face or edge that was read.
    """

    kind: str
    point: Vector
    direction: Vector
    radius: float | None
    half_angle: float | None
    face: Any


def probe(
    shape: Any,
    kind: str,
    *,
    name: str,
    point: Sequence[float],
    direction: Sequence[float],
    at: Sequence[float],
    sense: str | None = None,
    reach: float = 0.25,
) -> Reading:
    """The nearest surface of a kind to a place, and its size.

    Parameters
    ----------
    shape : any solid (cadquery or kernel shape).
    kind : "cylinder", "cone", "plane", "sphere" or "circle" (an edge).
    name : what an error calls the feature.
    point, direction : a line near the feature's axis; for a plane the direction is its outward normal.
    at : a place on or near the surface [mm].
    sense : "solid" (metal inside), "hollow" (metal outside) or None (either); cylinders, cones, spheres.
    reach : greatest distance of the surface from ``at`` [mm].

    Raises
    ------
    KernelError : no such surface within reach; the message names the feature.
    """
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*at)).Vertex()
    best: tuple[float, Reading] | None = None
    for reading in _candidates(wrapped(shape), kind, point, direction, at, sense):
        measured = BRepExtrema_DistShapeShape(vertex, reading.face)
        distance = measured.Value()
        if distance <= reach and (best is None or distance < best[0]):
            best = (distance, reading)
    if best is None:
        place = ", ".join(f"{value:.3f}" for value in at)
        raise KernelError(f"feature {name!r}: no {kind} of its kind within {reach:g} mm of ({place})")
    return best[1]


def _candidates(
    shape: Any,
    kind: str,
    point: Sequence[float],
    direction: Sequence[float],
    at: Sequence[float],
    sense: str | None,
) -> Iterator[Reading]:
    for piece in _pieces(shape, TopAbs_EDGE if kind == "circle" else TopAbs_FACE):
        reading, metal_inside = _read(piece, kind, at)
        if reading is None:
            continue
        if sense is not None and metal_inside is not None and metal_inside != (sense == "solid"):
            continue
        if kind == "sphere":
            yield reading
            continue
        turn = _dot(reading.direction, direction)
        if kind == "plane":
            if turn >= math.cos(PARALLEL):
                yield reading
            continue
        if abs(turn) < math.cos(PARALLEL):
            continue
        if _aside(reading.point, point, direction) <= ASIDE:
            yield reading if turn > 0.0 else _flipped(reading)


def _pieces(shape: Any, what: Any) -> Iterator[Any]:
    explorer = TopExp_Explorer(shape, what)
    cast = TopoDS.Edge_s if what == TopAbs_EDGE else TopoDS.Face_s
    while explorer.More():
        yield cast(explorer.Current())
        explorer.Next()


def _read(piece: Any, kind: str, at: Sequence[float]) -> tuple[Reading | None, bool | None]:
    """The reading of one face or edge if it is of the kind asked for, and whether the metal is inside."""
    if kind == "circle":
        curve = BRepAdaptor_Curve(piece)
        if curve.GetType() != GeomAbs_Circle:
            return None, None
        circle = curve.Circle()
        axis = circle.Axis()
        centre = _xyz(circle.Location())
        return Reading("circle", centre, _xyz(axis.Direction()), circle.Radius(), None, piece), None
    surface = BRepAdaptor_Surface(piece)
    reverse = piece.Orientation() == TopAbs_REVERSED
    found = surface.GetType()
    if kind == "cylinder" and found == GeomAbs_Cylinder:
        round_ = surface.Cylinder()
        line = _foot(_xyz(round_.Location()), _xyz(round_.Axis().Direction()), at)
        reading = Reading(kind, line, _xyz(round_.Axis().Direction()), round_.Radius(), None, piece)
        return reading, round_.Position().Direct() != reverse
    if kind == "cone" and found == GeomAbs_Cone:
        cone = surface.Cone()
        line = _foot(_xyz(cone.Location()), _xyz(cone.Axis().Direction()), at)
        half = math.degrees(abs(cone.SemiAngle()))
        reading = Reading(kind, line, _xyz(cone.Axis().Direction()), None, half, piece)
        return reading, cone.Position().Direct() != reverse
    if kind == "sphere" and found == GeomAbs_Sphere:
        sphere = surface.Sphere()
        direction = _xyz(sphere.Position().Direction())
        reading = Reading(kind, _xyz(sphere.Location()), direction, sphere.Radius(), None, piece)
        return reading, sphere.Position().Direct() != reverse
    if kind == "plane" and found == GeomAbs_Plane:
        plane = surface.Plane()
        normal = _xyz(plane.Axis().Direction())
        if plane.Position().Direct() == reverse:
            normal = (-normal[0], -normal[1], -normal[2])
        return Reading(kind, _xyz(plane.Location()), normal, None, None, piece), None
    return None, None


def _flipped(reading: Reading) -> Reading:
    x, y, z = reading.direction
    return Reading(
        reading.kind, reading.point, (-x, -y, -z), reading.radius, reading.half_angle, reading.face
    )


def _aside(point: Sequence[float], on_line: Sequence[float], direction: Sequence[float]) -> float:
    foot = _foot(on_line, direction, point)
    return math.dist(foot, point)


def _foot(on_line: Sequence[float], direction: Sequence[float], at: Sequence[float]) -> Vector:
    """The point of a line (unit direction) that is nearest to ``at``."""
    along = sum((a - p) * d for a, p, d in zip(at, on_line, direction, strict=True))
    return (
        on_line[0] + along * direction[0],
        on_line[1] + along * direction[1],
        on_line[2] + along * direction[2],
    )


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _xyz(point: Any) -> Vector:
    return point.X(), point.Y(), point.Z()
