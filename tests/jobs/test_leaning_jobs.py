"""Changed jobs with leaning axes and spring pockets: figures worked out beside each, keys unique."""

from __future__ import annotations

from math import cos, hypot, radians, sin

import pytest

POCKET = ("seal_h: 1.5}", "seal_h: 1.5, pocket: {dia: 13.0, floor_s: 22.0}}")


def test_a_pocket_over_the_other_port_has_one_worst_case_by_the_stricter_limit(changed):
    """W05 asks 2.0 below a pocket's floor, W11 1.5 between stations: 0.6 x 2.0 and 0.8 x 2.0 judge the pair."""
    found = changed("pump_26cc", POCKET, only=("W05", "W07", "W07r", "W11"))
    subject = "pocket_intake~port_exhaust"
    assert found["W05", subject, "nominal", "wall"].value == found["W11", subject, "nominal", "wall"].value
    worst = found["W07", subject, "nominal", "worst_case"]
    assert (worst.limit, worst.default_limit) == (pytest.approx(1.2), pytest.approx(1.2))
    assert found["W07r", subject, "nominal", "rss_case"].limit == pytest.approx(1.6)
    wall = found["W05", subject, "nominal", "wall"].value
    # pocket: axis 0.05 + bore 0.03; port: axis 0.05 + start 0.10 + wander 0.004 over the port's length
    length = 15.0 / cos(radians(10))
    assert worst.value == pytest.approx(wall - (0.05 + 0.03 + 0.05 + 0.10 + 0.004 * length), abs=1e-9)


def test_every_row_has_its_own_key(changed, tmp_path):
    from headparts.checks.context import Context
    from headparts.checks.run import run_checks
    from headparts.config import read_job
    from headparts.plan import plan_job

    changed("pump_26cc", POCKET, only=("W01",))
    findings = run_checks(Context(plan_job(read_job(tmp_path / "job.yaml"))), ("W",))
    keys = [finding.key for finding in findings]
    assert len(keys) == len(set(keys))


def test_a_turned_axis_leaves_most_of_the_old_shank_bore_at_the_heads_top(changed):
    """The shank's bore ends at the head's top, z = 30: there the old axis is farthest from the new one.

    New axis from (8.2, -1.2, 3.3) tilted 2 degrees toward X, old one upright through (8.0, -1.0): at the top
    the new one has gone 26.7 tan 2 deg further. Radii 4.0 and 3.5; axis 0.05 and bore 0.03 come off.
    """
    shank, spring = "shank: {dia: 8.00, top_z: 38.0", "spring: {seat_z: 30.0, shim"
    found = changed(
        "pump_26cc",
        ("axis: {p: [8.20, -1.20, 3.30], tilt: 0", "axis: {p: [8.20, -1.20, 3.30], tilt: 2"),
        (shank, shank.replace("top_z: 38.0", "top_s: 34.7")),
        (spring, spring.replace("seat_z: 30.0", "seat_s: 26.7")),
        only=("M01",),
    )
    top = 26.7 / cos(radians(2))
    offset = hypot(0.2 + top * sin(radians(2)), 0.2)
    value = found["M01", "intake", "nominal", "shank_cleanup"].value
    assert value == pytest.approx(4.0 - 3.5 - offset - 0.05 - 0.03, abs=1e-9)
    # the body's bore is judged over its own 17 mm
    offset = hypot(0.2 + 17.0 * sin(radians(2)), 0.2)
    body = found["M01", "intake", "nominal", "body_cleanup"].value
    assert body == pytest.approx(8.25 - 7.4 - offset - 0.05 - 0.03, abs=1e-9)


def test_parallel_axes_need_no_length_of_bore(changed):
    """Without an outline the offset of parallel axes is the same anywhere: 0.5 - hypot(0.2, 0.2) - 0.08."""
    found = changed(
        "pump_26cc",
        ("outline: {type: box, x: [-30, 30], y: [-29, 29], z: [0, 30.0]}     # z", "# z"),
        ("core: {type: box", "# core: {type: box"),
        ("fins: {z", "# fins: {z"),
        only=("M01",),
    )
    value = found["M01", "intake", "nominal", "shank_cleanup"].value
    assert value == pytest.approx(0.5 - hypot(0.2, 0.2) - 0.08, abs=1e-9)


def test_a_spot_face_leaves_the_entry_angle_for_information_whatever_the_limit(changed):
    found = changed("pump_26cc", ("  W01: 1.5", "  P02: 5.0"), only=("P02",))
    entry = found["P02", "port_intake", "nominal", "entry_angle"]
    assert entry.value == pytest.approx(12.0, abs=1e-9)
    assert (entry.verdict, entry.limit) == ("info", None)
    assert found["P02", "port_exhaust", "nominal", "entry_angle"].verdict == "warn"


SHORT_SLEEVE = """
schema: 1
job: {id: short, status: proposal}
stations:
  exhaust:
    axis: {p: [0, 0, 3], tilt: 0, azim: 0}
    bushing: {body: {dia: 14.5, len: 16}}
    port: {p: {on_axis_s: 12}, azim: 180, elev: -35, dia: 6, face: {along: 11}}
repairs:
  - {name: tube, in_port: exhaust, mode: pressed, bore: {dia: 7, tol: H7},
     sleeve: {material: alloy, od: 6.95, od_tol: [-0.01, 0], id: 6.1, id_tol: [0, 0.02], inner_end: saddle,
              saddle_radius: 7.25}}
materials: {alloy: {E: 70000, nu: 0.33, cte: 23.0e-6}}
"""  # fmt: skip


def test_a_sleeve_whose_face_lies_inside_its_saddle_is_judged_by_what_is_left(tmp_path):
    """The upper generator starts 7.25/cos 35 + 3.475 tan 35 = 11.28 from the foot, beyond the face at 11."""
    from headparts.job.runs import check
    from headparts.plan.derived import derived

    assert 7.25 / cos(radians(35)) + 3.475 * sin(radians(35)) / cos(radians(35)) > 11.0
    path = tmp_path / "job.yaml"
    path.write_text(SHORT_SLEEVE, encoding="utf-8")
    result = check(path)
    wall = next(f for f in result.findings if f.key == ("S01", "tube", "nominal", "wall_least"))
    assert wall.value == pytest.approx((6.95 - 0.01 - 6.1 - 0.02) / 2, abs=1e-9)
    assert ("tube", "length_max") not in {(row[0], row[1]) for row in derived(result.plan)}


def test_bodies_that_cannot_be_built_leave_the_findings_whole(tmp_path):
    """A job with a head: the same sleeve stops the look at the bodies, not the checks."""
    from headparts.job.runs import check

    text = (
        SHORT_SLEEVE
        + "head: {material: alloy, outline: {type: box, x: [-20, 20], y: [-20, 20], z: [0, 30]}}\n"
    )
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    result = check(path)
    wall = next(
        f for f in result.findings if f.key == ("W05", "body_bore_exhaust~outside", "nominal", "wall")
    )
    assert wall.value == pytest.approx(30 - (3 + 16), abs=1e-9)
    assert any(remark.startswith("bodies not looked at") for remark in result.report.remarks)
