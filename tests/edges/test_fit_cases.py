"""Press fits: what lacks only some of its cases, fits by tolerance classes, parts pressed in cold, numbers told beside."""

from __future__ import annotations

import re

import pytest

from edges.case import all_found, context, found
from edges.jobs import FITTED
from edges.lame import Press
from headparts.checks.run import run_checks

IN = "stations.intake."
APART = {"stations.exhaust.axis.p.0": -10.0}
WEB = Press(16.0, 12.0, 22.0, (70000.0, 0.33), (125000.0, 0.30))
"""The intake with a web of 18 - 15 = 3.0 beside it."""


def numbers(note):
    return [float(text) for text in re.findall(r"-?\d\.\d{4}", note)]


def grips(tmp_path, changes):
    """F02 of the intake by case."""
    return {each.case: each for each in all_found(tmp_path, FITTED, changes, "F02", "bushing_intake", "grip")}


def test_a_job_without_temperatures_says_so_and_still_judges_the_second_heating(tmp_path):
    """0.030 - 0.012 + 16 x 160 (17.0 - 23.0) um = 0.018 - 0.01536."""
    judged = grips(tmp_path, {"temps": None})
    assert set(judged) == {"nominal", "second_heating"}
    assert (judged["nominal"].verdict, judged["nominal"].missing) == ("not_run", ("temps",))
    assert judged["second_heating"].value == pytest.approx(0.018 - 0.01536, abs=1e-12)


def test_temperatures_are_named_among_all_that_is_missing(tmp_path):
    (nothing,) = all_found(tmp_path, FITTED, {"temps": None, "fits": None}, "F02", "bushing_intake", "grip")
    assert {"temps", "fits.body.interference", "fits.body.rz_bore"} <= set(nothing.missing)


def test_a_job_without_an_oven_judges_its_own_cases(tmp_path):
    judged = grips(tmp_path, {"fits.assembly.head_T": None})
    assert judged.pop("second_heating").missing == ("fits.assembly.head_T",)
    assert {each.verdict for each in judged.values()} <= {"pass", "fail"}
    assert set(judged) == {"cold", "running", "heat_soak", "frost"}


def test_a_case_without_this_bushing_is_not_run(tmp_path):
    judged = grips(tmp_path, {"temps.storage": {"head": 35}})
    assert (judged["storage"].verdict, judged["storage"].missing) == (
        "not_run",
        ("temps.storage.intake_bush",),
    )
    assert judged["cold"].value == pytest.approx(0.018, abs=1e-12)


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({"temps.running": None}, "temps.running"),
        ({"temps.running": {"head": 110}}, "temps.running.intake_bush"),
    ],
)
def test_no_stress_running_without_its_temperatures(changes, missing, tmp_path):
    finding = found(tmp_path, FITTED, changes, "F05", "bushing_intake", "hub_tresca")
    assert (finding.verdict, finding.case, finding.missing) == ("not_run", "running", (missing,))


def test_a_fit_by_classes_has_the_ends_of_its_classes(tmp_path):
    """ISO 286-1 and -2, 10 to 18 mm: H7 0 to +18, s6 +28 to +39 um: 10 to 39 um of interference.

    F01 takes the loose end: 0.010 - 0.008 - 0.001; F08 the tight end: 16 (21 x 160 + 17 x 38) um - 0.039; a bore of
    16.000 to 16.003 may be turned for from 16.013 to 16.039.
    """
    by_class = {"fits.body.mode": "limits", "fits.body.class": "H7/s6"}
    readings = {f"{IN}measured.body_bore": [[16.0, 16.001], [16.001, 16.002], [16.002, 16.003]]}
    wanted = {
        ("F01", "loose_end"): 0.001,
        ("F08", "assembly_slip"): 16.0 * (21.0e-6 * 160.0 + 17.0e-6 * 38.0) - 0.039,
        ("F12", "od_window"): 0.026,
    }
    for (check, quantity), value in wanted.items():
        finding = found(tmp_path, FITTED, {**by_class, **readings}, check, "bushing_intake", quantity)
        assert finding.value == pytest.approx(value, abs=1e-9), check


@pytest.mark.parametrize("head", [180.0, 40.0])
def test_a_gap_at_assembly_is_for_information_where_it_is_pressed(head, tmp_path):
    """16 (21 (180 - 20) + 17 x 38) um - 0.033 = 0.031; with the head at 40 it is negative: a press."""
    pressed = {"fits.assembly.method": "press", "fits.assembly.head_T": head}
    finding = found(tmp_path, FITTED, pressed, "F08", "bushing_intake", "assembly_slip")
    assert finding.value == pytest.approx(
        16.0 * (21.0e-6 * (head - 20.0) + 17.0e-6 * 38.0) - 0.033, abs=1e-12
    )
    assert finding.verdict == "info"
    assert finding.note == "pressed in cold: for information"


def test_a_gap_at_assembly_too_narrow_fails_where_it_is_shrunk(tmp_path):
    finding = found(
        tmp_path, FITTED, {"fits.assembly.head_T": 40.0}, "F08", "bushing_intake", "assembly_slip"
    )
    assert finding.verdict == "fail"


def test_a_guide_is_told_or_judged_never_both(tmp_path):
    for ream, quantity in ((True, "closure"), (False, "clearance_after_press")):
        here = context(tmp_path, FITTED, {f"{IN}bushing.guide.ream_after_press": ream})
        rows = [each for each in run_checks(here, ("F09",)) if each.subject == "bushing_intake"]
        assert [row.quantity for row in rows] == [quantity]


def test_six_readings_too_far_apart_leave_no_diameter(tmp_path):
    """(16.000 + 0.033) - (16.010 + 0.027) = -0.004: no window, and none is told."""
    spread = {f"{IN}measured.body_bore": [[16.0, 16.001], [16.01, 16.002], [16.002, 16.003]]}
    finding = found(tmp_path, FITTED, spread, "F12", "bushing_intake", "od_window")
    assert finding.value == pytest.approx(-0.004, abs=1e-9)
    assert (finding.verdict, finding.note) == ("fail", "")
    assert found(tmp_path, FITTED, {}, "F12", "bushing_intake", "od_window").missing == (
        f"{IN}measured.body_bore",
    )


def test_bores_that_break_into_each_other_hold_no_fit(tmp_path):
    """Bores of 16 and 14 whose axes are 14.9 apart overlap: no web, so no ring to work with."""
    near = {"stations.exhaust.axis.p.0": -6.9}
    finding = found(tmp_path, FITTED, near, "F04", "bushing_intake", "hub_tresca")
    assert finding.verdict == "not_run"
    assert "break into each other" in finding.note


def test_what_was_not_measured_together_is_taken_as_0_and_said(tmp_path):
    finding = found(tmp_path, FITTED, {"fits.body.measure_u": None}, "F01", "bushing_intake", "loose_end")
    assert finding.value == pytest.approx(0.019, abs=1e-12)
    assert finding.note == "fits.body.measure_u not given: taken as 0"


# ---- the hot casting yields ---------------------------------------------------------------------
# Running 110/100 its yield is 125 and the fit loses 16 (22 x 90 - 17.5 x 80) um = 0.00928 of its interference.
YIELDING = {**APART, "fits.body.interference.intake": 0.050}
LESS = 16.0 * (22.0e-6 * 90.0 - 17.5e-6 * 80.0)


def test_a_tight_end_that_yields_says_what_it_loses(tmp_path):
    finding = found(tmp_path, FITTED, YIELDING, "F05", "bushing_intake", "hub_tresca")
    lost = WEB.lost(0.053 - LESS, 125.0)
    assert finding.verdict == "warn"
    assert 0.0 < lost < 0.01
    assert numbers(finding.note) == pytest.approx([lost, 0.053 - LESS - lost, 0.053 - lost], abs=6e-5)


def test_the_grip_of_a_loose_end_that_yields_says_what_is_left(tmp_path):
    lost = WEB.lost(0.060 - 0.012 - LESS, 125.0)
    assert 1e-4 < lost < 0.01
    for finding in grips(tmp_path, {**APART, "fits.body.interference.intake": 0.060}).values():
        assert numbers(finding.note) == pytest.approx([lost, finding.value - lost], abs=6e-5)


@pytest.mark.parametrize(("hub_over_fit", "numbers_told"), [(2.695, 3), (2.705, 0)])
def test_a_hub_of_2_7_diameters_is_the_thickest_that_is_followed(hub_over_fit, numbers_told, tmp_path):
    """Hub 16 + 2 web, the bores 15 + web apart; an interference of 0.1 is far above the yield of either."""
    web = (hub_over_fit - 1.0) * 8.0
    thick = {"stations.exhaust.axis.p.0": 8.0 - 15.0 - web, "fits.body.interference.intake": 0.1}
    finding = found(tmp_path, FITTED, thick, "F05", "bushing_intake", "hub_tresca")
    assert finding.verdict == "warn"
    assert len(numbers(finding.note)) == numbers_told
    assert len(numbers(grips(tmp_path, thick)["cold"].note)) == (2 if numbers_told else 0)


def test_a_fit_that_holds_when_hot_says_nothing(tmp_path):
    assert found(tmp_path, FITTED, APART, "F05", "bushing_intake", "hub_tresca").note == ""
    assert {each.note for each in grips(tmp_path, APART).values()} == {""}


def test_without_its_temperature_running_the_other_cases_are_judged(tmp_path):
    judged = grips(tmp_path, {**YIELDING, "temps.running": {"head": 110}})
    assert judged["running"].verdict == "not_run"
    assert judged["cold"].value == pytest.approx(0.038, abs=1e-12)
    assert judged["cold"].note == ""


# ---- stress of the hub ---------------------------------------------------------------------------


@pytest.mark.parametrize(("head", "bush"), [(20.0, 60.0), (110.0, 20.0)])
def test_one_part_at_20_degrees_is_not_both(head, bush, tmp_path):
    temps = {"temps.running.head": head, "temps.running.intake_bush": bush}
    hot = 0.033 + 16.0 * (17.5e-6 * (bush - 20.0) - 22.0e-6 * (head - 20.0))
    finding = found(tmp_path, FITTED, {**APART, **temps}, "F05", "bushing_intake", "hub_tresca")
    assert finding.value == pytest.approx(WEB.hub_tresca(WEB.pressure(hot)), rel=1e-12)


def test_a_fit_that_is_loose_when_hot_loads_nothing(tmp_path):
    """0.033 + 16 (17.5 (-20 - 20) - 22 x 180) um is less than 0."""
    loose = {"temps.running.head": 200.0, "temps.running.intake_bush": -20.0}
    assert found(tmp_path, FITTED, {**APART, **loose}, "F05", "bushing_intake", "hub_tresca").value == 0.0


def test_a_press_of_a_few_microns_loads_a_little(tmp_path):
    light = {**APART, "fits.body.interference.intake": 0.002}
    finding = found(tmp_path, FITTED, light, "F04", "bushing_intake", "hub_tresca")
    assert finding.value == pytest.approx(WEB.hub_tresca(WEB.pressure(0.005)), rel=1e-12)


def test_the_stress_at_20_degrees_needs_no_expansion(tmp_path):
    unknown = {"materials.al.cte": None, "materials.al.cte_band": None}
    finding = found(tmp_path, FITTED, {**APART, **unknown}, "F04", "bushing_intake", "hub_tresca")
    assert finding.value == pytest.approx(WEB.hub_tresca(WEB.pressure(0.033)), rel=1e-12)


@pytest.mark.parametrize(("apart", "runs"), [(15.0, False), (15.004, True)])
def test_the_thinnest_web_is_still_a_ring(apart, runs, tmp_path):
    """Bores of 16 and 14 touch at 15; 4 um between them carry the fit, far beyond any yield."""
    near = {"stations.exhaust.axis.p.0": 8.0 - apart}
    finding = found(tmp_path, FITTED, near, "F04", "bushing_intake", "hub_tresca")
    assert finding.verdict == ("fail" if runs else "not_run")
    assert ("break into each other" in finding.note) is not runs


def test_two_fits_are_a_quick_rule_and_one_is_not(tmp_path):
    both = found(tmp_path, FITTED, {}, "F04", "bushing_intake", "hub_tresca")
    assert "headparts bridge" in both.note
    alone = {"stations.exhaust": None}
    assert found(tmp_path, FITTED, alone, "F04", "bushing_intake", "hub_tresca").note == ""
