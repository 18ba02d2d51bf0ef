"""The form: what it asks for, that it comes back as it went out, and that nothing written by hand is replaced."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest

import headparts
from headparts.config import read_job
from headparts.config.record import read_record
from headparts.config.record_items import STEPS
from headparts.errors import OutputError, ParameterError
from headparts.plan import plan_job
from headparts.tables.hazards import caution
from headparts.tables.instruments import instruments
from record.case import JOBS, ROOT, config, filled, whole, written
from record.planned import planned_values, unmeasured
from record.test_stories import AS15, local


def steps_of(form: str) -> list[str]:
    return [line[:-1] for line in form.splitlines() if line[:-1] in STEPS]


def run(*arguments, cwd):
    return subprocess.run(
        [sys.executable, "-m", "headparts", *map(str, arguments)],
        cwd=cwd,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )


@pytest.mark.parametrize("name", JOBS)
def test_form_filled_step_by_step_to_the_end(name, tmp_path):
    """Each next form asks for the next step of the route and carries all that was read; at the end none is left."""
    job = unmeasured(name, tmp_path)
    before = hashlib.sha256(job.read_bytes()).hexdigest()
    values = planned_values(job)
    for repair in plan_job(read_job(job)).repairs.values():
        values[f"sleeve.{repair.name}.length"] = repair.saddle.length_max
    form = headparts.measure(job)
    asked_for: list[str] = []
    for _ in STEPS:
        *_, now = steps_of(form)
        asked_for.append(now)
        mine = {key: value for key, value in values.items() if key.startswith(f"{now}.")}
        record = written(tmp_path, filled(form, mine), f"{now}.yaml")
        read = read_record(record, read_job(job))
        form = headparts.measure(job, record)
        carried = read_record(written(tmp_path, form, "next.yaml"), read_job(job))
        assert {key: (r.values, r.u, r.by, r.words) for key, r in carried.readings.items()} == {
            key: (r.values, r.u, r.by, r.words) for key, r in read.readings.items()
        }
        assert dict(carried.conditions).items() >= {k: v for k, v in read.conditions.items() if v[0]}.items()
        if "Every reading that this job asks for has been made." in form:
            break
    wanted = [step for step in STEPS if step != "as_found" and (step != "sleeve" or name != "pump_26cc")]
    assert asked_for == wanted
    assert hashlib.sha256(job.read_bytes()).hexdigest() == before


def test_every_reading_says_what_is_planned_allowed_and_with_what(tmp_path):
    form = whole(config("pump_26cc"))
    assert "Planned 16.500 mm. Allowed 16.500 to 16.518." in form
    assert "Planned 20.300 mm. Allowed 20.280 to\n    # 20.320." in form
    named = set(re.findall(r"\{.*by: ([^},]+)\}", form))
    assert len(named) > 5
    assert {name for name in named if name not in instruments()} <= {
        "press gauge",
        "modelling clay under the cover",
    }
    assert caution("beryllium").short.split(":")[0] in form
    assert caution("pressing").short.split(",")[0] in form
    assert caution("adhesives").short.split(" ")[0] not in form
    assert caution("adhesives").short.split(" ")[0] in whole(config("generator_62cc"))


def test_only_what_a_job_has_is_asked_for(tmp_path):
    """A bushing alone has its bores, itself, its port and its seat; a spacer alone tips and train."""
    wanted = {
        "bushing": ["bores", "bushings", "pressed", "ports", "seats"],
        "spacer": ["seats", "train"],
    }
    for kind, steps in wanted.items():
        job = tmp_path / f"{kind}.yaml"
        job.write_text(headparts.new_job(kind, 30), encoding="utf-8")
        assert steps_of(whole(job)) == steps, kind


def test_a_step_by_name_and_one_that_there_is_not():
    assert steps_of(headparts.measure(config("pump_26cc"), step="train")) == ["train"]
    with pytest.raises(ParameterError, match="bores, bushings"):
        headparts.measure(config("pump_26cc"), step="sleeve")


def test_words_and_numbers_come_back_exactly(tmp_path):
    """Quotes, colons, umlauts, a tilde, many digits, an inch: what is carried is what was read."""
    job = config("pump_26cc")
    odd = '"0.5 bar: {dry} # \\"ok\\" \\u00e4 ~"'
    form = filled(whole(job), {"ports.intake.leak_test": odd, "measured_by": '"~"', "date": "2025-05-06"})
    form = form.replace(
        "step_depth: {v: ~, by: depth micrometer}", "step_depth: {v: 0.79953 in, u: 1 thou, by: null}", 1
    )
    first = read_record(written(tmp_path, form), read_job(job))
    again = read_record(
        written(tmp_path, headparts.measure(job, tmp_path / "record.yaml"), "b.yaml"), read_job(job)
    )
    assert first.readings["ports.intake.leak_test"].words == '0.5 bar: {dry} # "ok" ä ~'
    assert (first.measured_by, first.date) == (again.measured_by, again.date) == ("~", "2025-05-06")
    for key, reading in first.readings.items():
        other = again.readings[key]
        assert (other.values, other.u, other.by, other.words) == (
            reading.values,
            reading.u,
            reading.by,
            reading.words,
        )
    assert first.readings["bores.intake.step_depth"].values == (pytest.approx(20.308062, abs=1e-9),)


def test_nothing_written_by_hand_is_ever_replaced(tmp_path):
    job = local(tmp_path)
    record = tmp_path / "record.yaml"
    headparts.measure(job, output=record)
    with pytest.raises(OutputError, match="exists already"):
        headparts.measure(job, output=record)
    headparts.measure(job, output=record, force=True)
    (tmp_path / "link.yaml").hardlink_to(job)
    for own in (job, record, tmp_path / "link.yaml", tmp_path / "." / "pump.yaml"):
        before = own.read_bytes()
        with pytest.raises(OutputError, match="is the file that is read"):
            headparts.measure(job, record, output=own, force=True)
        assert own.read_bytes() == before


def test_the_four_commands_in_a_fresh_folder(tmp_path):
    """Form, readings, check with them, next form; the sheet says the diameter to turn; the job file stays."""
    job = local(tmp_path)
    before = job.read_bytes()
    assert run("measure", job.name, "-o", "record.yaml", cwd=tmp_path).returncode == 0
    form = (tmp_path / "record.yaml").read_text(encoding="utf-8")
    assert steps_of(form) == ["bores"]
    written(tmp_path, filled(form, {"bores.intake.body_bore": AS15, "bores.temperature": 20.5}))
    checked = run("check", job.name, "--with", "record.yaml", "--only", "F12", cwd=tmp_path)
    assert checked.returncode == 0, checked.stderr
    assert "turn the body to 16.5398 to 16.5438" in checked.stdout
    assert "CHANGED F12 bushing_intake od_window: not run - -> pass" in checked.stdout
    drawn = run("draw", job.name, "bushing_intake", "--with", "record.yaml", "-o", "sheets", cwd=tmp_path)
    assert drawn.returncode == 0, drawn.stderr
    sheet = ezdxf.readfile(tmp_path / "sheets" / "bushing_intake.dxf")
    letters = [e for block in sheet.blocks for e in block if e.dxftype() in ("TEXT", "MTEXT")]
    texts = [e.text if e.dxftype() == "MTEXT" else e.dxf.text for e in letters]
    assert any("16.5418" in text for text in texts)
    assert run("draw", job.name, "bushing_exhaust", "-o", "sheets", cwd=tmp_path).returncode == 0
    listed = json.loads((tmp_path / "sheets" / "manifest.json").read_text(encoding="utf-8"))["files"]
    digest = hashlib.sha256((tmp_path / "record.yaml").read_bytes()).hexdigest()
    made_from = {"bushing_intake": ("record.yaml", digest), "bushing_exhaust": (None, None)}
    assert len(listed) == 6
    assert all((each["record"], each["record_sha256"]) == made_from[each["part"]] for each in listed)
    after = run("measure", job.name, "--with", "record.yaml", "-o", "next.yaml", cwd=tmp_path)
    assert after.returncode == 0
    assert "16.508" in (tmp_path / "next.yaml").read_text(encoding="utf-8")
    assert job.read_bytes() == before


def test_a_reading_outside_exits_1(tmp_path):
    job = local(tmp_path)
    written(
        tmp_path, filled(headparts.measure(job), {"bores.intake.step_depth": 20.35, "bores.temperature": 20})
    )
    done = run("check", job.name, "--with", "record.yaml", "--only", "M02", cwd=tmp_path)
    assert done.returncode == 1
    assert "Outside what is allowed by the record: bores.intake.step_depth." in done.stdout


def test_the_report_shows_planned_against_made(tmp_path):
    from headparts.reports.html import to_html
    from headparts.reports.markdown import to_markdown

    job = local(tmp_path)
    record = written(
        tmp_path, filled(headparts.measure(job), {"bores.intake.body_bore": AS15, "bores.temperature": 20})
    )
    report = headparts.check(job, only=["F12"], record=record).report
    for text in (to_html(report), to_markdown(report)):
        assert "Planned against made" in text
        assert "turn the body to 16.5400 to 16.5440" in text
        assert "Verdicts that the readings change" in text
    without = headparts.check(job, only=["F12"]).report
    assert "Planned against made" not in to_html(without) + to_markdown(without)


def test_a_record_is_only_read(tmp_path):
    job = local(tmp_path)
    record = written(tmp_path, filled(headparts.measure(job), {"bores.intake.body_bore": AS15}))
    files = {path: path.read_bytes() for path in (Path(job), record)}
    headparts.check(job, only=["F", "M"], record=record)
    headparts.measure(job, record)
    assert {path: path.read_bytes() for path in files} == files
    assert sorted(path.name for path in tmp_path.iterdir()) == ["pump.yaml", "record.yaml"]
