"""Volumes by rays against closed forms: the second route must itself be right."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.bodies import Box, Cut, Cylinder
from headparts.geometry.rays import drilled_from_turned, volume_left
from headparts.parts.outline import turned_volume

TUBE = [(6.0, 0.0), (8.0, 0.0), (8.0, 20.0), (6.0, 20.0)]


def _pierced_tube(drill: float, radius: float) -> float:
    """Volume a drill takes from one wall of a long tube it crosses at right angles, by Simpson's rule.

    Cylinder of radius a through a half cylinder R: integral of 2 sqrt(a^2 - z^2) ... in the drill's own
    section: depth sqrt(R^2 - y^2) over the disc y^2 + z^2 <= a^2.
    """
    n = 20000
    theta = (np.arange(n) + 0.5) * math.pi / n
    y = drill * np.cos(theta)
    return float(np.mean(np.sqrt(radius**2 - y * y) * 2.0 * (drill * np.sin(theta)) ** 2) * math.pi)


def test_a_square_window_in_closed_form() -> None:
    exact = _pierced_tube(3.0, 8.0) - _pierced_tube(3.0, 6.0)
    assert drilled_from_turned(TUBE, (0.0, 0.0, 10.0), 0.0, 3.0) == pytest.approx(exact, rel=1e-7)


def test_a_slanting_window_takes_more_by_the_cosine() -> None:
    """A long tube is the same all along: shear along z leaves the section's depth over cos rise."""
    rise = math.radians(20.0)
    n = 400
    nodes = (np.arange(n) + 0.5) / n
    rho = 3.0 * np.sqrt(nodes)[:, None]
    theta = (np.arange(2 * n) * math.pi / n)[None, :]
    across, up = rho * np.cos(theta), rho * np.sin(theta)
    aside = np.sqrt(64.0 - across**2) - np.sqrt(36.0 - across**2)
    exact = float(np.mean(aside + 0.0 * up)) * math.pi * 9.0 / math.cos(rise)
    assert drilled_from_turned(TUBE, (0.0, 0.0, 10.0), rise, 3.0) == pytest.approx(exact, rel=1e-5)


def test_what_is_spared_is_not_counted() -> None:
    solid = [(0.0, 0.0), (8.0, 0.0), (8.0, 20.0), (0.0, 20.0)]
    exact = _pierced_tube(3.0, 8.0) - _pierced_tube(3.0, 5.0)
    found = drilled_from_turned(solid, (0.0, 0.0, 10.0), 0.0, 3.0, spared_radius=5.0)
    assert found == pytest.approx(exact, rel=1e-5)


def test_turned_volume_in_closed_form() -> None:
    assert turned_volume(TUBE) == pytest.approx(math.pi * (64.0 - 36.0) * 20.0, rel=1e-12)
    cone = [(0.0, 0.0), (3.0, 0.0), (0.0, 4.0)]
    assert turned_volume(cone) == pytest.approx(math.pi / 3.0 * 9.0 * 4.0, rel=1e-12)


@pytest.mark.parametrize("rays", [20_000, 80_000])
def test_volume_left_converges(rays: int) -> None:
    """A block with two crossing holes; the crossing of equal cylinders is 16/3 r^3 (Steinmetz)."""
    block = Box((-20.0, -15.0, 0.0), (20.0, 15.0, 25.0))
    tools = [
        Cut(Cylinder((0.0, -16.0, 12.0), (0.0, 1.0, 0.0), 4.0, 32.0)),
        Cut(Cylinder((-21.0, 0.0, 12.0), (1.0, 0.0, 0.0), 4.0, 42.0)),
    ]
    exact = 40.0 * 30.0 * 25.0 - math.pi * 16.0 * 70.0 + 16.0 / 3.0 * 64.0
    corners = np.array([[x, y, z] for x in (-20, 20) for y in (-15, 15) for z in (0, 25)], dtype=float)
    found, spread = volume_left(block, tools, corners, rays)
    assert found == pytest.approx(exact, rel=4e-5 if rays > 50_000 else 2e-4)
    assert abs(found - exact) <= 2.0 * spread + 3e-5 * exact
