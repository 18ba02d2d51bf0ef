"""Rocker gear, springs and lash: what a job lacks in part, and what it does not contain."""

from __future__ import annotations

from math import cos, radians, sin

import pytest

from edges.case import all_found, found
from edges.jobs import TRAIN

IN, EX = "stations.intake.", "stations.exhaust."


def test_holes_that_are_nowhere_are_none_in_this_job(tmp_path):
    none = {"rocker.spacer.oil_hole": "none", "rocker.post.oil_hole": None}
    finding = found(tmp_path, TRAIN, none, "R09", "spacer", "oil_hole_overlap")
    assert (finding.verdict, finding.missing, finding.note) == ("not_run", (), "none in this job")


@pytest.mark.parametrize("key", ["rocker.spacer.oil_hole", "rocker.post.oil_hole"])
def test_an_oil_hole_that_ends_at_the_other_part_fails(key, tmp_path):
    blind = found(tmp_path, TRAIN, {key: "none"}, "R09", "spacer", "oil_hole_overlap")
    assert (blind.value, blind.verdict) == (0.0, "fail")
    untold = found(tmp_path, TRAIN, {key: None}, "R09", "spacer", "oil_hole_overlap")
    assert (untold.verdict, untold.missing) == ("not_run", (key,))


def test_a_hole_wholly_over_the_other_is_open(tmp_path):
    wide = {"rocker.post.oil_hole": {"dia": 4.0, "at": [8.0, 0.7]}}
    assert found(tmp_path, TRAIN, wide, "R09", "spacer", "oil_hole_overlap").value == pytest.approx(
        1.0, abs=1e-12
    )


def test_holes_apart_share_nothing(tmp_path):
    apart = {"rocker.post.oil_hole.at.0": 4.0}
    finding = found(tmp_path, TRAIN, apart, "R09", "spacer", "oil_hole_overlap")
    assert (finding.value, finding.verdict) == (0.0, "fail")


def test_a_tunnel_in_which_nothing_moves_is_not_asked(tmp_path):
    still = {"head.cavities.tunnel.moving_dia": None, "head.cavities.tunnel.moving_play": None}
    finding = found(tmp_path, TRAIN, still, "R07", "job", "tunnel_play")
    assert (finding.verdict, finding.note) == ("not_run", "none in this job")


def test_no_cavities_told_is_not_none_in_this_job(tmp_path):
    finding = found(tmp_path, TRAIN, {"head.cavities": None}, "R07", "job", "tunnel_play")
    assert (finding.verdict, finding.missing) == ("not_run", ("head.cavities",))


def test_one_valve_alone_decides_the_mean(tmp_path):
    """The intake's 3 alone: 2.0 - 3/2.5 and 3 - 2.0."""
    alone = {"stations.exhaust": None}
    assert found(tmp_path, TRAIN, alone, "R01", "rocker", "above_lower").value == pytest.approx(
        0.8, abs=1e-12
    )
    assert found(tmp_path, TRAIN, alone, "R01", "rocker", "below_upper").value == pytest.approx(
        1.0, abs=1e-12
    )


def test_a_spacer_job_without_axes_rises_by_its_lengths(tmp_path):
    """dh = tip_s - old.tip_s = 50 - 47.5 = 2.5: the cover keeps 5.0 - 0.3 - 2.5, the adjuster takes (5 - 2.5)/1.5 - 1."""
    plain = {f"{IN}axis": None, f"{IN}old": {"tip_s": 47.5}, "stations.exhaust": None}
    assert found(tmp_path, TRAIN, plain, "R06", "rocker", "cover_left").value == pytest.approx(2.2, abs=1e-12)
    need = found(tmp_path, TRAIN, plain, "R02", "intake", "adjuster_need")
    assert need.value == pytest.approx(2.5 / 1.5 - 1.0, abs=1e-12)
    shift = found(tmp_path, TRAIN, plain, "R10", "intake", "tip_offset_over_stem")
    assert {f"{IN}axis", f"{IN}old.axis"} <= set(shift.missing)


def test_a_cover_measured_without_half_width_says_so(tmp_path):
    finding = found(tmp_path, TRAIN, {"rocker.cover_clearance": {"v": 5.0}}, "R06", "rocker", "cover_left")
    assert finding.value == pytest.approx(2.0, abs=1e-12)
    assert finding.note == "u of rocker.cover_clearance not given: taken as 0"


def test_the_seat_force_of_a_valve_whose_axis_moved_and_leans(tmp_path):
    """Old tip at 47 along an axis at 20 degrees through (8, 0, 3), new at 50 at 30 degrees through (8.2, 0, 3).

    Along the new axis the tip rises by (new - old) . d; the old spring is that much shorter, without the shim of 2.
    """
    old, new = radians(20.0), radians(30.0)
    gap = (0.2 + 50.0 * sin(new) - 47.0 * sin(old), 50.0 * cos(new) - 47.0 * cos(old))
    rise = gap[0] * sin(new) + gap[1] * cos(new)
    leaning = {
        f"{IN}axis": {"p": [8.2, 0.0, 3.0], "tilt": 30.0, "azim": 0.0},
        f"{IN}old": {"axis": {"p": [8.0, 0.0, 3.0], "tilt": 20.0, "azim": 0.0}, "tip_s": 47.0},
    }
    finding = found(tmp_path, TRAIN, leaning, "K03", "intake", "seat_force_ratio")
    assert finding.value == pytest.approx((26.0 - 17.0) / (26.0 - (19.0 - rise)), abs=1e-12)
    shift = found(tmp_path, TRAIN, leaning, "R10", "intake", "tip_offset_over_stem")
    assert shift.value == pytest.approx(gap[0] / 5.0, abs=1e-12)


def test_the_spring_of_an_upright_valve_may_be_told_in_z(tmp_path):
    """Seat and top at z = 30 and 40: s = 27 and 37, so 17 - 3.2 - 10.8 = 3.0 and 50 - 4 - 3.5 - 3.2 - 37 - 1.5 = 0.8."""
    in_z = {f"{IN}spring.seat_s": None, f"{IN}spring.seat_z": 30.0}
    in_z |= {f"{IN}bushing.shank.top_s": None, f"{IN}bushing.shank.top_z": 40.0}
    assert found(tmp_path, TRAIN, in_z, "K01", "intake", "coil_bind").value == pytest.approx(3.0, abs=1e-12)
    assert found(tmp_path, TRAIN, in_z, "K02", "intake", "retainer_gap").value == pytest.approx(0.8, abs=1e-9)


def test_a_station_without_spring_or_warm_gear_is_not_run(tmp_path):
    for check, quantity in (("K01", "coil_bind"), ("K02", "retainer_gap"), ("K03", "seat_force_ratio")):
        (finding,) = all_found(tmp_path, TRAIN, {}, check, "exhaust", quantity)
        assert f"{EX}spring.retainer_below_tip" in finding.missing
    cold = found(tmp_path, TRAIN, {"rocker.warm": None}, "L01", "exhaust", "lash_warm")
    assert {"rocker.warm.pivot", "rocker.warm.pushrod", "rocker.warm.valve"} <= set(cold.missing)


def test_warm_lash_of_the_exhaust_by_its_own_cold_lash(tmp_path):
    """0.25 + 2.5 x 0.11 - 1.5 x 0.07 - 0.225 = 0.195 without anything extra in the pushrod."""
    warm = {"rocker.lash_cold.exhaust": 0.25, "rocker.warm.pushrod_extra": None}
    finding = found(tmp_path, TRAIN, warm, "L01", "exhaust", "lash_warm")
    assert finding.value == pytest.approx(0.195, abs=1e-12)
    assert finding.verdict == "pass"
