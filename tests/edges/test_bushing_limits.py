"""Limits of the bushing's own sizes (B); the window and the guide boss are in test_window_limits."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import pytest

from edges.case import Edge, Told, found
from edges.jobs import UPRIGHT

IN, EX = "stations.intake.", "stations.exhaust."


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
    """An edge of the upright job that its first key leaves; about the intake's bushing unless a key is the exhaust's."""
    key = next(iter(at))
    subject = "bushing_exhaust" if key.startswith(EX) else "bushing_intake"
    return Edge(id_, quantity, subject, UPRIGHT, at, key, outward, limit, severity, why, **more)


TILT = radians(12.0)
LEANING = {f"{IN}axis.tilt": 12.0, "head.chamber.dia": 60.0}
RIM = 8.0 * sin(TILT)
"""How far the lowest point of the leaning circle of 16 lies below its middle."""

EDGES = [
    edge("B01", "body_minus_head", {f"{IN}valve.head": 15.2, f"{IN}bushing.body.dia": 16.0}, +1, 0.8, "FAIL",
         "16.0 - 15.2 = 0.8", drop=f"{IN}valve.head"),
    edge("B02", "land", {f"{IN}bushing.body.dia": 16.1, f"{IN}bushing.seat.outer": 14.1}, -1, 1.0, "FAIL",
         "(16.1 - 14.1)/2 = 1.0", drop=f"{IN}bushing.seat.outer"),
    edge("B03", "wall_at_throat", {f"{IN}bushing.bowl.throat": 12.5, f"{IN}bushing.body.dia": 15.5}, +1, 1.5, "FAIL",
         "(15.5 - 12.5)/2 = 1.5", drop=f"{IN}bushing.bowl.throat"),
    edge("B04", "seat_width", {f"{IN}bushing.seat.width": 0.8}, -1, 0.8, "WARN", "as given: the lower end",
         drop=f"{IN}bushing.seat.width"),
    edge("B04", "seat_width", {f"{IN}bushing.seat.width": 1.5}, +1, 1.5, "WARN", "as given: the upper end"),
    edge("B04", "seat_width", {f"{EX}bushing.seat.width": 1.0}, -1, 1.0, "WARN",
         "as given: an exhaust seat must be wider", name="exhaust", drop=f"{EX}bushing.seat.width"),
    edge("B04", "seat_width", {f"{EX}bushing.seat.width": 1.5}, +1, 1.5, "WARN", "as given: the upper end",
         name="exhaust"),
    edge("B07", "window_over_body", {f"{IN}port.dia": 11.52, f"{IN}bushing.body.dia": 16.0}, +1, 0.72, "WARN",
         "11.52/16 = 0.72; the ratio steps by a sixteenth of the port", step=2e-8, drop=f"{IN}port.dia"),
    edge("B08", "half_chord", {f"{IN}port.dia": 13.0, f"{IN}bushing.body.dia": 16.0}, +1, 1.5, "FAIL",
         "(16 - 13)/2 = 1.5", drop=f"{IN}bushing.body.dia"),
    edge("B09", "guide_over_stem", {f"{IN}bushing.shank.top_s": 34.0, f"{IN}bushing.bowl.roof_s": 14.0}, -1, 5.0, "WARN",
         "(34 - 14)/4 = 5", drop=f"{IN}bushing.bowl.roof_s"),
    edge("B09", "guide_over_stem", {f"{IN}bushing.bowl.boss_len": 4.0, f"{IN}bushing.shank.top_s": 30.0}, -1, 5.0, "WARN",
         "(30 - 14 + 4)/4 = 5: the boss below the roof guides too", change={f"{IN}bushing.bowl.boss_dia": 8.0}),
    edge("B09", "guide_over_stem", {f"{EX}valve.stem": 4.0, f"{EX}bushing.shank.top_s": 33.0}, +1, 5.0, "WARN",
         "(33 - 13)/4 = 5: the exhaust has the same limit"),
    edge("B09", "guide_over_stem", {f"{IN}bushing.shank.top_s": 30.0}, -1, 4.0, "WARN",
         "(30 - 14)/4 = 4, which the job allows its slow engine", change={"limits.B09": 4.0}),
    edge("B10", "clearance_min", {f"{IN}valve.stem": 4.0, f"{IN}bushing.guide.bore": 4.02}, +1, 0.020, "FAIL",
         "4.02 - 4.00 = 0.020", drop=f"{IN}valve.stem"),
    edge("B10", "clearance_min", {f"{EX}valve.stem": 4.0, f"{EX}bushing.guide.bore": 4.03}, +1, 0.030, "FAIL",
         "4.03 - 4.00 = 0.030: an exhaust needs more", name="exhaust_min", drop=f"{EX}bushing.guide.bore"),
    edge("B10", "clearance_max", {f"{IN}valve.stem": 4.0, f"{IN}bushing.guide.bore": 4.038}, -1, 0.050, "FAIL",
         "ISO 286-1, IT7 over 3 to 6: 12 um; 4.038 + 0.012 - 4.000 = 0.050", name="clearance_max",
         drop=f"{IN}bushing.guide.bore"),
    edge("B10", "clearance_max", {f"{IN}valve.stem": 2.99, f"{IN}bushing.guide.bore": 3.03}, -1, 0.052, "FAIL",
         "IT7 over 3 to 6: 12 um; 3.03 + 0.012 - 2.99 = 0.052", name="clearance_max",
         change={"limits.B10": {"clearance_max": 0.052}}),
    edge("B10", "clearance_max", {f"{IN}valve.stem": 2.96, f"{IN}bushing.guide.bore": 3.0}, -1, 0.050, "FAIL",
         "3 itself belongs to the grades up to 3, IT7 10 um: 3.000 + 0.010 - 2.960 = 0.050", name="clearance_max"),
    edge("B10", "clearance_max", {f"{EX}valve.stem": 4.0, f"{EX}bushing.guide.bore": 4.048}, -1, 0.060, "FAIL",
         "4.048 + 0.012 - 4.000 = 0.060", name="exhaust_max", drop=f"{EX}valve.stem"),
    edge("B10", "clearance_min", {f"{IN}valve.stem": 4.0}, +1, 0.020, "FAIL",
         "of the bore as measured its narrower reading: 4.02 - 4.00", change={f"{IN}measured.guide_bore": [4.04, 4.02]}),
    edge("B10", "clearance_max", {f"{IN}valve.stem": 4.0}, -1, 0.050, "FAIL",
         "its wider reading, without any grade: 4.05 - 4.00", name="clearance_max",
         change={f"{IN}measured.guide_bore": [4.02, 4.05]}),
    edge("B10", "clearance_max", {f"{IN}measured.guide_bore": 4.05}, +1, 0.050, "FAIL", "one reading: 4.05 - 4.00",
         name="clearance_max"),
    edge("B11", "guide_wall", {f"{IN}bushing.shank.dia": 6.4, f"{IN}bushing.guide.bore": 4.0}, -1, 1.2, "FAIL",
         "(6.4 - 4.0)/2 = 1.2", change={f"{IN}valve.stem": 3.97}, drop=f"{IN}bushing.shank.dia"),
    edge("B13", "seat_runout", {f"{IN}measured.seat_runout": 0.02}, +1, 0.02, "FAIL", "as measured",
         drop=f"{IN}measured.seat_runout"),
    edge("B14", "length_over_diameter", {f"{IN}bushing.body.len": 12.8, f"{IN}bushing.bowl.roof_s": 12.0}, -1, 0.8, "WARN",
         "12.8/16 = 0.8; the ratio steps by a sixteenth of the length", step=2e-8, drop=f"{IN}bushing.body.len"),
    edge("B15", "lead_length", {f"{IN}bushing.body.lead.len": 1.0}, -1, 1.0, "WARN", "as given",
         drop=f"{IN}bushing.body.lead.len"),
    edge("B15", "lead_angle", {f"{IN}bushing.body.lead.angle": 15.0}, +1, 15.0, "WARN", "as given", name="lead_angle",
         drop=f"{IN}bushing.body.lead.angle"),
    edge("B16", "corner_spare", {f"{IN}bushing.body.undercut.d": 0.5, f"{IN}bushing.body.undercut.w": 0.8}, -1, 0.1, "FAIL",
         "min(0.8, 0.5) - 0.4 = 0.1: the depth decides", drop=f"{IN}bushing.shoulder.head_corner_r"),
    edge("B16", "corner_spare", {f"{IN}bushing.body.undercut.w": 0.5, f"{IN}bushing.body.undercut.d": 0.8}, -1, 0.1, "FAIL",
         "min(0.5, 0.8) - 0.4 = 0.1: the width decides"),
    edge("B16", "corner_spare", {f"{IN}bushing.shoulder.head_corner_r": 0.4}, +1, -0.4, "FAIL",
         "without relief the corner itself is in the way: 0 - 0.4, whatever the undercut",
         change={f"{IN}bushing.shoulder.relief": False, "limits.B16": -0.4}),
    edge("B17", "face_proud", {f"{IN}bushing.body.face_above_roof": -0.05}, -1, 0.05, "WARN",
         "roof at 3.0, circle at z = 3.0 all round: 0 + 0.05", drop=f"{IN}bushing.body.face_above_roof"),
    edge("B17", "face_proud", {"head.chamber.depth": 3.05}, +1, 0.05, "WARN", "3.05 - 3.00: a roof above the face"),
    edge("B17", "face_proud", {f"{IN}axis.p.2": 3.0 + RIM - 0.05 * cos(TILT)}, -1, 0.05, "WARN",
         "the lowest point lies 8 sin 12 below the middle; (3 - z + 8 sin 12)/cos 12 = 0.05 along the axis",
         change=LEANING),
    edge("B17", "face_proud", {f"{IN}bushing.body.face_above_roof": 2.0 * RIM / cos(TILT) - 0.05}, -1, 0.05, "WARN",
         "the middle 8 sin 12 below the roof, the lowest point twice that; sunk by 16 tan 12 - 0.05",
         change={**LEANING, f"{IN}axis.p.2": 3.0 - RIM}),
]  # fmt: skip

TOLD = [
    Told("B17", "face_buried", "bushing_intake", UPRIGHT, 0.15, "roof at 3.0, circle at 3.0, sunk by 0.15 all round",
         {f"{IN}bushing.body.face_above_roof": 0.15}, name="face_buried"),
    Told("B17", "face_buried", "bushing_intake", UPRIGHT, 0.7,
         "the middle 8 sin 12 below the roof, so the highest point just meets it; sunk by 0.7",
         {**LEANING, f"{IN}axis.p.2": 3.0 - RIM, f"{IN}bushing.body.face_above_roof": 0.7}, name="face_buried"),
]  # fmt: skip


@pytest.mark.parametrize("each", EDGES, ids=str)
def test_both_sides_of_the_limit(each, tmp_path):
    each.holds(tmp_path)


@pytest.mark.parametrize("each", [each for each in EDGES if each.drop], ids=str)
def test_not_run_without_its_input(each, tmp_path):
    each.is_not_run(tmp_path)


@pytest.mark.parametrize("told", TOLD, ids=str)
def test_told_without_a_limit(told, tmp_path):
    told.holds(tmp_path)


def test_a_corner_without_relief_fails_by_its_whole_radius(tmp_path):
    bare = {f"{IN}bushing.shoulder.relief": False, f"{IN}bushing.shoulder.head_corner_r": 0.3}
    finding = found(tmp_path, UPRIGHT, bare, "B16", "bushing_intake", "corner_spare")
    assert (finding.value, finding.verdict) == (-0.3, "fail")
    assert "0.40 both ways" in finding.advice  # 0.3 and the row's 0.1


def test_a_corner_without_relief_asks_for_no_undercut(tmp_path):
    bare = {f"{IN}bushing.shoulder.relief": False, f"{IN}bushing.body.undercut": None}
    assert found(tmp_path, UPRIGHT, bare, "B16", "bushing_intake", "corner_spare").value == -0.4
    relieved = {f"{IN}bushing.body.undercut": None}
    missing = found(tmp_path, UPRIGHT, relieved, "B16", "bushing_intake", "corner_spare")
    assert missing.missing == (f"{IN}bushing.body.undercut.w", f"{IN}bushing.body.undercut.d")


def test_the_roof_round_the_face_is_a_dome(tmp_path):
    """A dome of base radius 20 and depth 8 is a ball of (20^2 + 8^2)/(2 8) = 29 about z = -21.

    The circle of 16 about an axis at x = 8 reaches from the middle to x = 16 on the x axis: the roof there stands at
    sqrt(29^2) - 21 = 8 and sqrt(29^2 - 16^2) - 21.
    """
    dome = {"head.chamber": {"type": "dome", "base_radius": 20.0, "depth": 8.0}}
    high, low = 8.0, (29.0**2 - 16.0**2) ** 0.5 - 21.0
    proud = found(tmp_path, UPRIGHT, dome, "B17", "bushing_intake", "face_proud")
    assert proud.value == pytest.approx(high - 3.0, abs=1e-9)
    buried = found(tmp_path, UPRIGHT, dome, "B17", "bushing_intake", "face_buried")
    assert buried.value == pytest.approx(3.0 - low, abs=1e-9)
