"""AS12: a bushing pressed two degrees off, and how much turn the finishing cut forgives."""

import pytest

from headparts.mechanics.machining import clock_step, clock_tolerance

RADIUS, STOCK = 8.25, (10.5 - 9.5) / 2


def test_step_of_two_degrees():
    assert clock_step(RADIUS, 2.0) == pytest.approx(0.2879, abs=5e-5)


def test_tolerated_turn():
    assert clock_tolerance(RADIUS, STOCK) == pytest.approx(3.475, abs=5e-4)
    assert clock_tolerance(RADIUS, STOCK, 0.2) == pytest.approx(2.084, abs=5e-4)
    assert clock_step(RADIUS, clock_tolerance(RADIUS, STOCK)) == pytest.approx(STOCK, rel=1e-12)


def test_trap_the_difference_of_diameters_would_forgive_twice_as_much():
    assert clock_tolerance(RADIUS, 10.5 - 9.5) == pytest.approx(6.96, abs=0.01)
    assert clock_tolerance(RADIUS, 10.5 - 9.5) > 2 * clock_tolerance(RADIUS, STOCK)
