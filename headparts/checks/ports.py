"""P: side ports: entry, floor to the chamber, drill depth, area, lip, speed, stock."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from headparts.checks.chamber_walls import chamber_wall
from headparts.checks.context import Context
from headparts.checks.finding import Finding, Value
from headparts.checks.handed import between
from headparts.checks.needs import absent
from headparts.checks.registry import check
from headparts.checks.table import UsedLimit
from headparts.checks.walls import bounds_of
from headparts.geometry.window import PortInBody, depth_to_far_wall, depth_to_pass, roof_gap
from headparts.mechanics.gas_flow import (
    mach_index,
    mean_piston_speed,
    port_speed,
    round_area,
)
from headparts.mechanics.machining import joint_lip, stock_left
from headparts.plan import MissingInput
from headparts.plan.derived import opening_area, throat_annulus, window_of
from headparts.plan.station import StationPlan


def subject(station: StationPlan) -> str:
    """Name of the station's port."""
    return f"port_{station.name}"


def narrowest(context: Context, station: StationPlan) -> float:
    """Port diameter, or a sleeve's inner diameter where that is less [mm]."""
    diameter = station.port.diameter
    for repair in context.plan.repairs.values():
        if repair.inputs.get("in_port") == station.name:
            inner = repair.inputs.get("sleeve.id")
            if inner is not None:
                diameter = min(diameter, float(inner))
    return diameter


@check("P02", per="port")
def entry(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Drill to the face's normal; for information where a spot face squares it."""
    spot = station.inputs.get("port.drill.spot_face") is not None
    station.inputs.one("port.face")
    yield context.judge(
        "P02",
        subject(station),
        "entry_angle",
        station.port.entry_angle,
        variant="" if station.inputs.get("port.face.x") is not None else "square",
        limit=UsedLimit(None, None, None, False) if spot else None,
        note="spot-faced square to the port" if spot else "",
        advice="spot-face the entry: a two-lip drill walks on a slope; clamp the head",
    )


@check("P03", per="port", needs="voids")
def floor(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Port to the combustion chamber, without what lies inside the bushing's bore."""
    context.inputs.one("head.chamber")
    voids = context.plan.voids
    port = voids.port_like(station, subject(station), "port", station.port.diameter, trimmed=False)
    wall = chamber_wall(context, port)
    if wall.value == inf:
        raise MissingInput(station.inputs.path("port"), note="the port does not leave the bushing's bore")
    yield context.judge(
        "P03",
        subject(station),
        "wall",
        wall.value,
        at=wall.at,
        bounds=bounds_of(wall),
        method=wall.method,
        note=wall.remark or ("" if wall.proven else "unproven: the bounds have not met"),
        advice="raise the port or drill it smaller",
        **between(wall.value, wall.at, (port, voids.chamber.void) if voids.chamber_mesh is None else None),
    )


@check("P05", per="port")
def miss(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Distance of port axis and valve axis."""
    station.inputs.one("axis")
    yield context.judge(
        "P05",
        subject(station),
        "axis_miss",
        station.port.axis_miss,
        advice="aim at the valve axis",
        variant="on axis" if station.inputs.get("port.p.on_axis_s") is not None else "",
    )


@check("P06", per="port")
def drill_depth(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Tip depths from the face: clear of the window, and first at the far wall; gap to the bowl roof."""
    throat, _ = station.inputs("bushing.bowl.throat", "axis")
    window = window_of(station)
    try:
        point, face = station.inputs.one("port.drill.point_angle"), station.port.length
    except MissingInput as gap:
        every = MissingInput(*gap.keys, *absent(context.plan, "P06/depth_window", station))
        for quantity in ("depth_window", "depth_to_pass", "depth_to_far_wall"):
            yield from context.not_run("P06", subject(station), every, only=quantity)
    else:
        yield from _depths(context, station, window, throat / 2.0, float(point), face)
    roof = station.inputs.get("bushing.bowl.roof_s")
    if roof is None:
        no_roof = MissingInput(station.inputs.path("bushing.bowl.roof_s"))
        yield from context.not_run("P06", subject(station), no_roof, only="roof_gap")
        return
    value = roof_gap(window, throat / 2.0, roof)
    note = "the drill marks the bowl roof" if value < 0 else ""
    yield context.judge(
        "P06",
        subject(station),
        "roof_gap",
        value,
        name="roof_gap",
        method="exact edge curve",
        note=note,
        terms={"throat_high": roof - value},
    )


def _depths(
    context: Context, station: StationPlan, window: PortInBody, throat: float, point: float, face: float
) -> Iterator[Finding]:
    clear = depth_to_pass(window, throat, face, point)
    far = depth_to_far_wall(window, throat, face, point)
    ends: dict[str, Value] = {"to_pass": clear, "to_far": far}
    yield context.judge(
        "P06",
        subject(station),
        "depth_window",
        far - clear,
        terms=ends,
        method="exact edge curves",
        advice="a flatter drill point, or finish with a reamer",
    )
    for quantity, value in (("depth_to_pass", clear), ("depth_to_far_wall", far)):
        yield context.judge(
            "P06", subject(station), quantity, value, name=quantity, method="exact edge curves", terms=ends
        )


@check("P07", per="port")
def area(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Port area over the least of valve opening and throat."""
    passes = min(opening_area(station), throat_annulus(station))
    value = float(round_area(narrowest(context, station))) / passes
    yield context.judge(
        "P07",
        subject(station),
        "port_area_ratio",
        value,
        advice="a larger port gains nothing behind this valve",
    )


@check("P08", per="port")
def lip(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Step that the flow can meet where port and mate join."""
    bore, position = station.inputs("port.mate.bore", "port.mate.position_u")
    port = narrowest(context, station)
    upstream, downstream = (bore, port) if station.name == "intake" else (port, bore)
    value = float(joint_lip(upstream, downstream, position))
    yield context.judge(
        "P08", subject(station), "lip", value, variant=station.name, advice="dowel the mate and match it"
    )


@check("P09", per="port")
def speeds(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Inlet Mach index and mean gas speed at rated speed."""
    bore, stroke, rpm = context.inputs("engine.bore", "engine.stroke", "engine.rated_rpm")
    piston = mean_piston_speed(stroke, rpm)
    head = station.inputs.get("valve.head")
    if head is None:
        gap = MissingInput(station.inputs.path("valve.head"))
        yield from context.not_run("P09", subject(station), gap, only="mach_index")
    else:
        yield context.judge("P09", subject(station), "mach_index", float(mach_index(bore, head, piston)))
    yield context.judge(
        "P09",
        subject(station),
        "port_speed",
        float(port_speed(bore, narrowest(context, station), piston)),
        name="port_speed",
    )


@check("P10", per="port")
def stock(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Metal left for the finish drill after pressing a pre-drilled bushing."""
    pre = station.inputs.one("bushing.window.pre_drill")
    if pre == "none":
        yield from context.none_here("P10", subject=subject(station))
        return
    start, clock = context.inputs("process.drill_start_u", "process.clock_u")
    body = float(station.inputs.one("bushing.body.dia"))
    value = float(stock_left(station.port.diameter, pre, start, body, clock))
    yield context.judge("P10", subject(station), "stock_left", value, advice="a smaller pre-drill")
