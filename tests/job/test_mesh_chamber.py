"""A chamber given as STL: the disc of a job as triangles, judged against the job with the disc itself."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
import trimesh

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.run import run_checks
from headparts.cli import main
from headparts.config import read_job
from headparts.plan import plan_job
from headparts.sizing.advise import advice

CONFIG = Path(__file__).resolve().parents[2] / "configs" / "pump_26cc.yaml"
TEXT = CONFIG.read_text(encoding="utf-8")
DISC = "chamber: {type: disc, dia: 33.6, depth: 3.30}"
SECTIONS = 360
CHORD = 16.8 * (1.0 - math.cos(math.pi / SECTIONS))
"""How far the triangles stay inside the disc's wall; its roof and mouth are flat."""


def disc(low: float) -> trimesh.Trimesh:
    """The chamber from a height below the joint face or at it up to its roof."""
    made = trimesh.creation.cylinder(16.8, 3.3 - low, sections=SECTIONS)
    made.apply_translation((0.0, 0.0, (3.3 + low) / 2.0))
    return made


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("chamber")
    (where / "disc.stl").write_bytes(disc(-2.0).export(file_type="stl"))
    (where / "flush.stl").write_bytes(disc(0.0).export(file_type="stl"))
    low = disc(0.0)
    low.apply_translation((0, 0, -9.0))
    (where / "low.stl").write_bytes(low.export(file_type="stl"))
    high = disc(0.0)
    high.apply_translation((0, 0, 26.7))
    (where / "high.stl").write_bytes(high.export(file_type="stl"))
    opened = disc(0.0)
    opened.update_faces(np.arange(len(opened.faces)) != 7)
    (where / "open.stl").write_bytes(opened.export(file_type="stl"))
    return where


def with_mesh(text: str, file: str) -> str:
    assert DISC in text
    return text.replace(DISC, f"chamber: {{type: mesh, file: {file}}}")


def context(folder: Path, text: str) -> Context:
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return Context(plan_job(read_job(path)))


def by_key(found: list[Finding]) -> dict[tuple[str, str], Finding]:
    return {(finding.id, finding.subject): finding for finding in found}


@pytest.mark.parametrize("file", ["disc.stl", "flush.stl"])
def test_its_volume_is_that_above_the_joint_face(folder: Path, file: str) -> None:
    plan = context(folder, with_mesh(TEXT, file)).plan
    polygon = SECTIONS / 2.0 * 16.8**2 * math.sin(2.0 * math.pi / SECTIONS)
    assert plan.voids.chamber.volume == pytest.approx(polygon * 3.3, rel=1e-6)
    assert plan.voids.chamber.depth == pytest.approx(3.3, abs=1e-6)


def test_walls_with_a_mesh_chamber(folder: Path) -> None:
    """P03 is the disc's within the chord; W walls are never above the disc's, and the same where nothing is said."""
    ids = ("W01", "W02", "W03", "W04", "W06", "W11", "P03", "V12", "V03", "B17")
    plain = by_key(run_checks(context(folder, TEXT), ids))
    mesh = by_key(run_checks(context(folder, with_mesh(TEXT, "disc.stl")), ids))
    assert plain.keys() <= mesh.keys() | {(i, s) for i, s in plain if i in ("V03", "B17")}
    same = less = 0
    for key, before in plain.items():
        after = mesh[key]
        if key[0] in ("V03", "B17"):
            assert after.verdict == "not_run"
            continue
        if key[0] == "P03":
            assert before.value is not None
            assert after.value is not None
            assert before.value - 1e-6 <= after.value <= before.value + CHORD
            assert after.bounds is None
            assert "unproven: a mesh chamber" in after.note
            continue
        if key[0] == "V12":
            continue
        if before.value is None or after.value is None:
            continue
        assert after.value <= before.value + 1e-6
        if "nothing was removed for the mesh chamber" in after.note:
            less += 1
        else:
            same += 1
            assert after.value == pytest.approx(before.value, abs=1e-6)
    assert same > 30


@pytest.mark.parametrize(
    ("file", "says"),
    [
        ("open.stl", "not watertight"),
        ("low.stl", "above the joint face"),
        ("high.stl", "it reaches up to z = 30, the casting's top is z = 30"),
    ],
)
def test_a_bad_chamber_file_is_a_fault_at_its_key(
    folder: Path, file: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "bad.yaml"
    text = with_mesh(TEXT, file)
    path.write_text(text, encoding="utf-8")
    assert main(["check", str(path), "--json", "--only", "V12"]) == 2
    (fault,) = json.loads(capsys.readouterr().out)["faults"]
    assert fault["key"] == "head.chamber.file"
    assert says in fault["message"]
    assert text.splitlines()[fault["line"] - 1][fault["column"] - 1 :].startswith(file)


def test_sizes_are_not_tried_against_a_mesh_chamber(folder: Path) -> None:
    """A wall to triangles takes long: what asks for it keeps its words and says so, what asks for none has its number."""
    text = TEXT.replace("p: {on_axis_s: 7.0}", "p: {on_axis_s: 5.0}").replace("shim: 2.70,", "shim: 4.50,", 1)
    its = context(folder, with_mesh(text, "disc.stl"))
    told = {each.finding.id: each for each in advice(its, run_checks(its, ("P03", "K01")))}
    assert set(told) == {"P03", "K01"}
    assert not told["P03"].remedies
    assert "without numbers, sizes are not tried" in told["P03"].text
    assert "a shim of 4.2 " in told["K01"].text


def test_a_port_that_runs_into_a_mesh_chamber_fails(folder: Path) -> None:
    low = TEXT.replace("p: {on_axis_s: 7.0}", "p: {on_axis_s: 3.0}")
    found = by_key(run_checks(context(folder, with_mesh(low, "disc.stl")), ("P03",)))["P03", "port_intake"]
    assert found.value is not None
    assert found.value <= 0.0
    assert found.verdict == "fail"
    assert "runs into the mesh chamber" in found.note
