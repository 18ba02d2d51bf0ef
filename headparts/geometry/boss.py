"""How much of a port's circle a guide boss covers, seen along the port. Lengths in mm."""

from __future__ import annotations

import math

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.window import PortInBody

PANELS = 4000


def boss_blocking(port: PortInBody, boss_radius: float, s_low: float, s_high: float) -> float:
    """Share of the port's circle in the shadow of a boss about the valve axis, 0 to 1 (B12).

    The boss is a cylinder of ``boss_radius`` from ``s_low`` to ``s_high``; its shadow along the port is the
    strip between the two ends, each rounded by the ellipse of its circle. Midpoint sums over the width,
    error below 1e-4. Raises GeometryError for a boss without height or radius.
    """
    if not (boss_radius > 0 and s_high > s_low):
        raise GeometryError("a boss needs a positive radius and height")
    rise = math.radians(port.rise)
    edges = np.linspace(-boss_radius, boss_radius, PANELS + 1)
    v = (edges[:-1] + edges[1:]) / 2.0
    round_end = np.sqrt(boss_radius**2 - v**2) * abs(math.sin(rise))
    low = (s_low - port.foot_s) * math.cos(rise) - round_end
    high = (s_high - port.foot_s) * math.cos(rise) + round_end
    half = np.where(np.abs(v - port.miss) < port.radius, port.half_height(v), 0.0)
    covered = np.maximum(np.minimum(high, half) - np.maximum(low, -half), 0.0)
    return float(np.sum(covered) * (edges[1] - edges[0]) / (math.pi * port.radius**2))
