"""What is not metal in the head at each step of the work: as found, finished, and bored for the sleeves."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import numpy as np

from headparts.geometry.convex import Convex, cylinder
from headparts.geometry.outside import casting_pieces, outside_void
from headparts.geometry.void import Void, port_void, round_void
from headparts.plan.needs import MissingInput
from headparts.plan.plan import Plan
from headparts.plan.repair import RepairPlan
from headparts.plan.station import StationPlan
from headparts.plan.voids import CUT_ROLES

Maker = Callable[[], Void]
FOUND, FINISHED, SLEEVED = "as found", "finished", "bored for its sleeves"
STEPS = (FOUND, FINISHED, SLEEVED)
FAR = 1000.0
"""How far the clearing beyond a port's face reaches [mm]: past any casting that the reader lets in."""


def standing_voids(plan: Plan, step: str) -> tuple[Void, ...]:
    """Everything that is not metal, and zones of which nobody knows it, at one of `STEPS`.

    Cavities, the chamber with all below the joint face, the casting's outside with its fin gaps, the clearings
    before the ports, and the bores of that step: as found the old ones; later the new ones of every station that
    has them, followed by what is left of its old ones. Where one lies over another the earlier one is named.
    What the job does not give is left out.
    """
    voids = plan.voids
    makers: list[Maker] = [lambda: casting_outside(plan), lambda: voids.chamber.void]
    makers += [partial(voids.cavity, block.name) for block in voids.cavity_blocks]
    if step != FOUND:
        for station in plan.stations.values():
            roles = [role for role in CUT_ROLES if role != "pocket" or voids.has_pocket(station.name)]
            makers += [partial(_cut, plan, role, station.name) for role in roles]
    if step == SLEEVED:
        makers += [partial(_sleeve_bore, repair) for repair in plan.repairs.values()]
    for station in plan.stations.values():
        makers += [partial(clearing, station), *old_cuts(plan, station)]
    return tuple(_given(makers))


def _cut(plan: Plan, role: str, station: str) -> Void:
    return plan.voids.cut(role, station).void


def _sleeve_bore(repair: RepairPlan) -> Void:
    return repair.bore_void


def _given(makers: list[Maker]) -> Iterator[Void]:
    for make in makers:
        try:
            yield make()
        except MissingInput:
            continue


def casting_outside(plan: Plan) -> Void:
    """The air round the whole casting: beyond its outline, and between its fins. MissingInput without an outline."""
    return outside_void(*_sizes(plan))


def casting(plan: Plan) -> tuple[Convex, ...]:
    """The casting without a cut in it, as boxes. MissingInput without an outline."""
    return casting_pieces(*_sizes(plan))


def _sizes(plan: Plan) -> tuple[Any, ...]:
    """Lower and upper corner of the outline; where there are fins the core's x and y and the fins too."""
    outline = plan.inputs.one("head.outline")
    spans = (outline.x, outline.y, outline.z)
    lower, upper = [span[0] for span in spans], [span[1] for span in spans]
    core, fins = plan.inputs.get("head.core"), plan.inputs.get("head.fins")
    if core is None or fins is None:
        return lower, upper
    return lower, upper, core.x, core.y, (fins.z, fins.pitch, fins.thick)


def clearing(station: StationPlan) -> Void:
    """What is cleared of the casting beyond a port's face, a cylinder about its axis."""
    port = station.port
    face, direction = np.asarray(port.face_centre), np.asarray(port.direction)
    spot = station.inputs.get("port.drill.spot_face") is not None
    normal = direction if spot else np.asarray(port.face_normal)
    body = cylinder(face - FAR * direction, direction, port.clearing_diameter / 2.0, 2.0 * FAR)
    return Void(f"clearing_{station.name}", "outside", (body.with_half_space(face, -normal),))


def old_cuts(plan: Plan, station: StationPlan) -> list[Maker]:
    """Makers of a station's old bores and its old port, as found."""
    holes = plan.voids.chamber_holes

    def body() -> Void:
        diameter, length, _ = station.inputs("old.body_bore", "old.body_len", "old.axis")
        axis = station.old_axis
        start = -axis.point[2] / axis.direction[2] - diameter - 1.0
        name = f"old_body_bore_{station.name}"
        return round_void(name, "bore", axis.at(start), axis.direction, diameter, length - start, holes=holes)

    def shank() -> Void:
        diameter, length, _ = station.inputs("old.shank_bore", "old.body_len", "old.axis")
        axis, top = station.old_axis, plan.voids.top
        reach = (top - axis.at(length)[2]) / axis.direction[2] + diameter
        if reach <= diameter:
            raise MissingInput(station.inputs.path("old.body_len"))
        name = f"old_shank_bore_{station.name}"
        start = axis.at(length)
        return round_void(name, "bore", start, axis.direction, diameter, reach, holes=holes, top=top)

    def port() -> Void:
        diameter, bore, _ = station.inputs("port.old_dia", "old.body_bore", "old.axis")
        found, axis = station.port, station.old_axis
        start = np.asarray(found.foot) + found.start * np.asarray(found.direction)
        return port_void(
            f"old_port_{station.name}",
            start,
            found.direction,
            diameter,
            found.length - found.start,
            axis.point,
            axis.direction,
            bore,
            holes=holes,
            kind="port",
        )

    return [body, shank, port]
