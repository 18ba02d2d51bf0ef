"""Two small jobs with nearly every kind of number: one station whole, one with a sleeve in its port."""

from __future__ import annotations

import pytest
from strategies.altered import SLEEVE_JOB

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


@pytest.fixture
def texts():
    return {"one": ONE, "sleeved": SLEEVE_JOB}
