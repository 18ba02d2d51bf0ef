"""Figures of the trade that were seen in public: guide fit of a workshop manual, arithmetic of a hobby forum.

Common practice; the makers are not named. Tolerance: the printed digits.
"""

import pytest

from headparts.mechanics.gas_flow import area_gain
from headparts.mechanics.guide import stem_clearance
from headparts.mechanics.sleeve import least_wall
from headparts.mechanics.thermal import expansion


def test_guide_and_bore_of_a_workshop_manual():
    # guide 11.023 to 11.034 in a bore 10.975 to 10.996: 0.027 to 0.059 mm interference
    assert stem_clearance(10.975, 11.034) == pytest.approx(-0.059, abs=1e-9)
    assert stem_clearance(10.975, 11.023, 0.021) == pytest.approx(-0.027, abs=1e-9)


def test_growth_of_a_20_mm_seat_at_300_k():
    # 0.1332 mm for aluminium 22.2e-6, 0.108 mm for bronze 18e-6
    assert expansion(20.0, 22.2e-6, 300.0) == pytest.approx(0.1332, abs=5e-6)
    assert expansion(20.0, 18.0e-6, 300.0) == pytest.approx(0.108, abs=5e-6)


def test_opening_a_port_from_5_5_to_6_8_gives_half_as_much_area_again():
    # common practice, no source: "about 50 %"; geometry gives 52.9 %
    assert area_gain(6.8, 5.5) == pytest.approx(0.529, abs=5e-4)


def test_sleeve_6_8_in_7_5_leaves_0_35():
    # common practice, no source
    assert least_wall(7.5, 6.8) == pytest.approx(0.35, abs=1e-9)
    # and boring from 6.8 to 7.5 takes the same off each wall behind it
    lost = (7.5 - 6.8) / 2
    assert least_wall(7.5, 6.8) == pytest.approx(lost)
