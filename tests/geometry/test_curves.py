"""Plane curves: exact pieces, clipping, chains. Expected values are hand geometry."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from headparts.errors import GeometryError
from headparts.geometry.curves import (
    Arc,
    Ellipse,
    Line,
    Polyline,
    area_of,
    bounds,
    chained,
    circle,
    in_circle,
    outline_points,
)


def test_pieces_of_curves_lie_on_the_curve_and_end_where_they_should():
    arc = Arc((1.0, 2.0), 3.0, 30.0, 90.0)
    piece = arc.part(0.25, 0.75)
    assert piece.at(0.0) == pytest.approx(arc.at(0.25))
    assert piece.at(1.0) == pytest.approx(arc.at(0.75))
    ellipse = Ellipse((0.0, 0.0), (0.0, 4.0), 0.5, 0.0, 180.0)
    assert ellipse.at(0.0) == pytest.approx((0.0, 4.0))
    assert ellipse.at(0.5) == pytest.approx((-2.0, 0.0))
    assert ellipse.part(0.5, 1.0).at(0.0) == pytest.approx((-2.0, 0.0))
    run = Polyline(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)))
    assert run.part(0.25, 0.75).vertices == ((0.5, 0.0), (1.0, 0.0), (1.0, 0.5))


def test_moving_scales_about_the_origin_first():
    assert Line((1.0, 0.0), (2.0, 1.0)).moved(2.0, (10.0, 0.0)) == Line((12.0, 0.0), (14.0, 2.0))
    moved = Ellipse((1.0, 1.0), (2.0, 0.0), 0.5, 0.0, 360.0).moved(3.0, (0.0, -3.0))
    assert (moved.centre, moved.major, moved.ratio) == ((3.0, 0.0), (6.0, 0.0), 0.5)


@pytest.mark.parametrize("deflection", [0.1, 0.01, 0.001])
def test_chords_stay_within_the_deflection(deflection):
    points = circle((0.0, 0.0), 5.0).points(deflection)
    sag = max(5.0 - math.hypot((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0) for a, b in pairwise(points))
    assert 0.0 < sag <= deflection * (1.0 + 1e-9)


def test_a_line_through_a_circle_is_clipped_to_its_chord():
    (piece,) = in_circle([Line((-10.0, 3.0), (10.0, 3.0))], (0.0, 0.0), 5.0)
    assert isinstance(piece, Line)
    assert piece.start == pytest.approx((-4.0, 3.0), abs=1e-9)
    assert piece.end == pytest.approx((4.0, 3.0), abs=1e-9)
    assert in_circle([Line((-10.0, 6.0), (10.0, 6.0))], (0.0, 0.0), 5.0) == ()


def test_a_chain_is_put_in_order_whatever_way_its_edges_run():
    loop = [
        Line((0.0, 0.0), (2.0, 0.0)),
        Line((2.0, 3.0), (2.0, 0.0)),
        Line((2.0, 3.0), (0.0, 3.0)),
        Line((0.0, 0.0), (0.0, 3.0)),
    ]
    assert [forward for _, forward in chained(loop)] == [True, False, True, False]
    assert outline_points(loop) == ((0.0, 0.0), (2.0, 0.0), (2.0, 3.0), (0.0, 3.0))
    assert area_of(loop) == pytest.approx(6.0, rel=1e-12)
    assert area_of([circle((3.0, 1.0), 2.0)]) == pytest.approx(4.0 * math.pi, rel=1e-3)


def test_bounds_and_refusals():
    assert bounds([circle((1.0, 2.0), 3.0)]) == pytest.approx((-2.0, -1.0, 4.0, 5.0), abs=1e-3)
    for wrong in (
        lambda: Arc((0.0, 0.0), -1.0, 0.0, 90.0),
        lambda: Arc((0.0, 0.0), 1.0, 0.0, 0.0),
        lambda: Polyline(((0.0, 0.0),)),
        lambda: bounds([]),
    ):
        with pytest.raises(GeometryError):
            wrong()
