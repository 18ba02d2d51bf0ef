"""Brown, Marks' Calculations for Machine Design, example 6 (p. 136): steel shaft in a steel hub."""

import pytest

from headparts.mechanics.press_fit import contact_pressure


def test_inch_pressure():
    # printed 2100 psi because the book takes 1 - (2/3)^2 as 0.56 instead of 5/9; undo only that rounding
    exact = 2100.0 * (5 / 9) / 0.56
    assert contact_pressure(2 * 0.0005, 4.0, 0.0, 6.0, 30e6, 0.3, 30e6, 0.3) == pytest.approx(exact, rel=1e-4)


def test_si_pressure():
    # printed 12.6 MPa, three digits
    assert contact_pressure(2 * 0.010, 100.0, 0.0, 160.0, 207e3, 0.3, 207e3, 0.3) == pytest.approx(
        12.6, abs=0.05
    )
