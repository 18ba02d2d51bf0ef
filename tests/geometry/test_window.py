"""Windows in a bushing: hand formulas, dense scans, and second ways round the same number."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis, direction_from_elevation
from headparts.geometry.quadrature import PlainBushing, plain_bushing_volume, saddle_sleeve, window_volume
from headparts.geometry.window import (
    PortInBody,
    depth_to_far_wall,
    depth_to_pass,
    extreme_of_window,
    point_height,
    roof_gap,
    window_area,
)


def test_square_port_by_hand():
    port = PortInBody(10.0, 0.0, 3.0)
    assert extreme_of_window(port, 5.0, 8.0) == pytest.approx((7.0, 13.0), abs=1e-12)
    assert roof_gap(port, 5.0, 14.5) == pytest.approx(1.5, abs=1e-12)


@pytest.mark.parametrize(("rise", "low_radius", "high_radius"), [(12.0, 6.3, 8.25), (-12.0, 8.25, 6.3)])
def test_edges_of_a_rising_port_in_its_own_plane(rise, low_radius, high_radius):
    """In the plane of both axes the edges are lines: s = foot + rho tan e -+ r / cos e."""
    port = PortInBody(7.0, rise, 5.25)
    e = math.radians(rise)
    low, high = extreme_of_window(port, 6.3, 8.25)
    assert low == pytest.approx(7 + low_radius * math.tan(e) - 5.25 / math.cos(e), abs=1e-9)
    assert high == pytest.approx(7 + high_radius * math.tan(e) + 5.25 / math.cos(e), abs=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_extremes_against_points_on_the_port(seed):
    """Points of the port's own surface, sampled densely in space, that lie between the two cylinders."""
    rng = np.random.default_rng(seed)
    valve = Axis(rng.normal(size=3) * 5, (0, 0, 1), 40)
    outward = np.array(direction_from_elevation(rng.uniform(0, 360), rng.uniform(-35, 35)))
    side = np.cross(valve.direction, outward)
    side /= np.linalg.norm(side)
    foot = np.array(valve.at(12.0)) + rng.uniform(-2, 2) * side
    axis = Axis(foot - 3 * outward, outward, 40)
    port = PortInBody.of(valve, axis, 4.0)
    assert port.foot_s == pytest.approx(12.0, abs=1e-9)
    assert port.foot_t == pytest.approx(3.0, abs=1e-9)
    low, high = extreme_of_window(port, 6.0, 8.0)
    up = np.cross(outward, side)
    q, t = np.meshgrid(np.linspace(0, 2 * math.pi, 1001), np.linspace(0, 14, 1001))
    points = foot + t[..., None] * outward + 4.0 * (np.cos(q)[..., None] * side + np.sin(q)[..., None] * up)
    points = points.reshape(-1, 3)
    rho = valve.distance_to(points)
    s = points[(rho >= 6.0) & (rho <= 8.0)][:, 2] - valve.point[2]
    assert low <= s.min() + 1e-9
    assert high >= s.max() - 1e-9
    assert s.min() - low < 0.02
    assert high - s.max() < 0.02


def test_window_area_limits():
    """A very small port makes an ellipse on a flat: pi r^2 / cos e / (1 + ...), to second order in r/rho."""
    port = PortInBody(10.0, 20.0, 0.01)
    # the cylinder's surface stands square to the horizontal: projected along the port, area = pi r^2/cos e
    assert window_area(port, 8.0) == pytest.approx(math.pi * 1e-4 / math.cos(math.radians(20)), rel=1e-5)


@pytest.mark.parametrize("miss", [0.0, 0.7])
def test_window_area_against_a_fine_sum(miss):
    port = PortInBody(10.0, 12.0, 5.25, miss)
    q = (np.arange(4_000_000) + 0.5) / 4_000_000 * math.pi - math.pi / 2
    across = 8.25 * np.sin(q) - miss
    height = 2 * np.sqrt(np.maximum(5.25**2 - across**2, 0)) / math.cos(math.radians(12))
    assert window_area(port, 8.25) == pytest.approx(float(np.mean(height)) * math.pi * 8.25, rel=1e-7)


def test_clipped_window_area():
    port = PortInBody(0.0, 0.0, 2.0)
    whole = window_area(port, 6.0)
    assert window_area(port, 6.0, (0.0, 50.0)) == pytest.approx(whole / 2, rel=1e-7)


def test_drill_depths_on_a_square_port_by_hand():
    """Port r 3 square into a throat r 5, face 20 out, 90 degree point (height 3).

    Full diameter past the side generators at x = 4: tip at 20 - 4 + 3. Far wall: the corner (v = 3, x = -4)
    is met when the corner is 4 past the axis, the tip would then be 7 past: 20 + 7; the tip alone at 20 + 5.
    """
    port = PortInBody(10.0, 0.0, 3.0)
    assert point_height(3.0, 90.0) == pytest.approx(3.0)
    assert depth_to_pass(port, 5.0, 20.0, 90.0) == pytest.approx(19.0, abs=1e-9)
    assert depth_to_far_wall(port, 5.0, 20.0, 90.0) == pytest.approx(25.0, abs=1e-9)
    # a flat drill (180 degrees) meets the wall with its corner at x = -4
    assert depth_to_far_wall(port, 5.0, 20.0, 180.0) == pytest.approx(24.0, abs=1e-9)


def test_drill_stop_of_a_rising_port():
    """Radius 5.25, 118 degree point, rise 12 degrees, throat 12.6, face 26 - 8.2 out: 17.870 and 24.638.

    Numbers of a separate calculation for the 26 cc example job (closed forms); the trap, on the axis plus
    the point's height, is 14.911.
    """
    port = PortInBody(7.0, 12.0, 5.25)
    face = (26.0 - 8.2) / math.cos(math.radians(12))
    trap = face - 6.3 / math.cos(math.radians(12)) + point_height(5.25, 118.0)
    assert trap == pytest.approx(14.911, abs=0.001)
    assert depth_to_pass(port, 6.3, face, 118.0) == pytest.approx(17.869725, abs=1e-5)
    assert depth_to_far_wall(port, 6.3, face, 118.0) == pytest.approx(
        17.8 / math.cos(math.radians(12)) + 6.3 / math.cos(math.radians(12)), abs=1e-9
    )


@pytest.mark.parametrize("rise", [0.0, 12.0, -15.0])
def test_far_wall_against_a_sampled_point(rise):
    """Push a densely sampled drill point inward: at the depth told it touches, a hair less it does not."""
    port = PortInBody(10.0, rise, 4.0, 0.4)
    e, height = math.radians(rise), point_height(4.0, 118.0)
    depth = depth_to_far_wall(port, 5.5, 20.0, 118.0)
    u, q = np.meshgrid(np.linspace(0, height, 401), np.linspace(0, 2 * math.pi, 1441))
    a = u / height * 4.0
    across, w = port.miss + a * np.sin(q), a * np.cos(q)

    def proud(tip_depth):
        t = 20.0 - tip_depth + u
        x = t * math.cos(e) - w * math.sin(e)
        return float(np.max(np.where(x < 0, np.hypot(x, across), 0.0)) - 5.5)

    assert proud(depth) == pytest.approx(0.0, abs=1e-4)
    assert proud(depth - 0.01) < 0
    assert proud(depth + 0.01) > 0


def test_revolved_volume_by_hand():
    bushing = PlainBushing(8.25, 4.0, 6.3, 2.0, 17.0, 14.0, 34.7)
    by_hand = math.pi * (8.25**2 * 17 - 6.3**2 * 14 + 16 * 17.7 - 4 * 20.7)
    assert plain_bushing_volume(bushing).value == pytest.approx(by_hand, rel=1e-12)


def test_window_volume_against_a_lattice():
    """Second route: cells of a cubic lattice inside metal and drill."""
    bushing = PlainBushing(9.5, 5.0, 7.25, 2.75, 23.0, 19.0, 49.0)
    port = PortInBody(9.5, 22.0, 6.5, 0.5)  # it marks the roof
    assert roof_gap(port, 7.25, 19.0) < 0
    step = 0.08
    x, y, s = np.meshgrid(
        np.arange(-3, 9.5, step) + step / 2,
        np.arange(-7, 7.5, step) + step / 2,
        np.arange(0, 23, step) + step / 2,
        indexing="ij",
    )
    e = math.radians(22.0)
    t = x * math.cos(e) + (s - 9.5) * math.sin(e)
    w = -x * math.sin(e) + (s - 9.5) * math.cos(e)
    drill = (t >= 0) & (w**2 + (y - 0.5) ** 2 <= 6.5**2)
    rho = np.hypot(x, y)
    metal = (rho <= 9.5) & np.where(s < 19.0, rho >= 7.25, rho >= 2.75)
    lattice = float(np.count_nonzero(drill & metal)) * step**3
    found = window_volume(bushing, port)
    assert found.value == pytest.approx(lattice, rel=2e-3)
    assert found.error < 0.01


def test_saddle_sleeve_by_hand():
    """Square sleeve OD 8, ID 6 to a saddle R 5 about the valve axis, face 20 out: generators from 5 and 3."""
    found = saddle_sleeve(PortInBody(10.0, 0.0, 4.0), 4.0, 3.0, 5.0, 20.0)
    assert (found.length_min, found.length_max) == pytest.approx((15.0, 17.0), abs=1e-9)
    # volume: ring area times 20 less the part of the saddle's cylinder inside the ring (a fine sum)
    n = 4000
    v = (np.arange(n) + 0.5) / n * 8 - 4
    chord = 2 * (np.sqrt(16 - v**2) - np.sqrt(np.maximum(9 - v**2, 0)))
    inside = float(np.sum(chord * np.sqrt(25 - v**2))) * 8 / n
    assert found.volume.value == pytest.approx(math.pi * 7 * 20 - inside, rel=1e-5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: PortInBody(0.0, 90.0, 3.0),
        lambda: PortInBody(0.0, 0.0, 0.0),
        lambda: extreme_of_window(PortInBody(0.0, 0.0, 1.0, miss=9.0), 5.0, 6.0),
        lambda: extreme_of_window(PortInBody(0.0, 0.0, 1.0), 6.0, 5.0),
        lambda: point_height(3.0, 0.0),
        lambda: PlainBushing(8.0, 9.0, 6.0, 2.0, 17.0, 14.0, 34.0),
        lambda: PlainBushing(8.0, 4.0, 6.0, 2.0, 13.0, 14.0, 34.0),
        lambda: saddle_sleeve(PortInBody(0.0, 0.0, 4.0), 4.0, 3.0, 3.9, 20.0),
        lambda: saddle_sleeve(PortInBody(0.0, 0.0, 4.0), 4.0, 3.0, 5.0, 4.0),
    ],
)
def test_impossible_sizes_are_refused(call):
    with pytest.raises(GeometryError):
        call()
