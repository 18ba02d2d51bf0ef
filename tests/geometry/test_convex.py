"""Convex bodies, holes and voids: membership, closed-form supports, covers. Values by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.convex import ball, box, cylinder, frustum, half_space
from headparts.geometry.holes import bathtub_hole, disc_hole, dome_hole, endless_cylinder_hole
from headparts.geometry.void import Void, chamber_void, port_void, round_void


def test_membership_by_hand():
    body = frustum((0, 0, 0), (0, 0, 1), 3.0, 1.0, 4.0)
    points = [[2.9, 0, 0.1], [0, 1.1, 3.9], [0, 1.04, 3.9], [0, 0, 4.1], [0, 0, -0.1]]
    assert body.contains(points).tolist() == [True, False, True, False, False]
    assert frustum((0, 0, 0), (0, 0, 1), 0.0, 2.0, 2.0).contains([[0, 0, -0.1], [0.9, 0, 1.0]]).tolist() == [
        False,
        True,
    ]
    assert box((0, 0, 0), (1, 2, math.inf)).contains([[0.5, 1, 1e6], [0.5, 2.1, 1]]).tolist() == [True, False]


def test_supports_by_hand():
    tilted = cylinder((1, 2, 3), (0, 0, 1), 2.0, 10.0)
    assert tilted.support((0, 0, 1)) == pytest.approx(13.0)
    assert tilted.support((0, 0, -1)) == pytest.approx(-3.0)
    assert tilted.support((3, 4, 0)) == pytest.approx(3 + 8 + 10)  # n.p + r |n|
    assert ball((1, 1, 1), 2.0).support((0, 3, 4)) == pytest.approx(7 + 10)
    assert box((0, 0, 0), (1, 2, 3)).support((1, -1, 1)) == pytest.approx(4.0)
    assert half_space((0, 0, 5), (0, 0, 1)).support((0, 0, 2)) == pytest.approx(10.0)
    assert half_space((0, 0, 5), (0, 0, 1)).support((1, 0, 0)) == math.inf
    assert tilted.with_half_space((0, 0, 4), (0, 0, 1)).support((0, 0, 1)) is None


@pytest.mark.parametrize("seed", range(8))
def test_cylinder_support_against_its_surface(seed):
    rng = np.random.default_rng(seed)
    body = cylinder(rng.normal(size=3), rng.normal(size=3), 2.5, 7.0)
    axis = body.axis
    d = np.array(axis.direction)
    u = np.linalg.svd(d[None, :])[2][1:]
    angle = np.linspace(0, 2 * math.pi, 100001)
    rim = 2.5 * (np.cos(angle)[:, None] * u[0] + np.sin(angle)[:, None] * u[1])
    n = rng.normal(size=3)
    sampled = max((np.array(axis.at(s)) + rim @ np.eye(3)).dot(n).max() for s in (0.0, 7.0))
    assert body.support(n) == pytest.approx(sampled, abs=1e-8)


def test_rigid_motion_and_scale_carry_membership():
    rng = np.random.default_rng(3)
    body = frustum((1, 0, 2), (1, 2, 3), 1.0, 3.0, 5.0).with_half_space((0, 0, 7), (1, 0, 1))
    q, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    moved = body.transformed(q, (3, -2, 5), 1.7)
    points = rng.uniform(-3, 8, size=(4000, 3))
    assert 100 < body.contains(points).sum() < 1000
    image = 1.7 * points @ q.T + np.array([3, -2, 5])
    clear = np.abs(body.violation(points)) > 1e-9
    assert np.array_equal(body.contains(points)[clear], moved.contains(image)[clear])
    centre, radius = moved.bound
    assert np.all(np.linalg.norm(image[moved.contains(image)] - centre, axis=1) <= radius + 1e-9)


HOLES = {
    "disc": disc_hole(20.0, 3.0, (1.0, -1.0)),
    "bathtub": bathtub_hole(20.0, 12.0, 3.0, 2.5),
    "square bathtub": bathtub_hole(20.0, 12.0, 3.0, 0.0),
    "dome": dome_hole(23.0, 7.2),
    "endless cylinder": endless_cylinder_hole((1, 2, 3), (1, 1, 2), 6.0),
}


def _plane_side(piece, points):
    return np.all([points @ np.array(p.normal) <= p.offset + 1e-9 for p in piece.planes], axis=0)


@pytest.mark.parametrize("name", HOLES)
def test_pieces_cover_all_of_the_outside_at_every_depth(name):
    hole = HOLES[name]
    points = np.random.default_rng(4).uniform(-30, 30, size=(20000, 3))
    outside = hole.depth(points) <= 0
    assert outside.sum() > 1000
    assert (~outside).sum() > 30
    pieces = list(hole.pieces())
    wrong = []
    for _ in range(4):
        cover = np.any([_plane_side(piece, points) for piece in pieces], axis=0)
        assert np.all(cover[outside])
        wrong.append(int(np.sum(cover & ~outside)))
        pieces = [small for piece in pieces for small in (piece.parts() or (piece,))]
    assert wrong == sorted(wrong, reverse=True)
    assert wrong[-1] <= max(2, wrong[0] // 20)


@pytest.mark.parametrize("name", HOLES)
def test_tangent_half_spaces_lie_outside_the_hole(name):
    hole = HOLES[name]
    rng = np.random.default_rng(5)
    points = rng.uniform(-30, 30, size=(20000, 3))
    inside = points[hole.depth(points) > 1e-9]
    for centre in rng.uniform(-15, 15, size=(40, 3)):
        for plane in hole.tangents(centre):
            assert np.all(inside @ np.array(plane.normal) > plane.offset - 1e-9)


def test_dome_passes_through_its_circle_and_its_top():
    dome = dome_hole(23.0, 7.2)
    assert dome.radius == pytest.approx((23.0**2 + 7.2**2) / 14.4)
    assert dome.depth([[23, 0, 0], [0, -23, 0], [0, 0, 7.2]]) == pytest.approx(0.0, abs=1e-12)


def test_bathtub_depth_by_hand():
    hole = bathtub_hole(20.0, 10.0, 3.0, 2.0)
    corner = 2.0 - math.hypot(9.9 - 8.0, 4.9 - 3.0)
    assert hole.depth([[0, 0, 0], [10, 0, 1], [9.9, 4.9, 1], [0, 0, 3.5]]) == pytest.approx(
        [3, 0, corner, -0.5]
    )
    chamber = chamber_void(hole)
    assert chamber.contains([[0, 0, 1], [9.9, 4.9, 1], [9.3, 4.3, 1], [50, 0, -1], [0, 0, 3.1]]).tolist() == [
        True,
        False,
        True,
        True,
        False,
    ]


def test_void_leaves_out_what_its_holes_take():
    bore = round_void("bore", "bore", (0, 0, -5), (0, 0, 1), 10, 20, (disc_hole(20, 3),))
    assert bore.contains([[0, 0, 1], [0, 0, 4], [0, 0, -1], [0, 0, 16], [5.1, 0, 4]]).tolist() == [
        False,
        True,
        False,
        False,
        False,
    ]
    port = port_void("port", (0, 0, 10), (1, 0, 0), 8, 20, (0, 0, 0), (0, 0, 1), 10)
    # the side generator (y = 4) begins at x = 3, the axis at x = 5
    assert port.contains([[4.9, 0, 10], [5.1, 0, 10], [3.1, 3.99, 10], [2.9, 3.99, 10]]).tolist() == [
        False,
        True,
        True,
        False,
    ]


@pytest.mark.parametrize(
    "call",
    [
        lambda: cylinder((0, 0, 0), (0, 0, 1), 0.0, 1.0),
        lambda: cylinder((0, 0, 0), (0, 0, 1), math.nan, 1.0),
        lambda: cylinder((0, 0, 0), (0, 0, 0), 1.0, 1.0),
        lambda: box((0, 0, 0), (1, 0, 1)),
        lambda: ball((0, 0, 0), -1.0),
        lambda: frustum((0, 0, 0), (0, 0, 1), -1.0, 1.0, 1.0),
        lambda: frustum((0, 0, 0), (0, 0, 1), 0.0, 0.0, 1.0),
        lambda: bathtub_hole(10, 5, 3, 2.6),
        lambda: dome_hole(10, 0),
        lambda: disc_hole(-1, 2),
        lambda: endless_cylinder_hole((0, 0, 0), (0, 0, 1), math.inf),
        lambda: Void("x", "water", (ball((0, 0, 0), 1.0),)),
        lambda: Void("x", "oil", ()),
        lambda: Void("x", "oil", (ball((0, 0, 0), 1.0),), u=-0.1),
    ],
)
def test_impossible_bodies_are_refused(call):
    with pytest.raises(GeometryError):
        call()
