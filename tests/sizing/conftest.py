"""Two small jobs with nearly every kind of number: one station whole, one with a sleeve in its port."""

from __future__ import annotations

import pytest

ONE = """\
schema: 1
job: {id: T3, status: proposal, units: mm}
datums: {position_u: 0.05, cast_u: 0.30}
process: {bore_position_u: 0.03, drill_start_u: 0.10, drill_wander: 0.004}
head:
  material: aluminium
  chamber: {type: disc, dia: 33.6, depth: 3.3}
  outline: {type: box, x: [-30, 30], y: [-30, 30], z: [0, 30]}
  cavities:
    - {name: tunnel, kind: oil, axis: {p: [16.0, 13.5, 0], tilt: 0}, dia: 6.0, len: 30, u: 0.05}
    - {name: stud, kind: bolt, axis: {p: [24.0, -9.6, 0], tilt: 0}, dia: 5.5, len: 30, bolt_dia: 5.0, u: 0.05}
stations:
  intake:
    axis: {p: [4.0, 0.0, 3.3], tilt: 0}
    old: {tip_s: 52.0}
    valve: {head: 14.5, stem: 3.97, margin: 0.9, gauge_to_tip: 53.0, lift: 3.5, lift_tdc: 0.8}
    bushing:
      body: {dia: 16.5, len: 17.0}
      shank: {dia: 9.0, top_s: 36.0}
      seat: {outer: 14.0, width: 1.0, angle: 45, s_outer: 0.3}
      bowl: {throat: 12.5, roof_s: 15.0}
      guide: {bore: 4.0}
    port: {p: {on_axis_s: 8.0}, azim: 0, elev: 5, dia: 8.0, face: {along: 26.0}, drill: {point_angle: 118}}
rocker:
  post: {stud_projection: 30.0, post_height: 16.0, washer: 1.6, nut_h: 6.5, pitch: 1.0, thread_in_head: 12.0, stud_dia: 6.0}
  arm: {valve: 12.0, pushrod: 9.0}
  spacer: {thick: 0.60}
limits: {M05: -50}
"""

SLEEVED = """\
schema: 1
job: {id: T4, status: proposal, units: mm}
datums: {cast_u: 0.40, position_u: 0.05}
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
      {material: al, od: 15.79, od_tol: [-0.010, 0.0], id: 15.0, id_tol: [0.0, 0.02], inner_end: saddle, saddle_radius: 11.0}
    bond: {gap_dia: [0.05, 0.10], service_T: 150, rated_T: 230, cover_beyond: 3.0}
materials:
  cast: {E: 71000, nu: 0.33, cte: 22.0e-6}
  al: {E: 70000, nu: 0.33, cte: 23.4e-6}
"""


@pytest.fixture
def texts():
    return {"one": ONE, "sleeved": SLEEVED}
