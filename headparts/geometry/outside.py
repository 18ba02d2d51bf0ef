"""The air round a finned block as a void, so that walls to the outside are plain walls.

Convex regions: beyond each side of the outline and above its top; and, between two fins, beyond each side of
the solid core. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis
from headparts.geometry.convex import Convex, box, half_space
from headparts.geometry.void import Void

SIDES = ("x-", "x+", "y-", "y+", "top")
Range = tuple[float, float]


def _check(skip: Collection[str]) -> None:
    unknown = sorted(set(skip) - set(SIDES))
    if unknown:
        raise GeometryError(f"sides are {', '.join(SIDES)}; got {', '.join(unknown)}")


def outline_sides(
    lower: Sequence[float], upper: Sequence[float], skip: Collection[str] = ()
) -> tuple[Convex, ...]:
    """Half-spaces beyond the four sides and the top of the box ``lower`` to ``upper`` (three coordinates each).

    ``skip`` leaves sides out, by name: "x-", "x+", "y-", "y+", "top".
    """
    _check(skip)
    made = []
    for name, axis, sign in (
        ("x-", 0, -1.0),
        ("x+", 0, 1.0),
        ("y-", 1, -1.0),
        ("y+", 1, 1.0),
        ("top", 2, 1.0),
    ):
        if name in skip:
            continue
        normal, point = [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]
        normal[axis], point[axis] = -sign, float(upper[axis] if sign > 0 else lower[axis])
        made.append(half_space(point, normal))
    return tuple(made)


def fin_gaps(z: Range, pitch: float, thick: float) -> list[Range]:
    """Heights of the gaps: after each fin, the first of which starts at z[0], up to z[1]."""
    if not (z[0] < z[1] and 0 < thick < pitch):
        raise GeometryError("fins need z[0] < z[1] and 0 < thick < pitch")
    gaps = []
    k = 0
    while z[0] + k * pitch + thick < z[1] - 1e-12:
        gaps.append((z[0] + k * pitch + thick, min(z[0] + (k + 1) * pitch, z[1])))
        k += 1
    return gaps


def fin_gap_boxes(
    core_x: Range, core_y: Range, z: Range, pitch: float, thick: float, skip: Collection[str] = ()
) -> tuple[Convex, ...]:
    """Air between the fins: for each gap, everything beyond each side of the core that is not skipped."""
    _check(skip)
    inf = math.inf
    made = []
    for low, high in fin_gaps(z, pitch, thick):
        sides = {
            "x-": ((-inf, -inf, low), (core_x[0], inf, high)),
            "x+": ((core_x[1], -inf, low), (inf, inf, high)),
            "y-": ((-inf, -inf, low), (inf, core_y[0], high)),
            "y+": ((-inf, core_y[1], low), (inf, inf, high)),
        }
        made += [box(*ends) for name, ends in sides.items() if name not in skip]
    return tuple(made)


def outside_void(
    lower: Sequence[float],
    upper: Sequence[float],
    core_x: Range | None = None,
    core_y: Range | None = None,
    fins: tuple[Range, float, float] | None = None,
    skip: Collection[str] = (),
    u: float = 0.0,
) -> Void:
    """The casting's outside as one void; ``fins`` = (z, pitch, thick), needs the core. ``skip``: see above."""
    cores = list(outline_sides(lower, upper, skip))
    if fins is not None:
        if core_x is None or core_y is None:
            raise GeometryError("fins need the sides of the core")
        cores += fin_gap_boxes(core_x, core_y, *fins, skip=skip)
    return Void("outside", "outside", tuple(cores), (), u)


def leaving_side(axis: Axis, lower: Sequence[float], upper: Sequence[float]) -> str | None:
    """The side of the box through which the axis, prolonged forward from its point, leaves it.

    None when it leaves through the bottom. Raises GeometryError when the axis starts outside the box.
    """
    p, d = np.asarray(axis.point), np.asarray(axis.direction)
    low, high = np.asarray(lower, dtype=float), np.asarray(upper, dtype=float)
    if np.any(p < low) or np.any(p > high):
        raise GeometryError("the axis starts outside the outline")
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = np.where(d > 0, (high - p) / d, np.where(d < 0, (low - p) / d, np.inf))
    k = int(np.argmin(reach))
    names = (("x-", "x+"), ("y-", "y+"), (None, "top"))
    return names[k][1 if d[k] > 0 else 0]


def casting_pieces(
    lower: Sequence[float],
    upper: Sequence[float],
    core_x: Range | None = None,
    core_y: Range | None = None,
    fins: tuple[Range, float, float] | None = None,
) -> tuple[Convex, ...]:
    """The whole casting as a union of boxes: its core, and each layer between two gaps as wide as the outline."""
    if fins is None or core_x is None or core_y is None:
        return (box(lower, upper),)
    gaps = fin_gaps(*fins)
    floors = [float(lower[2]), *(high for _, high in gaps)]
    roofs = [*(low for low, _ in gaps), float(upper[2])]
    layers = [
        box((lower[0], lower[1], low), (upper[0], upper[1], high))
        for low, high in zip(floors, roofs, strict=True)
        if high - low > 1e-12
    ]
    core = box((core_x[0], core_y[0], lower[2]), (core_x[1], core_y[1], upper[2]))
    return (core, *layers)
