"""AS02: a port and an oil gallery cross in plan, and yet 3.270 mm of metal lie between them (closed form)."""

from __future__ import annotations

import math

import pytest

from headparts.geometry.axis import Axis, common_perpendicular, direction_from_elevation
from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.void import Void

PORT = cylinder((-9.0, 0.0, 14.0), direction_from_elevation(180.0, 8.0), 5.0, 25.0)
GALLERY = cylinder((-17.0, -30.0, 26.0), (0.0, 1.0, 0.0), 2.5, 60.0)


def test_the_wall_is_3_27():
    found = wall(Void("port_exhaust", "port", (PORT,)), Void("gallery", "oil", (GALLERY,)))
    assert found.value == pytest.approx(3.270, abs=0.002)
    assert found.proven
    # by hand: the gallery's axis stands 12 above the foot and 8 out: height over the rising axis
    by_hand = (12.0 - 8.0 * math.tan(math.radians(8))) * math.cos(math.radians(8)) - 7.5
    assert found.value == pytest.approx(by_hand, abs=1e-9)


def test_trap_the_plan_shows_an_overlap():
    gap, angle, along_port, along_gallery = common_perpendicular(
        Axis(PORT.axis.point, PORT.axis.direction, 25.0),
        Axis(GALLERY.axis.point, GALLERY.axis.direction, 60.0),
    )
    assert 0 < along_port < 25
    assert 0 < along_gallery < 60  # both pass the crossing: seen from above they overlap
    assert angle == pytest.approx(90.0, abs=1e-9)
    assert gap > 7.5
