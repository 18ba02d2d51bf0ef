"""Job files: strict reading into frozen parameters, starter files, and a schema for editors.

The reader, the starters and the schema are loaded at their first use, so that importing this room stays cheap.
"""

from __future__ import annotations

from os import PathLike
from typing import Any

from .fault import Fault
from .model import JobFile, Quantity

__all__ = ["Fault", "JobFile", "Quantity", "json_schema", "new_job", "read_job"]


def read_job(path: str | PathLike[str]) -> JobFile:
    """Read and judge a job file (YAML, schema 1; mm, deg, degC, N, MPa).

    Raises JobFileError whose ``faults`` holds every Fault found, in file order. Nothing is repaired or defaulted:
    an absent key is None. See `headparts.config.reader.read_job`.
    """
    from .reader import read_job as read

    return read(path)


def new_job(kind: str, bore: float | None = None) -> str:
    """Text of a starter job file; see `headparts.config.starter.new_job`."""
    from .starter import new_job as make

    return make(kind, bore)


def json_schema() -> dict[str, Any]:
    """JSON Schema of the job file; see `headparts.config.schema_of_job.json_schema`."""
    from .schema_of_job import json_schema as make

    return make()
