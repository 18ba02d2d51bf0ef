"""A value printed by somebody else, beside what the package finds for the same inputs.

Each module of tests/published holds one SOURCE and a row of PRINTED values; tests/house/test_printed_values.py counts
them and demands of every value a place, a tolerance finer than 1 % and a reason for it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import pytest

Seen = Literal["seen", "from memory", "common practice"]
"""seen: read in public material; from memory: not verified; common practice: no source with a name."""


@dataclass(frozen=True)
class Source:
    """Where the values of a module are printed; ``where`` says how the print was come by."""

    title: str
    edition: str
    seen: Seen
    where: str


@dataclass(frozen=True)
class Printed:
    """One printed value: its place in the source, its tolerance in its own unit and why it is that wide."""

    place: str
    quantity: str
    value: float
    unit: str
    tolerance: float
    why: str
    found: Callable[[], object]

    def __str__(self) -> str:
        return f"{self.place}: {self.quantity}"

    def check(self) -> None:
        assert self.found() == pytest.approx(self.value, abs=self.tolerance, rel=0), (
            f"{self}: printed {self.value:g} {self.unit} +- {self.tolerance:g} ({self.why})"
        )
