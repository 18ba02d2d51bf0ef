"""A STEP file is believed when it has been read again: volume, box, check points, names, colours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from headparts.errors import KernelError
from headparts.solids.step_file import Body, read_step

Point = tuple[float, float, float]

COLOUR_ERROR = 0.002
"""Largest change of red, green or blue (0 to 1): they pass through single precision and four decimals."""


@dataclass(frozen=True)
class Reread:
    """How a file differs from what was meant.

    Attributes:
        volume_error: largest relative difference of a body's adaptive volume.
        box_error: [mm] largest difference of a corner coordinate of a body's box.
        point_error: [mm] largest change of a check point's distance to the nearest surface, or None.
        faults: what else is wrong (a name or colour lost, a body missing), in words; empty when all is well.
    """

    volume_error: float
    box_error: float
    point_error: float | None
    faults: tuple[str, ...]


def reread(data: bytes, bodies: Sequence[Body], points: Sequence[Point] = ()) -> Reread:
    """Read a STEP file with the kernel's default settings and compare it, body by body, by name.

    Args:
        data: the file. bodies: what was written. points: check points [mm] in the file's frame.

    Raises:
        KernelError: the file is torn or cannot be read.
    """
    from headparts.solids.verify import bounds, is_valid, volume

    found = read_step(data)
    faults: list[str] = []
    if len(found) != len(bodies):
        faults.append(f"{len(found)} solids instead of {len(bodies)}")
    by_name = {body.name: body for body in found}
    volume_error = box_error = 0.0
    point_error = 0.0 if points else None
    for body in bodies:
        again = by_name.get(body.name)
        if again is None:
            faults.append(f"{body.name}: not found again by its name")
            volume_error = max(volume_error, 1.0)
            continue
        if not is_valid(again.solid):
            faults.append(f"{body.name}: not valid when read again")
        meant = volume(body.solid)
        volume_error = max(volume_error, abs(volume(again.solid) - meant) / abs(meant))
        corners = zip(bounds(body.solid), bounds(again.solid), strict=True)
        for one, other in corners:
            box_error = max(box_error, *(abs(a - b) for a, b in zip(one, other, strict=True)))
        if body.colour is not None and not _same_colour(body.colour, again.colour):
            faults.append(f"{body.name}: its colour is lost")
        for point in points:
            change = abs(_to_surface(body.solid, point) - _to_surface(again.solid, point))
            point_error = max(point_error or 0.0, change)
    return Reread(volume_error, box_error, point_error, tuple(faults))


def _same_colour(meant: Sequence[float], found: Sequence[float] | None) -> bool:
    return found is not None and all(abs(a - b) <= COLOUR_ERROR for a, b in zip(meant, found, strict=True))


def _to_surface(solid: Any, point: Point) -> float:
    """Distance [mm] of a point to the nearest face of a solid, from inside or outside."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape
    from OCP.gp import gp_Pnt
    from OCP.TopAbs import TopAbs_SHELL
    from OCP.TopExp import TopExp_Explorer

    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
    shells = TopExp_Explorer(getattr(solid, "wrapped", solid), TopAbs_SHELL)
    best = float("inf")
    while shells.More():
        search = BRepExtrema_DistShapeShape(vertex, shells.Current())
        if not search.IsDone():
            raise KernelError("the distance of a check point could not be found")
        best = min(best, search.Value())
        shells.Next()
    return best
