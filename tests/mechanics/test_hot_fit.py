"""Fits at any temperature with bands, against grids over the bands and against golden cases worked elsewhere."""

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.guide import bore_before_press, bore_to_ream
from headparts.mechanics.hot_fit import (
    bush_temperature_for_slip,
    interference_range_at,
    letting_go_temperature,
    pressure_range_at,
    sure_head_temperature_for_slip,
)
from headparts.mechanics.thermal import assembly_slip, least_assembly_slip

HUB, BUSH = (21.1e-6, 22.7e-6), (17.0e-6, 17.8e-6)
RINGS = (16.5, 12.6, 29.7, 71e3, 0.33, 125e3, 0.30)


def lame(i, d, di, do, eh, nh, eb, nb):
    """Pressure from the movement of both walls under 1 MPa, written out anew."""
    hub = d / eh * ((do * do + d * d) / (do * do - d * d) + nh)
    bush = d / eb * ((d * d + di * di) / (d * d - di * di) - nb)
    return np.maximum(i, 0.0) / (hub + bush)


@pytest.mark.parametrize(
    ("head", "body"),
    [(180.0, 160.0), (220.0, 220.0), (-20.0, -20.0), (180.0, -18.0), (20.0, 200.0), (20.0, 20.0)],
)
def test_ranges_hold_every_point_of_the_bands(head, body):
    ah, ab, i = np.meshgrid(np.linspace(*HUB, 9), np.linspace(*BUSH, 9), np.linspace(0.010, 0.039, 5))
    grid = i + 16.5 * (ab * (body - 20.0) - ah * (head - 20.0))
    low, high = interference_range_at(0.010, 0.039, 16.5, HUB, head, BUSH, body)
    assert low == pytest.approx(np.min(grid), abs=1e-15)
    assert high == pytest.approx(np.max(grid), abs=1e-15)
    pressures = lame(grid, *RINGS)
    found = pressure_range_at(0.010, 0.039, *RINGS, HUB, head, BUSH, body)
    assert found == pytest.approx((np.min(pressures), np.max(pressures)), abs=1e-9)


def test_ranges_take_arrays():
    low, high = interference_range_at([0.01, 0.02], 0.03, 16.5, HUB, np.full((3, 1), 180.0), BUSH, 160.0)
    assert low.shape == high.shape == (3, 2)
    assert np.all(high[:, 0] == high[:, 1])
    low, high = pressure_range_at(0.01, [0.02, 0.03], *RINGS, HUB, 20.0, BUSH, 20.0)
    assert low.shape == high.shape == (2,)
    with pytest.raises(ParameterError, match=r"least.*must not exceed greatest"):
        interference_range_at(0.03, 0.029, 16.5, HUB, 20.0, BUSH, 20.0)
    assert interference_range_at(0.03, 0.03, 16.5, HUB, 20.0, BUSH, 20.0) == (0.03, 0.03)


# worked independently: bush and hub materials, diameter, outside, bore, interference, pressure at 20 degC,
# interference [um] and pressure at 150 degC, temperature of no interference
ALU = (72400.0, 0.33, 21.5e-6)
GOLDEN = [
    ("G3 aluminium bronze", 14.0, 24.0, 4.5, 0.035, 61.94, 23.90, 42.29, 429.8),
    ("G4 iron", 12.0, 24.0, 5.0, 0.035, 76.502, 18.46, 40.36, 295.2),
]


@pytest.mark.parametrize(("case", "d", "do", "di", "i", "cold", "hot_um", "hot", "zero"), GOLDEN)
def test_golden_cases_share_one_line(case, d, do, di, i, cold, hot_um, hot, zero):
    # pressure is in proportion to interference, interference falls by a straight line to the zero temperature
    assert cold * hot_um / (i * 1000) == pytest.approx(hot, rel=3e-4)
    slope = (i - hot_um / 1000) / (d * 130.0)
    assert letting_go_temperature(i, d, 21.5e-6, 21.5e-6 - slope) == pytest.approx(zero, rel=1e-3)


def test_letting_go_is_where_the_range_meets_zero():
    hub, bush = (22e-6, 22e-6), (11e-6, 11e-6)
    at = letting_go_temperature(0.04, 20.0, hub[0], bush[0])
    assert at == pytest.approx(20.0 + 0.04 / (20.0 * 11e-6), rel=1e-12)
    assert interference_range_at(0.04, 0.04, 20.0, hub, at, bush, at) == pytest.approx((0.0, 0.0), abs=1e-15)
    with pytest.raises(ParameterError, match="does not let go"):
        letting_go_temperature(0.04, 20.0, 11e-6, 11e-6)
    assert letting_go_temperature(0.0, 20.0, 11e-6, 10e-6) == 20.0


def test_cooling_alone_and_heating_alone_agree_with_the_slip():
    cold = bush_temperature_for_slip(0.015, 0.037, 16.5, 22e-6, 140.0, 17.5e-6)
    assert assembly_slip(0.037, 16.5, 22e-6, 140.0, 17.5e-6, cold) == pytest.approx(0.015, abs=1e-12)
    # by hand: (0.052/16.5 - 22e-6 120)/17.5e-6 = 29.22 K below 20
    assert cold == pytest.approx(20.0 - (0.052 / 16.5 - 22e-6 * 120.0) / 17.5e-6, rel=1e-12)
    with pytest.raises(ParameterError, match=r"slip.*heat the head"):
        bush_temperature_for_slip(0.1, 0.037, 16.5, 22e-6, 20.0, 17.5e-6)
    with pytest.raises(ParameterError, match=r"bush_cte.*above 0"):
        bush_temperature_for_slip(0.015, 0.037, 16.5, 22e-6, 140.0, 0.0)
    # absolute zero itself is still allowed: 293.15 K of 17.5e-6 on 16.5 mm
    reach = 16.5 * 17.5e-6 * 293.15
    assert bush_temperature_for_slip(reach - 1e-9, 0.0, 16.5, 22e-6, 20.0, 17.5e-6) > -273.15


def test_sure_temperature_is_the_coolest_that_never_sticks():
    at = sure_head_temperature_for_slip(0.015, 0.037, 16.5, HUB, BUSH, -18.0)
    assert least_assembly_slip(0.037, 16.5, HUB, at, BUSH, -18.0) == pytest.approx(0.015, abs=1e-12)
    assert least_assembly_slip(0.037, 16.5, HUB, at - 1.0, BUSH, -18.0) < 0.015
    warm = sure_head_temperature_for_slip(0.015, 0.037, 16.5, HUB, BUSH, 40.0)
    assert least_assembly_slip(0.037, 16.5, HUB, warm, BUSH, 40.0) == pytest.approx(0.015, abs=1e-12)


@pytest.mark.parametrize("interference", [-0.01, 0.0, 0.02, 0.04])
def test_bore_to_ream_by_halving(interference):
    d, do, eh, nh, eb, nb = 7.0, 18.0, 71e3, 0.33, 120e3, 0.34
    low, high = 5.0, 6.0
    for _ in range(60):
        bore = (low + high) / 2
        pressure = lame(interference, d, bore, do, eh, nh, eb, nb)
        closed = 2 * pressure * d * d * bore / (eb * (d * d - bore * bore))
        low, high = (bore, high) if bore - closed < 5.010 else (low, bore)
    found = bore_to_ream(4.985, 0.025, interference, d, do, eh, nh, eb, nb)
    assert found == pytest.approx(bore, abs=1e-10)
    if interference <= 0:
        assert found == pytest.approx(5.010, abs=1e-12)


def test_bore_to_ream_lies_just_above_the_plain_sum():
    # AS05 takes the closure of the bore 5.000, 15.643 um; the wider bore closes by a little more
    plain = bore_before_press(4.985, 0.025, 0.015643)
    found = bore_to_ream(4.985, 0.025, 0.030, 7.0, 18.0, 71e3, 0.33, 120e3, 0.34)
    assert 0 < found - plain < 0.0002
    assert bore_to_ream([4.985, 4.970], 0.025, 0.03, 7.0, 18.0, 71e3, 0.33, 120e3, 0.34).shape == (2,)


def test_bore_to_ream_needs_a_wall():
    with pytest.raises(ParameterError, match=r"diameter.*no wall"):
        bore_to_ream(4.985, 0.025, 0.03, 5.01, 18.0, 71e3, 0.33, 120e3, 0.34)
    with pytest.raises(ParameterError, match="diameter"):
        bore_to_ream(4.985, 0.025, 0.05, 5.02, 18.0, 71e3, 0.33, 120e3, 0.34)
    assert math.isfinite(bore_to_ream(4.985, 0.025, 0.03, 5.4, 18.0, 71e3, 0.33, 120e3, 0.34))
