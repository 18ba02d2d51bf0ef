"""Seat formulas away from 45 degrees, where sine and cosine cannot be mixed up. Figures by hand."""

import math

import pytest

from headparts.errors import ParameterError
from headparts.mechanics.gas_flow import (
    first_stage_lift,
    seat_opening_area,
    throat_area,
    throat_ruled_lift,
    valve_opening_area,
)
from headparts.mechanics.valve_seat import (
    head_underside,
    lowest_edge,
    piston_gap,
    seat_inner_diameter,
    seat_inner_edge,
    tip_place,
)


def test_seat_places_at_30_degrees():
    # cos 30 = 0.8660254, sin 30 = 0.5, tan 30 = 0.5773503
    assert seat_inner_diameter(14.0, 1.2, 30.0) == pytest.approx(14.0 - 2.4 * 0.8660254, abs=1e-6)
    assert seat_inner_edge(0.3, 1.2, 30.0) == pytest.approx(0.9, abs=1e-9)
    assert head_underside(0.3, 14.6, 14.0, 30.0, 0.9) == pytest.approx(-0.6 - 0.3 * 0.5773503, abs=1e-6)
    assert tip_place(0.3, 1.2, 30.0, 49.0) == pytest.approx(49.6, abs=1e-9)


def test_lowest_edge_and_gap_at_30_degrees_of_tilt():
    # 5 - 0.8 0.8660254 - 9 0.5; then + 1.0 + 0.4 - 2 0.8660254 less 0.05 and 0.03
    edge = lowest_edge(5.0, -0.8, 30.0, 18.0)
    assert edge == pytest.approx(0.5 - 0.6928203, abs=1e-6)
    assert piston_gap(edge, 1.0, 0.4, 2.0, 30.0, 0.05, 0.03) == pytest.approx(
        edge + 1.32 - 1.7320508, abs=1e-6
    )


@pytest.mark.parametrize("angle", [30.0, 45.0, 60.0])
@pytest.mark.parametrize("width", [0.7, 1.3])
def test_throat_takes_over_exactly_where_the_seat_reaches_its_area(angle, width):
    seat = (16.0, width, angle)
    lift = throat_ruled_lift(*seat, 14.0, 4.5)
    assert lift > first_stage_lift(width, angle)
    assert seat_opening_area(lift, *seat) == pytest.approx(throat_area(14.0, 4.5), rel=1e-12)
    below = valve_opening_area([lift * 0.99, lift * 1.01], *seat, 14.0, 4.5)
    assert below[0] < below[1] == pytest.approx(throat_area(14.0, 4.5), rel=1e-12)


def test_first_stage_by_hand_at_30_degrees():
    # frustum square to the seat from its inner edge: slant L cos b, mean diameter D - 2 w + (L/2) sin 2b
    lift, slant = 0.6, 0.6 * 0.8660254
    mean = 12.0 - 2 * 0.8 + slant * math.sin(math.radians(30.0))
    assert seat_opening_area(lift, 12.0, 0.8, 30.0) == pytest.approx(math.pi * mean * slant, rel=1e-7)


def test_second_stage_by_hand_at_60_degrees():
    # frustum from inner seat edge to outer face edge: rise L - w tan b, run w, mean diameter D - w
    slant = math.hypot(4.0 - 0.8 * math.sqrt(3.0), 0.8)
    assert seat_opening_area(4.0, 12.0, 0.8, 60.0) == pytest.approx(math.pi * 11.2 * slant, rel=1e-12)


def test_limits_of_what_is_accepted():
    assert seat_opening_area(1.0, 12.0, 5.99, 45.0) > 0
    with pytest.raises(ParameterError, match="radial_width"):
        seat_opening_area(1.0, 12.0, 6.0, 45.0)
    # the slant just reaches the end of the first stage: area = pi (D - w) w/sin b, no stem
    least = math.sqrt(4 * 11.2 * 0.8 / 0.5)
    assert throat_ruled_lift(12.0, 0.8, 30.0, least * 1.0001, 0.0) == pytest.approx(
        first_stage_lift(0.8, 30.0), rel=2e-3
    )
    with pytest.raises(ParameterError, match="throat"):
        throat_ruled_lift(12.0, 0.8, 30.0, least * 0.9999, 0.0)
