"""Whether two voids that overlap as drawn still do after every motion up to a given size. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from headparts.geometry.axis import Array, Vec
from headparts.geometry.void import Void

TRIED = 33


def stay_joined(voids: tuple[Void, Void], at: tuple[Vec, Vec], most: Callable[[int, Array], float]) -> bool:
    """Whether a point between ``at`` lies so deep in both voids that no motion takes either off it.

    ``most(side, point)``: by how much void ``side`` can move there at most [mm]. A void that is cut wider holds the
    point all the more. True is a proof, False is none.
    """
    ends = np.asarray(at, dtype=float)
    for share in np.linspace(0.0, 1.0, TRIED):
        point = (1.0 - share) * ends[0] + share * ends[1]
        if all(_depth(void, point) > most(side, point) for side, void in enumerate(voids)):
            return True
    return False


def _depth(void: Void, point: Array) -> float:
    """A sure lower bound of how deep a point lies in a void [mm]; negative outside."""
    inside = max(-float(core.violation(point)) for core in void.cores)
    return min([inside, *(-float(hole.depth(point)) for hole in void.holes)])
