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
