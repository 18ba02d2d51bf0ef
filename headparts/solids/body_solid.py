"""The kernel's solids of the plain bodies that rays measure."""

from __future__ import annotations

from typing import Any

from headparts.errors import GeometryError
from headparts.geometry.bodies import Ball, Beyond, Body, Box, Cone, Cut, Cylinder, RoundedBox
from headparts.solids import primitives
from headparts.solids.cut import cut
from headparts.solids.primitives import SEAM

LESS = 0.7
"""How far the seam of what a cut spares is turned from the seam of the cut [rad]."""


def solid_of(body: Body | Cut, seam: float = SEAM) -> Any:
    """The kernel's solid of a body or of what one tool takes away, its seams turned to ``seam`` [rad].

    Raises GeometryError for a body of no kind that there is.
    """
    match body:
        case Cylinder(point, direction, radius, length):
            return primitives.cylinder(point, direction, radius, length, seam)
        case Cone(point, direction, start, end, length):
            return primitives.frustum(point, direction, start, end, length, seam)
        case Box(lower, upper):
            return primitives.box(lower, upper)
        case Ball(centre, radius):
            return primitives.ball(centre, radius)
        case RoundedBox(centre, length, width, corner, z):
            return primitives.rounded_box(centre, length, width, corner, z)
        case Beyond(whole, point, normal):
            return primitives.beyond(solid_of(whole, seam), point, normal)
        case Cut(whole, less):
            made = solid_of(whole, seam)
            return made if less is None else cut(made, [solid_of(less, seam + LESS)])
    raise GeometryError(f"no solid of a {type(body).__name__} is known")
