"""Thickness fields of solids whose least thickness is known in closed form, as kernel solid and as triangles."""

from __future__ import annotations

import math

import cadquery as cq
import numpy as np
import pytest

from headparts.geometry.skin import Skin, trusted
from headparts.geometry.thickness_skin import skin_thickness
from headparts.solids import primitives
from headparts.solids.cut import cut
from headparts.solids.mesh import triangulate
from headparts.solids.thickness import solid_thickness

UP = (0.0, 0.0, 1.0)


def skin_of(solid: object, tolerance: float) -> Skin:
    mesh = triangulate(solid, tolerance)
    return trusted(mesh.vertices, mesh.triangles)


def tube() -> object:
    return cut(
        primitives.cylinder((0, 0, 0), UP, 10.0, 30.0), [primitives.cylinder((0, 0, -1), UP, 8.0, 32.0)]
    )


def test_a_plate_is_as_thick_as_it_is_everywhere() -> None:
    plate = primitives.box((1, 2, 3), (4, 42, 63))
    for found in (solid_thickness(plate, 600), skin_thickness(skin_of(plate, 0.01), 600)):
        across = np.argmax(np.abs(found.normals), axis=1)
        assert np.allclose(found.values, np.array([3.0, 40.0, 60.0])[across], atol=1e-12)
        assert found.least is not None
        assert found.least.value == pytest.approx(3.0, abs=1e-12)
        assert found.least.how == "face pair"
        assert not found.edges
        assert found.lost == 0
        assert found.counted.all()
        # both large faces, as sampled by area: 2 x 40 x 60 of 2 (2400 + 180 + 120)
        assert found.area_below(3.5) == pytest.approx(4800.0, rel=0.02)
        assert found.area_below(2.9) == 0.0


def test_a_tube_s_wall_is_the_distance_of_its_two_faces() -> None:
    found = solid_thickness(tube(), 600)
    assert found.least is not None
    assert found.least.value == pytest.approx(2.0, abs=1e-9)
    assert found.least.how == "face pair"
    radii = sorted(math.hypot(x, y) for x, y, _ in found.least.at)
    assert radii == pytest.approx([8.0, 10.0], abs=1e-9)
    round_ = np.abs(found.normals[:, 2]) < 0.5
    assert np.allclose(found.values[round_], 2.0, atol=1e-9)
    assert np.allclose(found.values[~round_], 30.0, atol=1e-9)


def test_a_tube_of_triangles_is_within_its_chord_error_and_never_above() -> None:
    found = skin_thickness(skin_of(tube(), 0.01), 2000)
    assert found.least is not None
    assert 2.0 - 0.02 <= found.least.value <= 2.0
    wall = found.values[np.abs(found.normals[:, 2]) < 0.5]
    assert np.all(np.abs(wall - 2.0) < 0.05)  # no ray slips through an edge: none is 18 mm long


def test_a_hollow_ball_is_thick_alike() -> None:
    shell = cut(primitives.ball((0, 0, 0), 10.0), [primitives.ball((0, 0, 0), 8.0)])
    found = solid_thickness(shell, 300)
    assert found.least is not None
    assert found.least.value == pytest.approx(2.0, abs=1e-9)  # concentric: every place is the least
    assert np.allclose(found.values, 2.0, atol=1e-9)
    triangles = skin_thickness(skin_of(shell, 0.02), 2000)
    assert np.all(np.abs(triangles.values - 2.0) < 0.1)
    assert triangles.least is not None
    assert 1.95 <= triangles.least.value <= 2.0


def test_a_wedge_s_acute_edge_is_told_apart_and_not_counted() -> None:
    wedge = cq.Workplane("XY").polyline([(0, 0), (30, 0), (30, 6)]).close().extrude(20.0).val()
    for found in (solid_thickness(wedge, 800), skin_thickness(skin_of(wedge, 0.01), 800)):
        assert found.least is not None
        assert found.least.value == pytest.approx(20.0, abs=1e-9)  # the two ends; everything else meets
        acute = found.edges[0]
        assert acute.value < 0.3
        assert max(math.hypot(x, y) for x, y, _ in acute.at) < 1.6  # at the edge x = y = 0
        assert found.adjacent.sum() > 600


@pytest.mark.parametrize(
    ("a", "b", "least"),
    [
        # shortest normal chord of an ellipse: 3 sqrt(3) a2 b2/(a2 + b2)^1.5 for a2 > 2 b2, else the minor axis
        (10.0, 3.0, 3.0 * math.sqrt(3.0) * 900.0 / 109.0**1.5),
        (10.0, 8.0, 16.0),
    ],
)
def test_a_face_that_faces_itself_is_seen(a: float, b: float, least: float) -> None:
    rod = cq.Workplane("XY").ellipse(a, b).extrude(25.0).val()
    found = solid_thickness(rod, 500)
    assert found.least is not None
    assert found.least.faces[0] == found.least.faces[1]
    assert found.least.how == "ray"
    assert found.least.value >= least - 1e-9
    assert found.least.value == pytest.approx(least, abs=1e-6)
    assert found.least.seen > found.least.value or b == 8.0


def test_a_slot_in_a_ring_does_not_hide_the_ring_s_thickness() -> None:
    ring = cq.Workplane("XZ").center(10, 0).circle(3.0).revolve(340, (-10, 0, 0), (-10, 1, 0)).val()
    found = solid_thickness(ring, 300)
    assert found.least is not None
    assert found.least.value == pytest.approx(6.0, abs=1e-9)  # through the ring, not across the slot
    triangles = skin_thickness(skin_of(ring, 0.02), 1000)
    assert triangles.least is not None
    assert 5.92 < triangles.least.value <= 6.0


def test_a_skew_bore_s_least_wall_is_the_closed_form() -> None:
    direction = np.array([1.0, 0.2, 0.1])
    direction /= np.linalg.norm(direction)
    point, radius = np.array([-1.0, 10.0, 8.0]), 3.0
    drill = primitives.cylinder(tuple(point - 3.0 * direction), tuple(direction), radius, 60.0)
    block = cut(primitives.box((0, 0, 0), (30, 30, 30)), [drill])
    # lowest point of the mouth in x = 0: the axis' height there, less the half-height of the ellipse. Of points
    # c + m with m square to d and |m| = r, z is least in the plane x = 0 at -r sqrt(1 - dz2/(1 - dx2) ...):
    # solved here by dense sampling of the mouth itself
    u = np.cross(direction, UP) / np.linalg.norm(np.cross(direction, UP))
    v = np.cross(direction, u)
    angle = np.linspace(0.0, 2.0 * math.pi, 2_000_001)
    rim = point + radius * (np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v)
    rim = rim - (rim[:, 0] / direction[0])[:, None] * direction
    expected = rim[:, 2].min()
    found = solid_thickness(block, 800)
    assert found.least is not None
    assert found.least.value == pytest.approx(expected, abs=1e-9)
    again = skin_thickness(skin_of(block, 0.005), 3000)
    assert again.least is not None
    assert expected - 1e-6 <= again.least.value <= expected + 0.005  # a mouth of chords is a little smaller


def test_two_faces_across_a_gap_are_no_wall() -> None:
    """A U: its legs are 4 thick, the gap between them 1; rays join outside faces, never the gap's."""
    u = cut(primitives.box((0, 0, 0), (9, 20, 20)), [primitives.box((4, 5, -1), (5, 21, 21))])
    for found in (solid_thickness(u, 500), skin_thickness(skin_of(u, 0.01), 500)):
        assert found.least is not None
        assert found.least.value == pytest.approx(4.0, abs=1e-9)
        assert all(thin.value >= 4.0 - 1e-9 for thin in found.pairs)


def test_the_same_solid_gives_the_same_field() -> None:
    one, other = solid_thickness(tube(), 200), solid_thickness(tube(), 200)
    assert np.array_equal(one.points, other.points)
    assert np.array_equal(one.values, other.values)
    assert one.pairs == other.pairs
