"""`headparts thickness`: what it says, its exit codes, and that a bad file writes nothing."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from headparts.cli import main
from headparts.exports.stl import part_stl
from headparts.geometry.stl import read_stl
from headparts.geometry.thickness import Thickness, Thin
from headparts.parts.part import wrap
from headparts.reports.thickness import lines
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
    assert "below 3.1: 1 pair of faces" in said


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


@pytest.mark.parametrize("other_name", [False, True])
def test_the_measured_file_is_never_replaced(
    folder: Path, tmp_path: Path, other_name: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "plate.stl"
    file.write_bytes(before := (folder / "plate.stl").read_bytes())
    out = file
    if other_name:
        (out := tmp_path / "field.csv").symlink_to(file)
    assert main(["thickness", str(file), "--points", "50", "--csv", str(out), "--force"]) == 2
    said = capsys.readouterr()
    assert said.err == f"headparts: {out}: is the file that was measured; give another name\n"
    assert said.out == ""
    assert file.read_bytes() == before


def test_a_folder_in_place_of_the_csv(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for out in (".", str(folder)):
        assert main(["thickness", str(folder / "plate.stl"), "--points", "50", "--csv", out]) == 2
        assert capsys.readouterr().err == f"headparts: {out}: is a folder\n"


@pytest.mark.parametrize(
    ("option", "says"),
    [
        (("--points", "9"), "points = 9: must be 10 to 1000000"),
        (("--below", "-1"), "below = -1.0: must be 0 to 1000 mm"),
        (("--below", "nan"), "below = nan: must be 0 to 1000 mm"),
    ],
)
def test_numbers_out_of_range(
    folder: Path, option: tuple[str, str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["thickness", str(folder / "plate.stl"), *option]) == 2
    assert capsys.readouterr().err == f"headparts: {says}\n"


def test_the_same_place_is_told_once() -> None:
    """Two pairs of faces that meet in the same two corners: one line, which counts them."""
    thin = Thin(1.5, ((0.0, 0.0, 0.0), (0.0, 0.0, 1.5)), (0, 1), "face pair", 1.6)
    found = SimpleNamespace(
        box=((0, 0, 0), (1, 1, 1)),
        kind="STL",
        face_count=4,
        volume=1.0,
        least=thin,
        untried=0,
        lost=0,
        edges=(),
    )
    found.pairs = (thin, replace(thin, faces=(2, 1)), replace(thin, faces=(2, 3)), replace(thin, value=2.5))
    found.points, found.adjacent, found.remark = [], np.zeros(0), ""
    told = [line for line in lines(cast(Thickness, found)) if line.startswith("next")]
    place = "from (0.000, 0.000, 0.000) to (0.000, 0.000, 1.500), exact distance of two faces"
    assert told == [f"next 1.500 mm {place} (2 pairs of faces)", f"next 2.500 mm {place}"]


def test_help_keeps_the_names_of_formats(capsys: pytest.CaptureFixture[str]) -> None:
    for command, name in (
        ("thickness", "STEP or STL"),
        ("draw", "DXF, SVG and PDF"),
        ("schema", "JSON Schema"),
    ):
        with pytest.raises(SystemExit):
            main([command, "--help"])
        assert name in capsys.readouterr().out.split("positional")[0]
