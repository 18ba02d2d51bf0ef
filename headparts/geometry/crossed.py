"""Which voids the straight line between two points runs through: a wall is metal only where it meets none."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headparts.geometry.axis import Vec
from headparts.geometry.metal import lines, stretches
from headparts.geometry.reach import covered
from headparts.geometry.void import Void


def length_inside(first: Vec, second: Vec, void: Void) -> float:
    """Length (mm) of the straight line from ``first`` to ``second`` that lies in a void, without its holes."""
    start, end = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    size = float(np.linalg.norm(end - start))
    if size == 0.0:
        return 0.0
    found = stretches(void, start[None, :], ((end - start) / size)[None, :], np.array([size]))
    low, high = (np.stack([pair[k] for pair in found]) for k in (0, 1))
    return float(covered(low, high, [(np.array([0.0]), np.array([size]))])[0])


def crossed(first: Vec, second: Vec, voids: Sequence[Void]) -> tuple[str, ...]:
    """Names of the voids that the straight line between two points runs through, the longest way first."""
    return lines([(first, second)], [("", "")], voids)[0].through
