"""Small jobs of round, invented numbers, valid as they stand: what the limits of bushings, valves and fits are met on."""

UPRIGHT = """
schema: 1
job: {id: upright, status: proposal}
engine: {bore: 36.0, stroke: 28.0, gasket: {compressed: {v: 0.7, u: 0.02, by: micrometer}, bore: 37.0},
  deck: {v: 0.3, u: 0.03, by: dial indicator}}
head:
  material: al
  chamber: {type: disc, dia: 36.0, depth: 3.0}
  cavities:
    - {name: plug_hole, kind: gas, axis: {p: [8.0, 15.0, 3.0], tilt: 0, azim: 0}, dia: 10.0, len: 12.0, plug_reach: 0.5}
stations:
  intake:
    axis: {p: [8.0, 0.0, 3.0], tilt: 0, azim: 0}
    valve: {head: 14.5, margin: 1.0, stem: 4.0, lift: 3.2, lift_tdc: 0.9}
    bushing:
      material: cube
      body: {dia: 16.0, len: 17.0, lead: {len: 1.5, angle: 10}, face_above_roof: 0.0, undercut: {w: 0.8, d: 0.6}}
      shoulder: {head_corner_r: 0.4, relief: true}
      shank: {dia: 8.0, top_s: 36.0}
      guide: {bore: 4.03, tol: H7, ream_after_press: true}
      bowl: {throat: 12.0, roof_s: 14.0}
      seat: {outer: 14.0, width: 1.0, angle: 45, s_outer: 0.3}
    port: {p: {on_axis_s: 7.0}, azim: 0, elev: 0, dia: 10.0, face: {along: 25.0}}
    measured: {seat_runout: 0.01}
  exhaust:
    axis: {p: [-8.0, 0.0, 3.0], tilt: 0, azim: 0}
    valve: {head: 12.5, margin: 1.1, stem: 4.0, lift: 3.0, lift_tdc: 0.9}
    bushing:
      material: cube
      body: {dia: 14.0, len: 16.0, lead: {len: 1.5, angle: 10}, face_above_roof: 0.0, undercut: {w: 0.8, d: 0.6}}
      shoulder: {head_corner_r: 0.4, relief: true}
      shank: {dia: 8.0, top_s: 36.0}
      guide: {bore: 4.04, tol: H7, ream_after_press: true}
      bowl: {throat: 10.5, roof_s: 13.0}
      seat: {outer: 12.0, width: 1.2, angle: 45, s_outer: 0.3}
    port: {p: {on_axis_s: 6.5}, azim: 180, elev: 0, dia: 9.0, face: {along: 25.0}}
    measured: {seat_runout: 0.01}
materials:
  al: {E: 70000, nu: 0.33, cte: 22.0e-6, cte_band: [21.0e-6, 23.0e-6], yield20: 150, yield200: 100}
  cube: {E: 125000, nu: 0.30, cte: 17.5e-6, cte_band: [17.0e-6, 18.0e-6], yield20: 900}
"""
"""Two upright bushings side by side under a disc chamber."""

FITTED = (
    UPRIGHT
    + """
fits:
  body: {mode: turn_to_measured_bore, interference: {intake: 0.030, exhaust: 0.028}, band: 0.003, bore_tol: 0.018,
    rz_bore: 6.0, rz_bush: 4.0, measure_u: 0.001}
  shank: {mode: turn_to_measured_bore, interference: 0.008, band: 0.004, bore_tol: 0.015, rz_bore: 4.0, rz_bush: 3.0}
  friction: {low: 0.08, high: 0.18}
  assembly: {method: heat_and_freeze, head_T: 180, bush_T: -18, press_limit: 10000}
temps:
  cold: {head: 20, intake_bush: 20, exhaust_bush: 20}
  running: {head: 110, intake_bush: 100, exhaust_bush: 160}
  heat_soak: {head: 200, intake_bush: 200, exhaust_bush: 200}
  frost: {head: -20, intake_bush: -30, exhaust_bush: -20}
"""
)
"""The same with its press fits and temperatures."""

TRAIN = """
schema: 1
job: {id: train, status: proposal}
head:
  material: al
  cavities:
    - {name: tunnel, kind: oil, axis: {p: [5.0, -22.0, 0.0], tilt: 0, azim: 0}, dia: 7.0, len: 30.0,
      moving_dia: 4.0, moving_play: 0.6}
stations:
  intake:
    axis: {p: [8.0, 0.0, 3.0], tilt: 0, azim: 0}
    old: {axis: {p: [8.0, 0.0, 3.0], tilt: 0, azim: 0}, tip_z: 50.0}
    valve: {stem: 5.0, gauge_to_tip: 49.5, groove_below_tip: 3.0, lift: 3.2}
    bushing: {seat: {width: 1.0, angle: 30, s_outer: 0.25}, shank: {top_s: 35.0}}
    spring: {seat_s: 27.0, shim: 2.0, retainer_below_tip: 4.0, free: 26.0, rate: 6.5, solid: 10.8, retainer_depth: 3.5,
      seal_h: 1.5}
  exhaust:
    axis: {p: [-8.0, 0.0, 3.0], tilt: 0, azim: 0}
    old: {axis: {p: [-8.0, 0.0, 3.0], tilt: 0, azim: 0}, tip_z: 50.0}
    valve: {stem: 5.0, gauge_to_tip: 48.5, groove_below_tip: 3.0, lift: 3.0}
    bushing: {seat: {width: 1.0, angle: 30, s_outer: 0.25}, shank: {top_s: 35.0}}
rocker:
  post: {base: [26.0, 10.0], stud_dia: 6.0, pitch: 1.0, thread_in_head: 12.0, stud_projection: 24.0, post_height: 14.0,
    washer: 1.2, nut_h: 5.0, oil_hole: {dia: 2.5, at: [8.0, 0.0]}}
  arm: {valve: 12.0, pushrod: 8.0}
  adjuster: {range: 1.5, where: pushrod end}
  spacer: {thick: 2.0, hole: 6.4, oil_hole: {dia: 2.5, at: [8.0, 0.0]}, parallel: 0.005}
  pushrod: {length: 74.0, change: 1.0}
  lash_cold: {intake: 0.1, exhaust: 0.1}
  cover_clearance: {v: 5.0, u: 0.3, by: modelling clay}
  warm:
    pivot: [{len: 50.0, cte: 20.0e-6, dT: 100.0}, {len: 10.0, cte: 20.0e-6, dT: 50.0}]
    pushrod: [{len: 70.0, cte: 10.0e-6, dT: 100.0}]
    valve: [{len: 50.0, cte: 15.0e-6, dT: 300.0}]
    pushrod_extra: 0.01
"""
"""Two valves with springs under one rocker post; the intake's tip rises by 3, the exhaust's by 2, the ratio is 1.5."""
