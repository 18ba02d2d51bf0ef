"""The cylinder head, simplified: outline with fins, chamber, cavities and every bore, cut once and proven.

World frame: joint face at the outline's lower z, z toward the rockers, origin on the cylinder's axis.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from headparts.parts.ask import Ask, work_out
from headparts.parts.head_features import features_of, sizes_of
from headparts.parts.head_parameters import HeadParameters
from headparts.parts.head_tools import BEYOND, Tool
from headparts.parts.part import Part

if TYPE_CHECKING:
    from headparts.geometry.bodies import Body, Box, Cut


def head(
    p: HeadParameters,
    name: str = "head",
    material: str | None = None,
    density: float | None = None,
    ask: Ask = work_out,
) -> Part:
    """Build a head in one cut and prove it; ``part.proof`` says what speaks for it.

    Raises
    ------
    KernelError : the solid could not be proven (see ``headparts.solids.proven``); no model is given.
    """
    from headparts.solids.proven import proven_cut

    solid, proof = proven_cut(_casting(p), cuts_of(p), name, by_rays=lambda *_: ask(volume_by_rays, p))
    return Part(
        name=name,
        shape=solid,
        features={feature.name: feature for feature in features_of(p)},
        sizes={size.name: size for size in sizes_of(p)},
        material=material,
        density=density,
        colour=(0.75, 0.77, 0.80),
        volume_expected=proof.second_volume,
        proof=proof,
    )


def volume_by_rays(p: HeadParameters) -> tuple[float, float]:
    """The head's volume without the kernel, and how far the kernel's may lie from it [mm3]."""
    from headparts.geometry.rays import box_left

    return box_left(_casting(p), cuts_of(p))


def _casting(p: HeadParameters) -> Box:
    from headparts.geometry.bodies import Box

    return Box((p.x[0], p.y[0], p.z[0]), (p.x[1], p.y[1], p.z[1]))


def cuts_of(p: HeadParameters) -> list[Cut]:
    """Everything that is taken out of the outline's box, as convex bodies: fin gaps first, then the tools."""
    return [*_fin_cuts(p), *(_cut_of(tool, p) for tool in p.effective_tools)]


def _fin_cuts(p: HeadParameters) -> Iterator[Cut]:
    from headparts.geometry.bodies import Box, Cut

    if p.core_x is None or p.core_y is None:
        return
    for low, high in p.fin_gaps:
        gap = Box((p.x[0] - BEYOND, p.y[0] - BEYOND, low), (p.x[1] + BEYOND, p.y[1] + BEYOND, high))
        core = Box((p.core_x[0], p.core_y[0], low - BEYOND), (p.core_x[1], p.core_y[1], high + BEYOND))
        yield Cut(gap, core, f"fin gap at z = {low:g}")


def _cut_of(tool: Tool, p: HeadParameters) -> Cut:
    """The tool's convex body. An upright end that lies in a face of the casting is carried on outside it."""
    from headparts.geometry.bodies import Ball, Beyond, Cone, Cut, Cylinder, RoundedBox

    body: Body
    if tool.shape == "cylinder":
        point, length = _carried_on(tool, p)
        body = Cylinder(point, tool.direction, tool.radius, length)
    elif tool.shape == "cone":
        body = Cone(tool.point, tool.direction, tool.radius, tool.radius_end, tool.length)
    elif tool.shape == "ball":
        body = Ball(tool.point, tool.radius)
    else:
        length, width, corner = tool.size
        z = (tool.point[2], tool.point[2] + tool.length)
        body = RoundedBox((tool.point[0], tool.point[1]), length, width, corner, z)
    if tool.beyond is not None:
        body = Beyond(body, *tool.beyond)
    if tool.spares is None:
        return Cut(body, name=tool.name)
    point, direction, radius = tool.spares
    far = 10.0 * max(p.x[1] - p.x[0], p.y[1] - p.y[0], p.z[1] - p.z[0])
    start = (point[0] - far * direction[0], point[1] - far * direction[1], point[2] - far * direction[2])
    return Cut(body, Cylinder(start, direction, radius, 2.0 * far), tool.name)


def _carried_on(tool: Tool, p: HeadParameters) -> tuple[tuple[float, float, float], float]:
    point, length = tool.point, tool.length
    for axis, (low, high) in enumerate((p.x, p.y, p.z)):
        sense = tool.direction[axis]
        if abs(sense) < 1.0 - 1e-12:
            continue
        entry, exit_ = (low, high) if sense > 0.0 else (high, low)
        if abs(point[axis] - entry) < 1e-9:
            moved = list(point)
            moved[axis] -= math.copysign(BEYOND, sense)
            point, length = (moved[0], moved[1], moved[2]), length + BEYOND
        if abs(tool.point[axis] + math.copysign(tool.length, sense) - exit_) < 1e-9:
            length += BEYOND
    return point, length
