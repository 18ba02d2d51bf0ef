"""Bad records: every fault at once, each with its place, its key, what is allowed; nothing written, exit 2."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from headparts.config import read_job
from headparts.config.record import read_record
from headparts.errors import JobFileError
from headparts.job.record import recorded
from record.case import ROOT, config, filled, whole, written

HEAD = "record: 1\njob: {id: WPS26-H1, rev: A}\n"
BORE = "bores: {intake: {body_bore: %s}}\n"
ROW = "[[16.5, 16.5], [16.5, 16.5], [16.5, 16.5]]"


def faults(folder, text, name="pump_26cc"):
    path = written(folder, text)
    with pytest.raises(JobFileError) as caught:
        recorded(config(name), path)
    for fault in caught.value.faults:
        assert fault.file == str(path)
    return caught.value.faults


@pytest.mark.parametrize(
    ("text", "key", "line", "said"),
    [
        ("", "", 1, "empty"),
        ("[1, 2]\n", "", 1, "block of keys"),
        ("job: {id: WPS26-H1, rev: A}\n", "record", 1, "missing"),
        ("record: 1\n", "job", 1, "missing"),
        ("record: 2\njob: {id: WPS26-H1, rev: A}\n", "record", 1, "write 1"),
        ("record: 1\njob: {id: WPS26-H2, rev: A}\n", "job.id", 2, "WPS26-H1"),
        ("record: 1\njob: {id: WPS26-H1, rev: B}\n", "job.rev", 2, "write a new form"),
        ("record: 1\njob: {id: WPS26-H1}\n", "job.rev", 2, "missing"),
        ("record: 1\njob: {id: WPS26-H1, rev: ~}\n", "job.rev", 2, "(blank)"),
        ("record: 1\njob: WPS26-H1\n", "job", 2, "block"),
        (HEAD + "date: 3 May\n", "date", 3, "YYYY-MM-DD"),
        (HEAD + "bore: {}\n", "bore", 3, "unknown key"),
        (HEAD + "bores: 3\n", "bores", 3, "block"),
        (HEAD + "sleeve: {temperature: 20}\n", "sleeve", 3, "asks for nothing"),
        (HEAD + "as_found: {rocker: {cover_clearance: 5}}\n", "as_found", 3, "asks for nothing"),
        (HEAD + "bores: {intke: {}}\n", "bores.intke", 3, "unknown key"),
        (HEAD + "bores: {intake: 16.5}\n", "bores.intake", 3, "block"),
        (HEAD + "bores: {intake: {body_bor: 1}}\n", "bores.intake.body_bor", 3, "unknown key"),
        (HEAD + BORE % "16.5", "bores.intake.body_bore", 3, "3 lists of 2"),
        (HEAD + BORE % "[[16.5], [~, ~], [~, ~]]", "bores.intake.body_bore.0", 3, "2 readings"),
        (HEAD + BORE % "[[16.5, 16.5], [16.5, 16.5]]", "bores.intake.body_bore", 3, "2 in the list"),
        (HEAD + BORE % ROW.replace("16.5]]", "16,5]]"), "bores.intake.body_bore.2", 3, "3 in the list"),
        (HEAD + BORE % ROW.replace("16.5]]", "big]]"), "bores.intake.body_bore.2.1", 3, "not a number"),
        (HEAD + BORE % ROW.replace("16.5]]", "1.65e1]]"), "bores.intake.body_bore.2.1", 3, "write 1.65e+1"),
        (HEAD + BORE % ROW.replace("16.5]]", "-16.5]]"), "bores.intake.body_bore.2.1", 3, "0.001 to 1000"),
        (HEAD + BORE % ROW.replace("16.5]]", "17.6]]"), "bores.intake.body_bore.2.1", 3, "slip"),
        (HEAD + BORE % "{u: 0.004}", "bores.intake.body_bore.v", 3, "needs v"),
        (HEAD + BORE % ("{v: " + ROW + ", u: -1}"), "bores.intake.body_bore.u", 3, "0 to 10"),
        (HEAD + BORE % ("{v: " + ROW + ", bye: x}"), "bores.intake.body_bore.bye", 3, "unknown key"),
        (HEAD + "bores: {temperature: warm}\n", "bores.temperature", 3, "not a number"),
        (HEAD + "bores: {temperature: 180}\n", "bores.temperature", 3, "-40 to 120"),
        (HEAD + "train: {temperature: 20}\n", "train.temperature", 3, "unknown key"),
        (HEAD + "seats: {intake: {tip_s: 50}}\n", "seats.intake.tip_s", 3, "unknown key"),
        (HEAD + "seats: {intake: {tip_z: [53, 53]}}\n", "seats.intake.tip_z", 3, "a list"),
        (HEAD + "ports: {intake: {opening: yes}}\n", "ports.intake.opening", 3, "none, or"),
        (HEAD + "ports: {intake: {opening: [4, 5]}}\n", "ports.intake.opening", 3, "none, or"),
        (HEAD + "ports: {intake: {opening: {along_port: 4}}}\n", "ports.intake.opening.cavity", 3, "missing"),
        (
            HEAD + "ports: {intake: {opening: {cavity: tunel_in, along_port: 4}}}\n",
            "ports.intake.opening.cavity",
            3,
            "no cavity",
        ),
        (
            HEAD + "ports: {intake: {opening: {cavity: tunnel_in, along_port: 40}}}\n",
            "ports.intake.opening.along_port",
            3,
            "no place of tunnel_in",
        ),
        (HEAD + "bores: &a {}\n", "", 3, "anchor"),
        (HEAD + "bores: {}\nbores: {}\n", "bores", 4, "twice"),
        (HEAD + "\tbores: {}\n", "", 3, "tab"),
    ],
)
def test_one_fault_at_its_place(tmp_path, text, key, line, said):
    found = faults(tmp_path, text)
    assert [(fault.key, fault.line) for fault in found] == [(key, line)], [str(fault) for fault in found]
    assert said in str(found[0])


def test_all_faults_at_once_with_the_nearest_name(tmp_path):
    text = HEAD + "bores:\n  intake: {body_bore: 1, shank_bores: 2}\n  temperature: x\nseat: {}\n"
    found = faults(tmp_path, text)
    assert sorted((fault.line, fault.key, fault.near) for fault in found) == [
        (4, "bores.intake.body_bore", None),
        (4, "bores.intake.shank_bores", "shank_bore"),
        (5, "bores.temperature", None),
        (6, "seat", "seats"),
    ]


def test_what_cannot_be_together_is_a_fault_of_the_reading(tmp_path):
    """With a shim of 7.8 a tip at 52.0 leaves the spring 52.0 - 4.0 - 30.0 - 7.8 = 10.2 long, solid it is 10.8."""
    text = config("pump_26cc").read_text(encoding="utf-8").replace("shim: 2.70", "shim: 7.80", 1)
    job = tmp_path / "job.yaml"
    job.write_text(text, encoding="utf-8")
    form = whole(job)
    recorded(job, written(tmp_path, filled(form, {"seats.intake.tip_z": 52.7})))  # 10.9: it can be
    path = written(tmp_path, filled(form, {"seats.intake.tip_z": 52.0}))
    with pytest.raises(JobFileError) as caught:
        recorded(job, path)
    (fault,) = caught.value.faults
    assert fault.file == str(path)
    assert "stations.intake.spring.solid: solid length 10.8 must be below" in fault.message


def test_a_guide_smaller_than_its_stem_is_told_at_the_guide(tmp_path):
    """What is wrong shows at the stem, of which nothing was read: the place is that of the guide's reading."""
    job = config("pump_26cc")
    path = written(tmp_path, filled(whole(job), {"seats.intake.guide_bore": [3.95, 3.96]}))
    with pytest.raises(JobFileError) as caught:
        recorded(job, path)
    (fault,) = caught.value.faults
    assert fault.key == "seats.intake.guide_bore"
    assert (
        path.read_text(encoding="utf-8")
        .splitlines()[fault.line - 1]
        .strip()
        .startswith("guide_bore: {v: [3.95")
    )
    assert "stations.intake.valve.stem: 3.97 must be below" in fault.message


def test_a_record_that_is_not_there(tmp_path):
    with pytest.raises(JobFileError) as caught:
        read_record(tmp_path / "none.yaml", read_job(config("pump_26cc")))
    assert "no such file" in str(caught.value.faults[0])


def run(*arguments, cwd=ROOT):
    return subprocess.run(
        [sys.executable, "-m", "headparts", *arguments], cwd=cwd, capture_output=True, text=True, check=False
    )


def test_a_bad_record_exits_2_and_nothing_is_written(tmp_path):
    bad = written(tmp_path, HEAD.replace("rev: A", "rev: Z"))
    done = run("build", "configs/pump_26cc.yaml", "--with", str(bad), "-o", str(tmp_path / "out"))
    assert done.returncode == 2
    assert f"{bad}:2:" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()
    said = json.loads(run("check", "configs/pump_26cc.yaml", "--with", str(bad), "--json").stdout)
    assert [fault["key"] for fault in said["faults"]] == ["job.rev"]


def test_a_job_changed_in_memory_has_no_record(tmp_path):
    """Its record would be judged against another job than the file that the record belongs to."""
    from dataclasses import replace

    from headparts.errors import ParameterError

    job = read_job(config("pump_26cc"))
    path = written(tmp_path, filled(whole(config("pump_26cc")), {}))
    assert recorded(job, path).plan.job == job
    with pytest.raises(ParameterError, match="changed in memory"):
        recorded(replace(job, stations={}), path)
