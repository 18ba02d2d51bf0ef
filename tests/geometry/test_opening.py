"""Openings and shared volumes: closed forms and a Monte Carlo free second route by planes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis
from headparts.geometry.convex import ball, box, cylinder, frustum
from headparts.geometry.holes import disc_hole, endless_cylinder_hole
from headparts.geometry.opening import Bore, opening, overlap_volume
from headparts.geometry.void import Void


def cavity(*cores, holes=()):
    return Void("cavity", "oil", tuple(cores), tuple(holes))


def test_square_crossing_by_hand():
    """Bore R 5 along X, cavity r 3 along Z at a gap of 7.5: depth 0.5.

    On the bore's surface, height y = 5 cos q; half-length sqrt(9 - (7.5 - y)^2) for y > 4.5. Longest at
    y = 5: 2 sqrt(9 - 6.25). Ends at cos q = 0.9: chord 2 R sin q.
    """
    bore = Bore(Axis((-30, 0, 0), (1, 0, 0), 60), 5.0)
    found = opening(bore, cavity(cylinder((2, 7.5, -20), (0, 0, 1), 3, 40)))
    assert found.along == pytest.approx(2 * math.sqrt(9 - 6.25), abs=1e-9)
    assert found.centre == pytest.approx(32.0, abs=1e-9)
    assert found.around == pytest.approx(10 * math.sqrt(1 - 0.81), abs=1e-9)
    assert (found.axis_gap, found.axis_angle) == pytest.approx((7.5, 90.0), abs=1e-12)
    q = (np.arange(2_000_000) + 0.5) / 2_000_000 * math.acos(0.9)
    area = 2 * 5 * math.acos(0.9) * np.mean(2 * np.sqrt(9 - (7.5 - 5 * np.cos(q)) ** 2))
    assert found.area == pytest.approx(area, rel=1e-7)
    # shared volume by slices of constant y: 2 half-widths of the bore times 2 half-widths of the cavity
    y = 4.5 + (np.arange(2_000_000) + 0.5) / 2_000_000 * 0.5
    volume = 0.5 * np.mean(4 * np.sqrt(25 - y**2) * np.sqrt(9 - (7.5 - y) ** 2))
    assert found.overlap_volume == pytest.approx(volume, rel=1e-7)
    assert found.volume_error < 1e-6 * volume


def test_equal_crossing_cylinders_share_the_classic_volume():
    """Two equal square-crossing cylinders share 16 r^3 / 3 (Archimedes; Zu Chongzhi's double box lid)."""
    bore = Bore(Axis((-10, 0, 0), (1, 0, 0), 20), 3.0)
    volume, error = overlap_volume(bore, cavity(cylinder((0, 0, -10), (0, 0, 1), 3, 20)))
    assert volume == pytest.approx(16 * 27 / 3, rel=1e-5)
    assert error < 1e-3


def test_ball_on_the_axis():
    bore = Bore(Axis((-10, 0, 0), (1, 0, 0), 20), 3.0)
    found = opening(bore, cavity(ball((0, 0, 0), 5)))
    assert found.along == pytest.approx(8.0, abs=1e-9)  # chord at distance 3: 3, 4, 5
    assert found.area == pytest.approx(2 * math.pi * 3 * 8, rel=1e-9)
    assert found.around == pytest.approx(6.0, abs=1e-12)
    # napkin ring: the ball less a ring of height 8 is pi 8^3 / 6 outside the bore
    assert found.overlap_volume == pytest.approx(4 / 3 * math.pi * 125 - math.pi * 512 / 6, rel=1e-7)


def test_cone_cavity_by_hand():
    """Drill point: cone r 3 to 0 over 3 mm along -Y onto a bore along X; its tip reaches 1 mm into the bore."""
    bore = Bore(Axis((-10, 0, 0), (1, 0, 0), 20), 5.0)
    found = opening(bore, cavity(frustum((0, 7, 0), (0, -1, 0), 3, 0, 3)))
    assert found.along == pytest.approx(2.0, abs=1e-9)  # at y = 5 the cone is 1 mm wide each way
    # circle z^2 = 25 - y^2 meets the cone's outline z = y - 4 at x = 0: 2 y^2 - 8 y - 9 = 0
    y = (8 + math.sqrt(64 + 72)) / 4
    assert found.around == pytest.approx(2 * (y - 4), abs=1e-8)


def test_the_face_and_the_curved_inner_end_limit_the_opening():
    inner = endless_cylinder_hole((0, 0, 0), (0, 0, 1), 10)
    wide = cavity(box((-50, 4, -50), (50, 50, 50)))
    bore = Bore(Axis((0, 0, 0), (1, 0, 0), 30), 5.0, (inner,))
    found = opening(bore, wide)
    # the lowest generator inside (y = 4, z = 3) begins at sqrt(100 - 16), the middle one (y = 5) further in
    assert found.start == pytest.approx(math.sqrt(75), abs=1e-9)
    assert found.end == pytest.approx(30.0, abs=1e-12)
    assert found.around == pytest.approx(6.0, abs=1e-9)


def test_the_chamber_is_left_out():
    bore = Bore(Axis((0, 0, 4), (1, 0, 0), 30), 2.0)
    well = cylinder((15, 0, -1), (0, 0, 1), 1.0, 20)
    plain = opening(bore, cavity(well))
    chambered = opening(bore, cavity(well, holes=[disc_hole(60, 3.0)]))
    # roof at z 3, bore from z 2 to 6: volume loses the slice below the roof
    assert plain.overlap_volume > chambered.overlap_volume
    v = np.sin((np.arange(200_000) + 0.5) / 200_000 * math.pi - math.pi / 2)  # sideways, weights (1 - v^2)
    by_slices = math.pi * float(np.mean(2 * (1 - v**2) * (1 + np.sqrt(4 - v**2))))
    assert chambered.overlap_volume == pytest.approx(by_slices, rel=1e-6)


def test_no_opening_is_none_and_no_volume():
    bore = Bore(Axis((-30, 0, 0), (1, 0, 0), 60), 5.0)
    apart = cavity(cylinder((2, 8.0001, -20), (0, 0, 1), 3, 40))
    assert opening(bore, apart) is None
    assert overlap_volume(bore, apart) == (0.0, 0.0)


@pytest.mark.parametrize("depth", [1e-1, 1e-3, 1e-5])
def test_shallow_openings_are_found(depth):
    """Leading order of a shallow crossing: length 2 sqrt(2 r depth), to first order in depth."""
    bore = Bore(Axis((-30, 0, 0), (1, 0, 0), 60), 5.0)
    found = opening(bore, cavity(cylinder((2, 8 - depth, -20), (0, 0, 1), 3, 40)))
    assert found.along == pytest.approx(2 * math.sqrt(9 - (3 - depth) ** 2), rel=1e-6)
    curvature = math.sqrt(5.0 * 3.0)  # elliptic patch: half-axes sqrt(2 r d), sqrt(2 R r d / (R + r) ...)
    assert 0 < found.area < 2 * math.pi * curvature * depth * 1.5


def test_a_void_of_two_cores_is_no_bore():
    two = Void("two", "port", (ball((0, 0, 0), 1), ball((3, 0, 0), 1)))
    with pytest.raises(GeometryError, match="one round bore"):
        Bore.of(two)
