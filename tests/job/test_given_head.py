"""A head given back as a solid: written by the program from a job, placed anywhere, and judged against that job."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import itertools
import json
import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import trimesh

from headparts.checks.context import Context
from headparts.checks.finding import Finding
from headparts.checks.given_walls import given_wall
from headparts.checks.run import run_checks
from headparts.cli import main
from headparts.config import read_job
from headparts.exports.stl import part_stl, scan_stl
from headparts.geometry.box_tree import BoxTree
from headparts.geometry.distance import Wall
from headparts.job.bodies import Bodies, build_head, build_parts, build_scan, clashes_of
from headparts.job.models import model_files
from headparts.job.reporting import report_of
from headparts.parts.head_from_plan import head_part
from headparts.parts.part import wrap
from headparts.parts.scan_head import ScanHead
from headparts.plan import MissingInput, Plan, plan_job
from headparts.solids.primitives import moved
from headparts.solids.shapes import solid as one
from headparts.solids.step_file import Body, Header, write_step

Point = tuple[float, float, float]
CONFIG = Path(__file__).resolve().parents[2] / "configs" / "pump_26cc.yaml"
TEXT = CONFIG.read_text(encoding="utf-8")
CHORD = 0.01
POINTS = ((-20.0, 0.0, 0.0), (20.0, 5.0, 3.0), (0.0, 18.0, 25.0))
TURN = np.linalg.qr(np.array([[0.3, -0.8, 0.5], [0.9, 0.2, -0.1], [0.2, 0.6, 0.8]]))[0]
TURN = TURN * np.sign(np.linalg.det(TURN))
SHIFT = np.array([12.0, -7.0, 33.0])


def with_solid(text: str, file: str, off: float = 0.0) -> str:
    """The job with a head from a file; the second point is written ``off`` too far out."""
    place = []
    for k, point in enumerate(POINTS):
        p = np.asarray(point)
        if k == 1:
            p = p + off * (p - POINTS[0]) / np.linalg.norm(p - POINTS[0])
        place.append([[round(float(c), 9) for c in TURN @ p + SHIFT], list(point)])
    return text.replace("head:\n", f"head:\n  solid: {{file: {file}, place: {json.dumps(place)}}}\n", 1)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pump head as found, turned and shifted, as STEP and as STL."""
    where = tmp_path_factory.mktemp("given")
    found = head_part(plan_job(read_job(CONFIG)), as_found=True).solid
    there = one(moved(found, SHIFT.tolist(), TURN[:, 0].tolist(), TURN[:, 2].tolist()))
    header = Header("head", "test", "2025-01-01", "test")
    (where / "head.step").write_bytes(write_step([Body("head", there)], header))
    (where / "head.stl").write_bytes(part_stl(dataclasses.replace(wrap(there, "head")), CHORD).data)
    box = trimesh.creation.box((4.0, 5.0, 6.0))
    open_box = box.copy()
    open_box.update_faces(np.arange(12) != 3)
    (where / "open.stl").write_bytes(open_box.export(file_type="stl"))
    two = trimesh.util.concatenate([box, box.copy().apply_translation((9.0, 0, 0))])
    (where / "two.stl").write_bytes(two.export(file_type="stl"))
    (where / "torn.step").write_bytes((where / "head.step").read_bytes()[:-100])
    (where / "note.txt").write_text("no solid")
    return where


def findings(folder: Path, text: str, *only: str) -> dict[tuple[str, str], Finding]:
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return {(f.id, f.subject): f for f in run_checks(Context(plan_job(read_job(path))), only)}


def wall_of(folder: Path, text: str, role: str, station: str) -> Wall:
    """The wall of one cut to the given head."""
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    plan = plan_job(read_job(path))
    return given_wall(Context(plan), role, plan.stations[station], plan.voids.cut(role, station).void)


@pytest.fixture(scope="module")
def plain(folder: Path) -> dict[tuple[str, str], Finding]:
    """The same job with its outline as a box with fins: certified distances."""
    return findings(folder, TEXT, "W05", "W06", "W07")


def to_the_clearing(radius: float, top: float) -> float:
    """From the circle of a bore about the intake's axis at height ``top`` to the edge of the spot face round its port.

    Both are nearest in the plane y = -1.2: the bore's edge at x = 8.2 + radius; the spot face of 14 lies at right
    angles to a port that rises by 12 deg and passes (26, 10.3 + 17.8 tan 12).
    """
    rise = math.radians(12.0)
    centre = np.array([26.0, 10.3 + 17.8 * math.tan(rise)])
    rim = centre + 7.0 * np.array([-math.sin(rise), math.cos(rise)])  # where its wall begins, highest
    x, z = rim - np.array([8.2 + radius, top])
    return math.hypot(x, max(z, 0.0)) if top < rim[1] else x


EXPECTED_CLEARING = {
    "body_bore_intake~outside": to_the_clearing(8.25, 20.3),
    "outside~shank_bore_intake": to_the_clearing(4.0, 30.0),
}


@pytest.mark.parametrize(("file", "within"), [("head.step", 1e-6), ("head.stl", CHORD)])
def test_walls_to_a_given_head_are_those_of_its_outline(
    folder: Path, plain: dict[tuple[str, str], Finding], file: str, within: float
) -> None:
    """The intake's bores come nearer to the spot face round the port, which the outline alone does not show."""
    found = findings(folder, with_solid(TEXT, file), "W05")
    subjects = [subject for check, subject in found if check == "W05"]
    assert len(subjects) == 6
    for subject in subjects:
        finding = found["W05", subject]
        truth = EXPECTED_CLEARING.get(subject, plain["W05", subject].value)
        assert truth is not None
        assert finding.value is not None
        assert truth - within <= finding.value <= truth + (1e-6 if file.endswith("step") else CHORD)
        assert finding.verdict == "pass"
        if file.endswith("stl"):
            assert finding.bounds is None  # nothing is known from below
            assert finding.note.startswith("unproven: a scan")
            assert "fit within" not in finding.note
            continue
        assert finding.bounds is not None
        assert truth - 0.021 <= finding.bounds[0] <= truth + 1e-6
    if file.endswith("step"):
        flat = found["W05", "outside~port_intake"]  # to the top, a flat face
        assert flat.bounds == pytest.approx((flat.value, flat.value), abs=1e-6)
        assert "unproven" not in flat.note
        round_ = found["W05", "body_bore_intake~outside"]
        assert "unproven" in round_.note
    least = plain["W05", "body_bore_intake~outside"].value
    assert least is not None
    assert EXPECTED_CLEARING["body_bore_intake~outside"] < least - 1.0


def test_a_hollow_that_the_job_does_not_mention_is_found(
    folder: Path, plain: dict[tuple[str, str], Finding]
) -> None:
    """The thread left out of the list: the bore's wall to the outside becomes its wall to that hole."""
    lines = [line for line in TEXT.splitlines(keepends=True) if "name: post_thread" not in line]
    found = wall_of(folder, with_solid("".join(lines), "head.stl"), "body_bore", "intake")
    thread = plain["W06", "body_bore_intake~post_thread"].value
    assert thread is not None
    assert thread < EXPECTED_CLEARING["body_bore_intake~outside"]
    assert found.value == pytest.approx(thread, abs=CHORD)


def test_a_cut_that_comes_out_is_negative(folder: Path) -> None:
    """The intake moved to y = 15.8: 8.2 from the side of the core at y = 24 between the fins, its radius 8.25."""
    moved_out = TEXT.replace("axis: {p: [8.20, -1.20, 3.30]", "axis: {p: [8.20, 15.80, 3.30]")
    found = wall_of(folder, with_solid(moved_out, "head.stl"), "body_bore", "intake")
    assert found.value == pytest.approx(-0.05, abs=1e-5)
    assert not found.proven
    assert "comes out" in found.remark
    inside = TEXT.replace("axis: {p: [8.20, -1.20, 3.30]", "axis: {p: [8.20, 15.70, 3.30]")
    found = wall_of(folder, with_solid(inside, "head.stl"), "body_bore", "intake")
    assert found.value == pytest.approx(0.05, abs=1e-5)


def test_what_the_points_miss_is_told_and_counts_in_the_worst_case(
    folder: Path, plain: dict[tuple[str, str], Finding]
) -> None:
    off = findings(folder, with_solid(TEXT, "head.stl", off=0.15), "W05", "W07")
    subject = "outside~port_exhaust"
    before, after = (rows["W05", subject].value - rows["W07", subject].value for rows in (plain, off))  # type: ignore[operator]
    assert after - before == pytest.approx(0.15, abs=1e-6)
    assert "fit within 0.150" in off["W05", subject].note


@pytest.mark.parametrize(
    ("file", "off", "key", "says"),
    [
        ("open.stl", 0.0, "head.solid.file", "not watertight: 3 edges"),
        ("two.stl", 0.0, "head.solid.file", "2 separate solids"),
        ("torn.step", 0.0, "head.solid.file", "torn"),
        ("none.step", 0.0, "head.solid.file", "'none.step': there is no such file in the job's folder"),
        ("note.txt", 0.0, "head.solid.file", "must end with .step, .stp, .stl"),
        (
            "head.stl",
            0.25,
            "head.solid.place",
            "points 1 and 2 are 40.67 apart in the file, 40.42 in the head",
        ),
    ],
)
def test_a_bad_file_or_place_is_a_fault_at_its_key(
    folder: Path, file: str, off: float, key: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "bad.yaml"
    text = with_solid(TEXT, file, off)
    path.write_text(text, encoding="utf-8")
    before = sorted(os.listdir(folder))
    assert main(["check", str(path), "--json", "--only", "B"]) == 2
    (fault,) = json.loads(capsys.readouterr().out)["faults"]
    assert fault["key"] == key
    assert says in fault["message"]
    line = text.splitlines()[fault["line"] - 1]
    word = "file: " if key.endswith("file") else "place: "
    assert fault["column"] == line.index(word) + len(word) + 1
    assert main(["build", str(path), "-o", str(folder / "out")]) == 2
    assert sorted(os.listdir(folder)) == before
    told = capsys.readouterr().err
    assert f"bad.yaml:{fault['line']}:{fault['column']}: {key}" in told


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ([[[0, 0, 0], [0, 0, 0]], [[9, 0, 0], [9, 0, 0]], [[20, 0, 0], [20, 0, 0]]], "not on one line"),
        ([[[0, 0, 0], [0, 0, 0]], [[9, 0, 0], [9, 0, 0]], [[9, 0.5, 0], [9, 0.5, 0]]], "at least 1 apart"),
        ([[[0, 0, 0], [0, 0, 0]], [[2, 0, 0], [50.8, 0, 0]], [[0, 2, 0], [0, 50.8, 0]]], "inches"),
    ],
)
def test_three_points_that_place_nothing(
    folder: Path, place: list[object], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "bad.yaml"
    solid = f"  solid: {{file: head.stl, place: {json.dumps(place)}}}\n"
    path.write_text(TEXT.replace("head:\n", "head:\n" + solid, 1), encoding="utf-8")
    assert main(["check", str(path)]) == 2
    told = capsys.readouterr().err
    assert "head.solid.place" in told
    assert says in told


def test_the_risk_of_a_wall_to_a_given_surface_is_not_run(folder: Path) -> None:
    from headparts.sizing.risk import walls_of

    path = folder / "job.yaml"
    path.write_text(with_solid(TEXT, "head.stl"), encoding="utf-8")
    outside = [pair for pair in walls_of(Context(plan_job(read_job(path)))) if "outside" in pair.subject]
    assert len(outside) == 6
    assert all(pair.missing is not None and "given as a solid" in pair.missing.note for pair in outside)


def test_thin_area_to_a_given_surface_is_not_run(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither where the wall is below its limit (7.75 between bore and side) nor where it could not be measured."""
    text = with_solid(TEXT, "head.stl").replace("  W01: 1.5\n", "  W01: 1.5\n  W05: 8.0\n")
    (thin,) = findings(folder, text, "W10").values()
    assert (thin.subject, thin.verdict) == ("body_bore_exhaust~outside", "not_run")
    assert "given as a solid" in thin.note

    def unknown(*_: object) -> Wall:
        raise MissingInput(note="not to be measured")

    monkeypatch.setattr("headparts.checks.given_walls.given_wall", unknown)
    unseen = findings(folder, with_solid(TEXT, "head.stl"), "W10").values()
    assert len(unseen) == 6
    assert {each.verdict for each in unseen} == {"not_run"}
    assert {each.note for each in unseen} == {"not to be measured"}


@pytest.fixture(scope="module")
def step_plan(folder: Path) -> Plan:
    path = folder / "step.yaml"
    path.write_text(with_solid(TEXT, "head.step"), encoding="utf-8")
    return plan_job(read_job(path))


def test_a_given_head_is_cut_as_the_section_of_the_job_is(step_plan: Plan) -> None:
    """As found, given back and cut, it must be the finished head that is cut out of the outline in one go."""
    cut = head_part(step_plan)
    finished = head_part(plan_job(read_job(CONFIG)))
    assert cut.volume == pytest.approx(finished.volume, abs=1e-3)
    for size in (
        "port_intake_diameter",
        "body_bore_exhaust_step_depth",
        "shank_bore_intake_diameter",
        "height",
    ):
        assert cut.measure(size) == pytest.approx(finished.measure(size), abs=1e-6)
    assert cut.proof is not None
    assert abs(cut.proof.volume - cut.proof.second_volume) <= cut.proof.second_tolerance < 25.0
    assert step_plan.given is not None
    assert step_plan.given.skin.volume > cut.volume + 1500.0


@pytest.fixture(scope="module")
def scan_plan(folder: Path) -> Plan:
    """Its ``stl_tol`` is coarser than cuts in a scan may be."""
    path = folder / "scan.yaml"
    text = with_solid(TEXT, "head.stl").replace("stl_tol: 0.01", "stl_tol: 0.05")
    path.write_text(text, encoding="utf-8")
    return plan_job(read_job(path))


@pytest.fixture(scope="module")
def scan(scan_plan: Plan) -> ScanHead:
    """The pump head as found, given back as a scan, with the job's cuts."""
    found, not_built = build_scan(scan_plan)
    assert found is not None
    assert not_built == ()
    assert build_head(scan_plan) == (None, ())
    return found


def test_a_scan_is_cut_as_the_section_of_the_job_is(scan_plan: Plan, scan: ScanHead) -> None:
    """What is removed is what the kernel removes, but for the chords of the old bores (of the scan, 0.01) and of the
    cuts: each at most its area times its chord error."""
    assert scan_plan.given is not None
    job = plan_job(read_job(CONFIG))
    truth = head_part(job, as_found=True).volume - head_part(job).volume
    removed = scan_plan.given.skin.volume - scan.volume
    new = float(scan.skin.areas[scan.skin.faces > 0].sum())
    old = math.pi * (
        (14.8 + 13.2) * 15.0 + 2 * 7.0 * 12.0 + (8.8 + 7.8) * 18.0
    )  # bores, shanks, ports: all and more
    assert scan.proof is not None
    assert abs(removed - truth) <= scan.proof.chord * new + CHORD * old
    assert abs(removed - truth) < 0.03 * truth
    assert abs(scan.volume - scan.proof.second_volume) <= scan.proof.second_tolerance < 40.0
    assert scan.proof.loose == ()
    assert scan.proof.chord <= CHORD


@pytest.mark.parametrize(
    ("point", "along", "radius", "places"),
    [
        ((8.2, -1.2, 3.3), (0.0, 0.0, 1.0), 8.25, (1.0, 3.0, 16.5)),
        ((8.2, -1.2, 3.3), (0.0, 0.0, 1.0), 4.0, (18.0, 22.0, 26.0)),
        (
            (8.2, -1.2, 10.3),
            (math.cos(math.radians(12.0)), 0.0, math.sin(math.radians(12.0))),
            5.25,
            (11.0, 14.0, 17.0),
        ),
    ],
    ids=["body bore", "shank bore", "port"],
)
def test_bores_in_a_cut_scan_read_back_by_rays(
    scan: ScanHead, point: Point, along: Point, radius: float, places: tuple[float, ...]
) -> None:
    """From the axis square to it: the radius of the job, less at most the chord error."""
    axis = np.asarray(along)
    aside = np.cross(axis, (0.0, 1.0, 0.0))
    turns = np.linspace(0.0, 2.0 * math.pi, 37)[:-1] + 0.01
    ring = np.cos(turns)[:, None] * aside + np.sin(turns)[:, None] * np.cross(axis, aside)
    start = np.concatenate([np.tile(np.asarray(point) + s * axis, (len(ring), 1)) for s in places])
    ring = np.tile(ring, (len(places), 1))
    far, _ = BoxTree(scan.skin).first_exit(start, ring, np.full(len(start), -1))
    assert far.max() <= radius + 1e-6
    assert far.min() >= radius - CHORD


def test_a_cut_scan_is_written_as_stl_only(scan_plan: Plan, scan: ScanHead) -> None:
    """Read by another library: watertight, wound one way, one body, the volume in the manifest. No STEP, and why."""
    bodies = Bodies((), None, scan=scan)
    files, (again,) = model_files(scan_plan, bodies, ())
    (made,) = [file for file in files if file.entry.kind == "model"]
    assert made.name == "head_section.stl"
    assert not [file for file in files if file.name.endswith(".step")]
    read = trimesh.load(io.BytesIO(bytes(made.data)), file_type="stl")  # type: ignore[arg-type]
    assert read.is_watertight
    assert read.is_winding_consistent
    assert read.body_count == 1
    assert made.entry.volume == pytest.approx(read.volume, rel=1e-6)
    assert made.entry.volume == pytest.approx(scan.volume, rel=1e-6)
    assert made.entry.mass == pytest.approx(scan.volume * 2.735e-3, rel=1e-6)
    note = made.entry.note
    assert note is not None
    assert "from a scan, head.stl" in note
    assert "cuts within 0.01 mm" in note
    assert (again.id, again.subject, again.verdict) == ("Q06", "head_section.stl", "pass")
    report = report_of(scan_plan, (), bodies, (), "test")
    said = " ".join(report.remarks)
    assert "STL only: STEP" in said
    assert "Clashes of other bodies with head_section: not run" in said
    assert report.proof is not None
    assert "head.stl" in report.proof.note
    (row,) = report.parts
    assert row.volume == scan.volume
    assert "from a scan" in row.note


def test_a_cut_scan_has_the_same_bytes_in_another_process(folder: Path, scan: ScanHead) -> None:
    code = (
        "import hashlib, sys\nfrom headparts.config import read_job\nfrom headparts.exports.stl import scan_stl\n"
        "from headparts.parts.head_from_plan import scan_part\nfrom headparts.plan import plan_job\n"
        "print(hashlib.sha256(scan_stl(scan_part(plan_job(read_job(sys.argv[1])))).data).hexdigest())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(folder / "scan.yaml")], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == hashlib.sha256(scan_stl(scan).data).hexdigest()


def test_the_cuts_are_as_fine_as_the_job_s_stl_and_never_coarser_than_a_hundredth(
    folder: Path, scan: ScanHead
) -> None:
    path = folder / "fine.yaml"
    path.write_text(with_solid(TEXT, "head.stl").replace("stl_tol: 0.01", "stl_tol: 0.004"), encoding="utf-8")
    fine, _ = build_scan(plan_job(read_job(path)))
    for found, meant in ((scan, 0.01), (fine, 0.004)):
        assert found is not None
        assert found.proof is not None
        assert found.tolerance == meant
        assert 0.3 * meant < found.proof.chord <= meant


def test_a_cut_that_fails_writes_nothing(
    folder: Path, scan_plan: Plan, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def other(*_: object) -> tuple[float, float]:
        return 2200.0, 0.1

    monkeypatch.setattr("headparts.checks.run.run_checks", lambda *_: [])
    monkeypatch.setattr("headparts.solids.mesh_cut.volume_in_skin", other)
    out = folder / "nothing"
    assert main(["export", str(folder / "scan.yaml"), "head_section", "-o", str(out)]) == 2
    told = capsys.readouterr().err
    assert "head_section: the cut of the scan could not be proven, no model is given: its triangles" in told
    assert not out.exists()


def test_a_scan_without_planned_bushings_stays_as_it_is(folder: Path) -> None:
    lines, keep = [], True
    for line in with_solid(TEXT, "head.stl").splitlines(keepends=True):
        if line.startswith("    bushing:"):
            keep = False
        elif not line.startswith("      "):
            keep = True
        if keep:
            lines.append(line)
    path = folder / "bare.yaml"
    path.write_text("".join(lines), encoding="utf-8")
    plan = plan_job(read_job(path))
    found, _ = build_scan(plan)
    assert found is not None
    assert plan.given is not None
    assert found.name == "head_as_found"
    assert found.proof is None
    assert scan_stl(found).volume == pytest.approx(plan.given.skin.volume, rel=1e-7)
    assert "nothing cut" in found.origin


def test_other_bodies_are_looked_at_beside_a_scan(scan_plan: Plan) -> None:
    """No pair with the head, and every pair of the others as beside a solid head."""
    parts, _ = build_parts(scan_plan)
    pairs = {clash.pair for clash in clashes_of(scan_plan, parts, None, without_head=True)}
    names = {"bushing_exhaust", "bushing_intake", "spacer", "valve_exhaust", "valve_intake"}
    assert pairs == set(itertools.combinations(sorted(names), 2))


def test_without_an_outline_the_solid_s_own_top_counts(folder: Path, step_plan: Plan) -> None:
    bare = "".join(
        line
        for line in with_solid(TEXT, "head.step").splitlines(keepends=True)
        if not line.lstrip().startswith(("outline:", "core:", "fins:"))
    )
    found = wall_of(folder, bare, "shank_bore", "exhaust")
    exhaust = step_plan.stations["exhaust"]
    cut = step_plan.voids.cut("shank_bore", "exhaust").void
    again = given_wall(Context(step_plan), "shank_bore", exhaust, cut)
    assert found.value == pytest.approx(again.value, abs=1e-6)
    assert found.value == pytest.approx(11.0, abs=1e-6)  # x = -13 to the core's side at -24
