"""From the plan of a job to the head's casting and cuts: finished, or as it was found."""

from __future__ import annotations

from typing import Any

import numpy as np

from headparts.parts import head_tools as tools
from headparts.parts.ask import Ask, work_out
from headparts.parts.from_plan import material_of
from headparts.parts.given_head import cut_given
from headparts.parts.head import head
from headparts.parts.head_parameters import HeadParameters, Range
from headparts.parts.head_tools import BEYOND, Tool
from headparts.parts.part import Part
from headparts.parts.scan_head import COARSEST, ScanHead, cut_scan
from headparts.plan import MissingInput, Plan
from headparts.plan.station import StationPlan, axis_of

Vector = tuple[float, float, float]
NAME = "head_section"


def head_parameters(plan: Plan, as_found: bool = False) -> HeadParameters:
    """Casting and cuts; ``as_found`` gives the old bores and ports instead of the new ones.

    Of a head given as a solid without an outline, the box round it.
    """
    x, y, z = _spans(plan)
    core, fins = plan.inputs.get("head.core"), plan.inputs.get("head.fins")
    made = [*_chamber(plan), *_cavities(plan)]
    for station in plan.stations.values():
        made += _found(plan, station) if as_found else _finished(plan, station)
    if not as_found:
        made += _sleeve_bores(plan)
    return HeadParameters(
        x,
        y,
        z,
        tuple(made),
        core.x if core else None,
        core.y if core else None,
        fins.z if fins else None,
        fins.pitch if fins else None,
        fins.thick if fins else None,
    )


def head_part(plan: Plan, as_found: bool = False, ask: Ask = work_out) -> Part:
    """The head, cut once and proven; KernelError when it cannot be proven. A scan has no solid: see ``scan_part``."""
    name, density = material_of(plan, "head.material")
    called = "head_as_found" if as_found else NAME
    given = plan.given
    if given is None:
        return head(head_parameters(plan, as_found), called, name, density, ask)
    if given.solid is None:
        raise MissingInput(
            "head.solid.file",
            note="a head given as STL is triangles, not a solid: it is cut by scan_part",
        )
    return cut_given(given.solid, given.skin, _cuts(plan, as_found), called, name, density)


def scan_part(plan: Plan, as_found: bool = False) -> ScanHead | None:
    """The cut head where the job gives it as STL, else None; KernelError when the cut cannot be proven."""
    given = plan.given
    if given is None or given.solid is not None:
        return None
    name, density = material_of(plan, "head.material")
    file = str(plan.inputs.one("head.solid").file)
    tolerance = float(plan.inputs.get("export.stl_tol") or COARSEST)
    called = "head_as_found" if as_found else NAME
    return cut_scan(given.skin, _cuts(plan, as_found), called, file, tolerance, name, density)


def describes_head(plan: Plan) -> bool:
    """Whether the job says enough of its head to make a solid of it."""
    return plan.job.head is not None and (
        plan.inputs.get("head.outline") is not None or plan.inputs.get("head.solid") is not None
    )


def _spans(plan: Plan) -> tuple[Range, Range, Range]:
    if plan.inputs.get("head.outline") is None and plan.given is not None:
        low, high = (each.tolist() for each in plan.given.skin.box)
        return (low[0], high[0]), (low[1], high[1]), (low[2], high[2])
    outline = plan.inputs.one("head.outline")
    return outline.x, outline.y, outline.z


def _cuts(plan: Plan, as_found: bool) -> HeadParameters:
    """What is newly cut into a given head, in the box round it: its chamber and cavities are there already."""
    made: list[Tool] = []
    if not as_found:
        for station in plan.stations.values():
            made += _finished(plan, station)
        made += _sleeve_bores(plan)
    assert plan.given is not None
    low, high = (each.tolist() for each in plan.given.skin.box)
    return HeadParameters((low[0], high[0]), (low[1], high[1]), (low[2], high[2]), tuple(made))


def _chamber(plan: Plan) -> list[Tool]:
    block = plan.inputs.get("head.chamber")
    if block is None:
        return []
    if block.type == "disc":
        return [tools.chamber_disc(block.dia, block.depth)]
    if block.type == "dome":
        return [tools.chamber_dome(block.base_radius, block.depth)]
    if block.type == "bathtub":
        return [tools.chamber_bathtub(block.length, block.width, block.depth, block.corner)]
    raise MissingInput("head.chamber", note="a head with a mesh chamber is not built yet")


def _cavities(plan: Plan) -> list[Tool]:
    made = []
    for block in plan.voids.cavity_blocks:
        axis = axis_of(block.axis)
        role = "thread" if block.kind == "thread" else "cavity"
        made.append(tools.cavity(block.name, axis.point, axis.direction, block.dia, block.len, role))
        if role == "thread" and block.tap_dia is not None and block.drill_depth is not None:
            made += _tapped(plan, block)
    return made


def _tapped(plan: Plan, block: Any) -> list[Tool]:
    start, direction = plan.voids.drilled_from(block)
    bottom = _vector(start + block.drill_depth * direction)
    hole = tools.cavity(
        f"{block.name}_drill", _vector(start), _vector(direction), block.tap_dia, block.drill_depth
    )
    return [hole, tools.drill_point(f"{block.name}_point", bottom, _vector(direction), block.tap_dia)]


def _finished(plan: Plan, station: StationPlan) -> list[Tool]:
    body, length, shank, _ = station.inputs(
        "bushing.body.dia", "bushing.body.len", "bushing.shank.dia", "axis"
    )
    top = plan.voids.top_over(station)
    point, direction = station.axis.point, station.axis.direction
    made = [
        tools.body_bore(station.name, point, direction, body, length),
        tools.shank_bore(station.name, point, direction, shank, length, top),
    ]
    if plan.voids.has_pocket(station.name):
        diameter, floor = station.inputs("spring.pocket.dia", "spring.pocket.floor_s")
        made.append(tools.pocket(station.name, point, direction, diameter, floor, top))
    if station.inputs.get("port") is not None:
        made += _port(plan, station, station.port.diameter, (point, direction, body, length))
    return made


def _port(
    plan: Plan, station: StationPlan, diameter: float, body: tuple[Vector, Vector, float, float] | None
) -> list[Tool]:
    port = station.port
    reach = _past_the_casting(plan)
    length = port.length + _slant(station, diameter)
    return [
        tools.port(station.name, port.foot, port.direction, diameter, length, body),
        tools.port_clearance(
            station.name,
            port.face_centre,
            port.direction,
            port.clearing_diameter,
            _seat_normal(station),
            reach,
        ),
    ]


def _slant(station: StationPlan, diameter: float) -> float:
    """How much further a bore runs so that its whole circle passes a slanted face, and a little more [mm]."""
    cosine = float(np.dot(station.port.direction, _seat_normal(station)))
    return diameter / 2.0 * float(np.sqrt(max(1.0 / cosine**2 - 1.0, 0.0))) + BEYOND


def _seat_normal(station: StationPlan) -> Vector:
    """Normal of what is cleared before the port: square to the port where it is spot-faced."""
    spot = station.inputs.get("port.drill.spot_face")
    return station.port.direction if spot is not None else station.port.face_normal


def _past_the_casting(plan: Plan) -> float:
    return float(sum(span[1] - span[0] for span in _spans(plan)))


def _found(plan: Plan, station: StationPlan) -> list[Tool]:
    body, length, shank, _ = station.inputs("old.body_bore", "old.body_len", "old.shank_bore", "old.axis")
    top = plan.voids.top
    point, direction = station.old_axis.point, station.old_axis.direction
    made = [
        tools.body_bore(station.name, point, direction, body, length),
        tools.shank_bore(station.name, point, direction, shank, length, top),
    ]
    old_port = station.inputs.get("port.old_dia")
    if old_port is not None:
        made += _port(plan, station, float(old_port), (point, direction, body, length))
    return made


def _sleeve_bores(plan: Plan) -> list[Tool]:
    made = []
    for repair in plan.repairs.values():
        station = repair.station
        body, length = station.inputs("bushing.body.dia", "bushing.body.len")
        port = station.port
        made.append(
            tools.sleeve_bore(
                repair.name,
                port.foot,
                port.direction,
                repair.bore_diameter,
                port.length + _slant(station, repair.bore_diameter),
                (station.axis.point, station.axis.direction, body, length),
            )
        )
    return made


def _vector(array: Any) -> Vector:
    return float(array[0]), float(array[1]), float(array[2])
