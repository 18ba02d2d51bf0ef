"""Heywood, Internal Combustion Engine Fundamentals, sec. 6.3.2: valve opening in three stages (formula from
memory).

No printed numbers were at hand; the second route is a numeric search for the least frustum between seat and
valve, done here without the formulas. Case: D 17, w 1, 45 deg, throat 15, stem 4.5. The figures in the table
were worked by an independent script; tolerance half of the last digit.
"""

import numpy as np
import pytest

from headparts.mechanics.gas_flow import (
    curtain_area,
    first_stage_lift,
    seat_opening_area,
    throat_area,
    throat_ruled_lift,
    valve_opening_area,
)

SEAT, THROAT = (17.0, 1.0, 45.0), (15.0, 4.5)


@pytest.mark.parametrize(
    ("lift", "area"),
    [(0.5, 16.9385), (1.0, 34.4323), (1.5, 52.4816), (2.0, 71.0861), (2.5, 90.6174), (3.0, 112.397),
     (3.5, 135.344), (4.0, 158.953), (5.0, 160.810)],
)  # fmt: skip
def test_worked_table(lift, area):
    assert valve_opening_area(lift, *SEAT, *THROAT) == pytest.approx(area, rel=5e-6)


def test_stage_ends():
    assert first_stage_lift(1.0, 45.0) == pytest.approx(2.0, rel=1e-12)
    assert throat_ruled_lift(*SEAT, *THROAT) == pytest.approx(4.039, abs=5e-4)
    assert seat_opening_area(throat_ruled_lift(*SEAT, *THROAT), *SEAT) == pytest.approx(throat_area(*THROAT))


@pytest.mark.parametrize("angle", [30.0, 45.0, 60.0])
def test_stages_join_without_a_step(angle):
    end = first_stage_lift(0.8, angle)
    below, above = seat_opening_area([end * (1 - 1e-9), end * (1 + 1e-9)], 14.0, 0.8, angle)
    assert below == pytest.approx(above, rel=1e-7)


def least_frustum(lift, outer, width, angle):
    """Least area of a cone frustum from any point of the seat to any point of the lifted face, by search."""
    slope = np.tan(np.radians(angle))
    radii = np.linspace(outer / 2 - width, outer / 2, 1501)
    seat, face = np.meshgrid(radii, radii)
    height = (
        lift + (seat - face) * slope
    )  # the seat rises towards the throat, so the face stands lower further in
    return float(np.min(np.pi * (seat + face) * np.hypot(seat - face, height)))


@pytest.mark.parametrize("lift", [0.3, 0.8, 1.5, 1.9])
def test_first_stage_against_a_search(lift):
    # Heywood's frustum starts at the seat's inner edge; the least one is nearly the same: 0.1 to 0.4 %
    found = least_frustum(lift, *SEAT)
    assert found <= seat_opening_area(lift, *SEAT) * (1 + 1e-6)
    assert found == pytest.approx(seat_opening_area(lift, *SEAT), rel=4e-3)


@pytest.mark.parametrize("lift", [2.5, 3.0, 3.5])
def test_second_stage_against_a_search(lift):
    # Heywood's mean diameter D - w is exact for the frustum from inner seat edge to outer face edge
    assert least_frustum(lift, *SEAT) == pytest.approx(seat_opening_area(lift, *SEAT), rel=1e-3)


def test_curtain_equals_head_area_at_a_quarter_of_the_diameter():
    assert curtain_area(17.0, 17.0 / 4) == pytest.approx(np.pi / 4 * 17.0**2, rel=1e-12)
