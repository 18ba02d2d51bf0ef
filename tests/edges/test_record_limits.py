"""How well a job is stated (Q01 to Q03) and the materials that ask for a caution (H01): both sides of every limit.

Where a limit is a count, its smallest step is one.
"""

from __future__ import annotations

import pytest

from edges.case import Edge, context, found, judged
from headparts.checks.explained import worked
from headparts.checks.run import run_checks
from headparts.errors import JobFileError

JOB = """\
schema: 1
job: {id: STATED, status: as_built}
engine:
  bore: {v: 34.0, u: 0.01, by: bore gauge}
  stroke: {v: 28.6, u: 0.05, by: depth gauge}
  deck: {v: 0.3, u: 0.03, by: dial indicator}
datums: {position_u: 0.03, pin_repeat: 0.01, temperature: 20}
head:
  material: al_head
  cavities:
    - {name: hole, kind: gas, axis: {p: [20, 30, 0], tilt: 0, azim: 0}, dia: 6, len: 60, u: 0.12}
stations:
  intake:
    axis: {p: [8, 0, 3], tilt: 0, azim: 0}
    valve: {head: 14.5, margin: 0.9, stem: {v: 3.97, u: 0.002, by: micrometer}, lift: 3.2}
    bushing: {material: bronze, body: {dia: {v: 16.5, u: 0.004, by: bore gauge}, len: 17}}
    port: {p: {on_axis_s: 7}, azim: 0, elev: 12, dia: 10.5, face: {x: 26}}
repairs:
  - {name: tube, in_port: intake, sleeve: {material: bronze, od: {v: 12.0, u: 0.003, by: micrometer}}}
rocker: {spacer: {material: bronze}}
materials:
  al_head: {E: 71000, nu: 0.33, yield20: 155}
  bronze: {E: 120000, nu: 0.34, yield20: 330}
  copper: {E: 125000, nu: 0.30, yield20: 900, hazard: beryllium}
"""
STEM = "stations.intake.valve.stem"
TOLD_TWICE = {"engine.stroke": {"v": 28.6}, "engine.deck": {"v": 0.3, "u": 0.03}}


def test_both_sides_of_nothing_unstated(tmp_path):
    """As built 0 values without u and by pass, 1 fails; a proposal is told of them."""
    whole = found(tmp_path, JOB, {}, "Q01", "job", "unstated")
    assert (whole.value, whole.limit, whole.verdict, whole.severity) == (0.0, 0.0, "pass", "FAIL")
    bare = {"engine": {"bore": {"v": 34.0, "u": 0.01, "by": "bore gauge"}, "stroke": 28.6}}
    for change in ({"engine.stroke.u": None}, {"engine.stroke.by": None}, bare):
        one = found(tmp_path, JOB, change, "Q01", "job", "unstated")
        assert (one.value, one.verdict) == (1.0, "fail")
        assert "engine.stroke" in one.note
        assert one.advice
    two = found(tmp_path, JOB, TOLD_TWICE, "Q01", "job", "unstated")
    assert (two.value, two.verdict) == (2.0, "fail")
    told = found(tmp_path, JOB, TOLD_TWICE | {"job.status": "proposal"}, "Q01", "job", "unstated")
    assert (told.value, told.verdict) == (2.0, "info")


def test_unstated_values_up_to_the_limit_given_by_id(tmp_path):
    for limit, verdict in ((2, "pass"), (1, "fail")):
        row = found(tmp_path, JOB, TOLD_TWICE | {"limits": {"Q01": limit}}, "Q01", "job", "unstated")
        assert (row.verdict, row.limit, row.default_limit) == (verdict, limit, 0.0)


RANGES = [
    ("stations.intake.bushing.body.len", 1000.0, 1e-8),
    ("head.cavities.hole.u", 10.0, 1e-8),
    ("head.cavities.hole.u", 0.0, -1e-8),
    ("head.cavities.hole.dia", 0.001, -1e-9),
    ("head.cavities.hole.axis.p.0", 1000.0, 1e-8),
    ("head.cavities.hole.axis.p.0", -1000.0, -1e-8),
    ("head.cavities.hole.axis.tilt", 180.0, 1e-8),
    ("stations.intake.axis.tilt", 45.0, 1e-8),
    ("stations.intake.axis.azim", -360.0, -1e-8),
    ("stations.intake.port.elev", 60.0, 1e-8),
    ("datums.temperature", 1000.0, 1e-8),
    ("datums.temperature", -273.15, -1e-8),
    ("materials.bronze.E", 1.0e6, 1e-6),
    ("materials.bronze.E", 1.0e3, -1e-8),
    ("materials.bronze.nu", 0.0, -1e-8),
    ("materials.bronze.yield20", 5000.0, 1e-8),
    ("materials.bronze.yield20", 1.0, -1e-8),
]


@pytest.mark.parametrize(("key", "end", "outward"), RANGES, ids=lambda value: str(value))
def test_both_sides_of_what_the_reader_allows(key, end, outward, tmp_path):
    """At the end of its range a number is read and Q02 passes; a smallest step beyond it is the reader's error."""
    (row,) = judged(tmp_path, JOB, {key: end}, "Q02")
    assert (row.subject, row.value, row.verdict, row.severity) == ("job", 0.0, "pass", "FAIL")
    assert worked(row).result == 0.0
    with pytest.raises(JobFileError) as stopped:
        context(tmp_path, JOB, {key: end + outward})
    (fault,) = stopped.value.faults
    assert fault.key == key
    assert fault.line > 0


def test_a_word_for_a_number_is_the_readers_error(tmp_path):
    with pytest.raises(JobFileError, match=r"datums\.pin_repeat"):
        context(tmp_path, JOB, {"datums.pin_repeat": "22e-6"})


PINS = [
    Edge("Q03", "pin_repeat", "datums", JOB, {"datums.pin_repeat": limit}, "datums.pin_repeat", 1, limit, "FAIL",
         "as given", label=label, change=change, drop="datums.pin_repeat")
    for limit, label, change in ((0.02, "default", {}), (0.03, "by id", {"limits": {"Q03": 0.03, "scale": 0.65}}))
]  # fmt: skip


@pytest.mark.parametrize("edge", PINS, ids=str)
def test_both_sides_of_the_pins_repeat(edge, tmp_path):
    edge.holds(tmp_path)
    edge.is_not_run(tmp_path)


@pytest.mark.parametrize(
    ("subject", "key"),
    [
        ("bushing_intake", "stations.intake.bushing.material"),
        ("tube", "repairs.tube.sleeve.material"),
        ("spacer", "rocker.spacer.material"),
    ],
)
def test_both_sides_of_a_hazard(subject, key, tmp_path):
    """A material is a hazard or is none; without one, or without its data, nothing is said of it."""
    none = found(tmp_path, JOB, {}, "H01", subject, "hazard")
    assert (none.value, none.limit, none.verdict, none.severity) == (0.0, 0.0, "pass", "WARN")
    assert worked(none).result == 0.0
    caution = found(tmp_path, JOB, {key: "copper"}, "H01", subject, "hazard")
    assert (caution.value, caution.verdict) == (1.0, "warn")
    assert worked(caution).result == 1.0
    assert "beryllium" in caution.note
    assert caution.advice
    missing = found(tmp_path, JOB, {key: None}, "H01", subject, "hazard")
    assert (missing.verdict, missing.value, missing.missing) == ("not_run", None, (key,))


def test_each_part_has_one_row_and_no_part_none(tmp_path):
    assert [row.subject for row in judged(tmp_path, JOB, {}, "H01")] == ["bushing_intake", "tube", "spacer"]
    changes = {"repairs": None, "rocker": None, "stations.intake.bushing": None, "stations.intake.port": None}
    (row,) = run_checks(context(tmp_path, JOB, changes), ("H01",))
    assert (row.subject, row.verdict, row.value) == ("job", "not_run", None)
