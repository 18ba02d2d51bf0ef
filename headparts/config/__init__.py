"""Job files: strict reading into frozen parameters, starter files, and a schema for editors."""

from __future__ import annotations

from typing import Any

from .fault import Fault
from .model import JobFile, Quantity
from .reader import read_job

__all__ = ["Fault", "JobFile", "Quantity", "json_schema", "new_job", "read_job"]


def new_job(kind: str, bore: float | None = None) -> str:
    """Text of a starter job file; see `headparts.config.starter.new_job`."""
    from .starter import new_job as make

    return make(kind, bore)


def json_schema() -> dict[str, Any]:
    """JSON Schema of the job file; see `headparts.config.schema_of_job.json_schema`."""
    from .schema_of_job import json_schema as make

    return make()
