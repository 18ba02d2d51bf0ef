"""Which voids the straight line between two points runs through: a wall is metal only where it meets none."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headparts.geometry.axis import Vec
from headparts.geometry.chords import chord, hole_chord, pieces_outside
from headparts.geometry.reach import covered
from headparts.geometry.void import Void

LEAST = 1e-6
"""A line that is in a void for less than this (mm) only touches it."""


def length_inside(first: Vec, second: Vec, void: Void) -> float:
    """Length (mm) of the straight line from ``first`` to ``second`` that lies in a void, without its holes."""
    start, end = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    size = float(np.linalg.norm(end - start))
    if size == 0.0:
        return 0.0
    points, along = start[None, :], (end - start) / size
    chords = [chord(core, points, along) for core in void.cores]
    low, high = (np.stack([pair[k] for pair in chords]) for k in (0, 1))
    holes = [hole_chord(hole, points, along) for hole in void.holes]
    pieces = pieces_outside(np.array([0.0]), np.array([size]), holes)
    return float(covered(low, high, pieces)[0])


def crossed(first: Vec, second: Vec, voids: Sequence[Void]) -> tuple[str, ...]:
    """Names of the voids that the straight line between two points runs through, the longest way first."""
    found = [(length_inside(first, second, void), void.name) for void in voids]
    return tuple(name for length, name in sorted(found, reverse=True) if length > LEAST)
