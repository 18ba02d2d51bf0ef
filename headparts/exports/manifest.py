"""The list of what a run wrote: one entry a file, with what a shop needs to trust and place a model.

``manifest.json`` is for programs (and for the next run, which may replace what it lists), ``manifest.csv``
for people. Neither holds a clock time or a path, so the same job gives the same bytes.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any

from headparts.errors import OutputError
from headparts.exports.names import check_name

MANIFEST = "manifest.json"
MANIFEST_CSV = "manifest.csv"
FORMAT = 1
_LARGEST = 8_000_000
_NUMBERS = re.compile(r"[-+0-9.e; ]+")

Point = tuple[float, float, float]


@dataclass(frozen=True)
class FileEntry:
    """One file of a run.

    Attributes:
        file: its name.
        format: STEP, STL, DXF, SVG, PDF, HTML, Markdown, JSON or CSV.
        kind: model, assembly, setup, drawing, report or data.
        sha256: of its bytes; ``size`` is their number.
        part: the part or parts it shows, or None.
        units: of the numbers inside, None where that has no meaning.
        volume: [mm3] as measured on the solid. ``mass`` [g], None without a density.
        box: lower and upper corner in the file's frame [mm].
        material: name in the job file.
        origin, x_axis, z_axis: the file's frame in the frame of the head [mm, unit vectors].
        setup: the set-up a model is placed for. ``check_points`` in its frame [mm], ``stock`` in words.
        note: e.g. that a file is marked as a draft.
        record: the inspection record whose readings are in it, None for a file as planned; ``record_sha256`` of its bytes.
    """

    file: str
    format: str
    kind: str
    sha256: str
    size: int
    part: str | None = None
    units: str | None = None
    volume: float | None = None
    mass: float | None = None
    box: tuple[Point, Point] | None = None
    material: str | None = None
    origin: Point | None = None
    x_axis: Point | None = None
    z_axis: Point | None = None
    setup: str | None = None
    check_points: tuple[Point, ...] = ()
    stock: str | None = None
    note: str | None = None
    record: str | None = None
    record_sha256: str | None = None


def entry(name: str, data: bytes | str, format: str, kind: str, **details: Any) -> FileEntry:  # noqa: A002
    """The entry of a file with these bytes (text counts as UTF-8); ``details`` as in :class:`FileEntry`."""
    payload = data.encode("utf-8") if isinstance(data, str) else data
    return FileEntry(
        file=check_name(name),
        format=format,
        kind=kind,
        sha256=hashlib.sha256(payload).hexdigest(),
        size=len(payload),
        **details,
    )


@dataclass(frozen=True)
class Manifest:
    """What one run wrote for one job.

    Attributes:
        job_id, title, rev, status, date: as the job file says them.
        job_sha256: of the job file's bytes, so that a set can be told from one made of an edited job.
        tool: program and version.
        entries: the files; order of writing.
    """

    job_id: str
    tool: str
    job_sha256: str
    title: str | None = None
    rev: str | None = None
    status: str | None = None
    date: str | None = None
    entries: tuple[FileEntry, ...] = ()

    def to_json(self) -> str:
        """The text of ``manifest.json``."""
        head = {
            "id": self.job_id,
            "title": self.title,
            "rev": self.rev,
            "status": self.status,
            "date": self.date,
            "sha256": self.job_sha256,
        }
        files = [{key: _plain(value) for key, value in asdict(each).items()} for each in self.entries]
        whole = {"format": FORMAT, "tool": self.tool, "job": head, "units": "mm", "files": files}
        return json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False) + "\n"

    def to_csv(self) -> str:
        """The text of ``manifest.csv``: a name row, a unit row, one row a file."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        columns = [
            *("file", "kind", "format", "part", "material", "units", "volume", "mass"),
            *("box_low_x", "box_low_y", "box_low_z", "box_high_x", "box_high_y", "box_high_z"),
            *("origin_x", "origin_y", "origin_z", "x_axis", "z_axis", "setup", "check_points", "stock"),
            *("size", "sha256", "job", "rev", "note", "record", "record_sha256"),
        ]
        units = {"volume": "mm3", "mass": "g", "size": "bytes"}
        units |= {
            name: "mm" for name in columns if name.startswith(("box_", "origin_")) or name == "check_points"
        }
        writer.writerow(columns)
        writer.writerow([units.get(name, "") for name in columns])
        for each in self.entries:
            low, high = each.box or ((None,) * 3, (None,) * 3)
            row = [each.file, each.kind, each.format, each.part, each.material, each.units]
            row += [_number(each.volume), _number(each.mass)]
            row += [_number(value) for value in (*low, *high, *(each.origin or (None,) * 3))]
            row += [_triple(each.x_axis), _triple(each.z_axis), each.setup]
            row += ["; ".join(_triple(point) for point in each.check_points), each.stock]
            row += [str(each.size), each.sha256, self.job_id, self.rev, each.note]
            row += [each.record, each.record_sha256]
            writer.writerow([_cell(value) for value in row])
        return out.getvalue()


@dataclass(frozen=True)
class Earlier:
    """What the manifest found in a folder says an earlier run of the same job wrote there."""

    job_sha256: str | None
    entries: tuple[FileEntry, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The files it lists."""
        return tuple(each.file for each in self.entries)

    def carried(self, folder: Path, without: Iterable[str]) -> tuple[FileEntry, ...]:
        """Entries that still hold beside a partial run: present in ``folder`` and not written anew."""
        new = set(without) | {MANIFEST, MANIFEST_CSV}
        return tuple(each for each in self.entries if each.file not in new and (folder / each.file).is_file())


def read_earlier(folder: Path, job_id: str) -> Earlier | None:
    """The earlier run's list, or None: no manifest, of another job, not readable, or with unsafe names."""
    path = folder / MANIFEST
    try:
        if not path.is_file() or path.is_symlink() or path.stat().st_size > _LARGEST:
            return None
        whole = json.loads(path.read_text(encoding="utf-8"))
        if whole["format"] != FORMAT or whole["job"]["id"] != job_id:
            return None
        entries = tuple(_entry_of(item) for item in whole["files"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError, OutputError):
        return None
    return Earlier(whole["job"].get("sha256"), entries)


def _entry_of(item: dict[str, Any]) -> FileEntry:
    known = {field.name for field in fields(FileEntry)}
    values = {key: _frozen(value) for key, value in item.items() if key in known}
    check_name(values["file"])
    return FileEntry(**values)


def _frozen(value: Any) -> Any:
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value


def _plain(value: Any) -> Any:
    """Numbers rounded to what is meaningful (1e-6), so that the last bits of a platform do not show."""
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value


def _number(value: float | None) -> str | None:
    return None if value is None else f"{round(value, 4) + 0.0:.4f}"


def _triple(value: Point | None) -> str:
    return "" if value is None else " ".join(f"{round(each, 6) + 0.0:.6g}" for each in value)


def _cell(value: str | None) -> str:
    """A cell that a spreadsheet does not take for a formula."""
    text = "" if value is None else value
    formula = text[:1] in ("=", "+", "-", "@", "\t") and not _NUMBERS.fullmatch(text)
    return f"'{text}" if formula else text
