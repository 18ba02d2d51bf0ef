"""Circles round a valve axis and the least value of a function on them."""

from __future__ import annotations

from collections.abc import Callable
from math import tau

import numpy as np

from headparts.checks.finding import Value
from headparts.geometry.axis import Array
from headparts.plan.chamber import ChamberPlan
from headparts.plan.station import StationPlan

SAMPLES = 7200
ZOOMS = 6
STEP = 1e-6
"""By which a point is moved to see which way the chamber wall lies [mm]."""


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


def least_at(function: Callable[[Array], Array], count: int = SAMPLES) -> tuple[float, Array]:
    """Least value of a function of an angle, and that angle [rad], shape (1,)."""
    angles = turn(count)
    values = function(angles)
    best, half = float(angles[int(np.argmin(values))]), tau / count
    for _ in range(ZOOMS):
        near = np.linspace(best - half, best + half, 41)
        values = function(near)
        best, half = float(near[int(np.argmin(values))]), half / 20.0
    return float(np.min(values)), np.array([best])


def place_of(points: Array) -> tuple[float, float, float]:
    """The first of some points, shape (n, 3), as plain numbers."""
    x, y, z = points[0]
    return float(x), float(y), float(z)


def to_chamber_wall(chamber: ChamberPlan, points: Array) -> dict[str, Value]:
    """A point, shape (1, 3), and the nearest point of the chamber wall at its height, for a formula.

    The way to it is the steepest, by differences of the distance.
    """
    gap = float(chamber.wall_distance(points)[0])
    steps = STEP * np.eye(3)[:2]
    slope = np.concatenate(
        [chamber.wall_distance(points + s) - chamber.wall_distance(points - s) for s in steps]
    )
    size = float(np.linalg.norm(slope))
    way = np.append(slope / size, 0.0) if size > 0.0 else np.array([1.0, 0.0, 0.0])
    return {
        "edge_point": place_of(points),
        "wall_point": place_of(points - gap * way),
        "side": 1.0 if gap >= 0.0 else -1.0,
    }
