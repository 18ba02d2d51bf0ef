"""A check that could not run names every key that it lacks, and its needs are keys that a job can hold."""

from __future__ import annotations

import pytest

from headparts.checks.context import Context
from headparts.checks.needs import absent, needs
from headparts.checks.run import run_checks
from headparts.checks.table import ids
from headparts.config import read_job
from headparts.plan import plan_job

BARE = "schema: 1\njob: {id: bare, status: proposal}\n"


@pytest.fixture
def findings(tmp_path):
    def run(text: str) -> dict:
        path = tmp_path / "job.yaml"
        path.write_text(BARE + text, encoding="utf-8")
        return {finding.key: finding for finding in run_checks(Context(plan_job(read_job(path))))}

    return run


def test_nothing_of_a_bare_job_is_passed_but_its_reading(findings):
    found = findings("")
    assert {key[0] for key in found} == set(ids())
    judged = {finding.id: finding.verdict for finding in found.values() if finding.verdict != "not_run"}
    assert judged == {"Q01": "info", "Q02": "pass"}
    for finding in found.values():
        if finding.verdict == "not_run":
            assert finding.value is None
            assert finding.missing or finding.note


def test_all_that_is_missing_is_named_at_once(findings):
    found = findings("stations: {intake: {valve: {head: 14.5}}}\n")
    gap = found["V10", "intake", "nominal", "piston_gap"]
    for key in ("valve.margin", "valve.lift_tdc", "axis", "bushing.seat.outer", "bushing.seat.angle"):
        assert f"stations.intake.{key}" in gap.missing
    assert {"engine.gasket.compressed", "engine.deck"} <= set(gap.missing)
    assert "stations.intake.valve.head" not in gap.missing


def test_a_material_without_a_number_is_named_by_its_own_key(findings):
    found = findings(
        "head: {material: alloy}\nmaterials: {alloy: {E: 70000}}\n"
        "stations: {intake: {bushing: {body: {dia: 16.5}}}}\n"
    )
    missing = found["F04", "bushing_intake", "nominal", "hub_tresca"].missing
    assert {"materials.alloy.nu", "materials.alloy.yield20", "fits.body.interference"} <= set(missing)
    assert "materials.alloy.E" not in missing


@pytest.mark.parametrize("name", ["pump_26cc", "generator_62cc", "sprayer_10cc"])
def test_no_need_is_absent_where_the_check_ran(checked_jobs, name):
    job = checked_jobs(name)
    context = Context(job.plan)
    ran = {
        (finding.id, finding.subject)
        for finding in job.findings
        if finding.verdict != "not_run" and needs(finding.id)
    }
    for check, subject in ran:
        base = subject.removeprefix("bushing_").removeprefix("port_")
        arguments = [plan for known, plan in job.plan.stations.items() if known == base]
        arguments += [plan for known, plan in job.plan.repairs.items() if known == base]
        assert absent(context.plan, check, *arguments) == [], (check, subject)


def test_drill_depths_need_the_point_angle_and_the_roof_gap_does_not(findings):
    found = findings(
        "stations: {intake: {axis: {p: [8.2, -1.2, 3.3], tilt: 0}, bushing: {bowl: {throat: 12.6, roof_s: 14.0}},"
        " port: {p: {on_axis_s: 7.0}, azim: 0, elev: 0, dia: 10.5, face: {x: 26.0}}}}\n"
    )
    gap = found["P06", "port_intake", "nominal", "depth_window"]
    assert gap.verdict == "not_run"
    assert gap.missing == ("stations.intake.port.drill.point_angle",)
    # a level port at s = 7 of radius 5.25: its highest edge at the throat is 12.25, 1.75 below the roof
    assert found["P06", "port_intake", "nominal", "roof_gap"].value == pytest.approx(1.75, abs=1e-9)
