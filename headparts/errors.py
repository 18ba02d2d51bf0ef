"""Every error the package raises on purpose: one base class, each one also a built-in exception.

Errors carry plain sentences for a person at the bench; nothing here loads numpy or the CAD kernel.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


class HeadpartsError(Exception):
    """Base of all errors raised on purpose by this package."""


class JobFileError(HeadpartsError, ValueError):
    """A job file that cannot be used. ``faults`` holds every fault found, in file order."""

    def __init__(self, faults: Iterable[Any]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class ParameterError(HeadpartsError, ValueError):
    """A parameter of a part or a formula that is impossible: names the key, the value and what is allowed."""

    def __init__(self, key: str, value: object, allowed: str) -> None:
        self.key, self.value, self.allowed = key, value, allowed
        super().__init__(f"{key} = {value!r}: {allowed}")


class TableError(HeadpartsError, KeyError):
    """A size, class or name that a table does not hold."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""


class GeometryError(HeadpartsError, ValueError):
    """Impossible geometry: a zero direction, a negative radius, an empty body."""


class KernelError(HeadpartsError, RuntimeError):
    """The CAD kernel is missing, or a solid could not be proven right."""


class OutputError(HeadpartsError, OSError):
    """A file could not be written."""


class MissingExtra(HeadpartsError, ImportError):
    """An optional library is not installed or cannot be loaded: the message names the extra that brings it."""
