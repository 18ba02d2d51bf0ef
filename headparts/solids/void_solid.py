"""The kernel's solids of a void, for measuring a wall a second time."""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.convex import Convex
from headparts.geometry.holes import BallHole, EndlessCylinderHole, Hole, PrismHole
from headparts.geometry.void import Void
from headparts.solids import primitives
from headparts.solids.cut import cut_raw

FAR = 500.0
"""Half-length of what stands for an endless body [mm]."""
SPARE = 1.0
"""How much longer a cylinder is made than its void before its end planes trim it [mm]."""


def void_solids(void: Void) -> list[Any]:
    """One kernel shape a core of the void, trimmed by its planes and without its holes.

    Raises GeometryError for a core that is not a round cylinder of finite length.
    """
    holes = [_hole_solid(hole) for hole in void.holes]
    made = []
    for core in void.cores:
        shape = _core_solid(void.name, core)
        made.append(cut_raw(shape, holes) if holes else shape)
    return made


def _core_solid(name: str, core: Convex) -> Any:
    axis = core.axis
    if core.shape != "cylinder" or axis is None or core.radius is None or not isfinite(axis.length):
        raise GeometryError(f"void {name}: only round cylinders of finite length are measured by the kernel")
    start = np.asarray(axis.point) - SPARE * np.asarray(axis.direction)
    shape = primitives.cylinder(tuple(start), axis.direction, core.radius, axis.length + 2.0 * SPARE)
    for plane in core.planes:
        normal = np.asarray(plane.normal)
        point = plane.offset * normal
        shape = primitives.beyond(shape, tuple(point), tuple(-normal))
    return shape


def _hole_solid(hole: Hole) -> Any:
    if isinstance(hole, EndlessCylinderHole):
        start = np.asarray(hole.point) - FAR * np.asarray(hole.direction)
        return primitives.cylinder(tuple(start), hole.direction, hole.radius, 2.0 * FAR, seam=1.3)
    if isinstance(hole, BallHole):
        return primitives.ball(hole.centre, hole.radius)
    if isinstance(hole, PrismHole):
        if hole.half_x == hole.half_y == hole.corner:
            centre = (hole.centre[0], hole.centre[1], -FAR)
            return primitives.cylinder(centre, (0.0, 0.0, 1.0), hole.corner, FAR + hole.roof, seam=0.9)
        span = (-FAR, hole.roof)
        return primitives.rounded_box(hole.centre, 2.0 * hole.half_x, 2.0 * hole.half_y, hole.corner, span)
    raise GeometryError("a hole of this kind has no solid")
