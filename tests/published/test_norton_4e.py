"""Norton, Machine Design: An Integrated Approach, 4th ed., example 10-5: shaft 0.781 in, iron hub 3 in.

Printed contact pressure 15 265 psi for 0.0015 in on the diameter, E 30 and 14 Mpsi, nu 0.28 for both.
Tolerance 1 psi: the printed digits.
"""

import pytest

from headparts.mechanics.press_fit import contact_pressure


def test_example_10_5_pressure():
    assert contact_pressure(0.0015, 0.781, 0.0, 3.0, 14e6, 0.28, 30e6, 0.28) == pytest.approx(
        15265.0, abs=1.0
    )
