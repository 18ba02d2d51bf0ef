"""The casting's outside as convex regions: walls by hand."""

from __future__ import annotations

import pytest

from headparts.errors import GeometryError
from headparts.geometry.axis import Axis
from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.outside import fin_gap_boxes, fin_gaps, leaving_side, outline_sides, outside_void
from headparts.geometry.void import Void

LOWER, UPPER = (-30, -29, 0), (30, 29, 30)


def bore(x, y, z0, z1, r):
    return Void("bore", "bore", (cylinder((x, y, z0), (0, 0, 1), r, z1 - z0),))


def test_gaps_follow_the_fins():
    assert sum(fin_gaps((6.0, 15.0), 4.2, 1.6), ()) == pytest.approx((7.6, 10.2, 11.8, 14.4))
    # the last gap is cut off at the end of the fins; a fin that begins there leaves none
    assert fin_gaps((6.0, 13.0), 4.2, 1.6)[-1] == pytest.approx((11.8, 13.0))
    assert len(fin_gaps((6.0, 11.8), 4.2, 1.6)) == 1


def test_nearest_of_sides_and_top():
    assert wall(bore(20, 0, 5, 20, 4), outside_void(LOWER, UPPER)).value == pytest.approx(6.0, abs=1e-9)
    assert wall(bore(20, 0, 5, 27, 4), outside_void(LOWER, UPPER)).value == pytest.approx(3.0, abs=1e-9)
    skipped = outside_void(LOWER, UPPER, skip=("top", "x+"))
    assert wall(bore(20, 0, 5, 27, 4), skipped).value == pytest.approx(25.0, abs=1e-9)


def test_core_counts_only_where_gaps_are():
    air = outside_void(LOWER, UPPER, (-24, 26), (-26, 24), ((6.0, 27.0), 4.2, 1.6))
    # the bore reaches the heights of a gap: 26 - 20 - 4
    assert wall(bore(20, 0, 5, 20, 4), air).value == pytest.approx(2.0, abs=1e-9)
    # below the first gap (7.6): down to its edge, 2 across and 1.6 up
    assert wall(bore(20, 0, 2, 6, 4), air).value == pytest.approx((2.0**2 + 1.6**2) ** 0.5, abs=1e-9)


def test_sticking_out_is_negative():
    found = wall(bore(28, 0, 5, 20, 4), outside_void(LOWER, UPPER))
    assert found.value == pytest.approx(-2.0, abs=1e-9)
    assert found.proven


def test_leaving_side():
    assert leaving_side(Axis((0, 0, 10), (1, 0.1, 0.2)), LOWER, UPPER) == "x+"
    assert leaving_side(Axis((0, 0, 10), (-0.1, -1, 0.2)), LOWER, UPPER) == "y-"
    assert leaving_side(Axis((0, 0, 10), (0.1, 0, 1)), LOWER, UPPER) == "top"
    assert leaving_side(Axis((0, 0, 10), (0.1, 0, -1)), LOWER, UPPER) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: outline_sides(LOWER, UPPER, ("bottom",)),
        lambda: fin_gap_boxes((-1, 1), (-1, 1), (0, 10), 2.0, 2.0),
        lambda: outside_void(LOWER, UPPER, fins=((0, 10), 4.0, 2.0)),
        lambda: leaving_side(Axis((99, 0, 10), (1, 0, 0)), LOWER, UPPER),
    ],
)
def test_bad_calls_are_refused(call):
    with pytest.raises(GeometryError):
        call()
