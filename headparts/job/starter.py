"""Starter jobs, written to a file or given as text."""

from __future__ import annotations

from pathlib import Path

from headparts.config import new_job


def write_starter(kind: str, bore: float | None, output: str | None, *, force: bool = False) -> str:
    """The text of a commented starter job; also written to ``output`` when given.

    Raises ParameterError for an unknown kind or an impossible bore, OutputError when the file cannot be
    written or is in the way.
    """
    text = new_job(kind, bore)
    if output is not None:
        from headparts.exports.safe import write_file

        write_file(Path(output), text, force=force)
    return text
