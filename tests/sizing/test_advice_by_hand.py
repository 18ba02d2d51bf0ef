"""Remedies worked out by hand: the numbers of the altered jobs, put into the definitions of the checks."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, sqrt
from typing import Any

import pytest
from edges.case import context
from strategies.altered import CASTING, GEAR, PLAIN, PUMP, SLEEVE_JOB, TUNNEL

from headparts.checks.run import run_checks
from headparts.sizing.advise import advice

INTAKE = "stations.intake."
SEAT_MID = 0.3 + 1.0 * sin(radians(45.0)) / 2.0
"""Station length of the seat's mid diameter: s_outer + width sin(angle)/2 [mm]."""
TIP_Z = 3.30 + SEAT_MID + 49.25
"""Height of the new stem tip: axis point, seat, gauge_to_tip [mm]."""
RISE = TIP_Z - 50.0
"""What the tip has risen from tip_z 50 [mm]."""
RATIO = 11.4 / 9.5

CASES: list[tuple[str, str, dict[str, Any], str, str, dict[str, float]]] = [
    # what, base job, alteration, check, quantity or case, remedies by key
    ("B01", "gear", {INTAKE + "bushing.body.dia": 15.2}, "B01", "", {"bushing.body.dia": 14.5 + 0.8}),
    ("B01 head", "gear", {INTAKE + "bushing.body.dia": 15.2}, "B01", "", {"valve.head": 15.2 - 0.8}),
    ("B02", "gear", {INTAKE + "bushing.body.dia": 15.2}, "B02", "", {"bushing.body.dia": 14.1 + 2 * 1.0}),
    ("B03", "gear", {INTAKE + "bushing.body.dia": 15.2}, "B03", "", {"bushing.body.dia": 12.6 + 2 * 1.5}),
    ("B03 throat", "gear", {INTAKE + "bushing.body.dia": 15.2}, "B03", "", {"bushing.bowl.throat": 15.2 - 3.0}),
    ("B07", "gear", {INTAKE + "port.dia": 12.5}, "B07", "", {"port.dia": 0.72 * 16.5}),
    ("B08", "gear", {INTAKE + "port.dia": 13.9}, "B08", "", {"port.dia": 16.5 - 2 * 1.5}),
    ("B10", "gear", {INTAKE + "bushing.guide.bore": 3.98, INTAKE + "bushing.guide.pre_bore": 3.8},
     "B10", "clearance_min", {"bushing.guide.bore": 3.97 + 0.020}),
    ("B10 wide", "gear", {INTAKE + "bushing.guide.bore": 4.03}, "B10", "clearance_max",
     {"bushing.guide.bore": 3.97 + 0.050 - 0.012}),  # IT7 of 3 to 6 is 12 um
    ("B11", "gear", {INTAKE + "bushing.shank.dia": 6.2}, "B11", "", {"bushing.shank.dia": 4.0 + 2 * 1.2}),
    ("B16", "gear", {INTAKE + "bushing.shoulder.head_corner_r": 0.45}, "B16", "",
     {"bushing.body.undercut.d": 0.45 + 0.1}),
    # guide from the roof to the top, 5 stems long: top_z 36 is s 32.7
    ("B09", "gear", {INTAKE + "bushing.bowl.roof_s": 16.9, INTAKE + "bushing.shank.top_z": 36.0}, "B09", "",
     {"bushing.bowl.roof_s": 32.7 - 5 * 3.97}),
    ("V06", "gear", {INTAKE + "bushing.bowl.throat": 13.2}, "V06", "", {"bushing.bowl.throat": 0.90 * 14.5}),
    # seat's inner diameter: outer - 2 width cos 45
    ("V07", "gear", {INTAKE + "bushing.bowl.throat": 13.2}, "V07", "",
     {"bushing.bowl.throat": 14.10 - 2 * cos(pi / 4)}),
    ("V09", "gear", {INTAKE + "valve.margin": 0.6}, "V09", "", {"valve.margin": 0.8}),
    # lowest edge 3.3 + 0.3 - 0.2 - 0.9, gasket, deck 0.30 - 0.03, lift at the overlap 2.2
    ("V10", "gear", {INTAKE + "valve.lift_tdc": 2.2, "engine.gasket.compressed": 0.3}, "V10", "",
     {"engine.gasket.compressed": 1.0 - 2.5 - 0.27 + 2.2}),
    ("V10 lift", "gear", {INTAKE + "valve.lift_tdc": 2.2, "engine.gasket.compressed": 0.3}, "V10", "",
     {"valve.lift_tdc": 2.5 + 0.3 + 0.27 - 1.0}),
    # loose end: interference - 0.003 - 0.8 (4 + 3)/1000 >= 0.010
    ("F01", "gear", {"fits.body.interference.intake": 0.015}, "F01", "",
     {"fits.body.interference.intake": 0.010 + 0.003 + 0.0056}),
    ("F11", "gear", {"fits.assembly.head_T": 210}, "F11", "", {"fits.assembly.head_T": 200.0}),
    ("K01", "gear", {INTAKE + "spring.shim": 4.5}, "K01", "",
     {"spring.shim": TIP_Z - 4.0 - 30.0 - 3.2 - 10.8 - 1.0}),
    # closed force new/old = (free - installed)/(free - installed with the old tip and no shim) >= 0.9
    ("K03", "gear", {INTAKE + "spring.shim": 0.2}, "K03", "",
     {"spring.shim": 0.9 * (22.5 - (50.0 - 4.0 - 30.0)) - (22.5 - (TIP_Z - 34.0))}),
    ("K02", "gear", {INTAKE + "bushing.shank.top_z": 42.0}, "K02", "",
     {"bushing.shank.top_z": TIP_Z - 4.0 - 3.5 - 3.2 - 1.5 - 0.8}),
    ("K04", "gear", {INTAKE + "valve.groove_below_tip": 4.2}, "K04", "", {"spring.retainer_below_tip": 4.21}),
    ("R01", "gear", {"rocker.spacer.thick": 4.0}, "R01", "below_upper", {"rocker.spacer.thick": RISE}),
    # need (t (1 + R) - dh)/R - change, at most half of the range of 1.5
    ("R02", "gear", {"rocker.spacer.thick": 4.0}, "R02", "",
     {"rocker.pushrod.change": (4.0 * (1 + RATIO) - RISE) / RATIO - 0.75}),
    ("R02 spacer", "gear", {"rocker.spacer.thick": 4.0}, "R02", "",
     {"rocker.spacer.thick": ((1.0 + 0.75) * RATIO + RISE) / (1 + RATIO)}),
    ("R04", "gear", {"rocker.post.stud_projection": 20.0}, "R04", "",
     {"rocker.post.stud_projection": 2.0 + 14.0 + 1.2 + 5.0 + 1.0}),
    ("R05", "gear", {"rocker.post.thread_in_head": 7.5}, "R05", "", {"rocker.post.thread_in_head": 1.5 * 6.0}),
    ("R06", "gear", {"rocker.cover_clearance": 3.0}, "R06", "", {"rocker.cover_clearance": 0.8 + 0.3 + RISE}),
    ("P08", "gear", {INTAKE + "port.mate.bore": 11.0}, "P08", "", {"port.dia": 11.0 - 2 * (0.2 - 0.15) * 1.0}),
    ("P10", "gear", {INTAKE + "bushing.window.pre_drill": 10.2}, "P10", "",
     {"bushing.window.pre_drill": 10.5 - 2 * (0.1 + 16.5 / 2 * sin(radians(1.0)))}),
    ("M02", "gear", {INTAKE + "old.body_len": 16.9}, "M02", "", {"bushing.body.len": 16.9 + 0.2}),
    ("M03", "gear", {"process.bar_dia": 4.0}, "M03", "", {"process.bar_dia": (17.0 + 3.3 + 5.0) / 4.0}),
    # old axis (8.0, -1.0), new one (8.2, -1.2): offset 0.2828; position 0.05 and bore 0.03
    ("M01", "gear", {INTAKE + "old.shank_bore": 7.9}, "M01", "shank_cleanup",
     {"bushing.shank.dia": 7.9 + 2 * (0.05 + hypot(0.2, 0.2) + 0.05 + 0.03)}),
    ("Q03", "gear", {"datums.pin_repeat": 0.05}, "Q03", "", {"datums.pin_repeat": 0.02}),
    ("B17", "plain", {INTAKE + "bushing.body.face_above_roof": -0.2}, "B17", "",
     {"bushing.body.face_above_roof": -0.05}),
    ("M06", "casting", {"process.spindle.tool_len": 22.0}, "M06", "",
     {"process.spindle.tool_len": 17.0 + 3.3 + 2.0}),  # the spindle's face 2 below the joint face
    ("W12", "tunnel", {"head.cavities.tunnel.u": 0.6, "head.cavities.tunnel.axis.p": [5.0, -13.85, 0]}, "W12", "",
     {"head.cavities.tunnel.u": 0.10}),
    # two upright bores: axes hypot(3.2, 12.65) apart, radii 8.25 and 3.5; position 0.05, bore 0.03; 0.6 of 1.2
    ("W07", "tunnel", {"head.cavities.tunnel.u": 0.6, "head.cavities.tunnel.axis.p": [5.0, -13.85, 0]}, "W07", "",
     {"head.cavities.tunnel.u": hypot(3.2, 12.65) - 8.25 - 3.5 - 0.05 - 0.03 - 0.72}),
    ("W07r", "tunnel", {"head.cavities.tunnel.u": 0.6, "head.cavities.tunnel.axis.p": [5.0, -13.85, 0]}, "W07r", "",
     {"head.cavities.tunnel.u": sqrt((hypot(3.2, 12.65) - 8.25 - 3.5 - 0.96) ** 2 - 0.05**2 - 0.03**2)}),
    ("S01", "sleeve", {"repairs.sleeve.sleeve.id": 15.3}, "S01", "",
     {"repairs.sleeve.sleeve.id": 15.79 - 0.01 - 0.02 - 2 * 0.30}),
    ("S03", "sleeve", {"repairs.sleeve.sleeve.od": 15.83}, "S03", "gap_min",
     {"repairs.sleeve.sleeve.od": 15.85 - 0.05}),
    ("S03 wide", "sleeve", {"repairs.sleeve.sleeve.od": 15.7}, "S03", "gap_max",
     {"repairs.sleeve.sleeve.od": 15.85 + 0.018 - 0.10 + 0.010}),  # IT7 of 10 to 18 is 18 um
    ("S06", "sleeve", {"repairs.sleeve.sleeve.saddle_radius": 11.2}, "S06", "",
     {"repairs.sleeve.sleeve.saddle_radius": 11.0 + 0.05}),
    ("S09", "sleeve", {"repairs.sleeve.bond.rated_T": 155}, "S09", "", {"repairs.sleeve.bond.rated_T": 150 + 20}),
]  # fmt: skip
BASES = {"gear": (PUMP, GEAR), "plain": (PUMP, PLAIN), "casting": (PUMP, CASTING), "tunnel": (PUMP, TUNNEL)}
STEPS = {"guide.bore": 0.001, "fits.body.interference.intake": 0.001, "datums.pin_repeat": 0.001}


@pytest.mark.parametrize(
    ("base", "changes", "check", "quantity", "wanted"),
    [each[1:] for each in CASES],
    ids=[e[0] for e in CASES],
)
def test_the_nearest_value_is_the_one_worked_out_by_hand(tmp_path, base, changes, check, quantity, wanted):
    """The value by hand, put on the next whole step on the safe side, which lies within one step of it."""
    job, standing = BASES.get(base, (SLEEVE_JOB, {}))
    its = context(tmp_path, job, {**standing, **changes})
    ((key, by_hand),) = wanted.items()
    key = key if its.job.get(key) is not None else INTAKE + key
    step = next((step for end, step in STEPS.items() if key.endswith(end)), 0.01)
    advised = [
        each
        for each in advice(its, run_checks(its))
        if each.finding.id == check and quantity in ("", each.finding.quantity)
    ]
    values = [r.values[key] for each in advised for r in each.remedies if list(r.values) == [key]]
    assert values, [each.text for each in advised]
    own = its.job.quantities[key].value
    for value in values:
        assert abs(value - own) < abs(by_hand - own) + step + 1e-9
        assert (value - by_hand) * (by_hand - own) > -1e-9  # never short of the limit
