"""Side ports (P): both sides of every limit, worked out by hand."""

from __future__ import annotations

from math import acos, asin, cos, degrees, radians, sin, sqrt, tan

import pytest

from edges.blocks import SLEEVED
from edges.case import Edge, Told, found

JOB = """\
schema: 1
job: {id: PORTS, status: proposal}
engine: {bore: 40, stroke: 30, rated_rpm: 3000}
head:
  material: al_die_cast
  chamber: {type: disc, dia: 40, depth: 3}
stations:
  intake:
    axis: {p: [0, 0, 3], tilt: 0, azim: 0}
    valve: {head: 20, margin: 1, face_angle: 45, stem: 5, lift: 8}
    bushing:
      body: {dia: 24, len: 30}
      shank: {dia: 10}
      guide: {bore: 5.02}
      bowl: {throat: 13, roof_s: 25}
      seat: {outer: 19, width: 1.4, angle: 45, s_outer: 0}
      window: {pre_drill: none}
    port: {p: {on_axis_s: 12}, azim: 0, elev: 0, dia: 10, face: {x: 40}, mate: {name: m, bore: 10, position_u: 0.1},
           drill: {from: face, point_angle: 118}}
process: {drill_start_u: 0.1, clock_u: 1.0}
"""
INTAKE = "stations.intake"
DIA, ELEV, FOOT = f"{INTAKE}.port.dia", f"{INTAKE}.port.elev", f"{INTAKE}.port.p.on_axis_s"
THROAT, STEM = f"{INTAKE}.bushing.bowl.throat", f"{INTAKE}.valve.stem"
MATE, MATE_U = f"{INTAKE}.port.mate.bore", f"{INTAKE}.port.mate.position_u"
PRE = f"{INTAKE}.bushing.window.pre_drill"
CHAMBER = "head.chamber"
RPM = "engine.rated_rpm"
SEVERITY = {
    "P02": "WARN",
    "P03": "FAIL",
    "P05": "WARN",
    "P06": "FAIL",
    "P07": "WARN",
    "P08": "WARN",
    "P09": "INFO",
}
SEVERITY |= {"P10": "FAIL"}


def edge(
    check: str,
    quantity: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    why: str,
    name: str = "",
    label: str = "",
    drop: str = "",
    job: str = JOB,
    subject: str = "port_intake",
    step: float = 1e-8,
    **change: object,
) -> Edge:
    """The first number of ``at`` leaves the limit."""
    return Edge(
        check, quantity, subject, job, at, next(iter(at)), outward, limit, SEVERITY[check], why, name,
        change={key.replace("__", "."): value for key, value in change.items()},
        drop=drop, label=label, step=step,
    )  # fmt: skip


ASKEW = degrees(acos(cos(radians(10.0)) / cos(radians(6.0))))
ENTRY = [
    edge("P02", "entry_angle", {ELEV: 10.0}, 1, 10.0, "the elevation alone, azimuth 0", drop=f"{INTAKE}.port.face"),
    edge("P02", "entry_angle", {ELEV: -10.0}, -1, 10.0, "downward as well", label="down"),
    edge("P02", "entry_angle", {ELEV: ASKEW, f"{INTAKE}.port.azim": 6.0}, 1, 10.0,
         "cos(6) cos(elevation) = cos(10)", label="askew"),
    edge("P02", "entry_angle", {ELEV: 12.0}, 1, 12.0, "as given", label="by id", limits={"P02": 12.0}),
    edge("P05", "axis_miss", {f"{INTAKE}.port.p.1": 0.10}, 1, 0.10, "level at y = 0.10, the valve axis at 0",
         drop=f"{INTAKE}.port.elev", **{f"{INTAKE}.port.p": [0.0, 0.0, 15.0]}),
    edge("P05", "axis_miss", {f"{INTAKE}.port.p.1": -0.10}, -1, 0.10, "to the other side", label="other side",
         **{f"{INTAKE}.port.p": [0.0, 0.0, 15.0]}),
    edge("P05", "axis_miss", {f"{INTAKE}.port.p.1": 0.25}, 1, 0.25, "as given", label="by id", limits={"P05": 0.25},
         **{f"{INTAKE}.port.p": [0.0, 0.0, 15.0]}),
]  # fmt: skip

DOME = {CHAMBER: {"type": "dome", "base_radius": 20.0, "depth": 8.0}, f"{INTAKE}.axis.p": [-20.0, 0.0, 0.0]}
SMALL = {CHAMBER: {"type": "disc", "dia": 16.0, "depth": 3.0}}
# The port is trimmed by the bushing's body: the bounds of its walls meet within 1e-6.
FLOOR = [
    edge("P03", "wall", {FOOT: 7.0}, -1, 2.0, "the port's floor at 3 + 7 - 5 = 5, the roof at 3, both beyond x = 12",
         drop=CHAMBER, step=1e-6),
    edge("P03", "wall", {DIA: 14.0, FOOT: 9.0}, 1, 2.0, "3 + 9 - 7 - 3", label="dia", step=1e-6),
    edge("P03", "wall", {FOOT: 4.0}, -1, 2.0, "3 + 4 - 5 = 2 above the joint face, the chamber within the body",
         label="joint face", step=1e-6, **SMALL),
    edge("P03", "wall", {FOOT: 14.0 + 5.0 * cos(radians(30.0)), ELEV: -30.0}, -1, 2.0,
         "down at 30 deg over 30: the lower edge at the face, 3 + s - 15 - 5 cos 30, is 2 above the joint face",
         label="falling", step=1e-6, **SMALL,
         **{f"{INTAKE}.port.face": {"along": 30.0}, f"{INTAKE}.bushing.body.dia": 20.0}),
    edge("P03", "wall", {FOOT: 15.0}, -1, 2.0, "level at z = 15 across the dome's top at 8: 15 - 5 - 8", label="dome",
         step=1e-6, **DOME),
    edge("P03", "wall", {FOOT: (36.0 - 20.0 * sin(radians(10.0))) / cos(radians(10.0)) - 21.0, ELEV: 10.0}, -1, 2.0,
         "dome of radius (20^2 + 8^2)/16 = 29 about (0, -21); the axis from x = -20 at 10 deg passes it at"
         " 20 sin 10 + (21 + s) cos 10 = 29 + 5 + 2", label="rising over the dome", step=1e-6, **DOME),
    edge("P03", "wall", {FOOT: 6.3}, -1, 1.3, "3 + 6.3 - 5 - 3 = 0.65 x 2", label="scale", step=1e-6,
         limits={"scale": 0.65}),
    edge("P03", "wall", {FOOT: 6.0}, -1, 1.0, "3 + 6 - 5 - 3", label="by id", step=1e-6,
         limits={"P03": 1.0, "scale": 0.65}),
]  # fmt: skip

# Level drill r 6 sin 70 in a throat r 6: its corners are through the inner wall at x = 6 cos 70, its tip, r/tan 35
# ahead, meets the far wall at x = -6. With 2 x 35 = 70 deg the tip's lead is 6 (1 + cos 70): both at once.
DEPTH = [
    edge("P06", "depth_window", {DIA: 12.0 * sin(radians(70.0)), THROAT: 12.0}, 1, 0.0,
         "6 cos 70 + 6 - 6 sin 70/tan 35 = 6 + 6 cos 70 - 6 (1 + cos 70)", drop=f"{INTAKE}.port.drill.point_angle",
         **{f"{INTAKE}.port.drill.point_angle": 70.0}),
    edge("P06", "depth_window", {DIA: 6.0, THROAT: 10.0}, 1, 8.0,
         "blunt: the corners r 3 in a throat r 5 are through at x = 4 and first at the far wall at x = -4",
         label="by id", limits={"P06": 8.0}, **{f"{INTAKE}.port.drill.point_angle": 170.0}),
]  # fmt: skip
LEVEL = {DIA: 6.0, THROAT: 10.0}
LEAD = 3.0 / tan(radians(59.0))
TOLD = [
    Told("P06", "depth_to_pass", "port_intake", JOB, 40.0 - 4.0 + LEAD,
         "face at 40; corners r 3 through the wall r 5 at x = 4, the tip 3/tan 59 ahead", LEVEL),
    Told("P06", "depth_to_far_wall", "port_intake", JOB, 40.0 + 5.0,
         "the tip is first, at x = -5: its corners would touch at x = -4, the tip at -4 - 3/tan 59", LEVEL),
    Told("P06", "roof_gap", "port_intake", JOB, 25.0 - (12.0 + 3.0), "roof 25, the window's top at 12 + 3", LEVEL),
    Told("P06", "roof_gap", "port_intake", JOB, 25.0 - (12.0 + 5.0 * tan(radians(12.0)) + 3.0 / cos(radians(12.0))),
         "rising by 12 deg the window's top is highest at the throat, r 5: 12 + 5 tan 12 + 3/cos 12",
         LEVEL | {ELEV: 12.0}, name="rising"),
    Told("P06", "roof_gap", "port_intake", JOB, 25.0 - (12.0 + 3.0),
         "level and 1 beside the valve axis: roof 25, the window's top still at 12 + 3",
         LEVEL | {f"{INTAKE}.port.p": [0.0, 1.0, 15.0]}, name="aside"),
    Told("P02", "entry_angle", "port_intake", JOB, 25.0, "squared by a spot face: for information",
         {ELEV: 25.0, f"{INTAKE}.port.drill.spot_face": {"dia": 14.0, "square_to": "port"}}, name="spot face"),
    Told("P02", "entry_angle", "port_intake", JOB, 0.0, "a face given along the port is square to it",
         {ELEV: 25.0, f"{INTAKE}.port.face": {"along": 40.0}}, verdict="pass", name="along"),
]  # fmt: skip

WIDE = {THROAT: 13.0, STEM: 5.0}
NARROW = {f"{INTAKE}.valve.lift": 0.8, f"{INTAKE}.bushing.seat.outer": 12.0}
NARROW |= {f"{INTAKE}.bushing.seat.width": 0.5 * sqrt(2.0), THROAT: 11.0}
STAGE_1 = 0.8 * sqrt(0.5) * (12.0 - 1.0 + 0.4)
STAGE_2 = (12.0 - 0.5) * sqrt((1.7 - 0.5) ** 2 + 0.5**2)
AREA = [
    edge("P07", "port_area_ratio", {DIA: 12.0 * sqrt(1.05)} | WIDE, 1, 1.05,
         "lifted by 8 the throat counts: dia^2/(13^2 - 5^2) with dia^2 = 144 x 1.05", drop=STEM),
    edge("P07", "port_area_ratio", {DIA: sqrt(4.0 * 1.05 * STAGE_1)} | NARROW, 1, 1.05,
         "first stage: pi 0.8 cos 45 (12 - 2 x 0.5 + 0.4 sin 90)", label="stage 1"),
    edge("P07", "port_area_ratio", {DIA: sqrt(4.0 * 1.05 * STAGE_2)} | NARROW | {f"{INTAKE}.valve.lift": 1.7},
         1, 1.05, "second stage: pi (12 - 0.5) sqrt((1.7 - 0.5 tan 45)^2 + 0.5^2) = pi 11.5 x 1.3",
         label="stage 2"),
    edge("P07", "port_area_ratio", {DIA: 12.0 * sqrt(0.9)} | WIDE, 1, 0.9, "144 x 0.9", label="by id",
         limits={"P07": 0.9}),
    edge("P08", "lip", {DIA: 10.2, MATE: 10.0, MATE_U: 0.3}, -1, 0.2, "0.3 - (10.2 - 10.0)/2", drop=MATE_U),
    edge("P08", "lip", {MATE: 10.0, DIA: 10.2, MATE_U: 0.3}, 1, 0.2, "0.3 - (10.2 - 10.0)/2", label="mate"),
    edge("P08", "lip", {MATE.replace("intake", "exhaust"): 10.2, DIA.replace("intake", "exhaust"): 10.0,
                        MATE_U.replace("intake", "exhaust"): 0.3}, -1, 0.2,
         "the exhaust flows from the port into its mate: 0.3 - (10.2 - 10.0)/2", label="exhaust",
         job=JOB.replace("intake", "exhaust"), subject="port_exhaust"),
    edge("P08", "lip", {MATE_U: 0.5, MATE: 10.0, DIA: 10.0}, 1, 0.5, "0.5 - 0", label="by id", limits={"P08": 0.5}),
    edge("P08", "lip", {"repairs.tube.sleeve.id": 9.6}, -1, 0.2, "the sleeve is narrower than the port:"
         " 0.3 - (9.6 - 9.4)/2", label="sleeve", job=SLEEVED,
         stations__intake__port__mate={"name": "m", "bore": 9.4, "position_u": 0.3}),
    edge("P10", "stock_left", {PRE: 9.8, DIA: 10.0}, 1, 0.0, "(10 - 9.8)/2 - 0.1 - 12 sin 0", drop="process.clock_u",
         process__clock_u=0.0),
    edge("P10", "stock_left", {"process.clock_u": degrees(asin(1.0 / 12.0)), PRE: 7.8, DIA: 10.0}, 1, 0.0,
         "(10 - 7.8)/2 - 0.1 - 24/2 x 1/12", label="clock"),
    edge("P10", "stock_left", {PRE: 9.2, DIA: 10.0}, 1, 0.3, "(10 - 9.2)/2 - 0.1", label="by id",
         limits={"P10": 0.3}, process__clock_u=0.0),
]  # fmt: skip

# 2 x 0.03 m x 3750/60 = 3.75 m/s and 16 times that through a port of a quarter of the bore.
SPEED = [
    edge("P09", "mach_index", {RPM: 17850.0}, 1, 0.6, "(40/20)^2 x 2 x 0.03 x 17850/60/(0.35 x 340) = 4 x 17.85/119",
         step=1e-4, drop=f"{INTAKE}.valve.head"),  # 1e-4 of a turn are 3e-9 of the index
    edge("P09", "mach_index", {RPM: 14875.0}, 1, 0.5, "4 x 14.875/119", step=1e-4, label="by id",
         limits={"P09": 0.5}),
    edge("P09", "port_speed", {RPM: 3750.0}, -1, 60.0, "3.75 x (40/10)^2", "port_speed", step=1e-6, label="slow",
         drop=RPM),
    edge("P09", "port_speed", {RPM: 6875.0}, 1, 110.0, "6.875 x (40/10)^2", "port_speed", step=1e-6, label="fast"),
    edge("P09", "port_speed", {RPM: 3125.0}, -1, 50.0, "3.125 x 16", "port_speed", step=1e-6, label="slow by name",
         limits={"P09": {"port_speed": [50.0, 100.0]}}),
    edge("P09", "port_speed", {RPM: 6250.0}, 1, 100.0, "6.25 x 16", "port_speed", step=1e-6, label="fast by name",
         limits={"P09": {"port_speed": [50.0, 100.0]}}),
]  # fmt: skip
EDGES = [*ENTRY, *FLOOR, *DEPTH, *AREA, *SPEED]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in EDGES if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)


@pytest.mark.parametrize("told", TOLD, ids=str)
def test_value_by_hand(told, tmp_path):
    told.holds(tmp_path)


def test_a_drill_that_marks_the_roof_is_noted(tmp_path):
    """Roof at 15 and 15 - 1e-8, the window's top at 12 + 3."""
    for roof, noted in ((15.0, False), (15.0 - 1e-8, True)):
        row = found(
            tmp_path, JOB, LEVEL | {f"{INTAKE}.bushing.bowl.roof_s": roof}, "P06", "port_intake", "roof_gap"
        )
        assert row.value == pytest.approx(roof - 15.0, rel=0, abs=1e-10)
        assert ("marks the bowl roof" in row.note) is noted


def test_no_drill_before_pressing_leaves_no_stock_to_judge(tmp_path):
    row = found(tmp_path, JOB, {}, "P10", "port_intake", "stock_left")
    assert (row.verdict, row.value, row.note) == ("not_run", None, "none in this job")
