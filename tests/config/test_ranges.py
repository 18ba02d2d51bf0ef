"""Ranges of schema 1: the bound itself is allowed (or not, where it says so), the next value outside is a fault."""

from __future__ import annotations

import pytest

AXIS = "stations: {{intake: {{axis: {{p: [0, 0, 3], tilt: {}, azim: 0}}}}}}"
AZIM = "stations: {{intake: {{axis: {{p: [0, 0, 3], tilt: 1, azim: {}}}}}}}"
CAVITY = (
    "head: {{material: a, cavities: [{{name: c, kind: oil, dia: 5, len: 9, "
    "axis: {{p: [0, 0, 0], tilt: {}, azim: 0}}}}]}}"
)
# (where, key, allowed at the ends, not allowed)
RANGES = [
    ("engine: {{bore: {}, stroke: 20}}", "engine.bore", ("0.001", "1000"), ("0", "0.0009", "1000.1", "-5")),
    ("engine: {{bore: 30, stroke: 20, deck: {}}}", "engine.deck", ("-1000", "1000"), ("-1000.1", "1000.1")),
    ("engine: {{bore: 30, stroke: 20, rated_rpm: {}}}", "engine.rated_rpm", ("1", "30000"), ("0", "30001")),
    ("datums: {{position_u: {}}}", "datums.position_u", ("0", "10"), ("-0.001", "10.1")),
    ("datums: {{temperature: {}}}", "datums.temperature", ("-273.15", "1000"), ("-273.16", "1001")),
    ("temps: {{hot: {{head: {}}}}}", "temps.hot.head", ("-273.15", "1000"), ("-273.16", "1001")),
    (AXIS, "stations.intake.axis.tilt", ("0", "45"), ("-0.1", "45.1")),
    (AZIM, "stations.intake.axis.azim", ("-360", "360"), ("-360.1", "360.1")),
    (CAVITY, "head.cavities.c.axis.tilt", ("0", "180"), ("-0.1", "180.1")),
    ("stations: {{intake: {{port: {{elev: {}}}}}}}", "stations.intake.port.elev", ("-60", "60"), ("-60.1", "60.1")),
    ("stations: {{intake: {{port: {{azim: {}}}}}}}", "stations.intake.port.azim", ("-360", "360"), ("-361", "361")),
    ("stations: {{intake: {{bushing: {{seat: {{angle: {}}}}}}}}}", "stations.intake.bushing.seat.angle",
     ("30", "60"), ("29.9", "60.1")),
    ("materials: {{a: {{E: {}}}}}", "materials.a.E", ("1000", "1000000"), ("999", "1000001")),
    ("materials: {{a: {{nu: {}}}}}", "materials.a.nu", ("0", "0.499"), ("-0.01", "0.5")),
    ("materials: {{a: {{cte: {}}}}}", "materials.a.cte", ("0", "1.0e-4"), ("-1.0e-6", "1.01e-4", "22")),
    ("materials: {{a: {{yield20: {}}}}}", "materials.a.yield20", ("1", "5000"), ("0.9", "5001")),
    ("materials: {{a: {{yield200: {}}}}}", "materials.a.yield200", ("1", "5000"), ("0.9", "5001")),
    ("fits: {{friction: {{low: {}, high: 1}}}}", "fits.friction.low", ("0.001", "1"), ("0", "1.1")),
    ("fits: {{body: {{interference: {}}}}}", "fits.body.interference", ("0", "1"), ("-0.001", "1.1")),
    ("fits: {{body: {{interference: {{exhaust: {}}}}}}}", "fits.body.interference.exhaust", ("0", "1"), ("1.1",)),
    ("limits: {{scale: {}}}", "limits.scale", ("0.3", "1.5"), ("0.29", "1.51")),
    ("datums: {{faced_off: {}}}", "datums.faced_off", ("0", "1000"), ("-0.1",)),
]  # fmt: skip


@pytest.mark.parametrize(("where", "key", "good", "bad"), RANGES, ids=[row[1] for row in RANGES])
def test_range(read, faults, header, where, key, good, bad):
    for written in good:
        value = read(header + where.format(written) + "\n").get(key)
        assert value == float(written) or value == {"intake": float(written), "exhaust": float(written)}
    for written in bad:
        (fault,) = faults(header + where.format(written) + "\n")
        assert (fault.key, fault.value) == (key, written)
        assert "out of range; allowed is" in fault.message


@pytest.mark.parametrize(
    ("where", "key"),
    [
        ("head: {material: a, outline: {type: box, x: [1, -1], y: [0, 1], z: [0, 1]}}", "head.outline.x"),
        ("head: {material: a, outline: {type: box, x: [0, 1], y: [1, 1], z: [0, 1]}}", "head.outline.y"),
        ("materials: {a: {cte_band: [23.0e-6, 22.0e-6]}}", "materials.a.cte_band"),
        ("materials: {a: {cte_band: [22.0e-6, 22.0e-6]}}", "materials.a.cte_band"),
        ("repairs: [{name: s, sleeve: {od_tol: [0.01, 0]}}]", "repairs.s.sleeve.od_tol"),
        ("repairs: [{name: s, sleeve: {id_tol: [0.01, 0]}}]", "repairs.s.sleeve.id_tol"),
        ("repairs: [{name: s, bond: {gap_dia: [0.1, 0.05]}}]", "repairs.s.bond.gap_dia"),
        ("fits: {body: {local: {intake: [0.03, 0.02]}}}", "fits.body.local.intake"),
        ("limits: {V04: [0.5, 0.4]}", "limits.V04"),
    ],
)
def test_low_comes_before_high(faults, header, where, key):
    (fault,) = faults(f"{header}{where}\n")
    assert fault.key == key


def test_equal_tolerances_are_legal(read, header):
    job = read(header + "repairs: [{name: s, sleeve: {od_tol: [0, 0]}, bond: {gap_dia: [0.05, 0.05]}}]\n")
    assert job.repairs[0].sleeve.od_tol == (0.0, 0.0)


def test_counts_of_cavities_and_repairs(read, faults, header):
    cavity = "    - {{name: c{}, kind: oil, axis: {{p: [0, 0, 0], tilt: 0, azim: 0}}, dia: 5, len: 9}}\n"
    head = header + "head:\n  material: a\n  cavities:\n"
    few = "".join(f"    - {{name: c{i}}}\n" for i in range(501))
    assert any("at most 500" in fault.message for fault in faults(head + few))
    assert len(read(head + "".join(cavity.format(i) for i in range(500))).head.cavities) == 500
    repairs = header + "repairs:\n" + "".join(f"  - {{name: r{i}}}\n" for i in range(21))
    (fault,) = faults(repairs)
    assert "at most 20" in fault.message
    assert len(read(repairs.replace("  - {name: r20}\n", "")).repairs) == 20
