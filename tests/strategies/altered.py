"""Example jobs altered so that something fails or warns, for advice on how to mend it.

Invented numbers; the blocks that a family of checks does not need are taken out, so that a run takes little time.
"""

from __future__ import annotations

from typing import Any

PUMP = "pump_26cc"
ONE_STATION: dict[str, Any] = {
    "stations.exhaust": None,
    "fits.body.interference": {"intake": 0.034},
    "rocker.lash_cold": {"intake": 0.08},
    "head.core": None,
    "head.fins": None,
    "temps": {
        "cold": {"head": 20, "intake_bush": 20},
        "running": {"head": 180, "intake_bush": 160},
        "heat_soak": {"head": 220, "intake_bush": 220},
    },
}
GEAR = {**ONE_STATION, "head.cavities": None, "head.outline": None, "head.chamber": None}
"""One station and the rocker gear, no head: no walls."""
PLAIN = {**ONE_STATION, "head.cavities": None, "head.outline": None}
"""One station in its chamber, no cavities."""
_TUNNEL = {
    "name": "tunnel",
    "kind": "oil",
    "axis": {"p": [5.0, -22.0, 0], "tilt": 0},
    "dia": 7.0,
    "len": 30,
    "u": 0.05,
}
_PLUG = {
    "name": "plug",
    "kind": "gas",
    "axis": {"p": [-0.6, 11.0, 3.3], "tilt": 20, "azim": 90},
    "dia": 10.0,
    "len": 14.0,
    "plug_reach": 0.5,
    "u": 0.05,
}
TUNNEL = {**ONE_STATION, "head.outline": None, "head.cavities": [_TUNNEL]}
"""One station beside a tunnel."""
PLUG = {**ONE_STATION, "head.outline": None, "head.cavities": [_PLUG]}
"""One station beside a plug's hole."""
CASTING = {**ONE_STATION, "head.cavities": None}
"""One station in its casting."""
PAIR = {
    "head.cavities": None,
    "head.outline": None,
    "head.core": None,
    "head.fins": None,
    "stations.intake.port": None,
    "stations.exhaust.port": None,
}
"""Both stations without their ports, no cavities."""

INTAKE = "stations.intake."
_GEAR: list[dict[str, Any]] = [
    {INTAKE + "bushing.body.dia": 15.2},
    {INTAKE + "bushing.seat.width": 0.7},
    {INTAKE + "bushing.seat.width": 1.6},
    {INTAKE + "port.p.on_axis_s": 6.2},
    {INTAKE + "port.p.on_axis_s": 10.5},
    {INTAKE + "port.dia": 12.5},
    {INTAKE + "port.dia": 13.9},
    {INTAKE + "bushing.bowl.roof_s": 16.9, INTAKE + "bushing.shank.top_z": 36.0},
    {INTAKE + "bushing.guide.bore": 3.98, INTAKE + "bushing.guide.pre_bore": 3.8},
    {INTAKE + "bushing.guide.bore": 4.03},
    {INTAKE + "bushing.shank.dia": 6.2},
    {INTAKE + "bushing.body.len": 14.5, INTAKE + "bushing.body.dia": 18.5, INTAKE + "old.body_len": 13.0},
    {INTAKE + "bushing.body.lead": {"len": 0.7, "angle": 18}},
    {INTAKE + "bushing.shoulder.head_corner_r": 0.45},
    {INTAKE + "bushing.shoulder.head_corner_r": 0.9},
    {INTAKE + "valve.lift_tdc": 2.2, "engine.gasket.compressed": 0.3},
    {INTAKE + "valve.margin": 0.6},
    {INTAKE + "bushing.bowl.throat": 13.2},
    {INTAKE + "bushing.bowl.throat": 12.95},
    {INTAKE + "bushing.seat.outer": 13.0, INTAKE + "bushing.bowl.throat": 11.0},
    {"fits.body.interference.intake": 0.015},
    {"fits.body.interference.intake": 0.06},
    {"fits.body.band": 0.012},
    {"fits.body.rz_bore": 14.0},
    {"fits.body.measure_u": 0.02},
    {"fits.assembly.head_T": 120},
    {"fits.assembly.head_T": 210},
    {"fits.assembly.press_limit": 5000, "fits.assembly.method": "press"},
    {INTAKE + "bushing.guide.ream_after_press": False, "fits.shank.interference": 0.05},
    {"rocker.spacer.thick": 4.0},
    {"rocker.spacer.thick": 0.5},
    {"rocker.pushrod.change": 3.0},
    {"rocker.arm.valve": 6.0},
    {"rocker.post.stud_projection": 20.0},
    {"rocker.post.thread_in_head": 7.5},
    {"rocker.cover_clearance": 3.0},
    {"rocker.spacer.parallel": 0.03},
    {"rocker.spacer.oil_hole.at": [8.0, -0.8]},
    {INTAKE + "spring.shim": 4.5},
    {INTAKE + "spring.shim": 0.2},
    {INTAKE + "bushing.shank.top_z": 42.0},
    {INTAKE + "valve.groove_below_tip": 4.2},
    {INTAKE + "old.body_bore": 16.3},
    {INTAKE + "old.shank_bore": 7.9},
    {INTAKE + "old.body_len": 16.9},
    {"process.bar_dia": 4.0},
    {"datums.pin_repeat": 0.05},
    {INTAKE + "port.mate.bore": 11.0},
    {INTAKE + "port.mate.position_u": 0.6},
    {INTAKE + "bushing.window.pre_drill": 10.2},
    {INTAKE + "port.azim": 15, INTAKE + "port.drill.spot_face": None},
    {INTAKE + "port.drill.point_angle": 60, INTAKE + "port.dia": 11.5},
    {INTAKE + "port.p": [8.2, -0.9, 10.3]},
    {
        "accept": [{"id": "B02", "subject": "bushing_intake", "reason": "a test"}],
        INTAKE + "bushing.body.dia": 16.0,
    },
]
_PLAIN: list[dict[str, Any]] = [
    {INTAKE + "bushing.body.face_above_roof": -0.2},
    {INTAKE + "axis.p": [10.0, -1.2, 3.3]},
    {INTAKE + "port.elev": -5},
    {"head.chamber.dia": 30.0},
]
_TUNNELS: list[dict[str, Any]] = [
    {"head.cavities.tunnel.axis.p": [5.0, -13.5, 0]},
    {"head.cavities.tunnel.axis.p": [5.0, -13.85, 0], "head.cavities.tunnel.u": 0.6},
    {"head.cavities.tunnel.axis.p": [20.0, -9.6, 0]},
]
_PLUGS: list[dict[str, Any]] = [
    {"head.cavities.plug.axis.p": [-0.6, 10.2, 3.3]},
    {"head.cavities.plug.plug_reach": 12.0},
]
_CASTINGS: list[dict[str, Any]] = [
    {"head.outline.x": [-30, 17.2]},
    {"process.spindle.tool_len": 22.0},
]
_PAIR: list[dict[str, Any]] = [{INTAKE + "axis.p": [7.2, -1.2, 3.3]}]
SLEEVE_JOB = """\
schema: 1
job: {id: T5, status: proposal, units: mm}
datums: {cast_u: 0.20, position_u: 0.05}
process: {drill_start_u: 0.10, drill_wander: 0.004, bore_position_u: 0.03}
head:
  material: cast
  outline: {type: box, x: [-46, 48], y: [-38, 38], z: [0, 40]}
  cavities:
    - {name: tunnel_in, kind: oil, axis: {p: [22.9, -24.5, 0], tilt: 0}, dia: 10.0, len: 40, u: 0.10}
    - {name: stud, kind: bolt, axis: {p: [40.0, 12.0, 0], tilt: 0}, dia: 8.5, len: 40, bolt_dia: 8.0, u: 0.05}
stations:
  intake:
    axis: {p: [10.9, -0.5, 4.6], tilt: 15, azim: 0}
    bushing: {body: {dia: 22.0, len: 24.0}}
    port: {p: {on_axis_s: 8.5}, azim: -40, elev: 12, dia: 15.0, face: {along: 34.0}}
repairs:
  - name: sleeve
    in_port: intake
    cause: {cavity: tunnel_in}
    mode: bonded
    bore: {dia: 15.85, tol: H7, from: face, to: bushing_od}
    sleeve:
      material: al
      od: 15.79
      od_tol: [-0.010, 0.0]
      id: 15.0
      id_tol: [0.0, 0.02]
      inner_end: saddle
      saddle_radius: 11.0
    bond: {gap_dia: [0.05, 0.10], service_T: 150, rated_T: 230, cover_beyond: 3.0}
    anti_rotation: saddle
materials:
  cast: {E: 71000, nu: 0.33, cte: 22.0e-6}
  al: {E: 70000, nu: 0.33, cte: 23.4e-6}
"""
_SLEEVE = "repairs.sleeve."
_SLEEVED: list[dict[str, Any]] = [
    {_SLEEVE + "sleeve.id": 15.3},
    {_SLEEVE + "sleeve.od": 15.83},
    {_SLEEVE + "sleeve.od": 15.7},
    {_SLEEVE + "bond.rated_T": 155},
    {_SLEEVE + "sleeve.saddle_radius": 11.2},
    {"head.cavities.stud.axis.p": [40.0, -7.4, 0]},
]
ALTERED: list[tuple[str, dict[str, Any]]] = [
    *((PUMP, {**GEAR, **each}) for each in _GEAR),
    *((PUMP, {**PLAIN, **each}) for each in _PLAIN),
    *((PUMP, {**TUNNEL, **each}) for each in _TUNNELS),
    *((PUMP, {**PLUG, **each}) for each in _PLUGS),
    *((PUMP, {**CASTING, **each}) for each in _CASTINGS),
    *((PUMP, {**PAIR, **each}) for each in _PAIR),
    *((SLEEVE_JOB, each) for each in _SLEEVED),
]


def told(changes: dict[str, Any]) -> str:
    """What was altered, for the name of a test."""
    bases = [*PAIR.items(), *GEAR.items(), *((key, base[key]) for base in (TUNNEL, PLUG) for key in base)]
    return ",".join(f"{key}={value}" for key, value in changes.items() if (key, value) not in bases)[:80]
