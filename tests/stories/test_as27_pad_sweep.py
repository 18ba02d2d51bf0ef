"""AS27: sideways travel of the rocker pad, square to the valve and with the pivot too low."""

import math

import pytest

from headparts.mechanics.rocker import half_sweep, pad_sweep

ARM, LIFT = 11.4, 3.2


@pytest.mark.parametrize(("low", "sweep"), [(0.0, 0.1128), (1.2, 0.3492), (3.2, 0.9469)])
def test_sweep(low, sweep):
    assert pad_sweep(ARM, low - LIFT / 2, low + LIFT / 2) == pytest.approx(sweep, abs=5e-5)
    assert half_sweep(ARM, LIFT, low, 0.0) == pytest.approx(sweep / 2, abs=5e-5)


def test_spacer_takes_up_the_rise():
    assert half_sweep(ARM, LIFT, 3.2, 2.0) == pytest.approx(0.3492 / 2, abs=5e-5)


def test_trap_the_square_formula_hides_a_low_pivot():
    square = ARM * (1 - math.cos(math.asin(LIFT / 2 / ARM)))
    assert square == pytest.approx(0.1128, abs=5e-5)
    assert pad_sweep(ARM, 3.2 - LIFT / 2, 3.2 + LIFT / 2) > 8 * square
