"""Circles round a valve axis and the least value of a function on them."""

from __future__ import annotations

from collections.abc import Callable
from math import tau

import numpy as np

from headparts.geometry.axis import Array
from headparts.plan.station import StationPlan

SAMPLES = 7200
ZOOMS = 6


def circle(station: StationPlan, s: float, radius: float, angles: Array) -> Array:
    """Points of the circle of ``radius`` [mm] round the valve axis at length ``s``, shape (n, 3)."""
    station.inputs.one("axis")
    d = station.direction
    first = np.cross([0.0, 1.0, 0.0], d)
    first /= np.linalg.norm(first)
    second = np.cross(d, first)
    return np.asarray(
        station.point(s) + radius * (np.outer(np.cos(angles), first) + np.outer(np.sin(angles), second))
    )


def turn(count: int) -> Array:
    """Equal angles round a full turn [rad], shape (count,)."""
    return np.asarray(np.arange(count) * (tau / count), dtype=np.float64)


def least(function: Callable[[Array], Array], count: int = SAMPLES) -> float:
    """Least value of a function of an angle: the best of ``count`` samples, refined beside it."""
    angles = turn(count)
    values = function(angles)
    best, half = float(angles[int(np.argmin(values))]), tau / count
    for _ in range(ZOOMS):
        near = np.linspace(best - half, best + half, 41)
        values = function(near)
        best, half = float(near[int(np.argmin(values))]), half / 20.0
    return float(np.min(values))
