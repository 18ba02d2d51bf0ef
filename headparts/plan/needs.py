"""Asking the job for what a rule needs, and saying which keys are missing when it is not there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from headparts.config import JobFile
from headparts.errors import HeadpartsError


class MissingInput(HeadpartsError, LookupError):
    """A rule cannot be worked out: ``keys`` are the dotted keys of the job file that it lacks."""

    def __init__(self, *keys: str, note: str = "") -> None:
        self.keys = tuple(dict.fromkeys(keys))
        self.note = note
        super().__init__(note or "missing: " + ", ".join(self.keys))


Value = TypeVar("Value")


def gather(*makers: Callable[[], Value]) -> list[Value]:
    """The values of all makers, or one MissingInput that names what all of them lack."""
    values: list[Value] = []
    missing: list[str] = []
    notes: list[str] = []
    for make in makers:
        try:
            values.append(make())
        except MissingInput as gap:
            missing += gap.keys
            notes += [gap.note] if gap.note else []
    if missing or notes:
        raise MissingInput(*missing, note="; ".join(dict.fromkeys(notes)))
    return values


class Inputs:
    """The job file seen from one block: ``Inputs(job, "stations.intake")("valve.head", "valve.lift")``."""

    def __init__(self, job: JobFile, prefix: str = "") -> None:
        self.job = job
        self.prefix = prefix

    def path(self, key: str) -> str:
        """The full dotted key."""
        return f"{self.prefix}.{key}" if self.prefix else key

    def under(self, key: str) -> Inputs:
        """The same job seen from a block further in."""
        return Inputs(self.job, self.path(key))

    def __call__(self, *keys: str) -> tuple[Any, ...]:
        """The values of ``keys``; raises MissingInput naming every one that is absent."""
        values = tuple(self.job.get(self.path(key)) for key in keys)
        absent = [self.path(key) for key, value in zip(keys, values, strict=True) if value is None]
        if absent:
            raise MissingInput(*absent)
        return values

    def one(self, key: str) -> Any:
        """The value of one key; raises MissingInput when it is absent."""
        return self(key)[0]

    def get(self, key: str, default: Any = None) -> Any:
        """The value of one key, or ``default`` where the job file leaves it out."""
        value = self.job.get(self.path(key))
        return default if value is None else value

    def half_width(self, key: str) -> float:
        """The half-width ``u`` that was written with a number, 0 where none was written [unit of the number]."""
        quantity = self.job.quantities.get(self.path(key))
        return 0.0 if quantity is None or quantity.u is None else float(quantity.u)
