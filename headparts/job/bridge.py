"""The bridge between two press bores of a job, computed and pictured."""

from __future__ import annotations

from pathlib import Path

from headparts.config import JobFile, read_job
from headparts.errors import OutputError
from headparts.exports.safe import write_file
from headparts.plan import plan_job
from headparts.stress import Bridge, bridge

PICTURES = (".png", ".svg")


def bridge_of(job: str | Path | JobFile, z: float | None = None, case: str = "cold") -> Bridge:
    """Stress in the bridge of a job; see ``headparts.stress.bridge``.

    Raises JobFileError for a faulty job, MissingInput, ParameterError, GeometryError and MissingExtra as there.
    """
    file = job if isinstance(job, JobFile) else read_job(job)
    return bridge(plan_job(file), z, case)


def check_picture(path: str | Path, *, force: bool = False) -> None:
    """Refuse, before anything is computed, a picture that could not be written. Raises OutputError."""
    goal = Path(path)
    if goal.suffix.lower() not in PICTURES:
        raise OutputError(f"{goal}: a picture is .png or .svg")
    if goal.exists() and not force:
        raise OutputError(f"{goal}: exists already; --force replaces it")


def write_picture(found: Bridge, path: str | Path, *, force: bool = False) -> None:
    """The stress field as a PNG or SVG file, whole or not at all. Raises OutputError."""
    from headparts.reports.bridge_picture import picture

    check_picture(path, force=force)
    write_file(path, picture(found, Path(path).suffix.lower()[1:]), force=force)
