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
