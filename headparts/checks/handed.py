"""What checks hand over for the formulas of measured distances: the two solids, and how the distance stands to them."""

from __future__ import annotations

from math import dist
from typing import TypedDict

from headparts.checks.finding import Point, Value
from headparts.geometry.void import Void

WITNESSED = 1e-6
"""The distance of the two points may differ from the value by this much [mm]."""


class Handed(TypedDict):
    """Arguments of `Context.judge`."""

    terms: dict[str, Value]
    variant: str
    solids: tuple[str, ...]


def between(
    value: float, at: tuple[Point, Point] | None, voids: tuple[Void, Void] | None, **more: Value
) -> Handed:
    """Terms of a least distance [mm]: sizes, starts and directions of round solids, and whether they overlap.

    The distance itself is handed over only where its two points do not tell it.
    """
    terms: dict[str, Value] = dict(more)
    for letter, void in zip("AB", voids or (), strict=False):
        terms |= _round(letter, void)
    names = tuple(void.name for void in voids or ())
    if at is None or abs(dist(*at) - abs(value)) > WITNESSED:
        return Handed(terms=terms | {"wall": value}, variant="", solids=names)
    return Handed(terms=terms, variant="overlapping" if value < 0.0 else "", solids=names)


def axes(first: Void, second: Void) -> dict[str, Value]:
    """Axes and sizes of two round solids."""
    return {**_round("A", first), **_round("B", second)}


def _round(letter: str, void: Void) -> dict[str, Value]:
    axis, radius = void.cores[0].axis, void.cores[0].radius
    if axis is None or radius is None:
        return {}
    made: dict[str, Value] = {
        f"{letter}_dia": 2.0 * radius,
        f"{letter}_from": axis.point,
        f"{letter}_along": axis.direction,
    }
    if axis.length < 1e6:
        made[f"{letter}_len"] = axis.length
    return made
