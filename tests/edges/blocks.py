"""Small jobs with upright bores and level ports, so that every wall between them is a difference of radii.

``ONE``: a block with one station at x = 20. Body bore r 5 up to z = 20, shank bore r 3 from there to the top at 60,
and an upright hole r 3. ``TWO``: the same at x = -20 for the exhaust. ``PORT``: what to change for a port r 3 of the
intake along +X at z = 10 to the face x = 60; ``PORTS``: and one of the exhaust along -X.
"""

from __future__ import annotations

_HEAD = """\
schema: 1
job: {id: BLOCK, status: proposal}
datums: {position_u: 0.03, cast_u: 0.40}
head:
  material: al_die_cast
  outline: {type: box, x: [-60, 60], y: [-60, 60], z: [0, 60]}
  cavities:
    - {name: hole, kind: gas, axis: {p: [20, 30, 0], tilt: 0, azim: 0}, dia: 6, len: 60, u: 0.12}
process: {bore_position_u: 0.04, drill_start_u: 0.10, drill_wander: 0.004}
stations:
  intake:
    axis: {p: [20, 0, 0], tilt: 0, azim: 0}
    bushing: {body: {dia: 10, len: 20}, shank: {dia: 6}}
"""
_EXHAUST = """\
  exhaust:
    axis: {p: [-20, 0, 0], tilt: 0, azim: 0}
    bushing: {body: {dia: 10, len: 20}, shank: {dia: 6}}
"""
ONE = _HEAD
TWO = _HEAD + _EXHAUST


def _port(name: str, azimuth: float, face: float) -> dict[str, object]:
    port = {"p": {"on_axis_s": 10.0}, "azim": azimuth, "elev": 0.0, "dia": 6.0, "face": {"x": face}}
    return {f"stations.{name}.port": port}


PORT = _port("intake", 0.0, 60.0)
PORTS = PORT | _port("exhaust", 180.0, -60.0)

SLEEVED = """\
schema: 1
job: {id: SLEEVED, status: proposal}
datums: {position_u: 0.03, cast_u: 0.40}
head:
  material: al_head
  outline: {type: box, x: [-80, 80], y: [-80, 80], z: [0, 60]}
  cavities:
    - {name: tunnel, kind: oil, axis: {p: [30, 9, 0], tilt: 0, azim: 0}, dia: 10, len: 60, u: 0.12}
    - {name: hole, kind: gas, axis: {p: [40, -30, 0], tilt: 0, azim: 0}, dia: 6, len: 60, u: 0.12}
process: {bore_position_u: 0.04, drill_start_u: 0.10, drill_wander: 0.004}
stations:
  intake:
    axis: {p: [0, 0, 0], tilt: 0, azim: 0}
    bushing: {body: {dia: 20, len: 30}, shank: {dia: 6}}
    port: {p: {on_axis_s: 15}, azim: 0, elev: 0, dia: 10, face: {along: 60}}
repairs:
  - name: tube
    in_port: intake
    cause: {cavity: tunnel, seen: true}
    mode: bonded
    bore: {dia: 12, tol: H7, from: face, to: bushing_od}
    sleeve: {material: al_sleeve, od: 11.94, od_tol: [-0.01, 0.0], id: 11.0, id_tol: [0.0, 0.02],
             inner_end: saddle, saddle_radius: 10, outer_end: {type: flush, flange: none}}
    bond: {service_T: 150, rated_T: 230}
    anti_rotation: saddle
materials:
  al_head: {E: 71000, nu: 0.33, cte: 22.0e-6, cte_band: [21.0e-6, 28.0e-6], yield20: 155}
  al_sleeve: {E: 70000, nu: 0.33, cte: 23.4e-6, cte_band: [10.0e-6, 30.0e-6], yield20: 250}
temps:
  running: {head: 150, intake_bush: 150}
"""
"""A port r 5 along +X at z = 15 from the valve axis at the origin, body r 10, face at x = 60. The bore for the sleeve is
r 6; an upright tunnel r 5 at (30, 9) reaches over it, an upright hole r 3 stands on the other side.
"""
