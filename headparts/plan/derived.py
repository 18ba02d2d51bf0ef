"""What the rules work out and nobody judges: unit vectors, feet, lengths, areas, volumes, spring forces."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import cos, pi, radians

from headparts.errors import GeometryError, ParameterError
from headparts.geometry.quadrature import PlainBushing, plain_bushing_volume
from headparts.geometry.window import PortInBody, window_area
from headparts.mechanics.gas_flow import round_area, seat_opening_area, throat_area
from headparts.mechanics.rocker import pushrod_change_needed, rocker_ratio
from headparts.mechanics.spring import installed_length, spring_force
from headparts.plan.needs import MissingInput
from headparts.plan.plan import Plan
from headparts.plan.sleeve_cover import uncovered_area
from headparts.plan.station import StationPlan, axis_of
from headparts.plan.true_place import gap_by_width, true_place

Value = tuple[str, str, float, str]
"""(subject, quantity, value, unit)."""


def derived(plan: Plan) -> list[Value]:
    """Every derived value that the job file is complete enough for; what its sizes rule out is left out."""
    made: list[Value] = []
    for subject, quantity, unit, make in _asked(plan):
        try:
            made.append((subject, quantity, float(make()), unit))
        except (MissingInput, GeometryError, ParameterError):
            continue
    return made


Asked = tuple[str, str, str, Callable[[], float]]


def _asked(plan: Plan) -> Iterator[Asked]:
    for station in plan.stations.values():
        yield from _station(station)
        yield from _port(station)
        yield f"bushing_{station.name}", "plain_volume", "mm3", lambda s=station: plain_volume(s)  # type: ignore[misc]
    yield from _cavities(plan)
    yield from _engine(plan)
    yield from _rocker(plan)
    for name, repair in plan.repairs.items():
        yield name, "length_min", "mm", lambda r=repair: r.saddle.length_min  # type: ignore[misc]
        yield name, "length_max", "mm", lambda r=repair: r.saddle.length_max  # type: ignore[misc]
        yield name, "volume", "mm3", lambda r=repair: r.saddle.volume.value  # type: ignore[misc]
        yield name, "axis_gap_measured", "mm", lambda r=repair: true_place(r).gap  # type: ignore[misc]
        yield name, "cavity_shift", "mm", lambda r=repair: true_place(r).nearer  # type: ignore[misc]
        yield name, "opening_around_there", "mm", lambda r=repair: true_place(r).around  # type: ignore[misc]
        yield name, "axis_gap_by_width", "mm", lambda r=repair: gap_by_width(r)  # type: ignore[misc]
        yield name, "uncovered_area", "mm2", lambda r=repair: uncovered_area(r)  # type: ignore[misc]
        yield name, "uncovered_area_worst", "mm2", lambda r=repair: uncovered_area(r, True)  # type: ignore[misc]


def _station(station: StationPlan) -> Iterator[Asked]:
    name = station.name
    for k, letter in enumerate("xyz"):
        yield name, f"axis_dir_{letter}", "", lambda k=k: station.axis.direction[k]  # type: ignore[misc]
    yield name, "seat_inner", "mm", lambda: station.seat_inner
    yield name, "seat_inner_edge_s", "mm", lambda: station.seat_inner_edge_s
    yield name, "head_underside_s", "mm", lambda: station.head_underside_s
    yield name, "throat_area", "mm2", lambda: throat_annulus(station)
    yield name, "opening_area", "mm2", lambda: opening_area(station)
    yield name, "port_area", "mm2", lambda: float(round_area(station.inputs.one("port.dia")))
    yield name, "window_area_od", "mm2", lambda: window_area_od(station)
    yield name, "tip_s", "mm", lambda: station.tip_s
    yield name, "tip_rise", "mm", lambda: station.tip_rise
    yield name, "tip_rise_z", "mm", lambda: station.tip_rise_z
    yield name, "installed_length", "mm", lambda: installed(station)
    yield name, "force_closed", "N", lambda: _force(station, 0.0)
    yield name, "force_open", "N", lambda: _force(station, float(station.inputs.one("valve.lift")))


def throat_annulus(station: StationPlan) -> float:
    """Throat less stem [mm2]."""
    throat, stem = station.inputs("bushing.bowl.throat", "valve.stem")
    return float(throat_area(throat, stem))


def opening_area(station: StationPlan) -> float:
    """Valve opening at full lift by the first two stages, not capped by the throat [mm2]."""
    lift, outer, width, angle = station.inputs(
        "valve.lift", "bushing.seat.outer", "bushing.seat.width", "bushing.seat.angle"
    )
    return float(seat_opening_area(lift, outer, width * cos(radians(angle)), angle))


def window_of(station: StationPlan) -> PortInBody:
    """The port's cylinder in the station frame."""
    port = station.port
    station.inputs("axis", "port.dia")
    return PortInBody.of(station.axis, port.axis_endless, port.diameter / 2.0)


def window_area_od(station: StationPlan) -> float:
    """Area of the window on the body's cylinder [mm2]."""
    return float(window_area(window_of(station), station.inputs.one("bushing.body.dia") / 2.0))


def installed(station: StationPlan) -> float:
    """Installed spring length [mm]."""
    below, shim = station.inputs("spring.retainer_below_tip", "spring.shim")
    return float(installed_length(station.tip_s, below, station.spring_seat_s, shim))


def _force(station: StationPlan, lift: float) -> float:
    free, rate = station.inputs("spring.free", "spring.rate")
    return float(spring_force(free, rate, installed(station) - lift))


def _port(station: StationPlan) -> Iterator[Asked]:
    subject, port = f"port_{station.name}", station.port_or_none
    if port is None:
        return
    for k, letter in enumerate("xyz"):
        yield subject, f"dir_{letter}", "", lambda k=k: port.direction[k]  # type: ignore[misc]
        yield subject, f"foot_{letter}", "mm", lambda k=k: port.foot[k]  # type: ignore[misc]
        yield subject, f"face_centre_{letter}", "mm", lambda k=k: port.face_centre[k]  # type: ignore[misc]
    yield subject, "length", "mm", lambda: port.length
    yield subject, "angle_to_valve_axis", "deg", lambda: port.angle_to_valve_axis


def plain_volume(station: StationPlan) -> float:
    """Plain bushing, bore sizes, with its window [mm3] (AS28)."""
    body, length, shank, throat, roof, guide, _ = station.inputs(
        "bushing.body.dia",
        "bushing.body.len",
        "bushing.shank.dia",
        "bushing.bowl.throat",
        "bushing.bowl.roof_s",
        "bushing.guide.bore",
        "axis",
    )
    plain = PlainBushing(body / 2.0, shank / 2.0, throat / 2.0, guide / 2.0, length, roof, station.top_s)
    return float(plain_bushing_volume(plain, window_of(station)).value)


def _cavities(plan: Plan) -> Iterator[Asked]:
    for block in plan.voids.cavity_blocks:
        direction = axis_of(block.axis).direction
        if abs(direction[2] - 1.0) < 1e-12:
            continue
        for k, letter in enumerate("xyz"):
            yield block.name, f"axis_dir_{letter}", "", lambda d=direction, k=k: d[k]  # type: ignore[misc]


def swept_volume(plan: Plan) -> float:
    """Swept volume [mm3]."""
    bore, stroke = plan.inputs("engine.bore", "engine.stroke")
    return float(pi / 4.0 * bore**2 * stroke)


def chamber_volume(plan: Plan) -> float:
    """Chamber above the joint face [mm3]."""
    plan.inputs.one("head.chamber")
    return plan.voids.chamber.volume


def clearance_volume(plan: Plan) -> float:
    """Chamber, gasket and deck as found [mm3]; flat piston, valve heads left out."""
    bore, compressed, gasket_bore, deck = plan.inputs(
        "engine.bore", "engine.gasket.compressed", "engine.gasket.bore", "engine.deck"
    )
    return float(chamber_volume(plan) + pi / 4.0 * (gasket_bore**2 * compressed + bore**2 * deck))


def recess_volume(plan: Plan) -> float:
    """What the gas faces of the new bushings add [mm3]."""
    total = 0.0
    for station in plan.stations.values():
        above, diameter = station.inputs("bushing.body.face_above_roof", "bushing.body.dia")
        total += pi / 4.0 * diameter**2 * above
    return total


def _engine(plan: Plan) -> Iterator[Asked]:
    yield "engine", "swept_volume", "cm3", lambda: swept_volume(plan) / 1000.0
    yield "engine", "chamber_volume", "cm3", lambda: chamber_volume(plan) / 1000.0
    yield "engine", "clearance_volume", "cm3", lambda: clearance_volume(plan) / 1000.0


def mean_tip_rise(plan: Plan) -> float:
    """Mean tip rise in z over the stations given [mm]."""
    rises: list[float] = []
    missing: list[str] = []
    for station in plan.stations.values():
        try:
            rises.append(station.tip_rise_z)
        except MissingInput as gap:
            missing += gap.keys
    if missing or not rises:
        raise MissingInput(*(missing or ["stations"]))
    return sum(rises) / len(rises)


def ratio(plan: Plan) -> float:
    """Rocker ratio, valve arm over pushrod arm."""
    valve, pushrod = plan.inputs("rocker.arm.valve", "rocker.arm.pushrod")
    return float(rocker_ratio(valve, pushrod))


def _rocker(plan: Plan) -> Iterator[Asked]:
    yield "rocker", "ratio", "", lambda: ratio(plan)
    yield (
        "rocker",
        "pushrod_change_needed",
        "mm",
        lambda: float(
            pushrod_change_needed(plan.inputs.one("rocker.spacer.thick"), mean_tip_rise(plan), ratio(plan))
        ),
    )
    for k, letter in enumerate("xy"):
        yield "spacer", f"box_{letter}", "mm", lambda k=k: float(_spacer(plan)[0][k])  # type: ignore[misc]
    yield "spacer", "box_z", "mm", lambda: float(_spacer(plan)[1])
    yield "spacer", "volume", "mm3", lambda: spacer_volume(plan)


def _spacer(plan: Plan) -> tuple[tuple[float, float], float, float]:
    base, thick, hole = plan.inputs("rocker.post.base", "rocker.spacer.thick", "rocker.spacer.hole")
    return base, thick, hole


def spacer_volume(plan: Plan) -> float:
    """Spacer with its holes, sharp edges [mm3]."""
    base, thick, hole = _spacer(plan)
    oil = plan.inputs.get("rocker.spacer.oil_hole")
    area = base[0] * base[1] - pi / 4.0 * hole**2
    if oil is not None and oil != "none":
        area -= pi / 4.0 * oil.dia**2
    return float(area * thick)
