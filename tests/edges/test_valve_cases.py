"""Valves: what has no value, what lacks only one of its cases, and places found point by point."""

from __future__ import annotations

import numpy as np
import pytest

from edges.case import all_found, found
from edges.jobs import UPRIGHT

IN, EX = "stations.intake.", "stations.exhaust."
PLUG = "head.cavities.plug_hole."


def land(lifts: int = 161, turn: int = 1441) -> np.ndarray:
    """Points of the intake's cylindrical land at every lift, valve leaning by 20 degrees towards azimuth 70.

    The head of 14.5 on a seat of 14.0 at 45 degrees: lower rim at s = -0.95, land 1.0 high, lift 3.2.
    """
    tilt, azim = np.radians(20.0), np.radians(70.0)
    d = np.array([np.sin(tilt) * np.cos(azim), np.sin(tilt) * np.sin(azim), np.cos(tilt)])
    e = np.array([-np.sin(azim), np.cos(azim), 0.0])
    f = np.cross(d, e)
    s = -0.95 + np.linspace(-3.2, 1.0, lifts)
    a = np.linspace(0.0, 2.0 * np.pi, turn)
    ring = 7.25 * (np.cos(a)[:, None] * e + np.sin(a)[:, None] * f)
    return np.array([6.0, -3.0, 2.0]) + s[:, None, None] * d + ring[None, :, :]


LEANING = {f"{IN}axis": {"p": [6.0, -3.0, 2.0], "tilt": 20.0, "azim": 70.0}}


def test_a_valve_leaning_anywhere_against_every_point_of_its_land(tmp_path):
    """Both by the points of the land: the cylinder's wall below the joint face, the chamber's wall when closed."""
    points = land()
    below = points[points[..., 2] < 0.0]
    wanted = 18.0 - np.hypot(below[:, 0], below[:, 1]).max()
    bore = found(tmp_path, UPRIGHT, LEANING, "V11", "intake", "bore_gap")
    assert wanted - 0.02 <= bore.value <= wanted
    rim = land(lifts=22)[16]  # s = -0.95 - 3.2 + 16 x 0.2: closed, lower edge
    rim_gap = found(tmp_path, UPRIGHT, LEANING, "V03", "intake", "rim_gap")
    assert rim_gap.value == pytest.approx(18.0 - np.hypot(rim[:, 0], rim[:, 1]).max(), abs=1e-4)
    piston = found(tmp_path, UPRIGHT, LEANING, "V10", "intake", "piston_gap")
    lowest = rim[:, 2].min() + 0.68 + 0.27 - 0.9 * np.cos(np.radians(20.0))
    assert piston.value == pytest.approx(lowest, abs=1e-4)


def test_a_valve_that_stays_above_the_joint_has_no_gap_to_the_cylinder(tmp_path):
    """The lower rim stands at z = 3 - 0.95 and meets the joint face at a lift of 2.05."""
    stays = found(tmp_path, UPRIGHT, {f"{IN}valve.lift": 2.049}, "V11", "intake", "bore_gap")
    assert (stays.value, stays.verdict, stays.note) == (None, "pass", "never below the joint face")
    dips = found(tmp_path, UPRIGHT, {f"{IN}valve.lift": 2.051}, "V11", "intake", "bore_gap")
    assert dips.value == pytest.approx(18.0 - 15.25, abs=1e-9)


def test_a_plug_that_does_not_stand_out_meets_no_valve(tmp_path):
    flush = found(tmp_path, UPRIGHT, {f"{PLUG}plug_reach": 0.0}, "V02", "intake", "plug_gap")
    assert (flush.value, flush.verdict) == (None, "pass")
    out = found(tmp_path, UPRIGHT, {f"{PLUG}plug_reach": 0.005}, "V02", "intake", "plug_gap")
    assert out.value == pytest.approx(15.0 - 7.25 - 5.0, abs=1e-9)


def test_a_head_without_plug_holes_has_none_to_meet(tmp_path):
    none = found(
        tmp_path, UPRIGHT, {f"{PLUG}kind": "bolt", f"{PLUG}plug_reach": None}, "V02", "intake", "plug_gap"
    )
    assert (none.verdict, none.missing, none.note) == ("not_run", (), "none in this job")
    untold = found(tmp_path, UPRIGHT, {"head.cavities": None}, "V02", "intake", "plug_gap")
    assert "head.cavities" in untold.missing


def test_the_nearest_of_two_plugs_counts(tmp_path):
    """At y = 15 and at y = -13.0: 15 - 7.25 - 5.0 = 2.75 and 13.0 - 12.25 = 0.75."""
    plugs = [
        {
            "name": f"plug{y:g}",
            "kind": "gas",
            "axis": {"p": [8.0, y, 3.0], "tilt": 0, "azim": 0},
            "plug_reach": 0.5,
        }
        for y in (15.0, -13.0)
    ]
    change = {"head.cavities": [{**plug, "dia": 10.0, "len": 12.0} for plug in plugs]}
    both = found(tmp_path, UPRIGHT, change, "V02", "intake", "plug_gap")
    assert both.value == pytest.approx(0.75, abs=1e-9)
    assert both.note == ""


@pytest.mark.parametrize("reach", [0.5, 0.0])
def test_a_gas_passage_that_tells_no_nose_is_named(reach, tmp_path):
    first = {"name": "plug", "axis": {"p": [8.0, 15.0, 3.0], "tilt": 0, "azim": 0}, "plug_reach": reach}
    other = {"name": "passage", "axis": {"p": [8.0, -13.0, 3.0], "tilt": 0, "azim": 0}}
    change = {"head.cavities": [{**each, "kind": "gas", "dia": 10.0, "len": 12.0} for each in (first, other)]}
    finding = found(tmp_path, UPRIGHT, change, "V02", "intake", "plug_gap")
    assert finding.value == (pytest.approx(2.75, abs=1e-9) if reach else None)
    assert finding.note.endswith("not looked at, without plug_reach: passage")


def test_heads_are_judged_closed_where_the_overlap_is_not_known(tmp_path):
    closed, overlap = all_found(
        tmp_path, UPRIGHT, {f"{EX}valve.lift_tdc": None}, "V01", "exhaust~intake", "head_gap"
    )
    assert (closed.case, closed.verdict) == ("closed", "pass")
    assert closed.value == pytest.approx(8.0 + 8.0 - 7.25 - 6.25, abs=1e-9)
    assert (overlap.case, overlap.verdict, overlap.missing) == (
        "overlap",
        "not_run",
        (f"{EX}valve.lift_tdc",),
    )


def test_one_station_alone_has_no_pair(tmp_path):
    (alone,) = all_found(tmp_path, UPRIGHT, {"stations.exhaust": None}, "V01", "exhaust~intake", "head_gap")
    assert (alone.verdict, alone.case) == ("not_run", "nominal")
    assert "stations.exhaust" in alone.missing


def test_half_widths_that_nobody_gave_are_said(tmp_path):
    """Without u of gasket and deck: 3 - 0.95 + 0.7 + 0.3 - 0.9 = 2.15."""
    bare = {"engine.gasket.compressed": {"v": 0.7}, "engine.deck": {"v": 0.3}}
    finding = found(tmp_path, UPRIGHT, bare, "V10", "intake", "piston_gap")
    assert finding.value == pytest.approx(2.15, abs=1e-12)
    assert finding.note == "u of engine.gasket.compressed and engine.deck not given: taken as 0"


def test_the_rim_needs_no_lift_and_the_shroud_does(tmp_path):
    bare = {f"{IN}valve.lift": None}
    assert found(tmp_path, UPRIGHT, bare, "V03", "intake", "rim_gap").value == pytest.approx(2.75, abs=1e-9)
    assert found(tmp_path, UPRIGHT, bare, "V03", "intake", "shrouded_share").verdict == "not_run"


def test_both_recesses_change_the_compression(tmp_path):
    """1 mm over circles of 16 and 14: Vs/Vc with 16^2 + 14^2 more below, areas without their pi/4."""
    sunk = {f"{IN}bushing.body.face_above_roof": 1.0, f"{EX}bushing.body.face_above_roof": 1.0}
    swept, clearance = 36.0**2 * 28.0, 36.0**2 * 3.3 + 37.0**2 * 0.7
    wanted = swept / (clearance + 16.0**2 + 14.0**2) - swept / clearance
    finding = found(tmp_path, UPRIGHT, sunk, "V12", "engine", "compression_change")
    assert finding.value == pytest.approx(wanted, abs=1e-12)
    assert finding.verdict == "info"
