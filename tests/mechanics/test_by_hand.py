"""Plain sums worked by hand, each figure so chosen that no slip of 1 % or of a sign gives the same."""

import math

import numpy as np
import pytest

from headparts.mechanics.buckling import backed_ring_pressure, free_ring_pressure
from headparts.mechanics.compression import bathtub_volume, compression_ratio, disc_volume, dome_volume
from headparts.mechanics.lash import chain_growth
from headparts.mechanics.machining import stock_left
from headparts.mechanics.rocker import circle_overlap
from headparts.mechanics.selective_fit import od_window
from headparts.mechanics.sleeve import hot_grip, least_wall
from headparts.mechanics.spring import force_ratio, installed_length, spring_force
from headparts.mechanics.thermal import gap_change
from headparts.mechanics.thick_cylinder import diameter_change, hoop_stress, radial_stress, tresca_stress
from headparts.mechanics.thread import engagement_over_diameter


def exactly(value):
    return pytest.approx(value, rel=1e-12)


def test_volumes():
    # a bore of 20 and 10 deep: 1000 pi mm3; of 30 and 4: 900 pi
    assert disc_volume([20.0, 30.0], [10.0, 4.0]) == exactly([math.pi, 0.9 * math.pi])
    assert dome_volume(12.0, 12.0) == exactly(2 / 3 * math.pi * 1.728)  # half a ball
    assert bathtub_volume(30.0, 20.0, 5.0, 10.0) == exactly(
        (10.0 * 20.0 + 100.0 * math.pi) * 5.0 / 1000
    )  # slot
    assert bathtub_volume(20.0, 30.0, 5.0, 0.0) == exactly(3.0)
    assert compression_ratio(70.0, 10.0) == 8.0
    assert compression_ratio(26.0, 4.0) == exactly(7.5)


def test_rings_that_buckle():
    # nu 0.5 - 0.1: 1 - 0.16 = 0.84; (0.02)^2.2 by logarithms
    assert backed_ring_pressure(0.3, 15.0, 84e3, 0.4) == exactly(1e5 * math.exp(2.2 * math.log(0.02)))
    assert free_ring_pressure(0.3, 6.0, 84e3, 0.4) == exactly(1e5 / 4 * 0.05**3)


def test_growth_of_a_chain():
    assert chain_growth([]) == 0.0
    assert chain_growth([(100.0, 20e-6, 50.0), (50.0, 10e-6, -20.0)]) == exactly(0.1 - 0.01)


def test_stock_of_a_turned_window():
    # 0.5 each side, less 0.1, less 10 sin 2 degrees
    assert stock_left(11.0, 10.0, 0.1, 20.0, 2.0) == exactly(0.4 - 10.0 * math.sin(math.pi / 90))
    assert stock_left(11.0, 10.0, 0.0, 20.0, 0.0) == exactly(0.5)
    assert stock_left(11.0, 10.0, 0.0, 20.0, 90.0) == exactly(-9.5)


def test_sleeve():
    assert least_wall(16.0, 15.0, -0.02, 0.03) == exactly(0.475)
    assert least_wall(16.0, 15.0, 0.01, -0.05) == exactly(0.53)
    # 0.02 of press, and 10 mm of 3e-6 more than the head over 100 K adds 0.003
    assert hot_grip(10.03, 10.01, 20e-6, 23e-6, 120.0, 10.0) == pytest.approx(0.023, abs=1e-12)
    assert hot_grip(10.03, 10.01, 20e-6, 12e-6, 70.0, 10.0) == pytest.approx(0.016, abs=1e-12)
    assert gap_change(10.0, 22e-6, 12e-6, 120.0) == exactly(0.01)
    assert gap_change(10.0, 12e-6, 22e-6, 70.0) == exactly(-0.005)


def test_spring():
    assert installed_length(50.0, 4.0, 28.0) == exactly(18.0)
    assert installed_length(50.0, 4.0, 28.0, 0.7) == exactly(17.3)
    assert installed_length(50.0, 4.0, 45.995) == pytest.approx(0.005, abs=1e-12)
    assert spring_force(20.0, 7.0, [16.0, 20.0]) == exactly([28.0, 0.0])
    assert force_ratio(30.0, 40.0) == 0.75


def test_window_of_one_size():
    window = od_window([16.5], 0.03, 0.03)
    assert (window.width, window.is_empty) == (0.0, False)
    assert window.aim == exactly(16.53)
    assert od_window([16.50, 16.51], 0.03, 0.03).is_empty


@pytest.mark.parametrize(("first", "second", "distance"), [(2.5, 2.5, 0.2), (3.0, 2.0, 1.2), (2.0, 3.1, 2.2)])
def test_overlap_of_two_holes_by_strips(first, second, distance):
    r, s = first / 2, second / 2
    angle = np.linspace(0.0, math.pi, 200_001)  # strips that grow narrow at both ends of what both share
    low, high = max(-r, distance - s), min(r, distance + s)
    x = (low + high) / 2 - (high - low) / 2 * np.cos(angle)
    height = np.sqrt(np.clip(np.minimum(r**2 - x**2, s**2 - (x - distance) ** 2), 0.0, None))
    area = np.trapezoid(2 * height * (high - low) / 2 * np.sin(angle), angle)
    assert circle_overlap(first, second, distance) == pytest.approx(
        area / (math.pi * min(r, s) ** 2), rel=1e-6
    )


def test_pressure_that_is_not_given_is_none():
    # a 3, b 5: b^2 - a^2 16, a^2 b^2/(16 r^2) at r 4 is 225/256
    assert hoop_stress(4.0, 3.0, 5.0, bore_pressure=16.0) == exactly(9.0 + 225.0 / 16.0)
    assert radial_stress(4.0, 3.0, 5.0, bore_pressure=16.0) == exactly(9.0 - 225.0 / 16.0)
    assert hoop_stress(4.0, 3.0, 5.0, outside_pressure=16.0) == exactly(-25.0 - 225.0 / 16.0)
    assert radial_stress(4.0, 3.0, 5.0, outside_pressure=16.0) == exactly(-25.0 + 225.0 / 16.0)
    assert hoop_stress(4.0, 3.0, 5.0) == radial_stress(4.0, 3.0, 5.0) == 0.0
    assert diameter_change(6.0, 6.0, 10.0, 1e5, 0.3) == 0.0
    assert diameter_change(6.0, 6.0, 10.0, 1e5, 0.3, bore_pressure=16.0) == exactly(
        6e-5 * (34.0 + 0.3 * 16.0)
    )
    assert diameter_change(6.0, 6.0, 10.0, 1e5, 0.3, outside_pressure=16.0) == exactly(6e-5 * -50.0)
    assert tresca_stress(-3.0, -7.0) == 7.0
    assert hoop_stress(0.005, 0.005, 5.0, bore_pressure=16.0) == pytest.approx(16.0, rel=1e-5)


def test_engagement():
    assert engagement_over_diameter(9.0, 6.0) == 1.5
