"""Materials, instruments, threads, general tolerances and cautions: what they hold and what they refuse."""

import pytest

from headparts.errors import TableError
from headparts.tables.hazards import LOCAL_CODES, NOT_A_TEST, caution, caution_keys, step_cautions
from headparts.tables.instruments import half_width, instruments
from headparts.tables.iso2768 import angle_tolerance, linear_tolerance, parse_general_class
from headparts.tables.materials import STATUSES, UNITS, band, material_values, materials
from headparts.tables.threads import metric_thread


def test_every_material_value_states_source_and_status():
    for name in materials():
        for value in material_values(name):
            assert value.source
            assert value.status in STATUSES
            assert value.unit == UNITS[value.quantity]
            assert 0 < value.low <= value.high


def test_disagreeing_values_stay_side_by_side():
    # die-cast A380 type: 21.1 (20 to 100 degC) and 22.7e-6 (20 to 300 degC), data sheets
    assert band("al_die_cast", "cte") == (21.1, 22.7)
    assert {value.status for value in material_values("al_die_cast", "yield")} == {"published", "invented"}
    # aluminium bronzes: expansion 16.2 in one table, a rounded 18 in another; yield 330 to 390 MPa wrought
    assert band("al_bronze", "cte") == (16.2, 18.0)
    assert band("al_bronze", "yield") == (330.0, 390.0)


def test_moduli_are_in_mpa():
    for name in materials():
        for value in material_values(name, "modulus"):
            assert 6e4 < value.low < 2.5e5, (name, value)
        for value in material_values(name, "density"):
            assert 2.5 < value.low < 9.0, (name, value)


def test_refusals_name_what_there_is():
    with pytest.raises(TableError, match=r"'brass' is not in the table; there is .*cu_be"):
        material_values("brass")
    with pytest.raises(TableError, match=r"there is modulus, poisson, cte"):
        material_values("cu_be", "colour")
    with pytest.raises(TableError, match="no conductivity"):
        band("al_die_cast", "conductivity")
    with pytest.raises(TableError, match=r"there is caliper, micrometer"):
        half_width("ruler")
    with pytest.raises(TableError, match=r"'M7' is not in the table; there is M3, M4"):
        metric_thread("M7")
    with pytest.raises(TableError, match="there is f, m, c, v"):
        parse_general_class("ISO 2768-x")
    with pytest.raises(TableError, match="class 'k' is not in ISO 2768-1:1989; there is f, m, c, v"):
        linear_tolerance(10.0, "k")
    with pytest.raises(TableError, match="there is 0 to 400 mm"):
        angle_tolerance(401.0, "m")
    with pytest.raises(TableError, match="'lead'; there is beryllium, pressing"):
        caution("lead")


def test_instruments_of_the_trade():
    # common practice, no source
    assert half_width("micrometer") == (0.003, "mm")
    assert half_width("sine bar") == (0.02, "deg")
    assert all(half_width(name)[0] > 0 for name in instruments())


def test_coarse_and_fine_threads():
    assert metric_thread("M6x1") == metric_thread("M6")
    assert metric_thread("M10").pitch == 1.5
    assert metric_thread("M10x1").pitch == 1.0
    assert metric_thread("m6".upper()).bolt_major == (5.794, 5.974)


def test_cautions_cover_each_step_and_the_hazard():
    assert caution_keys()[0] == "beryllium"
    wanted = "pressing heat_and_cold drilling boring adhesives leak_test running repaired_wall numbers"
    assert set(wanted.split()) <= {item.key for item in step_cautions()}
    for key in caution_keys():
        found = caution(key)
        assert len(found.short) <= 120, f"{key}: too long for one line of a drawing"
        assert len(found.full.split()) > 15
        assert found.title


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("beryllium", ("dust", "wet", "grind", "years", "nickel-aluminium bronze")),
        ("pressing", ("goggles", "hands", "never under fins")),
        ("heat_and_cold", ("Oven", "oven", "gloves", "displace air")),
        ("drilling", ("clamp", "never hold")),
        ("leak_test", ("0.5 bar", "eyes protected")),
        ("running", ("guards", "overspeed", "aircraft", "lifting people")),
        ("repaired_wall", ("hot gas", "bolt", "10 hours")),
        ("numbers", ("not a test", "leak test", "competent person")),
    ],
)
def test_cautions_say_what_matters(key, words):
    text = " ".join((caution(key).short, caution(key).full))
    for word in words:
        assert word in text, word


def test_general_remarks():
    assert "before anything written here" in LOCAL_CODES
    assert "never replaces a leak test" in NOT_A_TEST
