"""How far apart two bodies stand: a proven lower bound and, for bodies that are near, two points of their solids.

The lower bound comes from bodies that hold the solids: the boxes round them, and what their outlines sweep when they
are turned, which are convex pieces whose distance is proven without the kernel. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from headparts.parts.part import Part, Vector

if TYPE_CHECKING:
    from headparts.geometry.void import Void

NEAR = 5.0
"""Bodies whose boxes are farther apart than this are not measured: the boxes' distance is enough (mm)."""
BOX_SLACK = 1e-6
"""How much a body may stand out of the box that the kernel gives (mm)."""


@dataclass(frozen=True)
class Clearance:
    """What is known of the least distance of two bodies (mm).

    lower : proven; 0 where nothing better is. upper : distance of two points of the solids, None: not measured.
    at : those two points. method : how the bounds were found.
    """

    lower: float
    upper: float | None
    at: tuple[Vector, Vector] | None
    method: str

    @property
    def proven(self) -> bool:
        """Whether the two bounds meet within 3e-6 mm."""
        return self.upper is not None and self.upper - self.lower <= 3.0 * BOX_SLACK


def clearance(
    a: Part,
    b: Part,
    solids: tuple[Any, Any],
    known: float | None = None,
    at_least: float = 0.0,
    envelopes: Mapping[str, Void] | None = None,
) -> Clearance:
    """Clearance of two parts that do not overlap.

    Parameters
    ----------
    solids : the two solids in their places; they are not changed.
    known : the clearance by its own closed form, where there is one: then nothing is measured.
    at_least : a lower bound that is known.
    envelopes : by name of a part, a ``Void`` in the world that holds it; else its outline is turned.

    Raises KernelError when the kernel finds no distance.
    """
    from headparts.solids.distance import least_distance
    from headparts.solids.verify import bounds

    if known is not None:
        return Clearance(known, known, None, "closed form")
    boxes = bounds(solids[0]), bounds(solids[1])
    apart = max(0.0, box_gap(*boxes) - BOX_SLACK)
    if apart > NEAR:
        return Clearance(apart, None, None, "boxes")
    found = least_distance(*solids, starts=0)
    if found.value == 0.0:
        return Clearance(0.0, 0.0, found.at, "the solids touch")
    held = [
        (envelopes or {}).get(part.name) or envelope(part) or _boxed(part, box)
        for part, box in zip((a, b), boxes, strict=True)
    ]
    lower = max(apart, at_least, _held_apart(*held))
    return Clearance(min(lower, found.value), found.value, found.at, "points of the solids, polished")


def box_gap(a: tuple[Vector, Vector], b: tuple[Vector, Vector]) -> float:
    """Distance of two upright boxes, each its lower and upper corner; 0 where they meet.

    >>> box_gap(((0, 0, 0), (1, 1, 1)), ((4, 5, 0), (6, 6, 1)))
    5.0
    """
    gaps = [
        max(0.0, low_b - high_a, low_a - high_b)
        for low_a, high_a, low_b, high_b in zip(a[0], a[1], b[0], b[1], strict=True)
    ]
    return float(sum(gap * gap for gap in gaps) ** 0.5)


def envelope(part: Part) -> Void | None:
    """What the outline of a part sweeps about its z axis, in the world, bores filled; None without an outline."""
    import numpy as np

    from headparts.geometry.convex import frustum
    from headparts.geometry.void import Void

    if part.outline is None:
        return None
    origin, z = np.asarray(part.placement.origin), np.asarray(part.placement.z)
    cores = []
    for (r0, s0), (r1, s1) in zip(part.outline, [*part.outline[1:], part.outline[0]], strict=True):
        low, high, start, end = (s0, s1, r0, r1) if s0 <= s1 else (s1, s0, r1, r0)
        if high - low > 1e-9 and max(start, end) > 0.0:
            cores.append(frustum(origin + low * z, z, start, end, high - low))
    return Void(part.name, "moving", tuple(cores))


def _boxed(part: Part, corners: tuple[Vector, Vector]) -> Void | None:
    """The box round a part; None for a head, which other bodies stand in."""
    from headparts.geometry.convex import box
    from headparts.geometry.void import Void

    if part.proof is not None:
        return None
    low, high = (
        [x + sign * BOX_SLACK for x in corner] for sign, corner in zip((-1, 1), corners, strict=True)
    )
    return Void(part.name, "moving", (box(low, high),))


def _held_apart(first: Void | None, second: Void | None) -> float:
    """Proven distance of the bodies that hold two parts; 0 where these overlap or are not known."""
    from headparts.geometry.distance import wall

    if first is None or second is None:
        return 0.0
    return max(0.0, wall(first, second).lower)
