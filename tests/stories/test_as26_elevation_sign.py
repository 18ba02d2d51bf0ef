"""AS26: the sign of a port's elevation. Exhaust of the 26 cc pump job: +10 leaves 1.587, -10 cuts the seat.

The edge nearest the seat lies at the throat when the port rises, at the outside when it falls.
"""

from __future__ import annotations

import math

import pytest

from headparts.geometry.axis import Axis, direction_from_elevation
from headparts.geometry.window import PortInBody, extreme_of_window

SEAT_INNER_EDGE = 0.30 + 1.10 * math.sin(math.radians(45.0))
VALVE = Axis((-9.0, -1.2, 3.3), (0, 0, 1), 34.7)


def ring(elevation):
    port = PortInBody.of(VALVE, Axis(VALVE.at(6.3), direction_from_elevation(180.0, elevation), 15.3), 4.5)
    return extreme_of_window(port, 5.3, 7.25)[0] - SEAT_INNER_EDGE


def test_rising_port_leaves_a_ring():
    assert ring(10.0) == pytest.approx(1.587, abs=0.001)


def test_falling_port_cuts_the_seat():
    assert ring(-10.0) == pytest.approx(-0.626, abs=0.001)


def test_by_hand_in_the_plane_of_both_axes():
    e = math.radians(10.0)
    assert ring(10.0) == pytest.approx(
        6.3 + 5.3 * math.tan(e) - 4.5 / math.cos(e) - SEAT_INNER_EDGE, abs=1e-9
    )
    assert ring(-10.0) == pytest.approx(
        6.3 - 7.25 * math.tan(e) - 4.5 / math.cos(e) - SEAT_INNER_EDGE, abs=1e-9
    )
