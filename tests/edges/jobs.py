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
