"""Laying one body on another by three points: a rigid motion, never a scaling. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array


@dataclass(frozen=True)
class Motion:
    """x becomes ``turn`` (3, 3) x + ``shift`` (3,); ``residuals``: how far each of three points is off [mm]."""

    turn: Array
    shift: Array
    residuals: tuple[float, float, float]

    @property
    def off(self) -> float:
        """The largest residual [mm]."""
        return max(self.residuals)


def by_three_points(pairs: Sequence[tuple[Sequence[float], Sequence[float]]]) -> Motion:
    """The motion that lays the first of each pair on the second.

    The first point falls on the first, the second on the line to the second, the third into the half-plane of
    the third (residuals are what is left; the lengths differ by them). Raises GeometryError for three points
    on one line.
    """
    source, target = (np.array([pair[k] for pair in pairs], dtype=float) for k in (0, 1))
    turn = _frame(target).T @ _frame(source)
    shift = target[0] - turn @ source[0]
    left = np.linalg.norm(source @ turn.T + shift - target, axis=1)
    return Motion(turn, shift, (float(left[0]), float(left[1]), float(left[2])))


def _frame(points: Array) -> Array:
    """Rows: direction from the first point to the second, toward the third square to it, and their normal."""
    along, aside = points[1] - points[0], points[2] - points[0]
    square = np.cross(along, aside)
    if np.linalg.norm(square) < 1e-9 * max(1.0, float(np.linalg.norm(along) * np.linalg.norm(aside))):
        raise GeometryError("three points on one line do not place a body")
    x, z = along / np.linalg.norm(along), square / np.linalg.norm(square)
    return np.array([x, np.cross(z, x), z])
