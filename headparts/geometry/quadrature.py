"""Volumes and lengths of the plain bushing and of the saddle-ended sleeve, without a CAD kernel.

Both are sums over lines parallel to the port's axis, whose stretches in metal have closed-form ends. Second
route for the solids, and the only one when no solid is asked for. mm, mm2, mm3.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.axis import Array
from headparts.geometry.window import PortInBody, greatest


@dataclass(frozen=True)
class Volume:
    """``value`` mm3 and ``error``: the change from a quadrature of half the density."""

    value: float
    error: float


@dataclass(frozen=True)
class PlainBushing:
    """Plain bushing as turned and bored, before leads, relief, seat cuts, boss and chamfers.

    Radii and lengths in mm; s along the valve axis: body from ``face_s`` to ``body_end_s``, shank from there
    to ``top_s``, throat up to ``roof_s``, guide bore above it.
    """

    body_radius: float
    shank_radius: float
    throat_radius: float
    guide_radius: float
    body_end_s: float
    roof_s: float
    top_s: float
    face_s: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.guide_radius < min(self.shank_radius, self.throat_radius):
            raise GeometryError("a bushing needs 0 < guide radius < shank radius and throat radius")
        if not max(self.shank_radius, self.throat_radius) < self.body_radius:
            raise GeometryError("shank and throat must be smaller than the body")
        if not self.face_s < self.roof_s <= self.body_end_s < self.top_s:
            raise GeometryError("a bushing needs face < roof <= end of the body < top along the valve axis")

    def bands(self) -> tuple[tuple[float, float, float, float], ...]:
        """(s from, s to, inner radius, outer radius) of the rings of metal."""
        return (
            (self.face_s, self.roof_s, self.throat_radius, self.body_radius),
            (self.roof_s, self.body_end_s, self.guide_radius, self.body_radius),
            (self.body_end_s, self.top_s, self.guide_radius, self.shank_radius),
        )

    @property
    def revolved_volume(self) -> float:
        """Volume before the window is cut."""
        return math.pi * sum((b - a) * (outer**2 - inner**2) for a, b, inner, outer in self.bands())


def window_volume(bushing: PlainBushing, port: PortInBody) -> Volume:
    """Metal (mm3) that the port's drill takes out of the plain bushing, run from the port's foot outward."""
    fine, coarse = (_window_sum(bushing, port, k) for k in (3, 2))
    return Volume(fine, abs(fine - coarse))


def plain_bushing_volume(bushing: PlainBushing, port: PortInBody | None = None) -> Volume:
    """Volume (mm3) of the plain bushing, with its window when a port is given (AS28)."""
    if port is None:
        return Volume(bushing.revolved_volume, 0.0)
    cut = window_volume(bushing, port)
    return Volume(bushing.revolved_volume - cut.value, cut.error)


def _disc(radius: float, inner: float, rings: int, spokes: int) -> tuple[Array, Array, Array]:
    """Points (v, w) and weights (mm2) over a ring-shaped disc."""
    nodes, weights = np.polynomial.legendre.leggauss(rings)
    # rho^2 as variable: equal areas
    square = inner**2 + (radius**2 - inner**2) * (nodes + 1) / 2
    angle = (np.arange(spokes) + 0.5) * 2 * math.pi / spokes
    rho = np.sqrt(square)[:, None]
    area = (weights * (radius**2 - inner**2) / 4)[:, None] * np.full(spokes, 2 * math.pi / spokes)
    return (rho * np.sin(angle)).ravel(), (rho * np.cos(angle)).ravel(), area.ravel()


def _window_sum(bushing: PlainBushing, port: PortInBody, density: int) -> float:
    v, w, area = _disc(port.radius, 0.0, 40 * density, 80 * density)
    e = math.radians(port.rise)
    sine, cosine = math.sin(e), math.cos(e)
    y, x0, s0 = port.miss + v, -w * sine, port.foot_s + w * cosine
    total = np.zeros(len(v))
    for a, b, inner, outer in bushing.bands():
        low, high = np.zeros(len(v)), np.full(len(v), np.inf)
        if abs(sine) < 1e-14:
            miss = (s0 < a) | (s0 > b)
            high = np.where(miss, -np.inf, high)
        else:
            ends = np.sort(np.stack([(a - s0) / sine, (b - s0) / sine]), axis=0)
            low, high = np.maximum(low, ends[0]), np.minimum(high, ends[1])
        out0, out1 = _in_circle(x0, y, cosine, outer)
        low, high = np.maximum(low, out0), np.minimum(high, out1)
        in0, in1 = _in_circle(x0, y, cosine, inner)
        inside = np.maximum(np.minimum(high, in1) - np.maximum(low, in0), 0.0)
        total += np.maximum(high - low, 0.0) - inside
    return float(total @ area)


def _in_circle(x0: Array, y: Array, cosine: float, radius: float) -> tuple[Array, Array]:
    """Stretch of x = x0 + t cosine, y with x^2 + y^2 <= radius^2."""
    room = radius**2 - y**2
    half = np.sqrt(np.maximum(room, 0.0))
    low, high = (-half - x0) / cosine, (half - x0) / cosine
    return np.where(room > 0, low, np.inf), np.where(room > 0, high, -np.inf)


@dataclass(frozen=True)
class SaddleSleeve:
    """Sleeve lengths and volume: generators from the saddle to the flush outer end.

    ``length_min``, ``length_max`` over the outside (mm), ``saddle_t_min``, ``saddle_t_max``: where these
    generators begin along the port from its foot; ``volume`` mm3.
    """

    length_min: float
    length_max: float
    saddle_t_min: float
    saddle_t_max: float
    volume: Volume


def saddle_sleeve(
    port: PortInBody, outer_radius: float, inner_radius: float, saddle_radius: float, face_t: float
) -> SaddleSleeve:
    """A sleeve in the port whose inner end is trimmed to a cylinder about the valve axis (AS29).

    ``port.radius`` is not used; ``face_t``: the outer end along the port's axis from the axis' point.
    Raises GeometryError when the saddle is narrower than the sleeve or the outer end lies inside it.
    """
    if not 0 < inner_radius < outer_radius:
        raise GeometryError("a sleeve needs 0 < inner radius < outer radius")
    if saddle_radius <= outer_radius + port.miss:
        raise GeometryError("the saddle radius must exceed the sleeve's outer radius (plus the axis miss)")
    face = face_t - port.foot_t
    e = math.radians(port.rise)

    def saddle(v: Array, w: Array) -> Array:
        x = np.sqrt(saddle_radius**2 - (port.miss + v) ** 2)
        return np.asarray((x + w * math.sin(e)) / math.cos(e))

    highest = greatest(
        lambda q: saddle(outer_radius * np.sin(q), outer_radius * np.cos(q)), -math.pi, math.pi
    )
    lowest = -greatest(
        lambda q: -saddle(outer_radius * np.sin(q), outer_radius * np.cos(q)), -math.pi, math.pi
    )
    if highest >= face:
        raise GeometryError("the sleeve's outer end lies inside its saddle")
    sums = []
    for density in (2, 1):
        v, w, area = _disc(outer_radius, inner_radius, 16 * density, 128 * density)
        sums.append(float((face - saddle(v, w)) @ area))
    return SaddleSleeve(
        face - highest, face - lowest, lowest, highest, Volume(sums[0], abs(sums[0] - sums[1]))
    )
