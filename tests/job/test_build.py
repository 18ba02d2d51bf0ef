"""Whole runs: what a build writes, that it is right, that it is the same again, and what partial jobs give."""

from __future__ import annotations

import hashlib
import io
import json
import math
from pathlib import Path

import pytest
import trimesh

from headparts.config import new_job
from headparts.job import build, check, draw, export
from headparts.sheets import dimension_readback

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def sprayer(tmp_path_factory):
    """The sprayer job built once."""
    return build(ROOT / "configs" / "sprayer_10cc.yaml", tmp_path_factory.mktemp("kit") / "SPR10-H2")


def test_a_build_of_a_whole_job_passes_and_writes_the_kit(sprayer):
    assert not sprayer.failed
    names = set(sprayer.written)
    parts = ("bushing_intake", "bushing_exhaust", "sleeve_intake", "spacer")
    for part in parts:
        assert {f"{part}.step", f"{part}.stl", f"{part}.dxf", f"{part}.svg", f"{part}.pdf"} <= names
    assert {"head_section.step", "assembly.step", "head_bores.dxf"} <= names
    assert {"findings.json", "report.html", "report.md", "shop_list.csv"} <= names
    assert {path.name for path in sprayer.folder.iterdir()} == names | {"manifest.json", "manifest.csv"}


def test_the_manifest_lists_every_file_with_its_hash(sprayer):
    listed = json.loads((sprayer.folder / "manifest.json").read_text(encoding="utf-8"))
    files = {each["file"]: each for each in listed["files"]}
    assert set(files) == set(sprayer.written)
    for name, each in files.items():
        assert each["sha256"] == hashlib.sha256((sprayer.folder / name).read_bytes()).hexdigest()


def test_findings_json_is_what_check_gives(sprayer):
    written = json.loads((sprayer.folder / "findings.json").read_text(encoding="utf-8"))
    assert written["format"] == 1
    values = {(f["id"], f["subject"], f["case"], f["quantity"]): f["value"] for f in written["findings"]}
    checked = check(ROOT / "configs" / "sprayer_10cc.yaml", only=("W", "F"), solids=False)
    for finding in checked.findings:
        assert values[finding.key] == finding.value
    assert {f["verdict"] for f in written["findings"] if f["id"] in ("Q05", "Q06")} == {"pass"}


def test_walls_measured_again_by_the_kernel_agree(sprayer):
    rows = sprayer.bodies.second_route
    assert {row.check for row in rows} >= {"W01", "W02", "W03", "W04", "W06", "W11"}
    assert [row for row in rows if abs(row.difference) > 1e-4] == []


def test_the_press_shows_as_a_tube_and_nothing_else_overlaps(sprayer):
    verdicts = {clash.pair: clash.verdict for clash in sprayer.bodies.clashes}
    assert verdicts["bushing_intake", "head_section"] == "press"
    assert verdicts["bushing_exhaust", "head_section"] == "press"
    assert verdicts["bushing_exhaust", "bushing_intake"] == "clear"
    assert verdicts["head_section", "sleeve_intake"] == "clear"
    assert [pair for pair, verdict in verdicts.items() if verdict == "clash"] == []


def test_bodies_that_do_not_overlap_say_how_far_apart_they_stand(sprayer):
    """Valves in their own bores by half of what these are wider, the sleeve in its bond by half of its gap."""
    rows = {clash.pair: clash for clash in sprayer.bodies.clashes}
    plan = sprayer.plan
    for name, station in plan.stations.items():
        row = rows["head_section", f"valve_{name}"]
        ring = (station.inputs.one("bushing.body.dia") - station.inputs.one("valve.head")) / 2.0
        assert row.clearance.proven
        assert row.clearance.upper == pytest.approx(ring, abs=1e-6)
        assert row.case == "over its lift"
    (repair,) = plan.repairs.values()
    bond = (repair.bore_diameter - repair.od[0]) / 2.0
    assert rows["head_section", repair.name].clearance.upper == pytest.approx(bond, abs=1e-12)
    assert rows["valve_exhaust", "valve_intake"].case == "over both lifts at the overlap"
    for row in rows.values():
        if row.volume == 0.0:
            assert row.clearance.upper is None or row.clearance.lower <= row.clearance.upper
        elif row.pair == ("bushing_intake", "head_section"):
            assert row.depth == pytest.approx(
                plan.inputs.one("fits.body.interference")["intake"] / 2.0, abs=0.003
            )
    said = json.loads((sprayer.folder / "findings.json").read_text(encoding="utf-8"))["clashes"]
    by_subject = {each["subject"]: each for each in said}
    web = by_subject["bushing_exhaust~bushing_intake"]
    assert web["clearance"] == pytest.approx(web["clearance_lower"], abs=1e-6)
    assert "Clearance of bodies that stand near each other" in (sprayer.folder / "report.html").read_text(
        "utf-8"
    )


def test_every_stl_is_closed(sprayer):
    for part in sprayer.bodies.parts:
        mesh = trimesh.load(io.BytesIO((sprayer.folder / f"{part.name}.stl").read_bytes()), file_type="stl")
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(part.volume, rel=0.01)


def test_every_dimension_of_every_sheet_is_the_solid_s(sprayer):
    have = {part.name: part for part in sprayer.bodies.everything}
    seen = 0
    for path in sorted(sprayer.folder.glob("*.dxf")):
        for part, size, value, _ in dimension_readback(path.read_bytes()):
            assert abs(value) == pytest.approx(abs(have[part].measure(size)), abs=1e-6), (path.name, size)
            seen += 1
    assert seen > 50


def test_the_turned_body_is_the_middle_of_the_window_from_the_readings(sprayer):
    """Readings 12.502 to 12.505, local 0.0220 to 0.0280: 12.505 + 0.022 = 12.527 to 12.502 + 0.028 = 12.530."""
    intake = next(part for part in sprayer.bodies.parts if part.name == "bushing_intake")
    assert intake.measure("body_diameter") == pytest.approx(12.5285, abs=1e-9)
    assert intake.measure("shank_diameter") == pytest.approx(5.806, abs=1e-9)


def test_the_same_job_gives_the_same_bytes(sprayer):
    before = {path.name: path.read_bytes() for path in sprayer.folder.iterdir()}
    again = build(ROOT / "configs" / "sprayer_10cc.yaml", sprayer.folder)
    after = {path.name: path.read_bytes() for path in again.folder.iterdir()}
    assert sorted(before) == sorted(after)
    assert [name for name in before if before[name] != after[name]] == []


@pytest.mark.parametrize(
    ("kind", "parts"),
    [("bushing", {"bushing_intake"}), ("sleeve", {"sleeve_intake"}), ("spacer", {"spacer"})],
)
def test_a_partial_job_builds_its_part_draws_it_and_runs_what_it_can(tmp_path, kind, parts):
    path = tmp_path / "job.yaml"
    path.write_text(new_job(kind), encoding="utf-8")
    result = build(path, tmp_path / "out")
    assert not result.failed
    for part in parts:
        assert {f"{part}.step", f"{part}.stl", f"{part}.dxf", f"{part}.pdf"} <= set(result.written)
    verdicts = [finding.verdict for finding in result.findings]
    assert verdicts.count("pass") > 0
    assert verdicts.count("not_run") > 0
    assert [f for f in result.findings if f.verdict == "not_run" and not (f.missing or f.note)] == []


def test_draw_and_export_take_part_names_and_keep_each_other_s_files(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(new_job("spacer"), encoding="utf-8")
    draw(path, ["spacer"], tmp_path / "out")
    export(path, ["spacer"], tmp_path / "out")
    names = {each.name for each in (tmp_path / "out").iterdir()}
    assert {"spacer.dxf", "spacer.svg", "spacer.pdf", "spacer.step", "spacer.stl", "manifest.json"} <= names


@pytest.mark.parametrize("name", ["pump_26cc", "sprayer_10cc"])
def test_sheets_of_the_jobs_have_no_conflicts(sprayer, name):
    from headparts.config import read_job
    from headparts.job.bodies import Bodies, build_parts
    from headparts.job.drawing import sheets_of
    from headparts.job.sheet_context import base_context
    from headparts.plan import plan_job
    from headparts.sheets import conflicts

    plan = plan_job(read_job(ROOT / "configs" / f"{name}.yaml"))
    bodies = sprayer.bodies if name == "sprayer_10cc" else Bodies(build_parts(plan)[0], None)
    sheets = sheets_of(plan, bodies, [])
    for number, sheet in enumerate(sheets, start=1):
        drawing = sheet.make(base_context(plan, [], bodies, number, len(sheets)))
        assert conflicts(drawing) == (), sheet.name


FOUND = """
schema: 1
job: {id: FOUND-1, status: measured}
head:
  material: cast
  outline: {type: box, x: [-30, 30], y: [-29, 29], z: [0, 30]}
  chamber: {type: disc, dia: 33.6, depth: 3.3}
stations:
  intake:
    old: {axis: {p: [8.0, 0.0, 3.3], tilt: 0}, body_bore: 14.8, shank_bore: 7.0, body_len: 15.0, tip_z: 50.0}
"""


def test_a_head_as_found_only_is_built_with_its_old_bores(tmp_path):
    """Box less disc, body bore from the roof to the step, shank bore from there to the top: whole cylinders."""
    path = tmp_path / "job.yaml"
    path.write_text(FOUND, encoding="utf-8")
    result = build(path, tmp_path / "out")
    assert not result.failed
    head = result.bodies.head
    assert head.name == "head_as_found"
    quarter = math.pi / 4.0
    removed = quarter * (33.6**2 * 3.3 + 14.8**2 * 15.0 + 7.0**2 * (30.0 - 18.3))
    assert head.volume == pytest.approx(60.0 * 58.0 * 30.0 - removed, rel=1e-9)
    assert {"head_as_found.step", "head_as_found.stl", "head_bores.dxf"} <= set(result.written)
