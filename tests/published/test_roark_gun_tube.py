"""Roark's Formulas for Stress and Strain, chapter on thick cylinders, gun tube with jacket (values from
memory).

Tube radii 1.605 and 2.425 in, jacket to 3.850 in, 7600 psi between them. Printed -27 040 psi, 17 630 psi,
0.003 in. Tolerance 0.25 %: three to four printed digits.
"""

import pytest

from headparts.mechanics.press_fit import interference_for_pressure
from headparts.mechanics.thick_cylinder import diameter_change, hoop_stress


def test_tube_and_jacket():
    assert hoop_stress(1.605, 1.605, 2.425, outside_pressure=7600.0) == pytest.approx(-27040.0, rel=1e-3)
    assert hoop_stress(2.425, 2.425, 3.850, bore_pressure=7600.0) == pytest.approx(17630.0, rel=2.5e-3)


def test_radial_interference_by_two_routes():
    growth = diameter_change(4.85, 4.85, 7.70, 30e6, 0.3, bore_pressure=7600.0)
    shrinking = diameter_change(4.85, 3.21, 4.85, 30e6, 0.3, outside_pressure=7600.0)
    assert (growth - shrinking) / 2 == pytest.approx(0.003, rel=2.5e-3)
    whole = interference_for_pressure(7600.0, 4.85, 3.21, 7.70, 30e6, 0.3, 30e6, 0.3)
    assert whole == pytest.approx(growth - shrinking, rel=1e-12)
