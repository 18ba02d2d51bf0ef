"""The manifest: complete, the same every time, safe to open in a spreadsheet, and read back strictly."""

from __future__ import annotations

import csv
import hashlib
import io
import json
from pathlib import Path

import pytest

from headparts.errors import OutputError
from headparts.exports.manifest import MANIFEST, FileEntry, Manifest, entry, read_earlier

LINE = entry(
    "bushing_intake.step",
    b"bytes",
    "STEP",
    "model",
    part="bushing_intake",
    units="mm",
    volume=2331.46,
    mass=19.2345,
    box=((-8.25, -8.25, 0.0), (8.25, 8.25, 34.7)),
    material="cu_be",
    origin=(8.2, -1.2, 3.3),
    x_axis=(1.0, 0.0, 0.0),
    z_axis=(0.0, 0.0, 1.0),
    check_points=((1.0, 2.0, 3.0), (4.0, 5.0, 6.0)),
)
WHOLE = Manifest("WPS26-H1", "headparts 0.1.0", "ab" * 32, "Title", "A", "proposal", "2025-01-15", (LINE,))


def test_json_holds_everything() -> None:
    read = json.loads(WHOLE.to_json())
    assert read["job"] == {
        "id": "WPS26-H1",
        "title": "Title",
        "rev": "A",
        "status": "proposal",
        "date": "2025-01-15",
        "sha256": "ab" * 32,
    }
    (line,) = read["files"]
    assert line["sha256"] == hashlib.sha256(b"bytes").hexdigest()
    assert line["size"] == 5
    assert line["volume"] == 2331.46
    assert line["box"] == [[-8.25, -8.25, 0.0], [8.25, 8.25, 34.7]]
    assert line["check_points"] == [[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]]
    assert read["units"] == "mm"


def test_csv_has_names_units_and_one_row_a_file() -> None:
    rows = list(csv.reader(io.StringIO(WHOLE.to_csv())))
    assert len(rows) == 3
    row = dict(zip(rows[0], rows[2], strict=True))
    unit = dict(zip(rows[0], rows[1], strict=True))
    assert (row["file"], row["volume"], unit["volume"]) == ("bushing_intake.step", "2331.4600", "mm3")
    assert (row["mass"], unit["mass"]) == ("19.2345", "g")
    assert (row["box_low_x"], row["box_high_z"], unit["box_low_x"]) == ("-8.2500", "34.7000", "mm")
    assert row["check_points"] == "1 2 3; 4 5 6"
    assert (row["job"], row["rev"], row["x_axis"]) == ("WPS26-H1", "A", "1 0 0")


def test_csv_cells_are_no_formulas_but_numbers_stay_numbers() -> None:
    evil = FileEntry(
        "a.step", "STEP", "model", "0", 1, part="=1+1", material="@SUM(A1)", z_axis=(-1.0, 0.5, -0.5)
    )
    row = list(csv.reader(io.StringIO(Manifest("J", "t", "0", entries=(evil,)).to_csv())))[2]
    assert "'=1+1" in row
    assert "'@SUM(A1)" in row
    assert "-1 0.5 -0.5" in row


def test_no_numbers_that_json_does_not_know() -> None:
    bad = FileEntry("a.step", "STEP", "model", "0", 1, volume=float("nan"))
    with pytest.raises(ValueError, match="JSON"):
        Manifest("J", "t", "0", entries=(bad,)).to_json()


def test_an_unsafe_name_never_becomes_an_entry() -> None:
    with pytest.raises(OutputError, match="path part"):
        entry("../a.step", b"", "STEP", "model")


def test_read_back_is_what_was_written(tmp_path: Path) -> None:
    (tmp_path / MANIFEST).write_text(WHOLE.to_json(), encoding="utf-8")
    earlier = read_earlier(tmp_path, "WPS26-H1")
    assert earlier is not None
    assert earlier.entries == (LINE,)
    assert earlier.job_sha256 == "ab" * 32
    assert read_earlier(tmp_path, "OTHER") is None


def test_entries_are_carried_only_while_their_files_are_there(tmp_path: Path) -> None:
    (tmp_path / MANIFEST).write_text(WHOLE.to_json(), encoding="utf-8")
    earlier = read_earlier(tmp_path, "WPS26-H1")
    assert earlier is not None
    assert earlier.carried(tmp_path, []) == ()
    (tmp_path / LINE.file).write_bytes(b"bytes")
    assert earlier.carried(tmp_path, []) == (LINE,)
    assert earlier.carried(tmp_path, [LINE.file]) == ()
