"""`headparts thickness`: what it says, its exit codes, and that a bad file writes nothing."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from headparts.cli import main
from headparts.exports.stl import part_stl
from headparts.geometry.stl import read_stl
from headparts.parts.part import wrap
from headparts.solids import primitives
from headparts.solids.step_file import Body, Header, write_step

HEADER = Header("plate", "test", "2025-01-01", "test")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A plate 3 x 40 x 60 as STEP and STL, two plates in one STEP file, and a file that is neither."""
    where = tmp_path_factory.mktemp("plates")
    plate = primitives.box((0, 0, 0), (3, 40, 60))
    (where / "plate.step").write_bytes(write_step([Body("plate", plate)], HEADER))
    (where / "plate.stl").write_bytes(part_stl(wrap(plate, "plate")).data)
    other = primitives.box((50, 0, 0), (53, 40, 60))
    (where / "two.step").write_bytes(write_step([Body("a", plate), Body("b", other)], HEADER))
    (where / "torn.step").write_bytes(write_step([Body("plate", plate)], HEADER)[:-200])
    (where / "note.txt").write_text("no solid")
    return where


@pytest.mark.parametrize("name", ["plate.step", "plate.stl"])
def test_json_csv_and_exit_codes(folder: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    out = folder / f"{name}.csv"
    file = str(folder / name)
    assert main(["thickness", file, "--points", "300", "--json", "--below", "2.9", "--csv", str(out)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["least"]["value"] == pytest.approx(3.0, abs=1e-9)
    assert found["volume"] == pytest.approx(7200.0, abs=1e-6)
    assert found["lower_bound"] is None
    assert "unproven" in found["note"]
    assert ("a scan" in found["note"]) == name.endswith("stl")
    assert found["below"]["pairs"] == []
    rows = list(csv.DictReader(out.read_text().splitlines()))
    assert len(rows) == found["points"]
    assert {row["thickness_mm"] for row in rows} == {"3.000000", "40.000000", "60.000000"}
    assert main(["thickness", file, "--points", "300", "--csv", str(out)]) == 2  # in the way
    assert "exists already" in capsys.readouterr().err
    assert main(["thickness", file, "--points", "300", "--below", "3.1"]) == 1
    said = capsys.readouterr().out
    assert "least thickness 3.000 mm" in said
    assert "below 3.1: 1 pairs of faces" in said


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("two.step", "it holds 2 solids; one is needed"),
        ("torn.step", "torn"),
        ("note.txt", "must end with .step, .stp or .stl, not with .txt"),
        ("none.stl", "there is no such file"),
    ],
)
def test_a_bad_file_is_one_line(
    folder: Path, name: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = folder / "never.csv"
    assert main(["thickness", str(folder / name), "--csv", str(out)]) == 2
    told = capsys.readouterr().err
    assert says in told
    assert name in told
    assert len(told.splitlines()) == 1
    assert not out.exists()


@pytest.mark.parametrize("option", [["--points", "3"], ["--below", "-1"], ["--below", "nan"]])
def test_numbers_out_of_range(folder: Path, option: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["thickness", str(folder / "plate.stl"), *option]) == 2
    assert option[0].strip("-") in capsys.readouterr().err


def test_a_step_file_in_metres_is_read_in_mm(folder: Path) -> None:
    from headparts.plan.given import read_given
    from headparts.solids.verify import volume

    text = (folder / "plate.step").read_text()
    metre = text.index("SI_UNIT(.MILLI.,.METRE.)")
    assert metre > 0
    coarse = folder / "metres.step"
    coarse.write_text(text.replace("SI_UNIT(.MILLI.,.METRE.)", "SI_UNIT($,.METRE.)"))
    assert volume(read_given(coarse).solid) == pytest.approx(7200e9, rel=1e-9)


def test_stl_numbers_are_mm(folder: Path) -> None:
    low, high = read_stl((folder / "plate.stl").read_bytes()).box
    assert (high - low).tolist() == pytest.approx([3.0, 40.0, 60.0], abs=1e-6)
