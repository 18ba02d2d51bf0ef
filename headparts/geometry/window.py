"""Window of a port in a bushing: edges, area on the outside, and what the drill point meets.

Everything is told in the valve's frame: s along the valve axis, the port rising from the valve axis (or
past it by ``miss``) at an angle to it, drilled outward to one side only. On a coaxial cylinder of radius
rho the port's edge is s = foot_s + (x sin e -+ sqrt(r^2 - (v - miss)^2))/cos e, with v across the port,
x = sqrt(rho^2 - v^2) outward and e the rise above the plane square to the valve axis (plane trigonometry).
Lengths in mm, areas in mm2.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from headparts.errors import GeometryError
from headparts.geometry.axis import Array, Axis, common_perpendicular

ZOOMS = 11
"""Each narrows the interval to a twentieth: after these it is below the spacing of floating numbers."""
PANELS = 64


@dataclass(frozen=True)
class PortInBody:
    """A port seen from its valve axis.

    ``foot_s``: s of the foot of the common perpendicular; ``rise``: degrees above the plane square to the
    valve axis (+ toward the rocker); ``radius`` of the port; ``miss``: sideways distance of the port axis
    from the valve axis (>= 0); ``foot_t``: where the foot lies along the port's own axis.
    """

    foot_s: float
    rise: float
    radius: float
    miss: float = 0.0
    foot_t: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.radius) and self.radius > 0):
            raise GeometryError(f"the port radius must be positive, got {self.radius!r}")
        if not abs(self.rise) < 89.0:
            raise GeometryError(f"the port must not run along the valve axis (rise {self.rise!r} degrees)")

    @classmethod
    def of(cls, valve: Axis, port: Axis, radius: float) -> PortInBody:
        """From the two axes; the port's axis must point outward."""
        gap, _, foot_s, foot_t = common_perpendicular(valve, port)
        sine = float(np.asarray(valve.direction) @ np.asarray(port.direction))
        return cls(foot_s, math.degrees(math.asin(max(-1.0, min(1.0, sine)))), radius, gap, foot_t)

    def half_height(self, v: ArrayLike) -> Array:
        """sqrt(r^2 - (v - miss)^2): half the port's height across v, shape of v (0 outside the port)."""
        across = np.asarray(v, dtype=float) - self.miss
        return np.asarray(np.sqrt(np.maximum((self.radius - across) * (self.radius + across), 0.0)))

    def edge(self, v: ArrayLike, rho: ArrayLike, side: float) -> Array:
        """s of the window's lower (side -1) or upper (+1) edge at v on the cylinder of radius rho."""
        e = math.radians(self.rise)
        x = np.sqrt(np.maximum(np.asarray(rho, dtype=float) ** 2 - np.asarray(v, dtype=float) ** 2, 0.0))
        return np.asarray(self.foot_s + (x * math.sin(e) + side * self.half_height(v)) / math.cos(e))


def greatest(function: Callable[[Array], Array], low: float, high: float) -> float:
    """Greatest value over [low, high]: 2001 points, then zooms round the three best, all three at once."""
    grid = np.linspace(low, high, 2001)
    values = function(grid)
    best = float(values.max())
    top, rows = np.argsort(values)[-3:], np.arange(3)
    a, b = grid[np.maximum(top - 1, 0)], grid[np.minimum(top + 1, 2000)]
    for _ in range(ZOOMS):
        fine = np.linspace(a, b, 41, axis=-1)
        inner = function(fine)
        j = np.argmax(inner, axis=-1)
        best = max(best, float(inner[rows, j].max()))
        a, b = fine[rows, np.maximum(j - 1, 0)], fine[rows, np.minimum(j + 1, 40)]
    return best


def _check_radii(r_in: float, r_out: float) -> None:
    if not 0 < r_in <= r_out < math.inf:
        raise GeometryError(f"window radii need 0 < inner <= outer, got {r_in!r} and {r_out!r}")


def _span(port: PortInBody, rho: float) -> tuple[float, float]:
    low, high = max(port.miss - port.radius, -rho), min(port.miss + port.radius, rho)
    if low >= high:
        raise GeometryError("the port does not meet the cylinder: it passes beside it")
    return low, high


def extreme_of_window(port: PortInBody, r_in: float, r_out: float) -> tuple[float, float]:
    """Lowest and highest s of the window on any coaxial cylinder of radius r_in to r_out (B05, B06).

    Only the side that the port is drilled to. Accuracy about 1e-12 of the sizes. Raises GeometryError when
    the port passes beside the body.
    """
    _check_radii(r_in, r_out)
    low, high = math.inf, -math.inf
    for rho in (r_in, r_out):  # for one v the edge runs monotonically with rho
        try:
            a, b = _span(port, rho)
        except GeometryError:
            if rho == r_out:
                raise
            continue
        low = min(low, -greatest(lambda v, rho=rho: -port.edge(v, rho, -1.0), a, b))  # type: ignore[misc]
        high = max(high, greatest(lambda v, rho=rho: port.edge(v, rho, 1.0), a, b))  # type: ignore[misc]
    a, b = _span(port, r_out)
    for start, stop in ((max(a, r_in), b), (a, min(b, -r_in))):  # the rim x = 0 between the two radii
        if start < stop:
            low = min(low, -greatest(lambda v: -port.edge(v, np.abs(v), -1.0), start, stop))
            high = max(high, greatest(lambda v: port.edge(v, np.abs(v), 1.0), start, stop))
    return low, high


def window_area(port: PortInBody, rho: float, s_range: tuple[float, float] = (-math.inf, math.inf)) -> float:
    """Area (mm2) of the window on the coaxial cylinder of radius ``rho`` between two values of s (B14).

    Without clipping the error is below 1e-10 relative for a port narrower than the cylinder.
    """
    _check_radii(rho, rho)
    a, b = _span(port, rho)
    nodes, weights = _gauss()
    centre, half, panel = (a + b) / 2, (b - a) / 2, math.pi / 2 / PANELS
    theta = (np.linspace(-math.pi / 2, math.pi / 2, PANELS + 1)[:-1, None] + panel) + panel * nodes
    v = centre + half * np.sin(theta)
    low, high = np.clip(port.edge(v, rho, -1.0), *s_range), np.clip(port.edge(v, rho, 1.0), *s_range)
    x = np.sqrt(np.maximum((rho - v) * (rho + v), 1e-300))
    return float(np.sum((high - low) * rho / x * half * np.cos(theta) @ weights)) * panel


@cache
def _gauss() -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(64)
    return np.asarray(nodes), np.asarray(weights)


def roof_gap(port: PortInBody, throat_radius: float, roof_s: float) -> float:
    """roof_s - highest window edge at the throat radius (P06); negative: the drill marks the bowl roof."""
    return roof_s - extreme_of_window(port, throat_radius, throat_radius)[1]


def point_height(radius: float, point_angle: float) -> float:
    """Height (mm) of a drill point of full angle ``point_angle`` (degrees) at this radius."""
    if not 0 < point_angle <= 180:
        raise GeometryError(f"a drill point angle lies between 0 and 180 degrees, got {point_angle!r}")
    return radius / math.tan(math.radians(point_angle / 2)) if point_angle < 180 else 0.0


def depth_to_pass(port: PortInBody, throat_radius: float, face_t: float, point_angle: float) -> float:
    """Depth of the drill's tip below the face when its full diameter has left the inner wall (P06, AS11).

    ``face_t``: where the face lies along the port's axis from the axis' point (mm). The last metal to be cut
    lies on the window's edge at the throat radius, near the side generators.
    """
    e = math.radians(port.rise)
    a, b = _span(port, throat_radius)

    def nearest(v: Array) -> Array:
        x = np.sqrt(np.maximum(throat_radius**2 - v**2, 0.0))
        return np.asarray(-(x / math.cos(e) - abs(math.tan(e)) * port.half_height(v)))

    least_t = -greatest(nearest, a, b)
    return face_t - port.foot_t - least_t + point_height(port.radius, point_angle)


def depth_to_far_wall(port: PortInBody, throat_radius: float, face_t: float, point_angle: float) -> float:
    """Depth of the tip below the face when any part of the point first meets the far side of the throat.

    The contact of a convex point with a hollow wall is on its tip or on its corner circle (P06, AS11).
    """
    e = math.radians(port.rise)
    height = point_height(port.radius, point_angle)

    def tip_at_contact(v: Array, w: Array, u: float) -> Array:
        x = np.sqrt(np.maximum(throat_radius**2 - (port.miss + v) ** 2, 0.0))
        return np.asarray((-x + w * math.sin(e)) / math.cos(e) - u)

    tip = float(tip_at_contact(np.zeros(1), np.zeros(1), 0.0)[0])
    corner = greatest(
        lambda q: tip_at_contact(port.radius * np.sin(q), port.radius * np.cos(q), height), -math.pi, math.pi
    )
    return face_t - port.foot_t - max(tip, corner)
