"""Sections and views of solids whose answer is known in closed form."""

from __future__ import annotations

import math

import pytest

from headparts.errors import GeometryError, KernelError
from headparts.geometry.curves import Arc, Ellipse, Line, area_of
from headparts.solids.primitives import box, cylinder
from headparts.solids.projection import beyond, projection, slab
from headparts.solids.section import Plane, half_behind, section

FRONT = Plane((0.0, 0.0, 0.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
ABOVE = Plane((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))


def plate_with_hole(radius: float = 2.0):
    from headparts.solids.cut import cut

    return cut(
        box((-10.0, -5.0, 0.0), (10.0, 5.0, 4.0)), [cylinder((3.0, 0.0, -1.0), (0.0, 0.0, 1.0), radius, 6.0)]
    )


def test_a_plane_must_have_unit_vectors_square_to_each_other():
    with pytest.raises(GeometryError):
        Plane((0.0, 0.0, 0.0), (0.0, 2.0, 0.0), (1.0, 0.0, 0.0))
    with pytest.raises(GeometryError):
        Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    assert FRONT.y == pytest.approx((0.0, 0.0, 1.0))
    assert FRONT.flat(FRONT.point((2.0, 3.0))) == pytest.approx((2.0, 3.0))


def test_a_flat_section_keeps_its_hole_as_a_circle():
    plane = Plane((0.0, 0.0, 2.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    (face,) = section(plate_with_hole(), plane)
    assert face.area == pytest.approx(200.0 - 4.0 * math.pi, rel=1e-9)
    (hole,) = face.holes
    assert all(isinstance(c, Arc) and c.radius == pytest.approx(2.0) for c in hole)
    assert sum(c.sweep for c in hole) == pytest.approx(360.0)
    assert area_of(face.outer) == pytest.approx(200.0)


def test_an_oblique_section_of_a_cylinder_is_an_ellipse():
    rod = cylinder((0.0, 0.0, -20.0), (0.0, 0.0, 1.0), 3.0, 40.0)
    slope = math.radians(30.0)
    plane = Plane((0.0, 0.0, 0.0), (0.0, -math.sin(slope), math.cos(slope)), (1.0, 0.0, 0.0))
    (face,) = section(rod, plane)
    curve = face.outer[0]
    assert isinstance(curve, Ellipse)
    assert math.hypot(*curve.major) == pytest.approx(3.0 / math.cos(slope), rel=1e-9)
    assert curve.ratio == pytest.approx(math.cos(slope), rel=1e-9)
    assert face.area == pytest.approx(math.pi * 9.0 / math.cos(slope), rel=1e-6)


def test_every_section_through_the_axis_of_a_bore_is_whole():
    """The kernel loses faces where a plane runs along a seam; seams are turned through all of them here."""
    for degrees in range(0, 180, 15):
        turn = math.radians(degrees)
        plane = Plane(
            (3.0, 0.0, 0.0), (-math.sin(turn), math.cos(turn), 0.0), (math.cos(turn), math.sin(turn), 0.0)
        )
        at_height = sum(f.area for f in section(plate_with_hole(), plane))
        c, s = math.cos(turn), math.sin(turn)
        ends = [
            min(
                ((10.0 - 3.0) / c if sign * c > 0 else (-10.0 - 3.0) / c) * sign
                if abs(c) > 1e-9
                else math.inf,
                5.0 / abs(s) if abs(s) > 1e-9 else math.inf,
            )
            for sign in (1.0, -1.0)
        ]
        assert at_height == pytest.approx(4.0 * (sum(ends) - 4.0), rel=1e-6), degrees


def test_a_clip_keeps_what_lies_in_its_circle():
    (face,) = section(box((0.0, -1.0, 0.0), (10.0, 1.0, 10.0)), FRONT, ((0.0, 0.0), 2.0))
    assert face.area == pytest.approx(math.pi, rel=1e-6)
    assert any(isinstance(c, Arc) and c.radius == pytest.approx(2.0) for c in face.outer)


def test_a_plane_that_misses_gives_nothing():
    solid = box((0.0, 5.0, 0.0), (1.0, 6.0, 1.0))
    assert section(solid, FRONT) == ()
    with pytest.raises(KernelError):
        half_behind(box((0.0, -6.0, 0.0), (1.0, -5.0, 1.0)), FRONT)


def test_a_view_shows_circles_as_circles_and_hides_what_is_behind():
    seen = projection(plate_with_hole(), ABOVE)
    rings = [c for c in seen if isinstance(c, Arc)]
    assert len(rings) == 1
    assert rings[0].sweep == pytest.approx(360.0)
    assert rings[0].centre == pytest.approx((3.0, 0.0))
    assert len([c for c in seen if isinstance(c, Line)]) == 4
    front = projection(plate_with_hole(), FRONT)
    assert all(isinstance(c, Line) for c in front)
    assert len(front) == 4
    hidden = projection(plate_with_hole(), FRONT, hidden=True)
    assert {round(c.start[0], 6) for c in hidden if abs(c.start[0] - c.end[0]) < 1e-9} >= {1.0, 5.0}


def test_beyond_a_section_the_bore_shows_its_sides():
    seen = beyond(plate_with_hole(), FRONT)
    upright = {
        round(c.start[0], 6) for c in seen if isinstance(c, Line) and abs(c.start[0] - c.end[0]) < 1e-9
    }
    assert upright == {-10.0, 1.0, 5.0, 10.0}


def test_a_slab_cuts_between_two_planes():
    from headparts.solids.verify import volume

    assert volume(
        slab(box((0.0, 0.0, 0.0), (2.0, 3.0, 9.0)), (0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 1.0, 4.0)
    ) == pytest.approx(18.0, rel=1e-9)


def test_loose_specks_of_hidden_curves_are_dropped_but_short_joined_pieces_stay():
    from headparts.geometry.curves import Polyline
    from headparts.solids.projection import without_specks

    edge = Line((0.0, 0.0), (5.0, 0.0))
    joined = Polyline(((5.0, 0.0), (5.05, 0.05)))
    loose = Polyline(((2.0, 3.0), (2.05, 3.05)))
    long = Polyline(((2.0, 4.0), (2.5, 4.5)))
    assert without_specks((edge, joined, loose, long)) == (edge, joined, long)
