"""Primitive solids: revolved outlines, cylinders, frusta, boxes, balls. Nothing here cuts anything.

All lengths in mm, all angles in radians. Cylinders, cones and balls take ``seam``: the angle about their
own axis at which the seam line lies. A seam that runs through a crossing of two surfaces can spoil a file
round trip, so callers turn seams away from crossings (an odd angle).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon, BRepBuilderAPI_Transform
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer, BRepFilletAPI_MakeFillet
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeHalfSpace,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
)
from OCP.gp import gp_Ax1, gp_Ax2, gp_Ax3, gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec

from headparts.errors import GeometryError
from headparts.solids.shapes import edges_of, solid, wrapped

Vector = tuple[float, float, float]

SEAM = 2.43
"""Where seams lie unless a caller says otherwise [rad]: no special direction of any part."""


def plain_axis(direction: Sequence[float]) -> Vector:
    """A unit vector square to ``direction``, always the same one for the same direction."""
    x, y, z = _unit(direction)
    other = (1.0, 0.0, 0.0) if abs(x) < 0.6 else (0.0, 1.0, 0.0)
    along = other[0] * x + other[1] * y + other[2] * z
    return _unit((other[0] - along * x, other[1] - along * y, other[2] - along * z))


def revolve(outline: Sequence[tuple[float, float]], seam: float = SEAM) -> Any:
    """A closed outline of (radius, z) points turned once round the z axis.

    The points go round once, without repeating the first; radius >= 0. Raises GeometryError for fewer than
    three points or a negative radius.
    """
    if len(outline) < 3 or min(radius for radius, _ in outline) < 0.0:
        raise GeometryError("an outline needs three points or more, none left of the axis")
    polygon = BRepBuilderAPI_MakePolygon()
    for radius, z in outline:
        polygon.Add(gp_Pnt(radius * math.cos(seam), radius * math.sin(seam), z))
    polygon.Close()
    face = BRepBuilderAPI_MakeFace(polygon.Wire(), True).Face()
    turned = BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))).Shape()
    return solid(turned)


def cylinder(
    point: Sequence[float], direction: Sequence[float], radius: float, length: float, seam: float = SEAM
) -> Any:
    """A round cylinder that starts at ``point`` and runs ``length`` along ``direction``."""
    _positive(radius=radius, length=length)
    return solid(BRepPrimAPI_MakeCylinder(_ax2(point, direction, seam), radius, length).Shape())


def frustum(
    point: Sequence[float],
    direction: Sequence[float],
    radius_start: float,
    radius_end: float,
    length: float,
    seam: float = SEAM,
) -> Any:
    """A cut cone from ``point`` along ``direction``; one of the two radii may be 0."""
    if radius_start == radius_end:
        return cylinder(point, direction, radius_start, length, seam)
    _positive(length=length, radius=max(radius_start, radius_end))
    if min(radius_start, radius_end) < 0.0:
        raise GeometryError("a cone needs radii of 0 or more")
    made = BRepPrimAPI_MakeCone(_ax2(point, direction, seam), radius_start, radius_end, length)
    return solid(made.Shape())


def box(lower: Sequence[float], upper: Sequence[float]) -> Any:
    """A box with its sides along x, y, z between two corners."""
    for axis, low, high in zip("xyz", lower, upper, strict=True):
        _positive(**{f"length in {axis}": high - low})
    return solid(BRepPrimAPI_MakeBox(gp_Pnt(*lower), gp_Pnt(*upper)).Shape())


def ball(centre: Sequence[float], radius: float, pole: Sequence[float] = (0.31, 0.87, 0.38)) -> Any:
    """A ball; its pole is kept away from x, y and z (distances measured at a pole can be wrong)."""
    _positive(radius=radius)
    return solid(BRepPrimAPI_MakeSphere(_ax2(centre, pole, SEAM), radius).Shape())


def rounded_box(
    centre: Sequence[float], length: float, width: float, corner: float, z: Sequence[float]
) -> Any:
    """A box (length along x, width along y) from z[0] to z[1] with its four upright edges rounded."""
    _positive(length=length, width=width, height=z[1] - z[0])
    a, b, c = length / 2.0, width / 2.0, corner
    lower, upper = (centre[0] - a, centre[1] - b, z[0]), (centre[0] + a, centre[1] + b, z[1])
    if c == 0.0:
        return box(lower, upper)
    made = BRepPrimAPI_MakeBox(gp_Pnt(*lower), gp_Pnt(*upper)).Shape()
    rounding = BRepFilletAPI_MakeFillet(made)
    for edge in edges_of(made):
        if _rises(edge):
            rounding.Add(c, edge)
    return solid(rounding.Shape())


def bevelled_box(lower: Sequence[float], upper: Sequence[float], bevel: float) -> Any:
    """A box whose bottom and top outline edges are chamfered 45 deg by ``bevel`` (0: none)."""
    if bevel == 0.0:
        return box(lower, upper)
    made = BRepPrimAPI_MakeBox(gp_Pnt(*lower), gp_Pnt(*upper)).Shape()
    chamfering = BRepFilletAPI_MakeChamfer(made)
    for edge in edges_of(made):
        if not _rises(edge):
            chamfering.Add(bevel, edge)
    return solid(chamfering.Shape())


def beyond(shape: Any, point: Sequence[float], normal: Sequence[float]) -> Any:
    """The part of a solid on the far side of a plane: where (x - point) . normal >= 0."""
    plane = gp_Pln(gp_Pnt(*point), gp_Dir(*_unit(normal)))
    face = BRepBuilderAPI_MakeFace(plane).Face()
    x, y, z = _unit(normal)
    side = gp_Pnt(point[0] + x, point[1] + y, point[2] + z)
    half = BRepPrimAPI_MakeHalfSpace(face, side).Solid()
    return solid(BRepAlgoAPI_Common(wrapped(shape), half).Shape())


def moved(shape: Any, origin: Sequence[float], x: Sequence[float], z: Sequence[float]) -> Any:
    """A copy of ``shape`` whose local frame is put at ``origin`` with the given x and z directions."""
    frame = gp_Ax3(gp_Pnt(*origin), gp_Dir(*_unit(z)), gp_Dir(*_unit(x)))
    change = gp_Trsf()
    change.SetTransformation(frame, gp_Ax3())
    return BRepBuilderAPI_Transform(wrapped(shape), change, True).Shape()


def shifted(shape: Any, by: Sequence[float]) -> Any:
    """A copy of ``shape`` moved by a vector."""
    change = gp_Trsf()
    change.SetTranslation(gp_Vec(*by))
    return BRepBuilderAPI_Transform(wrapped(shape), change, True).Shape()


def _rises(edge: Any) -> bool:
    """Whether a straight edge runs along z."""
    return bool(abs(BRepAdaptor_Curve(edge).Line().Direction().Z()) > 0.5)


def _ax2(point: Sequence[float], direction: Sequence[float], seam: float) -> Any:
    x, y, z = _unit(direction)
    u = plain_axis(direction)
    v = (y * u[2] - z * u[1], z * u[0] - x * u[2], x * u[1] - y * u[0])
    c, s = math.cos(seam), math.sin(seam)
    turned = gp_Dir(u[0] * c + v[0] * s, u[1] * c + v[1] * s, u[2] * c + v[2] * s)
    return gp_Ax2(gp_Pnt(*point), gp_Dir(x, y, z), turned)


def _unit(vector: Sequence[float]) -> Vector:
    x, y, z = (float(part) for part in vector)
    length = math.sqrt(x * x + y * y + z * z)
    if not math.isfinite(length) or length == 0.0:
        raise GeometryError(f"a direction needs a length: {vector}")
    return x / length, y / length, z / length


def _positive(**sizes: float) -> None:
    for name, value in sizes.items():
        if not (math.isfinite(value) and value > 0.0):
            raise GeometryError(f"{name} must be above 0, not {value}")
