"""A breakthrough with and without its repair. Figures: stories AS10 and the independent job calculation."""

from __future__ import annotations

import pytest

CASES = {
    # job: pair, wall, its limit; generator and sprayer from the independent calculation in tests/jobs/data
    "generator_62cc": ("port_intake~tunnel_in", -0.414276, 1.2),
    "sprayer_10cc": ("port_intake~tunnel_in", -0.323573, 0.9),
}


@pytest.mark.parametrize("name", CASES)
def test_without_the_repair_the_breakthrough_fails(changed, without_repairs, name):
    pair, wall, limit = CASES[name]
    found = changed(name, without_repairs(name), only=("W04", "W08"))
    bare = found["W04", pair, "nominal", "wall"]
    assert bare.value == pytest.approx(wall, abs=0.002)
    assert bare.verdict == "fail"
    assert bare.limit == pytest.approx(limit)
    failing = {key[3] for key, finding in found.items() if key[0] == "W08" and finding.verdict == "fail"}
    assert failing == {
        "overlap_volume",
        "opening_along",
        "opening_area",
        "opening_around",
        "opening_centre",
        "axis_gap",
        "axis_angle",
    }


def test_the_repaired_pair_is_information_and_names_its_repair(checked):
    for name, (pair, _, _) in CASES.items():
        finding = checked(name).by_key["W04", pair, "nominal", "wall"]
        assert finding.verdict == "info"
        assert finding.note == "repaired by sleeve_intake"


def test_the_sleeve_bore_of_the_generator_breaks_out_13_75_mm3(checked):
    """Story AS10: CAD solids of an independent model gave 5.893 long and 13.75 mm3."""
    key = ("W08", "sleeve_bore_sleeve_intake~tunnel_in", "nominal", "overlap_volume")
    assert checked("generator_62cc").by_key[key].value == pytest.approx(13.75, rel=0.005)


def test_a_repair_that_does_not_pass_leaves_the_breakthrough_a_fail(changed):
    found = changed("generator_62cc", ("cover_beyond: 3.0", "cover_beyond: 6.0"), only=("W04", "W08", "S05"))
    assert found["S05", "sleeve_intake", "nominal", "cover_inner"].verdict == "fail"
    bare = found["W04", "port_intake~tunnel_in", "nominal", "wall"]
    assert bare.verdict == "fail"
    assert "S05" in bare.note


def test_a_repair_that_names_another_cavity_does_not_help(changed):
    found = changed(
        "generator_62cc", ("cause: {cavity: tunnel_in", "cause: {cavity: tunnel_ex"), only=("W04",)
    )
    assert found["W04", "port_intake~tunnel_in", "nominal", "wall"].verdict == "fail"


def test_a_bonded_exhaust_fails_whatever_the_adhesive(changed):
    found = changed("generator_62cc", ("in_port: intake", "in_port: exhaust"), only=("S09",))
    assert found["S09", "sleeve_intake", "nominal", "temperature_reserve"].verdict == "fail"


def test_an_accepted_fail_is_a_warning_with_its_reason(changed, without_repairs):
    accept = "accept:\n  - {id: W04, subject: port_intake~tunnel_in, reason: tunnel is blanked off}\n"
    found = changed(
        "generator_62cc",
        without_repairs("generator_62cc"),
        ("materials:\n", accept + "materials:\n"),
        only=("W04", "W08"),
    )
    accepted = found["W04", "port_intake~tunnel_in", "nominal", "wall"]
    assert accepted.verdict == "warn"
    assert "tunnel is blanked off" in accepted.note
    assert found["W08", "port_intake~tunnel_in", "nominal", "overlap_volume"].verdict == "fail"


PARTIAL = """
schema: 1
job: {id: P1, status: proposal}
head:
  material: cast
  cavities:
    - {name: tunnel_in, kind: oil, axis: {p: [22.9, -24.5, 0], tilt: 0, azim: 0}, dia: 10.0, len: 40, u: 0.10}
stations:
  intake:
    axis: {p: [10.90, -0.50, 4.60], tilt: 15, azim: 0}
    bushing: {body: {dia: 22.0, len: 24}}
    port: {p: {on_axis_s: 8.5}, azim: -40, elev: 12, dia: 15.0, face: {along: 34.0}}
repairs:
  - {name: sleeve, in_port: intake, cause: {cavity: tunnel_in}, mode: bonded,
     bore: {dia: 15.85, tol: H7}, anti_rotation: saddle,
     sleeve: {material: tube, od: 15.79, od_tol: [-0.01, 0], id: 15.0, id_tol: [0, 0.02], inner_end: saddle,
              saddle_radius: 11.0},
     bond: {gap_dia: [0.05, 0.1], service_T: 150, rated_T: 230}}
"""


def partial_findings(tmp_path, text: str) -> dict:
    from headparts.checks.context import Context
    from headparts.checks.run import run_checks
    from headparts.config import read_job
    from headparts.plan import plan_job

    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return {finding.key: finding for finding in run_checks(Context(plan_job(read_job(path))))}


def test_a_sleeve_alone_is_judged_by_what_can_be_judged_and_says_what_could_not(tmp_path):
    """Cover of the generator job (independent calculation): 5.134 inside, 7.606 outside."""
    found = partial_findings(tmp_path, PARTIAL)
    assert found["S05", "sleeve", "nominal", "cover_inner"].value == pytest.approx(5.134298, abs=0.002)
    assert found["S05", "sleeve", "nominal", "cover_outer"].value == pytest.approx(7.605729, abs=0.002)
    assert found["S05", "sleeve", "worst", "cover_inner"].verdict == "not_run"
    bare = found["W04", "port_intake~tunnel_in", "nominal", "wall"]
    assert bare.verdict == "info"
    assert bare.note == "repaired by sleeve; not judged: S05 worst, S08"
    assert [finding.key for finding in found.values() if finding.verdict == "fail"] == []


def test_without_its_cover_judged_nothing_is_repaired(tmp_path):
    text = PARTIAL.replace(" id: 15.0, id_tol: [0, 0.02],", "")
    found = partial_findings(tmp_path, text)
    assert found["S05", "sleeve", "nominal", "cover_inner"].verdict == "not_run"
    assert found["W04", "port_intake~tunnel_in", "nominal", "wall"].verdict == "fail"
