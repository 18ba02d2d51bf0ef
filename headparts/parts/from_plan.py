"""From the plan of a job to the parameters of its parts, each at its place in the head."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from headparts.errors import TableError
from headparts.geometry.axis import Axis, Frame
from headparts.geometry.window import PortInBody
from headparts.parts.ask import Ask, work_out
from headparts.parts.bushing import BushingParameters, bushing
from headparts.parts.part import Part, Placement
from headparts.parts.sleeve import SleeveParameters, sleeve
from headparts.parts.spacer import SpacerParameters, spacer
from headparts.parts.valve import ValveParameters, valve
from headparts.plan import MissingInput, Plan
from headparts.plan.needs import Inputs
from headparts.plan.port import PortPlan
from headparts.plan.repair import RepairPlan
from headparts.plan.sizes import turned_diameters
from headparts.plan.station import StationPlan
from headparts.tables.materials import band

Vector = tuple[float, float, float]

FLAT_DEPTH, FLAT_LENGTH = 0.45, 0.25
"""Clock flat on the shank's top: distance from the axis and length, over the shank's diameter, to 0.1 mm (common
practice, no source; the job file says only that there is a mark)."""


@dataclass(frozen=True)
class Wanted:
    """A part that the job describes: its name, and how to build it (MissingInput names what it lacks)."""

    name: str
    build: Callable[[], Part]


def wanted_parts(plan: Plan, ask: Ask = work_out) -> list[Wanted]:
    """Every part that the job has a block for: bushings, sleeves, spacer. ``ask``: for what needs no kernel."""
    made = [
        Wanted(f"bushing_{name}", lambda s=station: bushing_part(plan, s, ask))  # type: ignore[misc]
        for name, station in plan.stations.items()
        if station.inputs.get("bushing") is not None
    ]
    made += [
        Wanted(name, lambda r=repair: sleeve_part(plan, r))  # type: ignore[misc]
        for name, repair in plan.repairs.items()
        if repair.inputs.get("sleeve") is not None
    ]
    if plan.inputs.get("rocker.spacer") is not None:
        made.append(Wanted("spacer", lambda: spacer_part(plan)))
    return made


def material_of(plan: Plan, key: str) -> tuple[str | None, float | None]:
    """Name and density [g/cm3] of the material that a key names.

    The density is the job's own, else the middle of the project's table for a material of that name; it
    serves the mass only. None for what neither gives.
    """
    name = plan.inputs.get(key)
    block = (plan.job.materials or {}).get(name) if name is not None else None
    if block is not None and block.density is not None:
        return name, float(block.density)
    try:
        low, high = band(name, "density")
    except TableError:
        return name, None
    return name, (low + high) / 2.0


def station_frame(station: StationPlan) -> Placement:
    """Frame of a station's parts: origin s = 0, z up the valve axis, x toward the port."""
    if station.inputs.get("axis") is None:
        return Placement()
    z = station.direction
    hint = np.array([1.0, 0.0, 0.0]) if abs(z[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    if station.inputs.get("port.azim") is not None and station.inputs.get("port.elev") is not None:
        hint = np.asarray(station.port.direction)
    x = hint - (hint @ z) * z
    x /= np.linalg.norm(x)
    return Placement(_vector(station.point(0.0)), _vector(x), _vector(z))


def _vector(array: np.ndarray) -> Vector:
    return float(array[0]), float(array[1]), float(array[2])


def bushing_parameters(station: StationPlan) -> BushingParameters:
    """Sizes of a station's bushing as turned."""
    inputs = station.inputs.under("bushing")
    length, throat, roof, guide, outer, width, angle, top_cut, throat_cut, s_outer, _, _ = inputs(
        "body.len",
        "bowl.throat",
        "bowl.roof_s",
        "guide.bore",
        "seat.outer",
        "seat.width",
        "seat.angle",
        "seat.top_cut",
        "seat.throat_cut",
        "seat.s_outer",
        "body.dia",
        "shank.dia",
    )
    body, shank = turned_diameters(station)
    relief = inputs.get("shoulder.relief") is not False and inputs.get("body.undercut") is not None
    window = _window(station)
    return BushingParameters(
        body_diameter=body,
        body_length=length,
        shank_diameter=shank,
        top_s=station.top_s,
        guide_bore=guide,
        throat_diameter=throat,
        roof_s=roof,
        seat_outer_diameter=outer,
        seat_width=width,
        seat_angle=angle,
        seat_outer_s=s_outer,
        top_cut_angle=top_cut,
        throat_cut_angle=throat_cut,
        body_lead_length=inputs.get("body.lead.len", 0.0),
        body_lead_angle=inputs.get("body.lead.angle", 10.0),
        shank_lead_length=inputs.get("shank.lead.len", 0.0),
        shank_lead_angle=inputs.get("shank.lead.angle", 10.0),
        relief_width=inputs.get("body.undercut.w") if relief else None,
        relief_depth=inputs.get("body.undercut.d") if relief else None,
        face_above_datum=inputs.get("body.face_above_roof", 0.0),
        clock_flat_depth=round(FLAT_DEPTH * inputs.one("shank.dia"), 1),
        clock_flat_length=round(FLAT_LENGTH * inputs.one("shank.dia"), 1),
        boss_diameter=inputs.get("bowl.boss_dia"),
        boss_length=inputs.get("bowl.boss_len"),
        boss_cone_angle=inputs.get("bowl.boss_cone_deg"),
        window_diameter=window[0] if window else None,
        window_s=window[1] if window else None,
        window_elevation=window[2] if window else 0.0,
        window_offset=window[3] if window else 0.0,
    )


def _window(station: StationPlan) -> tuple[float, float, float, float] | None:
    """Diameter, place on the valve axis, rise and sideways offset of the window; None without a port.

    Without an axis in the job the port's elevation is taken from the plane square to the valve axis.
    """
    if station.inputs.get("port") is None:
        return None
    axis = Axis((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)) if station.drawn_upright else station.axis
    port = PortPlan(station.name, station.inputs, lambda: axis)
    seen = PortInBody.of(axis, port.axis_endless, port.diameter / 2.0)
    frame = Frame.from_z_x(axis.point, axis.direction, port.direction)
    offset = float((np.asarray(port.foot) - np.asarray(frame.origin)) @ np.asarray(frame.y))
    diameter = port.diameter
    if station.inputs.get("bushing.window.match_port") is False:
        pre = station.inputs.get("bushing.window.pre_drill")
        diameter = float(pre) if pre not in (None, "none") else diameter
    return diameter, seen.foot_s, seen.rise, offset


def bushing_part(plan: Plan, station: StationPlan, ask: Ask = work_out) -> Part:
    """The bushing of a station, as turned and with its window."""
    name, density = material_of(plan, f"stations.{station.name}.bushing.material")
    return bushing(
        bushing_parameters(station), f"bushing_{station.name}", name, density, station_frame(station), ask
    )


def sleeve_parameters(repair: RepairPlan) -> SleeveParameters:
    """Sizes of a repair sleeve, nominal."""
    od, inner, end = repair.inputs("sleeve.od", "sleeve.id", "sleeve.inner_end")
    station = repair.station
    body, _ = station.inputs("bushing.body.dia", "axis")
    radius = repair.inputs.one("sleeve.saddle_radius") if end == "saddle" else body / 2.0
    flange = repair.inputs.get("sleeve.outer_end.flange")
    has_flange = flange is not None and flange != "none"
    frame = sleeve_frame(repair)
    y = np.cross(frame.z, frame.x)
    offset = float((np.asarray(station.axis.point) - np.asarray(frame.origin)) @ y)
    return SleeveParameters(
        outer_diameter=od,
        inner_diameter=inner,
        face_distance=station.port.length - repair.port_in_body.foot_t,
        saddle_radius=radius,
        axis_angle=station.port.angle_to_valve_axis,
        axis_offset=offset,
        inner_end=end,
        outer_end="flange" if has_flange else "flush",
        flange_diameter=flange.dia if has_flange else None,
        flange_thickness=flange.thick if has_flange else None,
    )


def sleeve_frame(repair: RepairPlan) -> Placement:
    """Frame of a sleeve: origin nearest to the valve axis, z out along the port, x with the valve axis."""
    station = repair.station
    z = np.asarray(station.port.direction)
    x = station.direction - (station.direction @ z) * z
    x /= np.linalg.norm(x)
    origin = np.asarray(station.port.foot) + repair.port_in_body.foot_t * z
    return Placement(_vector(origin), _vector(x), _vector(z))


def sleeve_part(plan: Plan, repair: RepairPlan) -> Part:
    """The sleeve of a repair."""
    name, density = material_of(plan, f"repairs.{repair.name}.sleeve.material")
    return sleeve(sleeve_parameters(repair), repair.name, name, density, sleeve_frame(repair))


def spacer_parameters(plan: Plan) -> SpacerParameters:
    """Sizes of the spacer under the rocker post."""
    inputs: Inputs = plan.inputs
    base, thick, hole = inputs("rocker.post.base", "rocker.spacer.thick", "rocker.spacer.hole")
    oil = inputs.get("rocker.spacer.oil_hole")
    has_oil = oil is not None and oil != "none"
    return SpacerParameters(
        length=base[0],
        width=base[1],
        thickness=thick,
        hole_diameter=hole,
        oil_hole_diameter=oil.dia if has_oil else None,
        oil_hole_at=tuple(oil.at) if has_oil else None,
    )


def spacer_part(plan: Plan) -> Part:
    """The spacer under the rocker post."""
    parameters = spacer_parameters(plan)
    name, density = material_of(plan, "rocker.spacer.material")
    at, outline = plan.inputs.get("rocker.post.at"), plan.inputs.get("head.outline")
    place = Placement()
    if at is not None and outline is not None:
        place = Placement((float(at[0]), float(at[1]), float(outline.z[1])))
    return spacer(parameters, "spacer", name, density, place)


def valve_parameters(station: StationPlan, lift: float = 0.0, swept: float = 0.0) -> ValveParameters:
    """Sizes of a station's valve, see `valve_part`."""
    head, margin, stem, outer, s_outer, angle, _ = station.inputs(
        "valve.head",
        "valve.margin",
        "valve.stem",
        "bushing.seat.outer",
        "bushing.seat.s_outer",
        "bushing.seat.angle",
        "axis",
    )
    return ValveParameters(head, margin + swept, stem, station.tip_s, outer, s_outer, angle, lift)


def valve_part(station: StationPlan, lift: float = 0.0, swept: float = 0.0) -> Part:
    """The valve of a station at a lift, for clearances; or all that it passes through from there on.

    ``swept`` [mm] more lift: its land is that much longer, downward, and nothing else grows, for the face and the
    stem above it only move away.
    """
    parameters = valve_parameters(station, lift, swept)
    return valve(parameters, f"valve_{station.name}", placement=station_frame(station))


def named(plan: Plan, name: str) -> Wanted:
    """The part of this name; MissingInput when the job has none."""
    for part in wanted_parts(plan):
        if part.name == name:
            return part
    raise MissingInput(name, note=f"the job has no part {name!r}")
