"""Jobs that hold a few blocks only: what is judged, what waits for which keys, what is built; nothing fails by absence."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import yaml

from headparts.checks.table import ids
from headparts.cli import main
from headparts.config import new_job

ROOT = Path(__file__).resolve().parents[2]
HEADER: dict[str, Any] = {"schema": 1, "job": {"id": "PART", "status": "proposal"}}
RECORD = "Q01 Q02"
SLEEVES = "S01 S02 S03 S04 S05 S06 S07 S08 S09 S10 S11 S12"
ELSEWHERE = "Q05 Q06"  # run by draw, export and build


def pump() -> dict[str, Any]:
    """The pump job without what only concerns files."""
    data: dict[str, Any] = yaml.safe_load((ROOT / "configs" / "pump_26cc.yaml").read_text(encoding="utf-8"))
    for key in ("drawing", "export"):
        data.pop(key)
    return data


def one_station() -> dict[str, Any]:
    data = pump()
    del data["stations"]["exhaust"]
    return data


def head_as_found() -> dict[str, Any]:
    """Engine, datums, casting, and what is in the head now; nothing is planned yet."""
    data = pump()
    kept = {key: data[key] for key in ("schema", "job", "engine", "datums", "head", "materials")}
    return {**kept, "stations": {name: {"old": each["old"]} for name, each in data["stations"].items()}}


@dataclass(frozen=True)
class Partial:
    """A job, the ids of which something is judged, of which all is "none in this job", and what is built of it."""

    job: Any
    judged: str
    none: str
    parts: str = ""
    sheets: str = ""
    models: str = ""
    waits: dict[str, str] = field(default_factory=dict)


PARTIAL = {
    "a material alone": Partial(
        {**HEADER, "head": {"material": "alloy"}, "materials": {"alloy": {}}},
        RECORD,
        f"W12 H01 {SLEEVES}",
        waits={"W04": "stations", "B05": "stations", "V12": "engine.bore", "R04": "rocker.post.nut_h"},
    ),
    # margin alone says enough of itself; the bore's share waits for the bore
    "a valve": Partial(
        {**HEADER, "stations": {"intake": {"valve": {"head": 14.5, "margin": 0.9, "stem": 3.97, "lift": 3.2}}}},
        f"V09 {RECORD}",
        f"H01 {SLEEVES}",
        waits={"V04": "engine.bore", "V06": "stations.intake.bushing.bowl.throat", "W01": "stations.exhaust"},
    ),
    # rocker gear and the tips; R07 wants a tunnel, R10 the two axes; the seat that places the tip has a width
    "a spacer": Partial(
        "spacer",
        f"R01 R02 R03 R04 R05 R06 R08 R09 B04 H01 {RECORD}",
        SLEEVES,
        "spacer",
        "spacer",
        "spacer.step spacer.stl",
        waits={"R10": "stations.intake.axis", "R07": "head.cavities", "L01": "rocker.warm.pivot"},
    ),
    # all that the bushing says of itself and of its fit; its window, but no face, no chamber, no engine, no head
    "a bushing": Partial(
        "bushing",
        "B01 B02 B03 B04 B05 B06 B07 B08 B09 B10 B11 B12 B14 B15 B16 F01 F02 F03 F04 F05 F06 F07 F08 F09 F10 F11 "
        f"V06 V07 V08 V09 P05 P06 H01 {RECORD}",
        f"W02 W03 W04 W06 W08 W09 W12 P10 {SLEEVES}",
        "bushing_intake",
        "bushing_intake",
        "bushing_intake.step bushing_intake.stl",
        waits={"B17": "head.chamber", "F12": "stations.intake.measured.body_bore", "P03": "head.chamber"},
    ),
    # the sleeve, its port and the one cavity; the body that the port starts from
    "a sleeve": Partial(
        "sleeve",
        "S01 S02 S03 S04 S05 S06 S07 S08 S09 S10 S11 W04 W05 W07 W07r W08 W10 W12 P02 P03 P05 B07 B08 B14 M05 R07 "
        f"H01 {RECORD}",
        "S12 W02 W03 W06 W09 V02",
        "sleeve_intake",
        "sleeve_intake",
        "sleeve_intake.step sleeve_intake.stl",
        waits={"W01": "stations.exhaust", "P06": "stations.intake.bushing.bowl.throat"},
    ),
    "the head as found": Partial(
        head_as_found(),
        f"R07 Q03 {RECORD}",
        f"W09 H01 {SLEEVES}",
        "head_as_found",
        "head_bores",
        "head_as_found.step head_as_found.stl",
        waits={
            "W01": "stations.intake.bushing.body.dia",
            "M01": "stations.exhaust.bushing.body.len",
            "R06": "rocker.cover_clearance",
        },
    ),
    # all but what needs the other station (W01, W11, V01, V05) and what was not measured (B13, F12, M07)
    "one station": Partial(
        one_station(),
        " ".join(
            set(ids())
            - set(f"W01 W11 V01 V05 B13 F12 M07 W09 {SLEEVES} {ELSEWHERE}".split())
        ),
        f"W09 {SLEEVES}",
        waits={"W01": "stations.exhaust", "W11": "stations.exhaust", "V05": "stations.exhaust.valve.head"},
    ),
}  # fmt: skip


@pytest.fixture
def written(tmp_path):
    """Writes a partial job and gives its path."""

    def write(name: str) -> str:
        job = PARTIAL[name].job
        text = new_job(job) if isinstance(job, str) else yaml.safe_dump(job, sort_keys=False)
        path = tmp_path / "job.yaml"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


@pytest.mark.parametrize("name", PARTIAL)
def test_what_is_judged_and_what_waits(written, capsys, name):
    partial = PARTIAL[name]
    assert main(["check", written(name), "--json", "--only", ",".join(ids())]) == 0
    found = json.loads(capsys.readouterr().out)["findings"]
    assert {each["id"] for each in found} == set(ids())
    assert {each["id"] for each in found if each["verdict"] != "not_run"} == set(partial.judged.split())
    none = {each["id"] for each in found if each["note"] == "none in this job"}
    assert none - set(partial.judged.split()) == set(partial.none.split())
    assert [each for each in found if each["verdict"] == "fail"] == []
    for each in found:
        if each["verdict"] == "not_run":
            assert each["value"] is None
            assert bool(each["missing"]) != (each["note"] == "none in this job" or each["id"] in ELSEWHERE), (
                each
            )
    for check, key in partial.waits.items():
        waiting = [each["missing"] for each in found if each["id"] == check and each["verdict"] == "not_run"]
        assert any(key in keys for keys in waiting), (check, waiting)


@pytest.mark.parametrize("name", [name for name in PARTIAL if name != "one station"])
def test_what_is_built(written, tmp_path, capsys, name):
    """Draw and export what is complete, in one folder; a job without parts makes none, and no fault."""
    partial, path, out = PARTIAL[name], written(name), tmp_path / "out"
    for command in ("draw", "export"):
        assert main([command, path, "-o", str(out)]) == 0
        said = capsys.readouterr().out
        assert f"files in {out}" in said
        for part in partial.parts.split():
            assert part in said
    written_files = {each.name for each in out.iterdir()} - {"manifest.json", "manifest.csv"}
    sheets = {f"{sheet}.{kind}" for sheet in partial.sheets.split() for kind in ("dxf", "svg", "pdf")}
    assert written_files == sheets | set(partial.models.split())


@pytest.mark.parametrize("name", ["a material alone", "a valve", "a spacer"])
def test_build_writes_a_report_that_says_what_was_not_run(written, tmp_path, name):
    out = tmp_path / "out"
    assert main(["build", written(name), "-o", str(out)]) == 0
    report = (out / "report.html").read_text(encoding="utf-8")
    for key in PARTIAL[name].waits.values():
        assert key in report
    counts = json.loads((out / "findings.json").read_text(encoding="utf-8"))["counts"]
    assert (counts["fail"], counts["warn"]) == (0, 0)


def test_a_part_whose_keys_are_not_complete_is_named_with_them_and_not_built(written, tmp_path, capsys):
    path = Path(written("a bushing"))
    text = path.read_text(encoding="utf-8")
    assert "throat: 12.6, " in text
    path.write_text(text.replace("throat: 12.6, ", ""), encoding="utf-8")
    assert main(["draw", str(path), "-o", str(tmp_path / "out")]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "bushing_intake was not built: missing: stations.intake.bushing.bowl.throat" in said
    assert "0 files in" in said


def test_many_missing_keys_are_told_by_block_with_the_checks_that_wait_for_them(written, capsys):
    assert main(["check", written("a valve")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "        engine: V04 V10 V11 V12 P09" in lines
    assert "        stations.intake.old: R01 R02 R03 R06 R10 K03 M01 M02 M03" in lines
    assert len(lines) < 60


def test_walls_that_could_not_be_measured_keep_the_head_from_passing(written, tmp_path, capsys):
    """The pump job without its exhaust port: no wall is thin (W10) and no cavity is entered (W08) among those that
    were judged, but those of the port were not."""
    data = pump()
    del data["stations"]["exhaust"]["port"]
    path = tmp_path / "job.yaml"
    path.write_text(yaml.safe_dump(data), encoding="utf-8")
    assert main(["check", str(path), "--json", "--only", "W08,W10"]) == 0
    found = json.loads(capsys.readouterr().out)["findings"]
    assert {each["verdict"] for each in found} == {"not_run"}
    cavities = {each["name"] for each in data["head"]["cavities"]}
    to_cavities = {"~".join(sorted((each, "port_exhaust"))) for each in cavities}
    others = {"body_bore_intake~port_exhaust", "port_exhaust~port_intake", "port_exhaust~shank_bore_intake"}
    assert {each["subject"] for each in found if each["id"] == "W08"} == to_cavities
    assert {each["subject"] for each in found if each["id"] == "W10"} == (
        to_cavities | others | {"outside~port_exhaust"}
    )
    for each in found:
        assert set(each["missing"]) == {
            f"stations.exhaust.port.{key}" for key in ("p", "azim", "elev", "dia", "face")
        }
