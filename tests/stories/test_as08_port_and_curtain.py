"""AS08: a port larger than the valve's opening gains nothing and only slows the gas."""

import pytest

from headparts.mechanics.gas_flow import (
    curtain_area,
    port_speed,
    round_area,
    seat_opening_area,
    throat_area,
    useful_port_diameter,
    valve_opening_area,
)

SEAT, THROAT = (12.6, 0.7, 45.0), (11.0, 4.0)


def test_opening_rules_at_2_2():
    opening = valve_opening_area(2.2, *SEAT, *THROAT)
    assert opening == pytest.approx(61.883, abs=5e-4)
    assert throat_area(*THROAT) == pytest.approx(82.467, abs=5e-4)
    assert useful_port_diameter(opening) == pytest.approx(8.876, abs=5e-4)


def test_larger_port_is_only_slower():
    assert round_area(10.0) == pytest.approx(78.54, abs=5e-3)
    assert round_area(13.0) == pytest.approx(132.73, abs=5e-3)
    speed = port_speed(34.0, [10.0, 13.0], 6.0)
    assert speed[1] / speed[0] == pytest.approx(0.592, abs=5e-4)


def test_trap_the_plain_curtain_is_larger_than_the_opening():
    assert curtain_area(12.6, 2.2) == pytest.approx(87.08, abs=0.01)
    assert curtain_area(12.6, 2.2) > throat_area(*THROAT) > valve_opening_area(2.2, *SEAT, *THROAT)


def test_throat_rules_from_lift_3():
    assert seat_opening_area(3.0, *SEAT) > throat_area(*THROAT)
    assert valve_opening_area([3.0, 5.0], *SEAT, *THROAT) == pytest.approx([82.467, 82.467], abs=5e-4)
