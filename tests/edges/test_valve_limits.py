"""Limits of the valve heads (V), by the geometry of upright valves and of one that leans by 12 degrees.

The intake's head of 14.5 on a seat of 14.0 at 45 degrees has its lower rim at s = 0.3 - 0.25 - 1.0 = -0.95, the
exhaust's of 12.5 on 12.0 at 0.3 - 0.25 - 1.1 = -1.05. A leaning circle of radius R is an ellipse of half axes R and
R cos(tilt) from above; with its middle on the x axis at c it reaches c + R cos(tilt) from the middle of the bore.
"""

from __future__ import annotations

from math import cos, hypot, radians, sin, sqrt, tan
from typing import Any

import pytest

from edges.case import Edge
from edges.jobs import UPRIGHT

IN, EX = "stations.intake.", "stations.exhaust."
PLUG = "head.cavities.plug_hole."
UNDER, RIM = -0.95, 7.25
"""Station length and radius of the intake's lower rim."""
T = radians(12.0)
LEANING = {f"{IN}axis.tilt": 12.0}
LEANING_IN = {f"{IN}axis.tilt": 12.0, f"{IN}axis.azim": 180.0}
ASKEW = {f"{IN}axis.p": [8.0 * cos(radians(100.0 / 3.0)), 8.0 * sin(radians(100.0 / 3.0)), 3.0]}
"""The upright intake, 8 from the middle, at a third of a degree between two whole ones."""
LEFT = 0.95 * sin(T) + RIM * cos(T)
"""How far the leaning closed head reaches back beside its axis point: its lower rim, on the side that is higher."""
MIRRORED = {
    f"{IN}axis.tilt": 12.0, f"{EX}axis.tilt": 12.0, f"{EX}axis.azim": 180.0, f"{EX}valve.head": 14.5,
    f"{EX}valve.margin": 1.0, f"{EX}bushing.seat.outer": 14.0, f"{EX}bushing.body.dia": 16.0,
}  # fmt: skip
LEANING_SHROUD = 2.0 * (1.6 + hypot(8.0 + (UNDER - 1.6) * sin(T) + RIM * cos(T) * sqrt(0.5), RIM * sqrt(0.5)))
"""Chamber of which the leaning rim, 1.6 down, is nearer than 1.6 at 45 degrees from its outermost point."""
HEAD_15 = {f"{IN}valve.head": 15.0}
HEADS = {f"{EX}bushing.seat.outer": 9.0, f"{EX}bushing.bowl.throat": 8.0, f"{IN}bushing.seat.outer": 12.2}


def edge(
    id_: str,
    quantity: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    severity: str,
    why: str,
    **more: Any,
) -> Edge:
    """An edge of the upright job that its first key leaves; about the intake unless another subject is given."""
    subject = more.pop("subject", "exhaust" if next(iter(at)).startswith(EX) else "intake")
    return Edge(id_, quantity, subject, UPRIGHT, at, next(iter(at)), outward, limit, severity, why, **more)


def dome_height(gap: float) -> float:
    """z at which a dome of base 20 and depth 8, a ball of (20^2 + 8^2)/16 = 29 about z = -21, is 15.25 + gap wide."""
    return sqrt(29.0**2 - (8.0 + RIM + gap) ** 2) - 21.0


def shrouding_dia(degrees: float, lift: float) -> float:
    """Chamber of which the rim at half lift is nearer than lift/2 within so many degrees of the outermost point.

    A rim point at an angle a from there lies sqrt(8^2 + 7.25^2 + 2 8 7.25 cos a) from the middle.
    """
    return 2.0 * (lift / 2.0 + sqrt(8.0**2 + RIM**2 + 2.0 * 8.0 * RIM * cos(radians(degrees))))


def sunk_for(change: float) -> float:
    """How far the intake's face is sunk for a change of Vs/Vc, areas without their pi/4.

    Vs = 36^2 28; Vc = 36^2 3 + 37^2 0.7 + 36^2 0.3; new Vc = Vs/(Vs/Vc + change), the bore is 16.
    """
    swept, clearance = 36.0**2 * 28.0, 36.0**2 * 3.3 + 37.0**2 * 0.7
    return (swept / (swept / clearance + change) - clearance) / 16.0**2


QUARTER = radians(0.25)
"""Points of the rim lie every half degree, so those beside an axis a quarter of a degree off are 0.25, 0.75 ... from it."""

EDGES = [
    edge("V01", "head_gap", {f"{IN}axis.p.0": 6.5}, -1, 1.0, "FAIL", "6.5 + 8.0 - 7.25 - 6.25 = 1.0", case="closed",
         subject="exhaust~intake", drop=f"{EX}valve.margin"),
    edge("V01", "head_gap", {f"{IN}axis.p.0": 6.3}, -1, 0.8, "FAIL", "side by side at the overlap too: 14.3 - 13.5 = 0.8",
         case="overlap", name="overlap", subject="exhaust~intake", drop=f"{IN}valve.head"),
    edge("V01", "head_gap", {f"{IN}valve.lift_tdc": 2.48, f"{IN}axis.p.0": 6.14}, -1, 0.8, "FAIL",
         "one below the other: 14.14 - 13.5 = 0.64 aside, (3 - 1.05 - 0.9) - (3 - 0.95 - 2.48 + 1.0) = 0.48 down: 0.8",
         case="overlap", name="overlap", subject="exhaust~intake"),
    edge("V01", "head_gap", {f"{IN}axis.p.0": LEFT + 0.5, f"{EX}axis.p.0": -LEFT - 0.5}, -1, 1.0, "FAIL",
         "leaning apart like mirror images: twice 0.5 from the plane between them", case="closed", change=MIRRORED,
         subject="exhaust~intake"),
    edge("V01", "head_gap", {f"{IN}axis.p.0": LEFT + 0.9 * sin(T) + 0.4, f"{EX}axis.p.0": -(LEFT + 0.9 * sin(T) + 0.4)}, -1,
         0.8, "FAIL", "the same at the overlap, both 0.9 sin 12 nearer to the plane", case="overlap", name="overlap",
         change=MIRRORED, subject="exhaust~intake"),
    edge("V02", "plug_gap", {f"{PLUG}axis.p.1": 13.25}, -1, 1.0, "FAIL",
         "nose z 2.5 to 3.0 beside the closed head, z 2.05 to 3.05: 13.25 - 7.25 - 5.0 = 1.0", drop=f"{PLUG}plug_reach"),
    edge("V02", "plug_gap", {f"{PLUG}plug_reach": 11.75}, +1, 1.0, "FAIL",
         "a level plug at z -0.5 to 0.5, beside the head on its way down: 20 - 11.75 - 7.25 = 1.0",
         change={f"{PLUG}axis": {"p": [8.0, 20.0, 0.0], "tilt": 90, "azim": 90}, f"{PLUG}dia": 1.0}),
    edge("V02", "plug_gap", {f"{PLUG}axis.p.2": 4.55, f"{PLUG}axis.p.1": 0.0}, -1, 1.0, "FAIL",
         "above the closed head, whose top is at 3 + 0.05: 4.55 - 0.5 - 3.05"),
    edge("V03", "rim_gap", {"head.chamber.dia": 32.1}, -1, 0.8, "FAIL", "32.1/2 - (8 + 7.25) = 0.8",
         drop="head.chamber"),
    edge("V03", "rim_gap", {"head.chamber.dia": 2.0 * (8.0 + UNDER * sin(T) + RIM * cos(T) + 0.8)}, -1, 0.8, "FAIL",
         "the middle of the rim at x = 8 - 0.95 sin 12, its reach 7.25 cos 12", change={**LEANING, f"{IN}axis.p.2": 1.0}),
    edge("V03", "rim_gap", {"head.chamber.dia": 32.1}, -1, 0.8, "FAIL",
         "the same where the outermost point of the rim is no sample of it", change=ASKEW),
    edge("V03", "rim_gap", {"head.chamber.width": 16.1}, -1, 0.8, "FAIL", "beside a straight wall: 16.1/2 - 7.25 = 0.8",
         change={"head.chamber": {"type": "bathtub", "length": 40.0, "width": 16.1, "depth": 3.0, "corner": 2.0}}),
    edge("V03", "rim_gap", {f"{IN}axis.p.2": dome_height(0.8) - UNDER}, +1, 0.8, "FAIL",
         "in a dome the wall counts at the height of the rim: sqrt(29^2 - (z + 21)^2) - 15.25 = 0.8",
         change={"head.chamber": {"type": "dome", "base_radius": 20.0, "depth": 8.0}}),
    edge("V03", "rim_gap", {"head.chamber.base_radius": 16.05}, -1, 0.8, "FAIL",
         "below the joint face the mouth counts: 16.05 - 15.25 = 0.8",
         change={"head.chamber": {"type": "dome", "base_radius": 16.05, "depth": 8.0}, f"{IN}axis.p.2": 0.5}),
    edge("V03", "shrouded_share", {"head.chamber.dia": shrouding_dia(45.25, 3.2) + 0.5e-8}, -1, 0.25, "WARN",
         "points 0.25 to 44.75 degrees to both sides: 2 x 90 of 720; half a step on, those at 45.25 come in",
         name="shrouded_share", change={f"{IN}axis.p": [8.0 * cos(QUARTER), 8.0 * sin(QUARTER), 3.0]},
         drop=f"{IN}valve.lift"),
    edge("V03", "shrouded_share", {"head.chamber.dia": LEANING_SHROUD + 0.5e-8}, -1, 0.25, "WARN",
         "points every half degree to 44.5 to both sides of the outermost: 179 of 720; half a step on 181", step=1e-8,
         name="shrouded_share", change={**LEANING, f"{IN}axis.p.2": 1.0}, tolerance=1.5 / 720.0),
    edge("V04", "head_over_bore", {f"{IN}valve.head": 15.12, "engine.bore": 36.0}, -1, 0.42, "INFO",
         "15.12/36 = 0.42; the ratio steps by a thirty-sixth of the head", step=4e-8,
         drop=f"{IN}valve.head"),
    edge("V04", "head_over_bore", {f"{IN}valve.head": 15.0, "engine.bore": 30.0}, +1, 0.50, "INFO", "15/30 = 0.50",
         step=4e-8),
    edge("V05", "exhaust_over_intake", {f"{EX}valve.head": 10.0, f"{IN}valve.head": 12.5}, -1, 0.80, "INFO",
         "10/12.5 = 0.80", change=HEADS, step=2e-8, subject="exhaust~intake", drop=f"{EX}valve.head"),
    edge("V05", "exhaust_over_intake", {f"{EX}valve.head": 11.5, f"{IN}valve.head": 12.5}, +1, 0.92, "INFO",
         "11.5/12.5 = 0.92", change=HEADS, step=2e-8, subject="exhaust~intake"),
    edge("V06", "throat_over_head", {f"{IN}bushing.bowl.throat": 12.45}, -1, 0.83, "WARN", "12.45/15 = 0.83", step=2e-8,
         change=HEAD_15, drop=f"{IN}bushing.bowl.throat"),
    edge("V06", "throat_over_head", {f"{IN}bushing.bowl.throat": 13.5}, +1, 0.90, "WARN", "13.5/15 = 0.90", step=2e-8,
         change=HEAD_15),
    edge("V07", "seat_inner_minus_throat", {f"{IN}bushing.bowl.throat": 13.0, f"{IN}bushing.seat.angle": 60}, +1, 0.0,
         "FAIL", "14 - 2 x 1.0 cos 60 = 13.0, less 13.0", drop=f"{IN}bushing.seat.width"),
    edge("V08", "overhang", {f"{IN}valve.head": 14.2}, -1, 0.10, "WARN", "(14.2 - 14.0)/2", drop=f"{IN}bushing.seat.outer"),
    edge("V08", "overhang", {f"{IN}valve.head": 14.7}, +1, 0.35, "WARN", "(14.7 - 14.0)/2"),
    edge("V09", "margin", {f"{IN}valve.margin": 0.8}, -1, 0.8, "WARN", "as given", drop=f"{IN}valve.margin"),
    edge("V09", "margin", {f"{EX}valve.margin": 1.0}, -1, 1.0, "WARN", "as given; an exhaust needs more", name="exhaust",
         drop=f"{EX}valve.margin"),
    edge("V10", "piston_gap", {f"{IN}valve.lift_tdc": 2.0}, +1, 1.0, "FAIL",
         "3 - 0.95 + (0.7 - 0.02) + (0.3 - 0.03) - 2.0 = 1.0", drop="engine.deck"),
    edge("V10", "piston_gap", {f"{EX}valve.lift_tdc": 1.6}, +1, 1.3, "FAIL", "3 - 1.05 + 0.68 + 0.27 - 1.6 = 1.3",
         name="exhaust", drop=f"{EX}valve.lift_tdc"),
    edge("V10", "piston_gap", {f"{IN}axis.p.2": 1.0 - 0.95 - (UNDER - 0.9) * cos(T) + RIM * sin(T)}, -1, 1.0, "FAIL",
         "leaning: z - (0.95 + 0.9) cos 12 - 7.25 sin 12, and 0.95 down to the piston", change=LEANING),
    edge("V11", "bore_gap", {"engine.bore": 32.1}, -1, 0.8, "FAIL", "open it is below the joint: 32.1/2 - (8 + 7.25)",
         drop=f"{IN}valve.lift"),
    edge("V11", "bore_gap", {"engine.bore": 32.1}, -1, 0.8, "FAIL", "the same in any direction", change=ASKEW),
    edge("V11", "bore_gap", {"engine.bore": 2.0 * (8.0 - 3.0 * tan(T) + RIM / cos(T) + 0.8)}, -1, 0.8, "FAIL",
         "leaning out, it goes inward as it opens, so it is farthest out where its land passes z = 0: an ellipse of half "
         "axis 7.25/cos 12 about x = 8 - 3 tan 12", change=LEANING),
    edge("V11", "bore_gap", {"engine.bore": 2.0 * (8.0 + (UNDER + 1.0) * sin(T) + RIM * cos(T) + 0.8)}, -1, 0.8, "FAIL",
         "sunk by 2 so that its outer side is below the joint when closed: the land's upper edge, s = 0.05",
         change={**LEANING, f"{IN}axis.p.2": 1.0}),
    edge("V11", "bore_gap", {"engine.bore": 2.0 * (8.0 - (UNDER - 3.2) * sin(T) + RIM * cos(T) + 0.8)}, -1, 0.8, "FAIL",
         "leaning in, it goes outward as it opens: farthest at full lift, s = -4.15",
         change={**LEANING_IN, f"{IN}axis.p.2": 2.0}),
    edge("V12", "compression_change", {f"{IN}bushing.body.face_above_roof": sunk_for(-0.3)}, +1, -0.3, "INFO",
         "Vs/Vc falls by 0.3 as pi/4 16^2 h is added to Vc", subject="engine", drop="engine.gasket.bore"),
    edge("V12", "compression_change", {f"{IN}bushing.body.face_above_roof": sunk_for(0.3)}, -1, 0.3, "INFO",
         "Vs/Vc rises by 0.3: the face stands out of the roof", subject="engine"),
]  # fmt: skip


@pytest.mark.parametrize("each", EDGES, ids=str)
def test_both_sides_of_the_limit(each, tmp_path):
    each.holds(tmp_path)


@pytest.mark.parametrize("each", [each for each in EDGES if each.drop], ids=str)
def test_not_run_without_its_input(each, tmp_path):
    each.is_not_run(tmp_path)
