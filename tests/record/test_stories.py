"""Readings put to use: the worked cases of the shop, each by hand."""

from __future__ import annotations

import re
from math import cos, radians, sin

import pytest

import headparts
from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.errors import JobFileError
from headparts.job.record import recorded
from headparts.plan.sizes import shank_fit
from record.case import by_key, config, filled, whole, written
from record.planned import unmeasured

AS15 = [16.508, 16.504, 16.512, 16.509, 16.515, 16.511]
"""Six readings of a bore, top, middle, bottom in two directions (story AS15)."""
ALUMINIUM = 22.0e-6


def local(folder):
    """The pump job with the local interference of story AS15 for its intake bushing."""
    text = config("pump_26cc").read_text(encoding="utf-8")
    path = folder / "pump.yaml"
    new = text.replace("band: 0.003, bore_tol", "band: 0.003, local: {intake: [0.025, 0.040]}, bore_tol")
    path.write_text(new, encoding="utf-8")
    return path


def made(job, folder, values):
    return recorded(job, written(folder, filled(whole(job), values)))


def row(found, key):
    (one,) = [each for each in found.rows if each.key == key]
    return one


def test_as15_the_diameter_to_turn(tmp_path):
    """Greatest 16.515 + 0.025 = 16.540, least 16.504 + 0.040 = 16.544; the middle is 16.542."""
    job = local(tmp_path)
    found = made(job, tmp_path, {"bores.intake.body_bore": AS15, "bores.temperature": 20})
    assert (
        row(found, "bores.intake.body_bore").changes == "turn the body to 16.5400 to 16.5440, aim at 16.5420"
    )
    (f12,) = [each for each in run_checks(Context(found.plan), ["F12"]) if each.subject == "bushing_intake"]
    assert (f12.verdict, f12.note) == ("pass", "turn to 16.5400 to 16.5440")
    assert f12.value == pytest.approx(0.004, abs=1e-9)
    od = row(found, "bushings.intake.body_od")
    assert (od.low, od.high) == pytest.approx((16.540, 16.544), abs=1e-9)


def test_as15_no_diameter_suits(tmp_path):
    """16.521 at the bottom: 16.546 > 16.544, rebore."""
    job = local(tmp_path)
    readings = [*AS15[:4], 16.521, AS15[5]]
    values = {
        "bores.intake.body_bore": readings,
        "bores.temperature": 20,
        "bushings.intake.body_od": [16.545] * 6,
    }
    found = made(job, tmp_path, values | {"bushings.temperature": 20})
    assert row(found, "bores.intake.body_bore").verdict == "outside"  # above 16.518, too
    assert row(found, "bushings.intake.body_od").verdict == "outside"
    assert "rebore" in row(found, "bushings.intake.body_od").note
    (f12,) = [each for each in run_checks(Context(found.plan), ["F12"]) if each.subject == "bushing_intake"]
    assert (f12.verdict, f12.value) == ("fail", pytest.approx(-0.002, abs=1e-9))


def test_a_warm_head_reads_large(tmp_path):
    """16.5 mm of aluminium grow 3.63 um in 10 K: what reads 16.51163 at 30 degC is 16.508 at 20."""
    job = local(tmp_path)
    warm = [size * (1 + ALUMINIUM * 10.0) for size in AS15]
    assert warm[0] - AS15[0] == pytest.approx(0.00363, abs=5e-6)
    found = made(job, tmp_path, {"bores.intake.body_bore": warm, "bores.temperature": 30})
    one = row(found, "bores.intake.body_bore")
    assert one.raw == pytest.approx(warm, abs=1e-12)
    assert one.made == pytest.approx(AS15, abs=1e-11)
    assert one.changes.startswith("turn the body to 16.5400 to 16.5440")
    (m07,) = run_checks(Context(found.plan), ["M07"])
    assert (m07.value, m07.verdict) == (30.0, "warn")
    assert any("gauge is taken to read true" in text for text in found.made.remarks)


def test_a_warm_gauge_reads_small(tmp_path):
    """Gauge and ring of steel at 30 degC too: they grew by 11.5e-6 x 10, the rest of 22.0e-6 x 10 is what is read."""
    job = local(tmp_path)
    read = 16.508 * (1 + 22.0e-6 * 10.0) / (1 + 11.5e-6 * 10.0)
    values = {"bores.intake.body_bore": [read] * 6, "bores.temperature": 30, "bores.gauge_temperature": 30}
    found = made(job, tmp_path, values)
    assert row(found, "bores.intake.body_bore").made == pytest.approx([16.508] * 6, abs=1e-11)
    assert not any("read true" in text for text in found.made.remarks)


def test_without_a_temperature_nothing_is_corrected_and_m07_did_not_run(tmp_path):
    job = local(tmp_path)
    record = written(tmp_path, filled(whole(job), {"bores.intake.body_bore": AS15}))
    done = headparts.check(job, only=["M07"], record=record)
    (m07,) = done.findings
    assert m07.verdict == "not_run"
    assert "no temperature" in m07.note
    table = done.report.record
    assert [each.made for each in table.rows if each.key == "bores.intake.body_bore"] == [tuple(AS15)]
    assert any(text.startswith("bores: no temperature given") for text in table.remarks)


def test_the_pair_that_was_made(tmp_path):
    """Outside 16.541 to 16.543 in AS15's bore: interference 16.541 - 16.515 = 0.026 to 16.543 - 16.504 = 0.039.

    F01 takes off 0.8 (4.0 + 3.0) um of roughness: 0.026 - 0.0056 = 0.0204.
    """
    job = local(tmp_path)
    outside = [16.541, 16.543] * 3
    values = {"bores.intake.body_bore": AS15, "bushings.intake.body_od": outside}
    found = made(job, tmp_path, values | {"bores.temperature": 20, "bushings.temperature": 20})
    findings = by_key(run_checks(Context(found.plan), ["F01", "F08"]))
    loose = findings["F01", "bushing_intake", "nominal", "loose_end"]
    assert loose.value == pytest.approx(0.0204, abs=1e-9)
    # slip at the greatest interference, least over the bands: 16.508... (21.1e-6 x 160 + 17.0e-6 x 38) - 0.039
    mean = sum(AS15) / 6
    slip = mean * (21.1e-6 * 160.0 + 17.0e-6 * 38.0) - 0.039
    assert findings["F08", "bushing_intake", "nominal", "assembly_slip"].value == pytest.approx(
        slip, abs=1e-9
    )
    assert row(found, "bushings.intake.body_od").changes.startswith("interference 0.0260 to 0.0390 ")


def test_a_bushing_turned_true_does_not_spoil_its_own_window(tmp_path):
    """F12 asks for the interference wanted: 16.508 + 0.031 to 16.508 + 0.037, be the bushing 16.542 all over."""
    job = unmeasured("pump_26cc", tmp_path)
    values = {"bores.intake.body_bore": [16.508] * 6, "bushings.intake.body_od": [16.542] * 6}
    found = made(job, tmp_path, values | {"bores.temperature": 20, "bushings.temperature": 20})
    f12 = by_key(run_checks(Context(found.plan), ["F12"]))["F12", "bushing_intake", "nominal", "od_window"]
    assert (f12.value, f12.note) == (pytest.approx(0.006, abs=1e-9), "turn to 16.5390 to 16.5450")
    one = row(found, "bushings.intake.body_od")
    assert (one.verdict, one.low, one.high) == (
        "within",
        pytest.approx(16.539, abs=1e-9),
        pytest.approx(16.545, abs=1e-9),
    )


def test_the_shank_is_turned_to_its_bore(tmp_path):
    """Bore 8.002 to 8.004, wanted 0.004 to 0.012: 8.008 to 8.014; the sheet has the same."""
    job = unmeasured("pump_26cc", tmp_path)
    found = made(job, tmp_path, {"bores.intake.shank_bore": [8.002, 8.004] * 3, "bores.temperature": 20})
    assert row(found, "bores.intake.shank_bore").changes == "turn the shank to 8.0080 to 8.0140"
    assert (
        row(found, "bushings.intake.shank_od").low,
        row(found, "bushings.intake.shank_od").high,
    ) == pytest.approx((8.008, 8.014), abs=1e-9)
    fit = shank_fit(found.plan.stations["intake"])
    assert (fit.lower, fit.turned, fit.upper) == pytest.approx((8.008, 8.011, 8.014), abs=1e-9)


def test_incomplete_readings_are_not_used(tmp_path):
    job = local(tmp_path)
    blank, partly = "[~, ~], [~, ~], [~, ~]", "[16.508, 16.504], [~, ~], [16.5, ~]"
    text = filled(whole(job), {"bores.temperature": 20}).replace(blank, partly, 1)
    found = recorded(job, written(tmp_path, text))
    one = row(found, "bores.intake.body_bore")
    assert one.verdict == "within"
    assert one.changes == ""
    assert any("3 of 6 readings; not used" in remark for remark in found.made.remarks)
    assert found.plan.job.get("stations.intake.measured") is None


def test_a_step_too_deep_takes_seat_and_tip_along(tmp_path):
    """0.03 deeper: M02's gain, the tip's rise and the recess of the face grow by 0.03 each."""
    job = unmeasured("pump_26cc", tmp_path)
    found = made(job, tmp_path, {"bores.intake.step_depth": 20.33, "bores.temperature": 20})
    for key in ("step_gain", "tip_rise"):
        before, after = (getattr(plan.stations["intake"], key) for plan in (found.planned, found.plan))
        assert after - before == pytest.approx(0.03, abs=1e-9), key
    inputs = found.plan.stations["intake"].inputs
    assert inputs.one("bushing.body.face_above_roof") == pytest.approx(0.03, abs=1e-9)
    assert row(found, "bores.intake.step_depth").verdict == "outside"


def test_a_short_bushing_only_sinks_its_face(tmp_path):
    job = unmeasured("pump_26cc", tmp_path)
    found = made(job, tmp_path, {"bushings.intake.body_len": 16.99, "bushings.temperature": 20})
    before, after = (plan.stations["intake"] for plan in (found.planned, found.plan))
    assert after.tip_rise == before.tip_rise
    assert after.inputs.one("bushing.body.face_above_roof") == pytest.approx(0.01, abs=1e-9)


def test_guide_and_seat_as_made(tmp_path):
    """Guide 4.004 to 4.009 on a stem of 3.970: clearance 0.034 to 0.039, no tolerance added; run-out as read."""
    job = unmeasured("pump_26cc", tmp_path)
    values = {
        "seats.intake.guide_bore": [4.009, 4.004],
        "seats.intake.runout": 0.021,
        "seats.temperature": 20,
    }
    findings = by_key(run_checks(Context(made(job, tmp_path, values).plan), ["B10", "B13"]))
    assert findings["B10", "bushing_intake", "nominal", "clearance_min"].value == pytest.approx(
        0.034, abs=1e-9
    )
    assert findings["B10", "bushing_intake", "nominal", "clearance_max"].value == pytest.approx(
        0.039, abs=1e-9
    )
    assert findings["B13", "bushing_intake", "nominal", "seat_runout"].verdict == "fail"


def test_as10_the_opening_places_the_tunnel(tmp_path):
    """4.6 long in the port of 15.0: the axes are 12.003 apart, the tunnel 0.083 nearer than drawn."""
    job = config("generator_62cc")
    values = {"ports.intake.opening": {"along_port": 4.6, "around": 5.1}}
    found = made(job, tmp_path, values)
    gap, nearer = found.made.moved["tunnel_in"]
    assert gap == pytest.approx(12.003, abs=5e-4)
    assert nearer == pytest.approx(0.083, abs=5e-4)
    # the upright tunnel goes square to the port's run in plan: axis gap = distance of its point from the port in plan
    before, after = (plan.job.get("head.cavities.tunnel_in.axis.p") for plan in (found.planned, found.plan))
    across = (sin(radians(-40.0)), -cos(radians(-40.0)))
    for point, wanted in ((before, 12.0857), (after, 12.003)):
        plane = (point[0] - 13.1) * across[0] + (point[1] + 0.5) * across[1]
        assert abs(plane) == pytest.approx(wanted, abs=5e-4)
    assert "nearer than drawn: axes 12.0030 apart" in row(found, "ports.intake.opening").changes
    walls = by_key(run_checks(Context(found.plan), ["W08"]))
    opened = walls["W08", "port_intake~tunnel_in", "nominal", "opening_along"]
    assert opened.value == pytest.approx(4.6, abs=1e-4)


def test_a_new_breakthrough_moves_its_cavity_and_is_outside(tmp_path):
    """An opening nobody planned: the cavity named lies where it explains it, and W08 fails."""
    job = unmeasured("pump_26cc", tmp_path)
    values = {"ports.intake.opening": {"cavity": "stud_3", "along_port": 2.0, "around": 2.0}}
    found = made(job, tmp_path, values)
    one = row(found, "ports.intake.opening")
    assert one.verdict == "outside"
    walls = by_key(run_checks(Context(found.plan), ["W08"]))
    opened = walls["W08", "port_intake~stud_3", "nominal", "opening_along"]
    assert (opened.verdict, opened.value) == ("fail", pytest.approx(2.0, abs=1e-4))


def test_as09_and_as18_the_spacer_to_make(tmp_path):
    """Tips risen by 3.20 each, R = 11.4/9.5 = 1.2, old pushrods: t = 3.2/2.2 = 1.4545; with +1.0: 2.0.

    The adjuster's half range 0.75 at the pushrod end: t = (3.2 + 1.2 (1.0 +- 0.75))/2.2 = 1.5909 to 2.4091. A stud of
    24 leaves 24 - 14 - 1.2 - 5 - 1.0 = 2.8.
    """
    job = unmeasured("pump_26cc", tmp_path)
    values = {"seats.intake.tip_z": 53.2, "seats.exhaust.tip_z": 53.2}
    window = made(job, tmp_path, values).window
    assert window.old_pushrods == pytest.approx(1.45455, abs=1e-5)
    assert window.keeps_lash == pytest.approx(2.0, abs=1e-9)
    assert (window.lower, window.upper) == pytest.approx((1.590909, 2.409091), abs=1e-6)
    assert window.lower_by.startswith("R02")
    assert window.upper_by.startswith("R02")


def test_as18_a_short_stud_sets_the_upper_end(tmp_path):
    """A stud of 23.0: 23 - 14 - 1.2 - 5 - 1.0 = 1.8 is the thickest; at 22.0 it is 0.8: none."""
    for projection, empty in ((23.0, False), (22.0, True)):
        text = config("pump_26cc").read_text(encoding="utf-8")
        job = tmp_path / "job.yaml"
        job.write_text(
            text.replace("stud_projection: 24.0", f"stud_projection: {projection}"), encoding="utf-8"
        )
        window = made(job, tmp_path, {"seats.intake.tip_z": 53.2, "seats.exhaust.tip_z": 53.2}).window
        assert window.upper_by == "R04"
        assert window.upper == pytest.approx(projection - 21.2, abs=1e-9)
        assert window.is_empty is empty


def test_every_end_of_the_spacer_window_is_where_its_rule_turns(tmp_path):
    """A spacer a hair inside the window keeps R01 to R04, a hair outside it breaks the rule that is named."""
    for name in ("pump_26cc", "generator_62cc", "sprayer_10cc"):
        job = config(name)
        window = made(job, tmp_path, {}).window
        form = whole(job)
        for end, by, out in ((window.lower, window.lower_by, -1), (window.upper, window.upper_by, +1)):
            for side in (-1, +1):
                thick = end + side * out * 1e-6
                found = recorded(job, written(tmp_path, filled(form, {"train.rocker.spacer_thick": thick})))
                judged = run_checks(Context(found.plan), ["R01", "R02", "R03", "R04"])
                bad = [each for each in judged if each.verdict in ("fail", "warn")]
                broken = {f"{each.id} {each.subject}".removesuffix(" rocker") for each in bad}
                assert broken == ({by} if side == +1 else set()), (name, end, side)


def test_the_clay_under_the_cover(tmp_path):
    """1.15 left of which the clay may be wrong by 0.3: R06 has 0.85 and passes at 0.8; with 1.05 it fails."""
    job = unmeasured("pump_26cc", tmp_path)
    for clay, verdict in ((1.15, "pass"), (1.05, "fail")):
        found = made(job, tmp_path, {"train.rocker.cover_left": clay})
        (r06,) = run_checks(Context(found.plan), ["R06"])
        assert r06.value == pytest.approx(clay - 0.3, abs=1e-9)
        assert r06.verdict == verdict


def test_train_as_made(tmp_path):
    """Pushrod 75.1 over the old 74.0: a change of 1.1; the spring seat gives what is left of the installed length."""
    job = unmeasured("pump_26cc", tmp_path)
    values = {"train.rocker.pushrod_length": 75.1, "train.intake.lash": 0.09, "seats.intake.installed": 16.4}
    found = made(job, tmp_path, values)
    assert found.plan.inputs.one("rocker.pushrod.change") == pytest.approx(1.1, abs=1e-9)
    assert found.plan.inputs.one("rocker.lash_cold.intake") == 0.09
    k01 = by_key(run_checks(Context(found.plan), ["K01"]))["K01", "intake", "nominal", "coil_bind"]
    assert k01.value == pytest.approx(16.4 - 3.2 - 10.8, abs=1e-9)


def test_the_sleeve_and_its_bore_as_made(tmp_path):
    """Bore 15.853 to 15.861, sleeve 15.784 to 15.787: the gap is 0.066 to 0.077."""
    job = config("generator_62cc")
    values = {"sleeve.sleeve_intake.bore": [15.861, 15.853], "sleeve.sleeve_intake.od": [15.784, 15.787]}
    found = made(job, tmp_path, values | {"sleeve.temperature": 20})
    findings = by_key(run_checks(Context(found.plan), ["S03"]))
    assert findings["S03", "sleeve_intake", "nominal", "gap_min"].value == pytest.approx(0.066, abs=1e-9)
    assert findings["S03", "sleeve_intake", "nominal", "gap_max"].value == pytest.approx(0.077, abs=1e-9)


def test_as_found_gives_what_the_job_lacks(tmp_path):
    """Without `old` the rise of the tip is not known; the record's old tip makes it 53.2036 - 50.0."""
    text = config("pump_26cc").read_text(encoding="utf-8")
    start, end = text.index("    old:  "), text.index("    valve:")
    job = tmp_path / "job.yaml"
    job.write_text(text[:start] + text[end:], encoding="utf-8")
    form = headparts.measure(job)
    assert "as_found:" in form.splitlines()
    assert "bores:" not in form.splitlines()
    values = {
        "as_found.intake.axis": [8.0, -1.0],
        "as_found.intake.tip_z": 50.0,
        "as_found.intake.body_bore": 14.8,
    }
    values |= {"as_found.intake.shank_bore": 7.0, "as_found.intake.body_len": 15.0}
    with_old = recorded(config("pump_26cc"), written(tmp_path, whole(config("pump_26cc"))))
    found = recorded(job, written(tmp_path, filled(form, values)))
    wanted = by_key(run_checks(Context(with_old.plan), ["M01", "M02", "R10", "K03"]))
    mine = by_key(run_checks(Context(found.plan), ["M01", "M02", "R10", "K03"]))
    for key, old in wanted.items():
        assert (mine[key].verdict, mine[key].value) == (old.verdict, old.value), key
    before = by_key(run_checks(Context(found.planned), ["M02"]))
    assert before["M02", "intake", "nominal", "step_gain"].verdict == "not_run"


def test_a_job_as_built_is_stated_by_its_record(tmp_path):
    """`status: as_built` needs half-width and instrument on every fit dimension: the record has them."""
    text = (
        unmeasured("pump_26cc", tmp_path)
        .read_text(encoding="utf-8")
        .replace("status: proposal", "status: as_built")
    )
    job = tmp_path / "built.yaml"
    job.write_text(text, encoding="utf-8")
    with pytest.raises(JobFileError) as caught:
        headparts.read_job(job)
    lacking = {fault.key for fault in caught.value.faults}
    assert lacking == {
        f"stations.{name}.bushing.{key}"
        for name in ("intake", "exhaust")
        for key in ("body.dia", "shank.dia", "guide.bore")
    } | {"fits.body.interference.intake", "fits.body.interference.exhaust", "fits.shank.interference"}
    values: dict[str, object] = dict.fromkeys(
        (f"{step}.temperature" for step in ("bores", "bushings", "seats")), 20
    )
    for name, body, wanted in (("intake", 16.5, 0.034), ("exhaust", 14.5, 0.029)):
        values[f"bores.{name}.body_bore"] = [body + 0.004] * 6
        values[f"bores.{name}.shank_bore"] = [8.003] * 6
        values[f"bushings.{name}.body_od"] = [body + 0.004 + wanted] * 6
        values[f"bushings.{name}.shank_od"] = [8.011] * 6
        values[f"seats.{name}.guide_bore"] = [4.003, 4.005]
    form = whole(job)
    plan = recorded(job, written(tmp_path, filled(form, values))).plan
    stated = plan.job.quantities["stations.intake.bushing.body.dia"]
    assert (stated.value, stated.u, stated.by) == (
        pytest.approx(16.504, abs=1e-9),
        0.005,
        "2-point bore gauge",
    )
    values.pop("bores.exhaust.shank_bore")
    record = written(tmp_path, filled(form, values))
    assert "shank_bore: {v: [[~" in headparts.measure(job, record)  # a form can be had before all is stated
    with pytest.raises(JobFileError) as caught:
        recorded(job, record)
    assert {fault.key for fault in caught.value.faults} == {
        "stations.exhaust.bushing.shank.dia",
        "fits.shank.interference",
    }
    assert all("the record has no complete reading" in fault.message for fault in caught.value.faults)


def test_the_repair_speaks_of_the_opening_that_was_measured(tmp_path):
    """The job says 4.6; the record 5.0: the tunnel lies where 5.0 puts it, and the cover (S05) says nothing of 4.6."""
    job = config("generator_62cc")
    values = {"ports.intake.opening": {"along_port": 5.0, "around": 5.4}}
    found = made(job, tmp_path, values)
    seen = found.plan.job.get("repairs.sleeve_intake.cause.measured_opening")
    assert (seen.along_port, seen.around) == (5.0, 5.4)
    notes = [each.note for each in run_checks(Context(found.plan), ["S05"]) if each.case == "nominal"]
    assert any(
        re.search("measured opening of 5 puts the cavity 0.000 (nearer|farther)", note) for note in notes
    )
    assert not any("4.6" in note for note in notes)


def test_tip_by_its_own_instrument(tmp_path):
    """The gauge length that follows from a measured tip is known as well as the tip was read."""
    job = unmeasured("pump_26cc", tmp_path)
    plan = made(job, tmp_path, {"seats.intake.tip_z": 53.25}).plan
    assert plan.stations["intake"].point(plan.stations["intake"].tip_s)[2] == pytest.approx(53.25, abs=1e-9)
    gauge = plan.job.quantities["stations.intake.valve.gauge_to_tip"]
    assert (gauge.u, gauge.by) == (0.02, "height gauge")


def test_a_bore_of_another_class_has_its_own_limits(tmp_path):
    """A fit made to limits H8/s7: the bore of 16.5 may have the 27 um of H8 (ISO 286-1), not those of H7."""
    text = unmeasured("pump_26cc", tmp_path).read_text(encoding="utf-8")
    old = text[text.index("  body:  {mode") : text.index("  shank: {mode")]
    job = tmp_path / "limits.yaml"
    job.write_text(
        text.replace(old, "  body: {mode: limits, class: H8/s7, rz_bore: 4.0, rz_bush: 3.0}\n"),
        encoding="utf-8",
    )
    one = row(made(job, tmp_path, {}), "bores.intake.body_bore")
    assert (one.low, one.high) == (pytest.approx(16.5, abs=1e-12), pytest.approx(16.527, abs=1e-12))
