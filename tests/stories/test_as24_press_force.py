"""AS24: press force of the 26 cc pump intake bushing between low and high friction."""

import numpy as np
import pytest

from headparts.mechanics.press_fit import contact_pressure, press_force

PRESSURE = contact_pressure(0.037, 16.5, 12.6, 1.8 * 16.5, 71e3, 0.33, 125e3, 0.30)


def test_force_at_both_frictions():
    low, high = press_force(PRESSURE, 16.5, 17.0, np.array([0.08, 0.18]))
    assert low == pytest.approx(2666.0, abs=0.5)
    assert high == pytest.approx(5999.0, abs=0.5)
    assert high <= 0.7 * 10000.0


def test_trap_taking_the_web_as_the_hub_reads_too_low():
    web = contact_pressure(0.037, 16.5, 12.6, 16.5 + 2 * 1.7, 71e3, 0.33, 125e3, 0.30)
    assert press_force(web, 16.5, 17.0, 0.18) < 0.7 * press_force(PRESSURE, 16.5, 17.0, 0.18)
