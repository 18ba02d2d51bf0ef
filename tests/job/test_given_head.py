"""A head given back as a solid: written by the program from a job, placed anywhere, and judged against that job."""

from __future__ import annotations

import dataclasses
import json
import math
import os
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
from headparts.exports.stl import part_stl
from headparts.geometry.distance import Wall
from headparts.job.bodies import build_head
from headparts.parts.head_from_plan import head_part
from headparts.parts.part import wrap
from headparts.plan import Plan, plan_job
from headparts.solids.primitives import moved
from headparts.solids.primitives import solid as one
from headparts.solids.step_file import Body, Header, write_step

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
        ("none.step", 0.0, "head.solid.file", "no such file"),
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


def test_a_scan_is_judged_but_not_cut(folder: Path) -> None:
    path = folder / "scan.yaml"
    path.write_text(with_solid(TEXT, "head.stl"), encoding="utf-8")
    head, ((name, reason),) = build_head(plan_job(read_job(path)))
    assert head is None
    assert name == "head_section"
    assert "judged but not cut" in reason


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
