"""The outside of a head that was given as a solid, as one cut sees it: which parts of its surface count.

What the job knows of is judged in rows of its own and does not count here: the chamber and the joint face, every
cavity within its half-width, the old bores and ports, and what the other cuts take away. Of a cut's own opening
does not count what lies beyond the port's face, or level with the head's top and above for shank and pocket.
Everything else does: the casting's outside, and any hollow that the job does not mention. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from headparts.geometry.axis import Array
from headparts.geometry.convex import Convex, cylinder, half_space
from headparts.geometry.holes import BallHole, Hole, PrismHole
from headparts.geometry.skin_wall import Region, counting, this_side
from headparts.geometry.void import Void, chamber_void
from headparts.plan.given_head import GivenHead
from headparts.plan.needs import MissingInput
from headparts.plan.plan import Plan
from headparts.plan.station import StationPlan
from headparts.plan.voids import CUT_ROLES

FAR = 1000.0
"""How far what is open is carried on [mm]."""
SAME = 0.05
"""Surfaces nearer than this to where the job puts them are the same, beside their half-width [mm]."""


def regions_of(plan: Plan) -> dict[str, tuple[Region, ...]]:
    """Where the surface of a given head does not count, by what lies there: "" for what was there before, then
    every cut by its name."""
    grow = SAME + _cast_u(plan)
    found = [Region(half_space((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)), grow)]
    found += [Region(core, grow) for core in _chamber(plan)]
    for block in plan.voids.cavity_blocks:
        try:
            void = plan.voids.cavity(block.name)
        except MissingInput:
            continue
        found += [Region(core, SAME + void.u) for core in void.cores]
    for station in plan.stations.values():
        found += [Region(body, grow) for body in _old(plan, station)]
    return {"": tuple(found)} | {cut.name: _region_of(cut, SAME) for cut in _cuts(plan)}


def regions_for(regions: dict[str, tuple[Region, ...]], cut: Void) -> tuple[Region, ...]:
    """The regions for one cut, and last its own without any growth.

    What a cut swallows whole does not count, either; a surface that passes through its wall does: there the cut
    comes out.
    """
    others = [region for name, each in regions.items() if name != cut.name for region in each]
    return (*others, *_region_of(cut, 0.0))


def _cuts(plan: Plan) -> Iterator[Void]:
    for station in plan.stations.values():
        for role in CUT_ROLES:
            try:
                yield plan.voids.cut(role, station.name).void
            except MissingInput:
                continue
    for repair in plan.repairs.values():
        try:
            yield repair.bore_void
        except MissingInput:
            continue


def surface_for(plan: Plan, given: GivenHead, role: str, station: StationPlan) -> tuple[Array, np.ndarray]:
    """Triangles (m, 3, 3) and faces (m,) of a given head without what lies beyond the cut's own opening."""
    corners, faces = given.skin.corners, given.skin.faces
    grow = SAME + _cast_u(plan)
    if role in ("port", "sleeve_bore"):
        normal = np.asarray(station.port.face_normal)
        face = np.asarray(station.port.face_centre) - grow * normal
        corners, faces = this_side(corners, faces, face, normal)
        corners, faces = counting(corners, faces, [_cleared(station, grow)])
    elif role in ("shank_bore", "pocket"):
        up = np.array([0.0, 0.0, 1.0])
        corners, faces = this_side(corners, faces, (plan.voids.top_over(station) - grow) * up, up)
    return corners, faces


def _cleared(station: StationPlan, grow: float) -> Region:
    """What is cleared round a port beyond its face."""
    port = station.port
    return Region(cylinder(port.face_centre, port.direction, port.clearing_diameter / 2.0, FAR), grow)


def _cast_u(plan: Plan) -> float:
    return float(plan.inputs.get("datums.cast_u", 0.0))


def _chamber(plan: Plan) -> Iterator[Convex]:
    if plan.inputs.get("head.chamber") is None:
        return
    try:
        hole: Hole = plan.voids.chamber.hole
    except MissingInput:
        return
    if isinstance(hole, (BallHole, PrismHole)):
        yield from chamber_void(hole).cores[:-1]


def _old(plan: Plan, station: StationPlan) -> Iterator[Convex]:
    """The old bores and port of a station as far as the job gives them."""
    for key, low, high in (("old.body_bore", None, "old.body_len"), ("old.shank_bore", "old.body_len", None)):
        try:
            diameter, length = station.inputs(key, high or low or "")
            axis = station.old_axis
        except MissingInput:
            continue
        radius = float(diameter) / 2.0
        if high is not None:
            yield cylinder(axis.at(-FAR), axis.direction, radius, FAR + float(length))
        else:
            yield cylinder(axis.at(float(length)), axis.direction, radius, FAR)
    old_port = station.inputs.get("port.old_dia")
    if old_port is not None:
        try:
            port = station.port
            yield cylinder(port.foot, port.direction, float(old_port) / 2.0, port.length + FAR)
        except MissingInput:
            return


def _region_of(cut: Void, grow: float) -> tuple[Region, ...]:
    """What a cut takes away; the chamber's part of its holes is a region of its own and need not be spared."""
    spared = tuple(hole for hole in cut.holes if not isinstance(hole, (BallHole, PrismHole)))
    bodies = cut.cores
    axis, radius = bodies[0].axis, bodies[0].radius
    if cut.kind in ("port", "sleeve_bore") and axis is not None and radius is not None:
        bodies = (
            cylinder(axis.point, axis.direction, radius, axis.length + FAR),
        )  # beyond a slanted face, too
    return tuple(Region(body, grow, spared) for body in bodies)
