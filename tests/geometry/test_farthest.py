"""Farthest points, pieces round a place and least translations: values by hand, sampling, covers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.convex import ball, box, cylinder, frustum, half_space
from headparts.geometry.farthest import Supports
from headparts.geometry.holes import bathtub_hole, dome_hole, endless_cylinder_hole
from headparts.geometry.penetration import penetrations


def test_farthest_points_by_hand():
    upright = cylinder((1, 2, 0), (0, 0, 1), 2.0, 10.0)
    assert Supports(upright)(np.array([[3.0, 4.0, 1.0]]))[0] == pytest.approx((1 + 1.2, 2 + 1.6, 10.0))
    # cut by x + z <= 8: along (1, 0, 1) the whole cut face is as far; along (3, 0, 1) the lowest point of its rim
    cut = cylinder((0, 0, 0), (0, 0, 1), 2.0, 10.0).with_half_space((0, 0, 8), (1, 0, 1))
    assert Supports(cut)(np.array([[3.0, 0.0, 1.0]]))[0] == pytest.approx((2.0, 0.0, 6.0))
    assert Supports(cut)(np.array([[0.0, 0.0, 1.0]]))[0] == pytest.approx((-2.0, 0.0, 10.0))
    assert Supports(frustum((0, 0, 0), (0, 0, 1), 3.0, 1.0, 4.0))(np.array([[1.0, 0.0, 0.1]]))[
        0
    ] == pytest.approx((3, 0, 0))
    # along the axis itself the whole end is as far: any of its points will do
    tip = Supports(frustum((0, 0, 0), (0, 0, 1), 3.0, 1.0, 4.0))(np.array([[0.0, 0.0, 1.0]]))[0]
    assert tip[2] == pytest.approx(4.0, abs=1e-12)
    assert math.hypot(tip[0], tip[1]) <= 1.0 + 1e-12
    dome = ball((0, 0, 0), 5.0).with_half_space((0, 0, 3), (0, 0, 1))
    assert Supports(dome)(np.array([[0.1, 0.0, 1.0]]))[0] == pytest.approx((4.0, 0.0, 3.0))  # 3, 4, 5
    assert Supports(box((0, 0, 0), (1, 2, 3)))(np.array([[1.0, -1.0, 1.0]]))[0] == pytest.approx((1, 0, 3))
    assert not Supports(half_space((0, 0, 0), (0, 0, 1))).known
    assert not Supports(frustum((0, 0, 0), (0, 0, 1), 3, 1, 4).with_half_space((0, 0, 1), (1, 0, 1))).known


@pytest.mark.parametrize("seed", range(12))
def test_no_sampled_point_is_farther(seed):
    rng = np.random.default_rng(seed)
    d = rng.normal(size=3)
    body = [
        cylinder((0, 0, 0), d, 2, 9),
        cylinder((0, 0, -2), (0.3, 0.2, 1), 3, 12).with_half_space((0, 0, 0), (0, 0, -1)),
        cylinder((0, 0, -2), (0.3, 0.2, 1), 3, 12)
        .with_half_space((0, 0, 0), (0, 0, -1))
        .with_half_space((0, 0, 7), d),
        ball((0, 0, 1), 4).with_half_space((0, 0, 0), (0, 0, -1)).with_half_space((1, 0, 0), d),
        frustum((0, 0, 0), d, 3, 1, 5),
        box((-1, -2, -3), (1, 2, 3)).with_half_space((0.5, 0.5, 0.5), d),
    ][seed % 6]
    n = rng.normal(size=(50, 3))
    far = Supports(body)(n)
    assert np.max(body.violation(far)) < 1e-9
    cloud = np.asarray(body.bound[0]) + rng.uniform(-1, 1, (60000, 3)) * body.bound[1]
    cloud = cloud[body.contains(cloud)]
    reach = np.einsum("ki,ki->k", far, n)
    assert np.all((cloud @ n.T).max(axis=0) <= reach + 1e-9)
    assert np.all(reach - (cloud @ n.T).max(axis=0) < 0.15 * body.bound[1] * np.linalg.norm(n, axis=1))


@pytest.mark.parametrize(
    ("hole", "place"),
    [
        (endless_cylinder_hole((1, 2, 3), (0.2, 0.1, 1), 4), (6, 4, 2)),
        (dome_hole(9, 5), (4, 3, 4.5)),
        (dome_hole(9, 5), (0, 0, 5)),  # on the corner of four pieces
        (dome_hole(9, 5), (6, 0, 3)),  # on the border of two
        (bathtub_hole(20, 12, 4, 3), (9.5, 5.2, 1)),
    ],
)
def test_pieces_round_a_place_leave_nothing_out(hole, place):
    """Random points outside the hole, many near the place, each in one of the finer pieces."""
    rng = np.random.default_rng(3)
    spread = 10.0 ** rng.uniform(-5, 1.3, size=(4000, 1))
    points = np.array(place) + spread * rng.normal(size=(4000, 3))
    points = points[hole.depth(points) < -1e-9]
    assert len(points) > 500
    pieces, finer = hole.pieces(), 0
    made = []
    for piece in pieces:
        near = piece.around(place, 14)
        finer += bool(near)
        made += near or (piece,)
    assert finer >= 1
    assert len(made) > len(pieces) + 5
    out = [
        np.max([points @ np.asarray(plane.normal) - plane.offset for plane in piece.planes], axis=0)
        for piece in made
    ]
    assert np.min(out, axis=0).max() <= 1e-9


DEPTHS = [
    # (first, second, least translation by hand)
    (
        cylinder((0, 0, 0), (0, 0, 1), 5, 20),
        cylinder((7, 0, 5), (0, 0, -1), 3, 30),
        1.0,
    ),  # out sideways: 5 + 3 - 7
    (
        cylinder((0, 0, 0), (0, 0, 1), 5, 20),
        cylinder((1, 0, 18.5), (0, 0, 1), 3, 30),
        1.5,
    ),  # out through the end
    (cylinder((0, 0, 0), (0, 0, 1), 5, 20), cylinder((1, 0, 2), (0, 0, -1), 3, 30), 2.0),
    (box((0, 0, 0), (10, 10, 10)), ball((9, 5, 5), 2), 3.0),
    (ball((0, 0, 1), 1), cylinder((0, 0, 0), (0, 0, 1), 5, 20), 2.0),  # centre 1 from the end
    (ball((0, 0, 0), 3), ball((0, 0, 0), 2), 5.0),
    (ball((0, 0, 10), 1), cylinder((0, 0, 0), (0, 0, 1), 5, 20), 6.0),  # centre on the axis
    (frustum((0, 0, 0), (0, 0, 1), 4, 2, 5), box((-9, -9, 4), (9, 9, 30)), 1.0),  # flat on flat
    (frustum((0, 0, 0), (0, 0, 1), 3, 0, 4), ball((0, 0, 1), 0.5), 1.5),  # out through the base
]


@pytest.mark.parametrize(("first", "second", "expected"), DEPTHS)
def test_least_translations_by_hand(first, second, expected):
    found, turned = penetrations([(first, second), (second, first)])
    for depth in (found, turned):
        assert depth.upper == pytest.approx(expected, abs=1e-9)
        assert expected - 1e-6 <= depth.lower <= expected + 1e-9
        assert math.dist(*depth.at) == pytest.approx(expected, abs=1e-6)
