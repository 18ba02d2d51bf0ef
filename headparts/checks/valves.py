"""V: valve heads against each other, the plug, the chamber wall, the piston and the cylinder."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from headparts.checks.circles import SAMPLES, circle, least_at, place_of, to_chamber_wall, turn
from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.handed import between
from headparts.checks.needs import absent
from headparts.checks.registry import check
from headparts.geometry.axis import Array
from headparts.geometry.convex import cylinder
from headparts.geometry.void import Void
from headparts.mechanics.compression import compression_ratio
from headparts.plan import MissingInput
from headparts.plan.derived import chamber_volume, clearance_volume, recess_volume, swept_volume
from headparts.plan.station import StationPlan, axis_of

RIM_POINTS = 720
"""Equal points on the rim that decide the shrouded share (definition of V03)."""


def head_body(station: StationPlan, lift_from: float, lift_to: float) -> Void:
    """The valve head, a cylinder, swept from one lift to another [mm]."""
    diameter, margin, _ = station.inputs("valve.head", "valve.margin", "axis")
    low = station.head_underside_s - lift_to
    length = margin + lift_to - lift_from
    body = cylinder(station.point(low), station.direction, diameter / 2.0, length)
    return Void(f"valve_{station.name}", "moving", (body,))


def rim(station: StationPlan, lift: float, angles: Array) -> Array:
    """Points of the lower rim at a lift [mm] and at given angles [rad], shape (n, 3)."""
    return circle(station, station.head_underside_s - lift, station.inputs.one("valve.head") / 2.0, angles)


@check("V01", per="exhaust~intake", needs="voids")
def head_gap(context: Context) -> Iterator[Finding]:
    """Gap between the two valve heads, closed and at the overlap lifts."""
    stations = context.plan.stations
    if len(stations) < 2:
        raise MissingInput(*(f"stations.{name}" for name in ("intake", "exhaust") if name not in stations))
    for case, name in (("closed", ""), ("overlap", "overlap")):
        try:
            bodies = []
            for station in stations.values():
                lift = float(station.inputs.one("valve.lift_tdc")) if case == "overlap" else 0.0
                bodies.append(head_body(station, lift, lift))
            wall = context.walls.one(bodies[0], bodies[1])
        except MissingInput as gap:
            keys = [key for id_ in ("V01", f"V01/{case}") for key in absent(context.plan, id_)]
            yield from context.not_run("V01", "exhaust~intake", MissingInput(*gap.keys, *keys), case=case)
            continue
        yield context.judge(
            "V01",
            "exhaust~intake",
            "head_gap",
            wall.value,
            name=name,
            case=case,
            at=wall.at,
            bounds=(wall.lower, wall.upper),
            method=wall.method,
            advice="move the valves apart, or take smaller heads",
            **between(wall.value, wall.at, (bodies[0], bodies[1])),
        )


@check("V02", per="station", needs="voids")
def plug_gap(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Valve head at any lift to the nose of the plug."""
    blocks = [block for block in context.plan.voids.cavity_blocks if block.kind == "gas"]
    if not blocks:
        if context.plan.voids.cavity_blocks:
            yield from context.none_here("V02", subject=station.name)
            return
        raise MissingInput("head.cavities")
    given = [block for block in blocks if block.plug_reach is not None]
    if not given:
        raise MissingInput(*(f"head.cavities.{block.name}.plug_reach" for block in blocks))
    bare = [block.name for block in blocks if block.plug_reach is None]
    note = f"not looked at, without plug_reach: {', '.join(bare)}" if bare else ""
    swept = head_body(station, 0.0, float(station.inputs.one("valve.lift")))
    walls = []
    for block in given:
        axis = axis_of(block.axis)
        if block.plug_reach <= 0.0:
            continue
        start = np.asarray(axis.point) - block.plug_reach * np.asarray(axis.direction)
        nose = Void(
            f"{block.name}_nose", "gas", (cylinder(start, axis.direction, block.dia / 2.0, block.plug_reach),)
        )
        walls.append((context.walls.one(swept, nose), nose))
    if not walls:
        flush = "no plug stands out"
        yield context.judge(
            "V02",
            station.name,
            "plug_gap",
            None,
            verdict="pass",
            note=f"{flush}; {note}" if note else flush,
        )
        return
    nearest, nose = min(walls, key=lambda each: each[0].value)
    yield context.judge(
        "V02",
        station.name,
        "plug_gap",
        nearest.value,
        at=nearest.at,
        bounds=(nearest.lower, nearest.upper),
        method=nearest.method,
        advice="a shorter plug, or the valve further from it",
        note=note,
        **between(nearest.value, nearest.at, (swept, nose)),
    )


@check("V03", per="station")
def rim_gap(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Closed rim to the chamber wall, and the share of the rim shrouded at half lift."""
    context.inputs.one("head.chamber")
    chamber = context.plan.voids.chamber
    gap, where = least_at(lambda angles: chamber.wall_distance(rim(station, 0.0, angles)))
    yield context.judge(
        "V03",
        station.name,
        "rim_gap",
        gap,
        terms=to_chamber_wall(chamber, rim(station, 0.0, where)),
        method="rim points, refined",
        advice="move the valve inward, or relieve the chamber wall",
    )
    try:
        lift = float(station.inputs.one("valve.lift"))
    except MissingInput as gap:
        yield from context.not_run("V03", station.name, gap, only="shrouded_share")
        return
    gaps = chamber.wall_distance(rim(station, lift / 2.0, turn(RIM_POINTS)))
    yield context.judge(
        "V03",
        station.name,
        "shrouded_share",
        float(np.mean(gaps < lift / 2.0)),
        name="shrouded_share",
        terms={"shrouded": float(np.sum(gaps < lift / 2.0))},
        method="720 rim points",
        advice="relieve the chamber wall beside the valve",
    )


@check("V04", per="intake")
def head_over_bore(context: Context) -> Iterator[Finding]:
    """Intake valve head over the cylinder bore."""
    head, bore = context.inputs("stations.intake.valve.head", "engine.bore")
    yield context.judge(
        "V04", "intake", "head_over_bore", head / bore, advice="0.42 to 0.50 of the bore is usual"
    )


@check("V05", per="exhaust~intake")
def exhaust_over_intake(context: Context) -> Iterator[Finding]:
    """Exhaust valve head over the intake's."""
    exhaust, intake = context.inputs("stations.exhaust.valve.head", "stations.intake.valve.head")
    yield context.judge(
        "V05", "exhaust~intake", "exhaust_over_intake", exhaust / intake, advice="0.80 to 0.92 is usual"
    )


@check("V06", per="station")
def throat_over_head(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Throat over the valve head."""
    throat, head = station.inputs("bushing.bowl.throat", "valve.head")
    yield context.judge(
        "V06", station.name, "throat_over_head", throat / head, advice="0.83 to 0.90 of the head is usual"
    )


@check("V07", per="station")
def seat_inner_minus_throat(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Seat inner diameter less throat: the whole seat width must exist."""
    throat = station.inputs.one("bushing.bowl.throat")
    yield context.judge(
        "V07",
        station.name,
        "seat_inner_minus_throat",
        station.seat_inner - throat,
        advice=f"a throat of at most {station.seat_inner:.3f}, or a narrower seat",
    )


@check("V08", per="station")
def overhang(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Valve head beyond the seat's outer edge, on the radius."""
    head, outer = station.inputs("valve.head", "bushing.seat.outer")
    yield context.judge(
        "V08",
        station.name,
        "overhang",
        (head - outer) / 2.0,
        advice="cut the seat's outer edge to suit the valve head",
    )


@check("V09", per="station")
def margin(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Cylindrical land at the edge of the valve."""
    yield context.judge(
        "V09",
        station.name,
        "margin",
        station.inputs.one("valve.margin"),
        name="exhaust" if station.name == "exhaust" else "",
        method="as given",
        advice="a valve with more land: a thin edge burns and glows",
    )


@check("V10", per="station")
def piston_gap(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Lowest edge of the valve at the overlap to the piston at top dead centre."""
    head, lift, _ = station.inputs("valve.head", "valve.lift_tdc", "axis")
    gasket, deck = context.inputs("engine.gasket.compressed", "engine.deck")
    tilt = float(np.arccos(min(1.0, station.direction[2])))
    lowest = float(station.point(station.head_underside_s)[2]) - head / 2.0 * float(np.sin(tilt))
    stack = (
        gasket
        - context.inputs.half_width("engine.gasket.compressed")
        + deck
        - context.inputs.half_width("engine.deck")
    )
    bare = [key for key in ("engine.gasket.compressed", "engine.deck") if not context.inputs.half_width(key)]
    note = f"u of {' and '.join(bare)} not given: taken as 0" if bare else ""
    yield context.judge(
        "V10",
        station.name,
        "piston_gap",
        lowest + stack - lift * float(np.cos(tilt)),
        name="exhaust" if station.name == "exhaust" else "",
        advice="a thicker gasket, less lift at the overlap, or the valve sunk deeper; prove with clay",
        note=note,
    )


@check("V11", per="station")
def bore_gap(context: Context, station: StationPlan) -> Iterator[Finding]:
    """Open valve below the joint face to the cylinder wall, over all lifts."""
    bore = float(context.inputs.one("engine.bore"))
    lift = float(station.inputs.one("valve.lift"))
    margin_length = float(station.inputs.one("valve.margin"))
    low, high = -lift, margin_length

    def candidates(angles: Array) -> list[tuple[Array, Array]]:
        """Points of the land, and how far each is from the bore axis; -inf where it is above the joint face."""
        base = rim(station, 0.0, angles)
        d = station.direction
        cross = np.clip(-base[:, 2] / d[2], low, high)
        ends = [base + along[:, None] * d for along in (np.full(len(angles), low), cross)]
        return [(p, np.where(p[:, 2] <= 1e-12, np.hypot(p[:, 0], p[:, 1]), -np.inf)) for p in ends]

    def reach(angles: Array) -> Array:
        """Greatest distance from the bore axis below the joint face, shape (n,); -inf where none is below."""
        (_, first), (_, second) = candidates(angles)
        return np.maximum(first, second)

    if not np.any(np.isfinite(reach(turn(SAMPLES)))):
        yield context.judge(
            "V11", station.name, "bore_gap", None, verdict="pass", note="never below the joint face"
        )
        return
    lowest, where = least_at(lambda angles: -reach(angles))
    farthest = -lowest
    point, _ = max(candidates(where), key=lambda each: float(each[1][0]))
    yield context.judge(
        "V11",
        station.name,
        "bore_gap",
        bore / 2.0 - farthest,
        terms={"far_point": place_of(point)},
        method="rim points, refined",
        advice="move the valve inward, less lift, or relieve the cylinder's edge",
    )


@check("V12", per="engine")
def compression_change(context: Context) -> Iterator[Finding]:
    """Change of the compression ratio by the recess of the new bushings."""
    plan = context.plan
    swept, old = swept_volume(plan), clearance_volume(plan)
    new = old + recess_volume(plan)
    value = float(compression_ratio(swept, new)) - float(compression_ratio(swept, old))
    yield context.judge(
        "V12",
        "engine",
        "compression_change",
        value,
        terms={"chamber_volume": chamber_volume(plan)},
        advice="less face_above_roof, or a thinner gasket if V10 allows",
    )
