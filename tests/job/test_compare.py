"""``headparts compare``: exit codes, the JSON, the parts that are built, and what is said."""

from __future__ import annotations

import io
import json
import math
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

import headparts
from headparts.cli import main
from headparts.config import new_job
from headparts.errors import JobFileError
from headparts.reports.compare import print_comparison
from headparts.reports.terminal import Terminal

ROOT = Path(__file__).resolve().parents[2]
PUMP = ROOT / "configs" / "pump_26cc.yaml"


@pytest.fixture
def run(capsys):
    """Runs the command here: exit code and what it prints."""

    def inner(*arguments: str) -> tuple[int, str]:
        capsys.readouterr()
        return main(["compare", *arguments]), capsys.readouterr().out

    return inner


@pytest.fixture
def job(tmp_path):
    """Writes a starter job with some of its text replaced, each of which must hit."""

    def write(kind: str, *changes: tuple[str, str], name: str = "job.yaml") -> Path:
        text = new_job(kind)
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


def said(found: headparts.job.compare.Comparison, everything: bool = False) -> str:
    stream = io.StringIO()
    print_comparison(found, Terminal(stream, {}, 100), everything)
    return stream.getvalue()


def test_the_same_job_has_no_difference(job, run):
    path = str(job("spacer"))
    code, text = run(path, path)
    assert code == 0
    assert text.splitlines()[-1] == "no difference"
    found = json.loads(run(path, path, "--json")[1])
    lists = ("parameters", "findings", "areas", "derived", "parts", "only_before", "only_after", "remarks")
    assert {key: found[key] for key in lists} == {key: [] for key in lists}
    assert found["counts"]["before"] == found["counts"]["after"]


def test_a_thicker_spacer_in_every_table_by_hand(job):
    """2.0 -> 2.5 on 26 x 10 less the holes 6.4 and 2.5: volume and mass grow by a quarter, the stud stands out
    24.5 - t - 14 - 1.2 - 5 beyond its nut: 2.3 -> 1.8, both above the pitch."""
    found = headparts.compare(job("spacer"), job("spacer", ("thick: 2.0,", "thick: 2.5,"), name="b.yaml"))
    (key,) = found.parameters
    assert (key.key, key.before, key.after, key.difference) == ("rocker.spacer.thick", 2.0, 2.5, 0.5)
    nut = next(each for each in found.findings if each.one.id == "R04")
    assert (nut.kinds, nut.direction) == (("value",), "worse")
    assert (nut.before.value, nut.after.value) == (pytest.approx(2.3), pytest.approx(1.8))
    area = 26.0 * 10.0 - math.pi / 4.0 * (6.4**2 + 2.5**2)
    (part,) = found.parts
    assert part.name == "spacer"
    assert part.volumes == (pytest.approx(2.0 * area, rel=1e-6), pytest.approx(2.5 * area, rel=1e-6))
    assert part.masses == (pytest.approx(2.0 * area * 2.7e-3), pytest.approx(2.5 * area * 2.7e-3))
    numbers = {(each.subject, each.quantity): each.difference for each in found.derived}
    assert numbers["spacer", "box_z"] == pytest.approx(0.5)
    assert numbers["spacer", "volume"] == pytest.approx(0.5 * area)
    # a pivot higher by 0.5 asks for 0.5 (1 + R)/R more pushrod, R = 11.4/9.5 = 1.2
    assert numbers["rocker", "pushrod_change_needed"] == pytest.approx(0.5 * 2.2 / 1.2)
    assert set(numbers) == {("spacer", "box_z"), ("spacer", "volume"), ("rocker", "pushrod_change_needed")}
    assert {each.one.id for each in found.findings} == {"R01", "R02", "R03", "R04"}


def test_what_differs_one_way_differs_the_other_way(job):
    first = job("bushing")
    second = job("bushing", ("throat: 12.6", "throat: 12.0"), name="b.yaml")
    there = headparts.compare(first, second, solids=False)
    back = headparts.compare(second, first, solids=False)
    assert there.findings
    assert {(c.before, c.after) for c in there.findings} == {(c.after, c.before) for c in back.findings}
    assert {(c.key, c.before, c.after) for c in there.parameters} == {
        (c.key, c.after, c.before) for c in back.parameters
    }
    for one, other in ((there.areas, back.areas), (there.derived, back.derived)):
        assert {(c.subject, c.quantity, c.before, c.after) for c in one} == {
            (c.subject, c.quantity, c.after, c.before) for c in other
        }
    assert there.counts == back.counts[::-1]


def test_another_material_changes_the_mass_and_not_the_volume(job):
    old = "wrought_aluminium: {E: 70000"
    new = "brass: {E: 100000, nu: 0.34, density: 8.1}\n  wrought_aluminium: {E: 70000"
    second = job(
        "spacer", ("material: wrought_aluminium", "material: brass"), (old, new), name="b.yaml"
    )  # densities 2.7 and 8.1: three times the mass
    (part,) = headparts.compare(job("spacer"), second).parts
    assert part.materials == ("wrought_aluminium", "brass")
    assert part.volumes[0] == pytest.approx(part.volumes[1], rel=1e-12)
    assert part.masses[1] == pytest.approx(3.0 * part.masses[0], rel=1e-12)


def test_parts_that_only_one_job_can_build_are_named_and_not_built(job):
    without = job("spacer", (" hole: 6.4,", ""), name="b.yaml")
    found = headparts.compare(job("spacer"), without)
    assert (found.parts, found.only_before, found.only_after) == ((), ("spacer",), ())
    assert "only in the first job" in said(found)


def test_a_new_failure_is_exit_1_and_an_old_one_is_not(job, run):
    """A thread of 8 in place of 12 mm on a 6 mm stud: 1.333 d, below 1.5."""
    good = str(job("spacer"))
    bad = str(job("spacer", ("thread_in_head: 12.0", "thread_in_head: 8.0"), name="b.yaml"))
    code, text = run(good, bad, "--no-solids")
    assert code == 1
    assert text.splitlines()[-1] == "the second job fails what the first does not: R05"
    row = next(line for line in text.splitlines() if "R05" in line)
    assert row.split() == [
        "-",
        "R05",
        "rocker",
        "thread_over_d",
        "2",
        "pass",
        "->",
        "1.333",
        "FAIL",
        "(>=",
        "1.5)",
    ]
    assert run(bad, good, "--no-solids")[0] == 0
    assert run(bad, bad, "--no-solids")[0] == 0


def test_json_is_plain_numbers_and_complete(job, run):
    second = job("head", ("shim: 2.7", "shim: 2.2"), name="b.yaml")
    _, text = run(str(job("head")), str(second), "--json", "--no-solids")
    assert "NaN" not in text
    assert "Infinity" not in text
    found = json.loads(text)
    assert found["format"] == 1
    assert set(found) == {
        *("format", "before", "after", "parameters", "findings", "areas", "derived", "parts"),
        *("only_before", "only_after", "solids", "counts", "remarks"),
    }
    assert found["solids"] is False
    assert {each["key"] for each in found["parameters"]} == {
        "stations.intake.spring.shim",
        "stations.exhaust.spring.shim",
    }
    for each in found["findings"]:
        assert set(each) == {
            *("id", "subject", "case", "quantity", "unit", "change", "direction", "difference"),
            *("before", "after"),
        }
    # half a millimetre less shim: half a millimetre more installed length
    lengths = [each for each in found["derived"] if each["quantity"] == "installed_length"]
    assert [each["difference"] for each in lengths] == [pytest.approx(0.5)] * 2


def test_faults_of_both_files_at_once_and_exit_2(job, run):
    first = job("spacer", ("status: proposal", "status: propsal"), name="a.yaml")
    second = job("spacer", ("schema: 1", "schema: 2"), name="b.yaml")
    with pytest.raises(JobFileError) as caught:
        headparts.compare(first, second)
    assert [(Path(fault.file).name, fault.key) for fault in caught.value.faults] == [
        ("a.yaml", "job.status"),
        ("b.yaml", "schema"),
    ]
    code, text = run(str(first), str(second), "--json")
    assert code == 2
    assert len(json.loads(text)["faults"]) == 2
    assert run(str(first), str(first.with_name("none.yaml")))[0] == 2


def test_the_kernel_is_not_loaded_for_parts_that_are_the_same(job):
    first, second = job("spacer"), job("spacer", ("range: 1.5", "range: 1.6"), name="b.yaml")
    code = (
        f"import sys, headparts\nfound = headparts.compare({str(first)!r}, {str(second)!r})\n"
        "assert [each.key for each in found.parameters] == ['rocker.adjuster.range']\n"
        "assert found.solids and not found.parts\nassert 'OCP' not in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_wider_port_makes_the_bushing_and_the_head_lighter(tmp_path):
    """The pump job, intake port 10.5 -> 10.8: its area by pi/4 (10.8^2 - 10.5^2) = 5.0187 mm2; the plain window's
    volume by its quadrature, which the bushing's solid must lose too, chamfers aside."""
    second = tmp_path / "b.yaml"
    text = PUMP.read_text(encoding="utf-8").replace("dia: 10.50\n", "dia: 10.80\n")
    second.write_text(text.replace("10.2, 10.5]", "10.2, 10.8]"), encoding="utf-8")
    found = headparts.compare(PUMP, second)
    assert {each.key for each in found.parameters} == {
        "stations.intake.port.dia",
        "stations.intake.port.drill.step.2",
    }
    areas = {(each.subject, each.quantity): each.difference for each in found.areas}
    assert set(areas) == {("intake", "port_area"), ("intake", "window_area_od")}
    assert areas["intake", "port_area"] == pytest.approx(math.pi / 4.0 * (10.8**2 - 10.5**2), rel=1e-9)
    plain = {each.subject: each.difference for each in found.derived if each.quantity == "plain_volume"}
    parts = {part.name: part for part in found.parts}
    assert set(parts) == {"bushing_intake", "head"}
    bushing, head = parts["bushing_intake"], parts["head"]
    assert bushing.volumes[1] - bushing.volumes[0] == pytest.approx(plain["bushing_intake"], rel=0.02)
    # the port from the body's bore to the flange, 18.198 less 8.25/cos 12 deg long, is a ring of that area
    assert head.volumes[0] - head.volumes[1] == pytest.approx(5.0187 * (18.198 - 8.25 / 0.97815), rel=0.08)
    text = said(found)
    assert "stations.intake.port.dia" in text
    assert "10.5 -> 10.8  (+0.3)" in text
    assert "86.59 -> 91.61 mm2  (+5.02, +5.8 %)" in text


def test_another_file_under_the_same_name_is_told(tmp_path):
    """A chamber of triangles: the same key, other bytes."""
    import trimesh

    folders = [tmp_path / "a", tmp_path / "b"]
    for folder, radius in zip(folders, (16.0, 15.0), strict=True):
        folder.mkdir()
        trimesh.creation.cylinder(radius, 6.0).export(folder / "chamber.stl")
        data = {
            "schema": 1,
            "job": {"id": "C", "status": "proposal"},
            "head": {"material": "cast", "chamber": {"type": "mesh", "file": "chamber.stl"}},
        }
        (folder / "job.yaml").write_text(yaml.safe_dump(data), encoding="utf-8")
    found = headparts.compare(*(folder / "job.yaml" for folder in folders))
    (change,) = found.parameters
    assert change.key == "head.chamber.file.sha256"
    assert change.kind == "changed"
    assert {(each.subject, each.quantity) for each in found.derived} == {("engine", "chamber_volume")}


def test_what_is_far_inside_its_limit_is_counted_and_shown_when_asked(tmp_path):
    second = tmp_path / "b.yaml"
    text = PUMP.read_text(encoding="utf-8").replace("bolt_dia: 5.0, u: 0.05}", "bolt_dia: 5.0, u: 0.06}")
    second.write_text(text, encoding="utf-8")
    found = headparts.compare(PUMP, second, solids=False)
    moved = [each for each in found.findings if each.one.id in ("W07", "W07r")]
    assert len(moved) == 2 * 4 * 6  # worst and root of squares, four studs, six cuts
    short, long = said(found), said(found, everything=True)
    shown = sum(line.startswith("  - ") for line in short.splitlines())
    assert shown == 15
    assert f"and {len(found.findings) - shown} more within their limits" in short
    assert sum(line.startswith("  - ") for line in long.splitlines()) == len(found.findings)
