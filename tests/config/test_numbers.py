"""Numbers: exact values, units, measured quantities, and what is refused with a hint."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("written", "value"),
    [
        # by hand: 1 in = 25.4 mm and 1 thou = 0.0254 mm exactly (international yard and pound agreement, 1959)
        ("0.2362 in", 5.99948),
        ("0.2362in", 5.99948),
        ("'0.2362 in'", 5.99948),
        ("1.5 thou", 0.0381),
        ("25 um", 0.025),
        ("25 \u00b5m", 0.025),
        ("25 \u03bcm", 0.025),
        ("18.5mm", 18.5),
        ("18.5 mm", 18.5),
        ("1.0e+1 mm", 10.0),
        ("5", 5.0),
        ("+5", 5.0),
        ("5.", 5.0),
        (".5", 0.5),
        ("22.0e-1", 2.2),
        ("0.1", 0.1),
        ("0.001", 0.001),
        ("1000", 1000.0),
    ],
)
def test_lengths_are_exact_decimals(read, header, written, value):
    job = read(header + f"engine: {{bore: {written}, stroke: 20}}\n")
    assert job.engine.bore == value
    assert job.quantities["engine.bore"].value == value


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("1e-3", "1.0e-3"),
        ("22e-6", "22.0e-6"),
        ("1.5e3", "1.5e+3"),
        ("-.5", "-0.5"),
        ("010", "octal 8"),
        ("010", "write 10"),
        ("08", "write 8"),
        ("007.5", "write 7.5"),
        ("00.5", "write 0.5"),
        ("12:30", "750"),
        ("1_000", "write 1000"),
        ("1_0.5", "write 10.5"),
        ("no", "False"),
        ("yes", "True"),
        ("on", "True"),
        ("Off", "False"),
        ("true", "True"),
        (".inf", "finite"),
        ("-.INF", "finite"),
        (".nan", "finite"),
        ("inf", "finite"),
        ("1.0e+999", "finite"),
        ("1.0e-999", "finite"),
        ("3,2", "write 3.2"),
        ("1,000", "no thousands"),
        ("1,000.5", "no thousands"),
        ("3,2 mm", "write 3.2"),
        ("0x1F", "write 31"),
        ("0b11", "write 3"),
        ("0o17", "octal"),
        ("1/2", "decimal"),
        ("\u22125", "hyphen"),
        ("5\u00a0mm", "strange space"),
        ("'5'", "quotes"),
        ('"5.0"', "quotes"),
        ("5 cm", "mm, um, in, thou"),
        ("5 inch", "mm, um, in, thou"),
        ("5 IN", "mm, um, in, thou"),
        ("5 m", "mm, um, in, thou"),
        ("'5\"'", "mm, um, in, thou"),
        ("1e-3 in", "1.0e-3"),
        ("five", "not a number"),
        ("5 5", "not a number"),
        ("5..0", "not a number"),
        ("--5", "not a number"),
        ("0.2362 in in", "not a number"),
        ("1" * 61, "61 characters"),
        ("\u0665", "not a number"),
        ("2025-01-15", "not a number"),
        ("~", "empty"),
        ("null", "empty"),
        ("", "empty"),
        ("[5]", "a list"),
        ("{}", "needs v"),
    ],
)
def test_what_is_not_a_number_is_refused_with_a_hint(faults, header, written, hint):
    (fault,) = faults(header + f"engine:\n  bore: {written}\n  stroke: 20\n")
    assert fault.key.startswith("engine.bore")
    assert fault.line == 4
    assert hint in fault.message


def test_decimal_comma_inside_braces(faults, header):
    (fault,) = faults(header + "engine: {bore: 3,2, stroke: 20}\n")
    assert (fault.key, fault.line, fault.column, fault.value) == ("engine.bore", 3, 16, "3,2")
    assert "write 3.2" in fault.message


@pytest.mark.parametrize(
    ("where", "key"),
    [
        ("stations: {intake: {axis: {p: [0, 0, 3], tilt: 5 deg, azim: 0}}}", "stations.intake.axis.tilt"),
        ("temps: {cold: {head: 20 C}}", "temps.cold.head"),
        ("temps: {cold: {head: 20 mm}}", "temps.cold.head"),
        ("stations: {intake: {axis: {p: [0, 0, 3], tilt: 5 mm, azim: 0}}}", "stations.intake.axis.tilt"),
        ("materials: {a: {E: 71 GPa}}", "materials.a.E"),
        ("process: {clock_u: 1 mm}", "process.clock_u"),
        ("fits: {body: {rz_bore: 4 um}}", "fits.body.rz_bore"),
    ],
)
def test_only_lengths_take_a_unit(faults, header, where, key):
    (fault,) = faults(f"{header}{where}\n")
    assert fault.key == key
    assert "without a unit" in fault.message
    assert fault.value is not None
    assert fault.value in fault.message


def test_units_inside_lists_and_quantities(read, header):
    job = read(
        header
        + "head:\n  material: al\n  outline: {type: box, x: [-1 in, 1 in], y: [-500 um, 2], z: [0, 1.5 thou]}\n"
        "engine: {bore: {v: 1.5 in, u: 0.2 thou, by: gauge}, stroke: 20}\n"
    )
    assert job.head.outline.x == (-25.4, 25.4)
    assert job.head.outline.y == (-0.5, 2.0)
    assert job.head.outline.z == (0.0, 0.0381)
    quantity = job.quantities["engine.bore"]
    assert (quantity.value, quantity.u, quantity.by) == (38.1, 0.00508, "gauge")


@pytest.mark.parametrize(
    ("where", "path", "value"),
    [
        ("engine: {bore: {v: 30, u: 0.01, by: g}, stroke: 20}", "engine.bore", 30.0),
        ("stations: {intake: {axis: {p: [0, 0, 3], tilt: {v: 5, u: 0.1, by: g}, azim: 0}}}",
         "stations.intake.axis.tilt", 5.0),
        ("materials: {a: {cte: {v: 22.0e-6, u: 1.0e-6, by: g}}}", "materials.a.cte", 22.0e-6),
        ("temps: {cold: {head: {v: 20, u: 1, by: g}}}", "temps.cold.head", 20.0),
        ("fits: {body: {interference: {intake: {v: 0.03, u: 0.001, by: g}}}}",
         "fits.body.interference.intake", 0.03),
        ("fits: {shank: {interference: {v: 0.03, u: 0.001, by: g}}}", "fits.shank.interference", 0.03),
        ("stations: {exhaust: {bushing: {window: {pre_drill: {v: 9, u: 1, by: g}}}}}",
         "stations.exhaust.bushing.window.pre_drill", 9.0),
        ("stations: {intake: {measured: {body_bore: [[{v: 9, u: 0.001, by: g}, 9], [9, 9], [9, 9]]}}}",
         "stations.intake.measured.body_bore.0.0", 9.0),
        ("head: {material: a, cavities: [{name: c, kind: oil, axis: {p: [0, 0, 0], tilt: 0, azim: 0}, "
         "dia: {v: 7, u: 0.1, by: g}, len: 9}]}", "head.cavities.c.dia", 7.0),
        ("limits: {W01: {v: 1.8, by: g}}", "limits.W01", 1.8),
    ],
)  # fmt: skip
def test_every_number_may_be_a_measured_quantity(read, header, where, path, value):
    job = read(f"{header}{where}\n")
    assert job.quantities[path].value == value
    assert job.quantities[path].by == "g"
    got = job.get(path)
    assert got == value or got == {"intake": value, "exhaust": value}


@pytest.mark.parametrize(
    ("written", "key", "word"),
    [
        ("{u: 0.01}", "engine.bore.v", "needs v"),
        ("{v: 30, u: -0.01}", "engine.bore.u", "0 to 10"),
        ("{v: 30, u: 11}", "engine.bore.u", "0 to 10"),
        ("{v: 30, u: 1e-2}", "engine.bore.u", "1.0e-2"),
        ("{v: 30, by: ''}", "engine.bore.by", "empty"),
        ("{v: 30, at: 1}", "engine.bore.at", "v, u, by"),
        ("{v: [30]}", "engine.bore", "list"),
        ("{v: {v: 30}}", "engine.bore", "block"),
        ("{v: 30, v: 31}", "engine.bore.v", "twice"),
    ],
)
def test_faults_inside_a_quantity(faults, header, written, key, word):
    (fault,) = faults(header + f"engine: {{bore: {written}, stroke: 20}}\n")
    assert fault.key in (key, f"{key}.v")
    assert word in fault.message


def test_schema_is_the_bare_number_one(read, faults):
    job = "job: {id: J, status: proposal}\n"
    assert read("schema: 1\n" + job).schema == 1
    for written in ("2", "0", "1.0", "'1'", "01", "+1", "{v: 1}", "true", "one", ""):
        (fault,) = faults(f"schema: {written}\n{job}")
        assert fault.key == "schema"
