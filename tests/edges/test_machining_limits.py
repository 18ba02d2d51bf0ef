"""Boring and drilling (M): both sides of every limit, worked out by hand."""

from __future__ import annotations

from math import asin, cos, degrees, radians, sin, tan

import pytest

from edges.case import Edge, found
from headparts.checks.explained import worked

JOB = """\
schema: 1
job: {id: BORES, status: proposal}
datums: {position_u: 0.03, cast_u: 0.40, temperature: 20}
head:
  material: al_die_cast
  outline: {type: box, x: [-60, 60], y: [-60, 60], z: [0, 60]}
  chamber: {type: disc, dia: 40, depth: 3}
process: {bore_position_u: 0.04, spindle: {nose_dia: 60, tool_len: 70}}
stations:
  intake:
    axis: {p: [0, 0, 0], tilt: 0, azim: 0}
    old: {axis: {p: [0, 0, 0], tilt: 0, azim: 0}, body_bore: 14.8, shank_bore: 7, body_len: 15, tip_s: 50}
    bushing: {body: {dia: 16, len: 20}, shank: {dia: 8}}
"""
INTAKE = "stations.intake"
OLD, AXIS = f"{INTAKE}.old", f"{INTAKE}.axis"
OLD_X, OLD_TILT, X, TILT = f"{OLD}.axis.p.0", f"{OLD}.axis.tilt", f"{AXIS}.p.0", f"{AXIS}.tilt"
BODY, LEN, SHANK = f"{INTAKE}.bushing.body.dia", f"{INTAKE}.bushing.body.len", f"{INTAKE}.bushing.shank.dia"
BAR, TOOL, WARM = "process.bar_dia", "process.spindle.tool_len", "datums.temperature"
SEVERITY = {"M01": "FAIL", "M02": "FAIL", "M03": "WARN", "M05": "FAIL", "M06": "WARN", "M07": "WARN"}


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
    subject: str = "intake",
    **change: object,
) -> Edge:
    """The first number of ``at`` leaves the limit."""
    return Edge(
        check, quantity, subject, JOB, at, next(iter(at)), outward, limit, SEVERITY[check], why, name,
        change={key.replace("__", "."): value for key, value in change.items()},
        drop=drop, label=label,
    )  # fmt: skip


# Half-widths 0.03 + 0.04 = 0.07; body 16 against 14.8, shank 8 against 7, to the head's top at 60.
CLEAN = [
    edge("M01", "body_cleanup", {OLD_X: 0.43}, 1, 0.10, "(16 - 14.8)/2 - 0.43 - 0.07", drop=f"{OLD}.body_bore"),
    edge("M01", "body_cleanup", {BODY: 15.34}, -1, 0.10, "(15.34 - 14.8)/2 - 0 - 0.07 - 0.10", label="centred",
         process__bore_position_u=0.14),
    edge("M01", "body_cleanup", {OLD_TILT: degrees(asin(0.43 / 20.0))}, 1, 0.10,
         "the old axis leans from the same point: at s = 20 they are 20 sin(tilt) = 0.43 apart", label="lean"),
    edge("M01", "body_cleanup", {OLD_X: -0.43 / cos(radians(1.0)), OLD_TILT: 1.0}, -1, 0.10,
         "leaning toward the new axis by 1 deg: farthest at the gas face, x cos 1 = 0.43", label="lean below"),
    edge("M01", "body_cleanup", {f"{AXIS}.u": 0.06, OLD_X: 0.40}, 1, 0.10, "0.6 - 0.40 - 0.06 - 0.04", label="u"),
    edge("M01", "body_cleanup", {OLD_X: 0.465}, 1, 0.065, "0.6 - 0.465 - 0.07 = 0.65 x 0.10", label="scale",
         limits={"scale": 0.65}),
    edge("M01", "body_cleanup", {OLD_X: 0.48}, 1, 0.05, "0.6 - 0.48 - 0.07", label="by id", limits={"M01": 0.05}),
    edge("M01", "shank_cleanup", {OLD_X: 0.38}, 1, 0.05, "(8 - 7)/2 - 0.38 - 0.07", "shank_cleanup",
         drop=f"{OLD}.shank_bore"),
    edge("M01", "shank_cleanup", {OLD_TILT: degrees(asin(0.38 / 60.0))}, 1, 0.05,
         "the old axis leans from the same point: at the top they are 60 sin(tilt) = 0.38 apart", "shank_cleanup",
         label="shank lean"),
    edge("M01", "shank_cleanup", {OLD_TILT: 20.0 + degrees(asin(0.38 / (57.0 / cos(radians(20.0)))))}, 1, 0.05,
         "leaning from z = 3 by 20 deg and by more: the new axis is at the top at s = (60 - 3)/cos 20",
         "shank_cleanup", label="shank lean from 3", **{TILT: 20.0, f"{AXIS}.p.2": 3.0, f"{OLD}.axis.p.2": 3.0}),
    edge("M01", "shank_cleanup", {OLD_X: 0.3975}, 1, 0.0325, "0.5 - 0.3975 - 0.07 = 0.65 x 0.05", "shank_cleanup",
         label="shank scale", limits={"scale": 0.65}),
    edge("M01", "shank_cleanup", {OLD_X: 0.42}, 1, 0.01, "0.5 - 0.42 - 0.07", "shank_cleanup", label="by name",
         limits={"M01": {"shank_cleanup": 0.01}}),
    edge("M02", "step_gain", {LEN: 16.2}, -1, 0.2, "16.2 - (1 + 15): the old gas face lies 1 higher",
         drop=f"{OLD}.body_len", **{f"{OLD}.axis.p.2": 1.0}),
    edge("M02", "step_gain", {LEN: 15.0 * cos(radians(10.0)) + 0.2}, -1, 0.2,
         "the old step, 15 along an axis that leans by 10 deg, seen along the new axis: 15 cos 10", label="lean",
         **{OLD_TILT: 10.0}),
    edge("M02", "step_gain", {LEN: 16.0}, -1, 1.0, "16 - 15", label="by id", limits={"M02": 1.0}),
]  # fmt: skip

CHAMBER = "head.chamber"
REACH = [
    edge("M03", "reach_over_bar", {BAR: 7.0}, -1, 4.0, "(20 + 3 + 5)/7: the joint face is 3 below the gas face",
         **{f"{AXIS}.p.2": 3.0}),
    edge("M03", "reach_over_bar", {BAR: (20.0 + 3.0 / cos(radians(30.0)) + 5.0) / 4.0}, -1, 4.0,
         "leaning by 30 deg the joint face is 3/cos 30 away", label="lean", **{f"{AXIS}.p.2": 3.0, TILT: 30.0}),
    edge("M03", "reach_over_bar", {f"{OLD}.body_bore": 8.75}, -1, 4.0, "no bar given: 28/(0.8 x 8.75)",
         label="old bore", drop=f"{OLD}.body_bore", **{f"{AXIS}.p.2": 3.0}),
    edge("M03", "reach_over_bar", {BAR: 5.6}, -1, 5.0, "28/5.6 with carbide", label="by id", limits={"M03": 5.0},
         **{f"{AXIS}.p.2": 3.0}),
    edge("M05", "sweep_to_mouth", {X: 11.8}, 1, 0.2, "40/2 - 11.8 - 16/2", drop=CHAMBER),
    edge("M05", "sweep_to_mouth", {X: 19.8 - 8.0 / cos(radians(20.0)) + 3.0 * tan(radians(20.0)), TILT: 20.0}, 1, 0.2,
         "leaning by 20 deg from z = 3 the bore meets z = 0 in an ellipse, 3 tan 20 nearer and 8/cos 20 wide",
         label="lean", **{f"{AXIS}.p.2": 3.0}),
    edge("M05", "sweep_to_mouth", {X: 11.8}, 1, 0.2, "a dome's mouth has its base radius: 20 - 11.8 - 8", label="dome",
         head__chamber={"type": "dome", "base_radius": 20.0, "depth": 8.0}),
    edge("M05", "sweep_to_mouth", {f"{AXIS}.p.1": 6.8}, 1, 0.2, "half the width 15 - 6.8 - 8", label="bathtub",
         head__chamber={"type": "bathtub", "length": 50.0, "width": 30.0, "depth": 8.0, "corner": 6.0}),
    edge("M05", "sweep_to_mouth", {X: 11.87}, 1, 0.13, "20 - 11.87 - 8 = 0.65 x 0.2", label="scale",
         limits={"scale": 0.65}),
    edge("M05", "sweep_to_mouth", {X: 11.95}, 1, 0.05, "20 - 11.95 - 8", label="by id", limits={"M05": 0.05}),
    edge("M05", "sweep_to_mouth", {X: 11.995}, 1, 0.005, "20 - 11.995 - 8", label="hardly", limits={"M05": 0.005}),
    edge("M06", "spindle_gap", {TOOL: 25.0}, -1, 2.0, "the nose is 25 before the step at 3 + 20: 2 below the joint face",
         drop="process.spindle", **{f"{AXIS}.p.2": 3.0}),
    edge("M06", "spindle_gap", {TOOL: 20.0 + (30.0 * sin(radians(15.0)) + 2.0) / cos(radians(15.0)), TILT: 15.0}, -1,
         2.0, "leaning by 15 deg its edge r 30 stands up by 30 sin 15: (tool - 20) cos 15 - 30 sin 15", label="lean"),
    edge("M06", "spindle_gap", {TOOL: 25.0}, -1, 5.0, "25 - 20", label="by id", limits={"M06": 5.0}),
    edge("M07", "temperature", {WARM: 22.0}, 1, 22.0, "20 + 2", label="warm", subject="datums", drop=WARM),
    edge("M07", "temperature", {WARM: 18.0}, -1, 18.0, "20 - 2", label="cold", subject="datums"),
    edge("M07", "temperature", {WARM: 21.0}, 1, 21.0, "20 + 1", label="warm by id", subject="datums",
         limits={"M07": [19.5, 21.0]}),
    edge("M07", "temperature", {WARM: 19.5}, -1, 19.5, "20 - 0.5", label="cold by id", subject="datums",
         limits={"M07": [19.5, 21.0]}),
]  # fmt: skip
EDGES = [*CLEAN, *REACH]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in EDGES if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)


@pytest.mark.parametrize("gap", [0.2, 0.005, -0.5])
@pytest.mark.parametrize(("along", "aside"), [(0.6, 0.8), (-0.8, 0.6), (-5 / 13, -12 / 13), (0.0, 1.0)])
def test_the_places_between_which_the_mouth_is_missed(gap, along, aside, tmp_path):
    """Off the middle by 12 - gap on a slant the bore r 8 comes to 20 - gap, the disc's wall lies at 20 the same way."""
    off = 12.0 - gap
    row = found(
        tmp_path, JOB, {X: off * along, f"{AXIS}.p.1": off * aside}, "M05", "intake", "sweep_to_mouth"
    )
    assert row.value == pytest.approx(gap, rel=0, abs=1e-9)
    told = worked(row)
    assert told.result == pytest.approx(gap, rel=0, abs=1e-9)
    values = {term.symbol: term.value for term in told.terms}
    for symbol, radius in (("edge_point", 20.0 - gap), ("wall_point", 20.0)):
        assert values[symbol] == pytest.approx((radius * along, radius * aside, 0.0), rel=0, abs=1e-5)
    assert values["side"] == (1.0 if gap > 0.0 else -1.0)
