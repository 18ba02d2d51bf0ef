"""AS15: turning to six readings of a bore; one wide reading at the bottom leaves no size to turn."""

import numpy as np
import pytest

from headparts.mechanics.selective_fit import od_window

READINGS = [[16.508, 16.512, 16.515], [16.504, 16.509, 16.511]]
LEAST, GREATEST = 0.025, 0.040


def test_window_and_aim():
    window = od_window(READINGS, LEAST, GREATEST)
    assert (window.lower, window.upper) == pytest.approx((16.540, 16.544), abs=1e-9)
    assert window.aim == pytest.approx(16.542, abs=1e-9)
    assert window.width >= 0.003
    assert not window.is_empty


def test_one_wide_reading_empties_it():
    worn = [[16.508, 16.512, 16.521], READINGS[1]]
    window = od_window(worn, LEAST, GREATEST)
    assert window.lower == pytest.approx(16.546, abs=1e-9)
    assert window.upper == pytest.approx(16.544, abs=1e-9)
    assert window.is_empty


def test_trap_the_mean_bore_hides_the_wide_reading():
    worn = [[16.508, 16.512, 16.521], READINGS[1]]
    mean = float(np.mean(worn))
    lower, upper = mean + LEAST, mean + GREATEST
    assert lower < upper  # looks fit to turn
    assert (lower + upper) / 2 < od_window(worn, LEAST, GREATEST).lower
