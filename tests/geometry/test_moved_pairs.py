"""Bounds of moved voids against closed forms, place by place, and against dense sampling."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from headparts.geometry.convex import box, cylinder, half_space
from headparts.geometry.holes import disc_hole, endless_cylinder_hole
from headparts.geometry.motion import Motion, Tilt, disc, drilled
from headparts.geometry.moved_pairs import MovedPair
from headparts.geometry.segments import segments_apart
from headparts.geometry.support import support_bound
from headparts.geometry.void import Void

X, Y, Z = np.eye(3)
COUNT = 2000


def in_disc(seed, count=COUNT):
    generator = np.random.default_rng(seed)
    turn, size = generator.uniform(0, 2 * np.pi, count), np.sqrt(generator.random(count))
    return np.stack([size * np.cos(turn), size * np.sin(turn)], axis=1)


def still(count=COUNT):
    return Motion(np.zeros((count, 3)))


def void(name, *cores, holes=()):
    return Void(name, "bore", tuple(cores), tuple(holes))


def test_parallel_holes_shifted_across_are_as_far_as_their_axes():
    """Two upright holes 3 and 4 across, axes 5 apart: every wall is |(5, 0) + shift| - 3.5."""
    pair = MovedPair(
        void("a", cylinder((0, 0, 0), Z, 1.5, 20.0)),
        void("b", cylinder((5, 0, -3), Z, 2.0, 30.0)),
        1.5,
        9.0,
        0.4,
    )
    shift = 0.4 * in_disc(1)
    found = pair.bounds(still(), Motion(disc(shift, X, Y)), np.inf)
    truth = np.hypot(5.0 + shift[:, 0], shift[:, 1]) - 3.5
    assert np.max(np.abs(found.lower - truth)) < 1e-12
    assert np.max(np.abs(found.upper - truth)) < 1e-12


def test_a_leaning_hole_under_a_flat_wall_loses_the_part_of_a_shift_across_it():
    """Top rim of a hole leaning 30 deg: height of the rim is 10 cos 30 + 2 sin 30; the shift counts by its z alone."""
    lean = np.array([0.5, 0.0, np.sqrt(0.75)])
    rim = 10.0 * np.sqrt(0.75) + 2.0 * 0.5
    pair = MovedPair(
        void("a", cylinder((0, 0, 0), lean, 2.0, 10.0)),
        void("outside", half_space((0, 0, rim + 1.2), -Z), half_space((40, 0, 0), -X)),
        1.2,
        5.0,
        0.3,
    )
    shift = 0.3 * in_disc(2)
    found = pair.bounds(Motion(disc(shift, X, Z)), still(), np.inf)
    assert found.lower == pytest.approx(1.2 - shift[:, 1], abs=1e-9)
    assert found.upper == pytest.approx(1.2 - shift[:, 1], abs=1e-9)


def test_a_wandering_drill_is_off_by_its_slope_times_the_depth():
    """A hole drilled along -X from x = 20 beside an upright one at x = 5, 10 mm of axis distance: skew lines.

    The distance of the axes after a turn in the y-z plane is that of two lines, worked out here by hand: the turned
    axis passes (20, 0, 8) along (-1, sy, sz)/|.|, the other stands at (5, -10).
    """
    a = void("port", cylinder((0, 0, 8), X, 2.0, 20.0))
    b = void("tunnel", cylinder((5, -10, -10), Z, 1.0, 40.0))
    slope = 0.02 * in_disc(3)
    tilt = drilled((20.0, 0.0, 8.0), X, disc(slope, Y, Z))
    found = MovedPair(a, b, 7.0, 20.0, 0.4).bounds(Motion(np.zeros((COUNT, 3)), tilt), still(), np.inf)
    along = np.stack([-np.ones(COUNT), slope[:, 0], slope[:, 1]], axis=1)
    across = np.cross(along, Z)
    truth = np.abs(across @ np.array([5.0 - 20.0, -10.0, 0.0])) / np.linalg.norm(across, axis=1) - 3.0
    assert found.lower == pytest.approx(truth, abs=1e-9)
    assert found.upper == pytest.approx(truth, abs=1e-9)
    # to first order: 15 mm below the face the wall changes by 15 times the slope towards it
    assert np.max(np.abs(truth - (7.0 + 15.0 * slope[:, 0]))) < 7.0 * 0.02**2
    assert np.std(truth) == pytest.approx(15.0 * 0.02 / 2.0, rel=0.05)  # uniform in a disc: half the radius


def test_a_wider_hole_is_nearer_by_its_radius():
    a, b = void("port", cylinder((0, 0, 8), X, 2.0, 20.0)), void("b", cylinder((5, -10, -10), Z, 1.0, 40.0))
    growth = np.linspace(0.0, 0.2, COUNT)
    found = MovedPair(a, b, 7.0, 20.0, 0.4).bounds(
        Motion(np.zeros((COUNT, 3)), None, growth), still(), np.inf
    )
    assert found.lower == pytest.approx(7.0 - growth, abs=1e-12)
    assert found.upper == pytest.approx(7.0 - growth, abs=1e-12)


def test_holes_that_cross_are_through_and_by_how_much():
    """Square to each other, axes 2 apart, radii 1.5 and 1: 0.5 deep; shifted apart by up to 0.6."""
    a, b = void("a", cylinder((-10, 0, 0), X, 1.5, 20.0)), void("b", cylinder((0, -10, 2), Y, 1.0, 20.0))
    rise = np.linspace(-0.2, 0.6, COUNT)
    found = MovedPair(a, b, -0.5, 1.0, 0.6).bounds(still(), Motion(rise[:, None] * Z), np.inf)
    assert found.lower == pytest.approx(rise - 0.5, abs=1e-12)
    assert np.array_equal(found.upper <= 1e-9, rise - 0.5 <= 1e-9)


def dense(body, count):
    """Points all over a cylinder's side between its ends, and its planes respected."""
    p, d = np.asarray(body.axis.point), np.asarray(body.axis.direction)
    u = np.cross(d, [0.3, 0.5, 0.81])
    u /= np.linalg.norm(u)
    v = np.cross(d, u)
    turn, rise = np.meshgrid(np.linspace(0, 2 * np.pi, count), np.linspace(0, body.axis.length, count))
    radius = body.radius
    points = (
        p + rise[..., None] * d + radius * (np.cos(turn)[..., None] * u + np.sin(turn)[..., None] * v)
    ).reshape(-1, 3)
    return points[body.violation(points) <= 1e-9]


def trimmed_pair():
    """Two bores leaning apart and cut off by a flat roof at z = 3: their nearest points lie on the roof's rims."""
    lean = np.array([np.sin(0.09), 0.0, np.cos(0.09)])
    hole = disc_hole(40.0, 3.0)
    ones = [cylinder((5.2 * side, 0.3 * side, -2.0), lean * [side, 1, 1], 4.6, 12.0) for side in (-1, 1)]
    return [void(f"bore_{k}", one, holes=[hole]) for k, one in enumerate(ones)]


def rim(body, z, count=4001):
    """Points of the ellipse in which a leaning cylinder meets the height ``z``, near y = its axis, facing x = 0."""
    p, d = np.asarray(body.axis.point), np.asarray(body.axis.direction)
    centre = p + (z - p[2]) / d[2] * d
    turn = np.linspace(-0.3, 0.3, count)
    side = -np.sign(centre[0])
    return centre[:2] + body.radius * np.stack([side * np.cos(turn) / d[2], np.sin(turn)], axis=1)


def test_trimmed_rims_against_dense_points():
    """The bores lean apart above the roof, so their nearest points lie on the two rims, 4001 points each here."""
    a, b = trimmed_pair()
    first, second = 0.06 * in_disc(5, 12), 0.06 * in_disc(6, 12)
    moved = Motion(disc(first, X, Y)), Motion(disc(second, X, Y))
    one, two = rim(a.cores[0], 3.0), rim(b.cores[0], 3.0)
    pair = MovedPair(a, b, nearest(one, two), 3.0, 0.12)
    found = pair.bounds(*moved, np.inf)
    sharp, _, _ = pair.exact(*moved, np.inf)
    for k in range(12):
        truth = nearest(one, two + second[k] - first[k])
        assert found.lower[k] <= truth + 1e-9
        assert found.lower[k] > truth - 1e-4
        assert sharp.upper[k] == pytest.approx(truth, abs=1e-6)
        assert sharp.lower[k] - 1e-9 <= sharp.upper[k] <= found.upper[k] + 1e-9
        assert found.upper[k] < truth + 1e-3


def nearest(one, two):
    return float(np.min(cKDTree(one).query(two)[0]))


def test_a_port_cut_off_by_its_body_is_measured_at_the_cut_end():
    """A bore along X cut off by the upright body of radius 5 at the origin; a hole above the cut end.

    The port's top generator begins at x = 5 (its own radius 2 at y = 0); an upright cylinder of radius 1 ends
    flat 3 above it, over x = 0 to 2: the nearest point of the port is the body's edge at x = 5, y = 0.
    """
    port = void("port", cylinder((0, 0, 0), X, 2.0, 20.0), holes=[endless_cylinder_hole((0, 0, 0), Z, 5.0)])
    above = void("above", cylinder((1, 0, 5), Z, 1.0, 10.0))
    truth = np.hypot(5.0 - 2.0, 3.0)
    pair = MovedPair(port, above, truth, 6.0, 0.1)
    moves = np.array([[0.0, 0.0, 0.0], [-0.1, 0.0, 0.0], [0.0, 0.0, 0.1]])
    sharp, a, b = pair.exact(Motion(moves), still(3), np.inf)
    expected = [truth, np.hypot(2.9, 3.0), np.hypot(3.0, 2.9)]
    assert sharp.upper == pytest.approx(expected, abs=1e-3)  # chords stand for the round cut end
    assert np.all(sharp.lower <= np.array(expected) + 1e-9)
    assert sharp.lower == pytest.approx(expected, abs=2e-3)
    assert a[0] == pytest.approx((5.0, 0.0, 2.0), abs=0.2)
    assert b[0] == pytest.approx((2.0, 0.0, 5.0), abs=0.2)


@settings(max_examples=30, deadline=None)
@given(
    p=st.tuples(*[st.floats(-3, 3)] * 3),
    d=st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(0.2, 1)),
    n=st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: max(map(abs, v)) > 0.1),
    cut=st.floats(0.5, 4.0),
)
def test_a_support_bound_is_never_below_a_point_of_the_body(p, d, n, cut):
    body = cylinder(p, d, 1.3, 5.0).with_half_space((p[0], p[1], p[2] + cut), Z)
    points = dense(body, 60)
    if len(points) == 0:
        return
    assert support_bound(body, np.array([n]))[0] >= np.max(points @ np.asarray(n)) - 1e-9


def test_the_support_of_a_cut_cylinder_is_reached_on_its_edge():
    """An upright cylinder cut by z <= 2 - x/2: in direction (1, 0, 1)/sqrt 2 it is the point x = -1.. see below.

    On the cut z = 2 - x/2 the sum x + z = 2 + x/2 is largest at x = 1 (radius 1): 2.5.
    """
    body = cylinder((0, 0, -5), Z, 1.0, 30.0).with_half_space((0, 0, 2), (0.5, 0, 1.0))
    n = np.array([[1.0, 0.0, 1.0]]) / np.sqrt(2.0)
    assert support_bound(body, n)[0] == pytest.approx(2.5 / np.sqrt(2.0), abs=1e-12)
    assert support_bound(box((-1, -2, -3), (1, 2, 3)), n)[0] == pytest.approx(4.0 / np.sqrt(2.0), abs=1e-12)
    assert support_bound(half_space((0, 0, 3), Z), np.array([[0.0, 0.0, 2.0]]))[0] == pytest.approx(6.0)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-5, 5), min_size=14, max_size=14))
def test_stretches_against_a_fine_grid(numbers):
    """No point pair of a 200 x 200 grid is nearer, and the two points found are that far apart."""
    p, q = np.array(numbers[:3]), np.array(numbers[3:6])
    d, e = np.array(numbers[6:9]) + 11 * Z, np.array(numbers[9:12]) + 11 * X
    d, e = d / np.linalg.norm(d), e / np.linalg.norm(e)
    one, two = abs(numbers[12]) + 0.5, abs(numbers[13]) + 0.5
    gap, a, b = segments_apart((p[None], d[None], one), (q[None], e[None], two))
    s, t = np.meshgrid(np.linspace(0, one, 200), np.linspace(0, two, 200))
    grid = np.linalg.norm(q + t[..., None] * e - p - s[..., None] * d, axis=-1)
    assert gap[0] <= np.min(grid) + 1e-12
    assert gap[0] >= np.min(grid) - 0.04
    assert np.linalg.norm(b[0] - a[0]) == pytest.approx(gap[0], abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(st.tuples(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1)), st.tuples(*[st.floats(-20, 20)] * 3))
def test_a_motion_is_rigid_and_moves_no_point_further_than_slope_times_distance(slope, point):
    tilt = drilled((7.0, 1.0, 2.0), X, disc(np.array([slope]), Y, Z))
    motion = Motion(np.zeros((1, 3)), tilt)
    there = motion.applied(np.asarray(point))
    arm = np.linalg.norm(np.asarray(point) - tilt.pivot)
    assert np.linalg.norm(there - point) <= np.hypot(*slope) * arm + 1e-12
    assert np.linalg.norm(there - tilt.pivot) == pytest.approx(arm, abs=1e-9)
    assert motion.undone(there)[0] == pytest.approx(point, abs=1e-9)
    moved = motion.body(0, cylinder((0, 1, 2), X, 1.0, 7.0))
    assert moved.axis.direction == pytest.approx(motion.turned(X)[0], abs=1e-12)
    assert moved.axis.at(7.0) == pytest.approx((7.0, 1.0, 2.0), abs=1e-9)  # the start on the face stays


def test_the_pivot_stays_and_the_inner_end_is_off():
    tilt = Tilt((20.0, 0.0, 0.0), (-1.0, 0.0, 0.0), np.array([[0.0, 0.01, 0.0]]))
    motion = Motion(np.zeros((1, 3)), tilt)
    assert motion.applied(np.array([20.0, 0.0, 0.0]))[0] == pytest.approx((20.0, 0.0, 0.0), abs=1e-12)
    assert motion.applied(np.zeros(3))[0][1] == pytest.approx(0.2 / np.hypot(1.0, 0.01), abs=1e-12)
