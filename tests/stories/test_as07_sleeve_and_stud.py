"""Story AS07: a sleeve covers the hole but fouls the stud.

Stud hole 8.5 with a stud of 8.0, axis gap to the port 11.34, port 15.0, sleeve outer diameter 15.80. The figures
are plain sums of radii; the trap is that the cover of the opening alone passes.
"""

from __future__ import annotations

import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.void import Void
from headparts.mechanics.sleeve import rod_clearance
from headparts.plan import plan_job

GAP, PORT, HOLE, SLEEVE = 11.34, 15.0, 8.5, 15.80


def rod(name: str, kind: str, x: float, diameter: float, direction: tuple[float, float, float]) -> Void:
    """A round rod through (x, 0, 0), long enough on both sides."""
    start = tuple(place - 30.0 * d for place, d in zip((x, 0.0, 0.0), direction, strict=True))
    return Void(name, kind, (cylinder(start, direction, diameter / 2.0, 60.0),))


def between(first: float, second: float) -> float:
    """Wall of two crossing rods, square to each other, their axes 11.34 apart."""
    along_y, along_z = (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    return wall(rod("a", "port", 0.0, first, along_y), rod("b", "bolt", GAP, second, along_z)).value


def test_the_port_breaks_into_the_stud_hole_by_0_410():
    assert between(PORT, HOLE) == pytest.approx(-0.410, abs=1e-9)


@pytest.mark.parametrize(("stud", "clear"), [(8.0, -0.560), (6.5, 0.190)])
def test_the_sleeve_against_the_stud(stud, clear):
    assert between(SLEEVE, stud) == pytest.approx(clear, abs=1e-9)
    assert rod_clearance(GAP, SLEEVE, stud) == pytest.approx(clear, abs=1e-9)


def test_the_largest_sleeve_that_leaves_0_15_to_the_stud():
    assert rod_clearance(GAP, 14.380, 8.0) == pytest.approx(0.150, abs=1e-9)
    assert between(14.380, 8.0) == pytest.approx(0.150, abs=1e-9)


JOB = """
schema: 1
job: {id: AS07, status: proposal}
head:
  material: cast
  cavities:
    - {name: stud, kind: bolt, axis: {p: [20, 11.34, -10], tilt: 0}, dia: 8.5, len: 60, bolt_dia: 8.0, u: 0.05}
stations:
  intake:
    axis: {p: [0, 0, 5], tilt: 0}
    bushing: {body: {dia: 22.0, len: 24}}
    port: {p: {on_axis_s: 10}, azim: 0, elev: 0, dia: 15.0, face: {along: 36.0}}
repairs:
  - {name: sleeve, in_port: intake, cause: {cavity: stud}, mode: bonded, bore: {dia: 15.86, tol: H7},
     sleeve: {material: tube, od: 15.80, od_tol: [-0.01, 0], id: 15.0, id_tol: [0, 0.02], inner_end: saddle,
              saddle_radius: 11.0}, bond: {gap_dia: [0.05, 0.1], service_T: 150, rated_T: 230}}
"""


def test_the_trap_is_that_the_cover_of_the_opening_passes(tmp_path):
    """The stud stands in the middle of a level port: cover passes on both sides, the stud is fouled all the same."""
    path = tmp_path / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    findings = run_checks(Context(plan_job(read_job(path))), ("S05", "S07", "W03"))
    found = {finding.key: finding for finding in findings}
    for side in ("cover_inner", "cover_outer"):
        assert found["S05", "sleeve", "nominal", side].verdict == "pass"
    clash = found["S07", "sleeve~stud", "nominal", "clearance"]
    assert clash.value == pytest.approx(-0.560, abs=1e-6)
    assert clash.verdict == "fail"
    assert found["W03", "port_intake~stud", "nominal", "wall"].value == pytest.approx(-0.410, abs=1e-6)
    assert found["W03", "port_intake~stud", "nominal", "wall"].verdict == "fail"
