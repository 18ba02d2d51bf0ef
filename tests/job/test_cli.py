"""The command line: exit codes, the JSON contract, faults, and that nothing is written when the input is bad."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from headparts.checks.table import ids

ROOT = Path(__file__).resolve().parents[2]
KEYS = {
    *("id", "subject", "quantity", "case", "value", "unit", "limit", "compare", "default_limit", "scale"),
    *("severity", "verdict", "at", "method", "bounds", "source", "missing", "advice", "note"),
}


def run(*arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "headparts", *arguments],
        capture_output=True,
        text=True,
        cwd=cwd or ROOT,
        env=None if cwd is None else {**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )


@pytest.fixture
def job(tmp_path):
    """A spacer job, quick to read and to build."""
    path = tmp_path / "spacer.yaml"
    assert run("new", "spacer", "-o", str(path)).returncode == 0
    return path


def test_json_of_a_check_keeps_the_contract(job):
    done = run("check", str(job), "--json")
    assert done.returncode == 0
    said = json.loads(done.stdout)
    assert said["format"] == 1
    assert said["job"]["id"]
    assert {finding["id"] for finding in said["findings"]} == set(ids())
    for finding in said["findings"]:
        assert set(finding) == KEYS
        assert finding["verdict"] in ("pass", "warn", "fail", "info", "not_run")
        assert finding["value"] is None or isinstance(finding["value"], float | int)
        assert finding["limit"] is None or isinstance(finding["limit"], float | int | list)
        if finding["verdict"] == "not_run":
            assert finding["value"] is None
    assert sum(said["counts"].values()) == len(said["findings"])
    assert {tuple(sorted(row)) for row in said["derived"]} == {("quantity", "subject", "unit", "value")}
    assert "NaN" not in done.stdout
    assert "Infinity" not in done.stdout


def test_a_faulty_job_prints_all_faults_and_exits_2(tmp_path, job):
    bad = tmp_path / "bad.yaml"
    text = job.read_text(encoding="utf-8").replace("status: proposal", "status: propsal") + "zzz: 1\n"
    bad.write_text(text, encoding="utf-8")
    done = run("check", str(bad), "--json")
    assert done.returncode == 2
    said = json.loads(done.stdout)
    assert said["format"] == 1
    assert {fault["key"] for fault in said["faults"]} == {"job.status", "zzz"}
    for fault in said["faults"]:
        assert set(fault) == {"file", "line", "column", "key", "value", "message", "near"}
    plain = run("check", str(bad))
    assert plain.returncode == 2
    assert "Traceback" not in plain.stderr
    assert "bad.yaml:" in plain.stderr


def test_a_faulty_job_writes_nothing(tmp_path):
    bad = tmp_path / "bad.yaml"
    bad.write_text("schema: 1\njob: {id: x}\n", encoding="utf-8")
    done = run("build", str(bad), "-o", str(tmp_path / "out"))
    assert done.returncode == 2
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ("check", "no_such_file.yaml"),
        ("check", "configs/pump_26cc.yaml", "--only", "W99"),
        ("draw", "configs/pump_26cc.yaml", "bushing_left"),
        ("new", "gearbox"),
        ("fit", "16.5", "H7-s6"),
        ("fit", "16.5", "H7/q6"),
        ("frobnicate",),
        ("new", "head", "--bore", "-3"),
    ],
)
def test_a_wrong_call_exits_2_with_one_message(arguments):
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()


def test_only_keeps_the_checks_asked_for(job):
    said = json.loads(run("check", str(job), "--json", "--only", "R01,R04").stdout)
    assert {finding["id"] for finding in said["findings"]} == {"R01", "R04"}


def test_a_failing_check_exits_1(tmp_path, job):
    text = job.read_text(encoding="utf-8")
    text = re.sub(r"stud_projection: [0-9.]+", "stud_projection: 10.0", text)
    path = tmp_path / "short.yaml"
    path.write_text(text, encoding="utf-8")
    done = run("check", str(path), "--only", "R04")
    assert done.returncode == 1
    assert "R04" in done.stdout


def test_fit_prints_the_limits_of_iso_286():
    """ISO 286-2: 16.5 H7 is 0 to +0.018, s6 is +0.028 to +0.039; interference 0.010 to 0.039 (story AS25)."""
    done = run("fit", "16.5", "H7/s6")
    assert done.returncode == 0
    for text in ("0.018", "0.028", "0.039", "0.010"):
        assert text in done.stdout


def test_schema_is_json():
    said = json.loads(run("schema").stdout)
    assert said["$schema"].startswith("https://json-schema.org/")
    assert "stations" in said["properties"]


def test_new_refuses_to_replace_a_file(tmp_path, job):
    before = job.read_bytes()
    done = run("new", "spacer", "-o", str(job))
    assert done.returncode == 2
    assert job.read_bytes() == before
    assert run("new", "spacer", "-o", str(job), "--force").returncode == 0


def test_two_processes_find_what_one_finds():
    from headparts.job import check

    said = json.loads(run("check", "configs/pump_26cc.yaml", "--json").stdout)
    alone = check(ROOT / "configs" / "pump_26cc.yaml", solids=False)
    assert said["findings"] == [json.loads(json.dumps(finding.as_json())) for finding in alone.findings]
    assert {clash["verdict"] for clash in said["clashes"]} == {"clear", "press"}
