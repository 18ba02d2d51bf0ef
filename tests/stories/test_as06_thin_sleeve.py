"""AS06: a thin sleeve: wall below 0.30 when bonded, buckled as a free ring when pressed."""

import pytest

from headparts.mechanics.buckling import backed_ring_pressure, free_ring_pressure, pressure_over_buckling
from headparts.mechanics.press_fit import bush_hoop, contact_pressure, interference_for_pressure
from headparts.mechanics.sleeve import least_wall

ELASTIC = (71e3, 0.33, 70e3, 0.33)
BORE, HUB = 14.30, 20.0


def free(outer, inner):
    return free_ring_pressure((outer - inner) / 2, (outer + inner) / 4, 70e3, 0.33)


def test_bonded_sleeve_is_too_thin():
    wall = least_wall(14.24, 13.80)
    assert wall == pytest.approx(0.220, abs=1e-9)
    assert wall < 0.30


def test_pressed_sleeve_exceeds_the_free_ring():
    pressure = contact_pressure(0.020, BORE, 13.80, HUB, *ELASTIC)
    assert least_wall(14.32, 13.80) == pytest.approx(0.260, abs=1e-9)
    assert pressure == pytest.approx(3.1427, rel=1e-3)
    assert bush_hoop(pressure, BORE, 13.80) == pytest.approx(-91.5, abs=0.05)
    limit = free(14.32, 13.80)
    assert limit == pytest.approx(0.9935, abs=5e-5)
    assert pressure_over_buckling(pressure, limit) == pytest.approx(3.16, abs=0.005)


def test_trap_the_backed_ring_figure_passes():
    pressure = contact_pressure(0.020, BORE, 13.80, HUB, *ELASTIC)
    backed = backed_ring_pressure(0.26, 14.32, 70e3, 0.33)
    assert backed == pytest.approx(11.6, abs=0.05)
    assert pressure_over_buckling(pressure, backed) < 1 < pressure_over_buckling(pressure, free(14.32, 13.80))


def test_interference_that_reaches_the_free_ring_limit():
    thin = interference_for_pressure(free(14.32, 13.80), BORE, 13.80, HUB, *ELASTIC)
    thick = interference_for_pressure(free(14.32, 13.52), BORE, 13.52, HUB, *ELASTIC)
    assert thin == pytest.approx(0.0063, abs=5e-5)
    assert thick == pytest.approx(0.0159, abs=5e-5)
