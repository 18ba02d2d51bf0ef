"""Do two bodies run into each other, and by how much. The inputs are never changed."""

from __future__ import annotations

from typing import Any

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.TopTools import TopTools_ListOfShape

from headparts.errors import KernelError
from headparts.solids.primitives import Vector
from headparts.solids.shapes import solids_of, wrapped
from headparts.solids.verify import bounds, volume

LEAST = 1e-9
"""Overlaps below this volume [mm3] are none."""


def boxes_meet(a: Any, b: Any) -> bool:
    """Whether the upright boxes round two shapes overlap by more than nothing."""
    (low_a, high_a), (low_b, high_b) = bounds(a), bounds(b)
    return all(max(p, q) < min(r, s) for p, q, r, s in zip(low_a, low_b, high_a, high_b, strict=True))


def common(a: Any, b: Any) -> Any:
    """What two solids have in common, as a kernel shape (perhaps an empty compound).

    Raises KernelError when the kernel could not do it.
    """
    first, second = TopTools_ListOfShape(), TopTools_ListOfShape()
    first.Append(wrapped(a))
    second.Append(wrapped(b))
    operation = BRepAlgoAPI_Common()
    operation.SetArguments(first)
    operation.SetTools(second)
    operation.SetNonDestructive(True)
    operation.Build()
    if not operation.IsDone():
        raise KernelError("the kernel could not intersect the two solids")
    return operation.Shape()


def overlap_volume(a: Any, b: Any) -> float:
    """Volume two solids share [mm3]: boxes first, then one boolean and the adaptive volume.

    Press tubes are found down to 1e-6 mm on the diameter; below about 5e-7 mm the kernel finds nothing.
    Returns exactly 0.0 for bodies that only touch.
    """
    if not boxes_meet(a, b):
        return 0.0
    total = sum(volume(piece) for piece in solids_of(common(a, b)))
    return total if total > LEAST else 0.0


def overlap_box(a: Any, b: Any) -> tuple[Vector, Vector] | None:
    """The upright box round what two solids share, lower and upper corner [mm]; None where they share nothing."""
    pieces = [bounds(piece) for piece in solids_of(common(a, b))]
    if not pieces:
        return None
    x, y, z = ((min(low[k] for low, _ in pieces), max(high[k] for _, high in pieces)) for k in range(3))
    return (x[0], y[0], z[0]), (x[1], y[1], z[1])
