"""One thing that is wrong in a job file: where, which key, what was written, what is allowed."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One fault. ``line`` and ``column`` count from 1 (0 when the file could not be read at all).

    ``key`` is dotted (``stations.intake.valve.stem``), ``value`` the text as written (None where there is
    none), ``message`` says what is wrong and what is allowed, ``near`` is the nearest known name or None.
    """

    file: str
    line: int
    column: int
    key: str
    value: str | None
    message: str
    near: str | None = None

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}: " if self.line else f"{self.file}: "
        key = f"{self.key}: " if self.key else ""
        near = f" (did you mean {self.near}?)" if self.near else ""
        return f"{place}{key}{self.message}{near}"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known name most like `word` (case does not count), or None when nothing is near."""
    lowered = {name.lower(): name for name in known}
    found = difflib.get_close_matches(word.lower(), list(lowered), n=1, cutoff=0.6)
    return lowered[found[0]] if found else None


def shown(text: str, limit: int = 60) -> str:
    """A written value for a message: control and invisible characters escaped, long text cut."""
    safe = "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)
    return safe if len(safe) <= limit else safe[: limit - 3] + "..."
