"""read_job: a job file in, frozen parameters out, or every fault of the file at once."""

from __future__ import annotations

from functools import lru_cache
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from ..errors import JobFileError
from .fault import Fault
from .model import JobFile
from .nodes import MAX_BYTES, Mapping, Node, TextError, compose, decode, scan_characters
from .notes import Notes
from .rules import judge_job
from .walk import Walker

_EMPTY: dict[str, Any] = {"stations": {}, "repairs": (), "materials": {}, "temps": {}, "accept": ()}


def read_job(path: str | PathLike[str]) -> JobFile:
    """Read and judge a job file (YAML, schema 1; mm, deg, degC, N, MPa).

    Raises JobFileError whose ``faults`` holds every Fault found, in file order. Nothing is repaired or
    defaulted: an absent key is None.
    """
    name = fspath(path)
    notes = Notes(name)
    try:
        root = _tree(name, notes)
    except TextError as fault:
        notes.fault(fault.line, fault.column, "", fault.value, fault.message)
        root = None
    if root is None:
        raise JobFileError(_sorted(notes.faults))
    job = _job(root, notes, Path(name))
    judge_job(job, notes)
    if notes.faults:
        raise JobFileError(_sorted(notes.faults))
    return job


def _tree(
    name: str, notes: Notes, empty: str = "the file is empty; a job needs at least the keys schema and job"
) -> Mapping | None:
    text = decode(_bytes(name))
    faults = scan_characters(text)
    for fault in faults:
        notes.fault(fault.line, fault.column, "", fault.value, fault.message)
    if faults:
        return None
    root, refused = _composed(text)
    for fault in refused:
        notes.fault(fault.line, fault.column, "", fault.value, fault.message)
    if root is None:
        raise TextError(1, 1, empty)
    if not isinstance(root, Mapping):
        raise TextError(
            root.line, root.column, "the file must be a block of keys, as `schema: 1` or `record: 1`"
        )
    return root


@lru_cache(maxsize=1)
def _composed(text: str) -> tuple[Node | None, tuple[TextError, ...]]:
    """The tree of a text and what it may not hold; the last one is kept for a job that is varied after it was read."""
    faults: list[TextError] = []
    return compose(text, faults), tuple(faults)


def _bytes(name: str) -> bytes:
    try:
        path = Path(name)
        if path.exists() and not path.is_file():
            raise TextError(0, 0, "is not a file")
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise TextError(0, 0, "there is no such file") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise TextError(0, 0, f"cannot be read: {reason}") from None


def _job(root: Mapping, notes: Notes, path: Path) -> JobFile:
    return _job_of(Walker(notes), root, path)


def _job_of(walker: Walker, root: Mapping, path: Path) -> JobFile:
    notes = walker.notes
    bare = walker.block(JobFile, root, "", (root.line, root.column))
    values = {f: getattr(bare, f) for f in JobFile.__dataclass_fields__}
    for key, empty in _EMPTY.items():
        if values[key] is None:
            values[key] = empty
    values["path"], values["quantities"] = path, dict(notes.quantities)
    values["places"] = dict(notes.places)
    return JobFile(**values)


def _sorted(faults: list[Fault]) -> list[Fault]:
    return sorted(faults, key=lambda fault: (fault.line, fault.column))
