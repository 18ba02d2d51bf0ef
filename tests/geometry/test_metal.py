"""Which metal lies on a line, and the metal that is really there, against closed forms written beside each case."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.convex import cylinder, frustum
from headparts.geometry.distance import wall
from headparts.geometry.holes import bathtub_hole, dome_hole
from headparts.geometry.metal import DEPTH, lines, shrunk, stretches
from headparts.geometry.metal_search import slid, straight_metal, wall_within, within
from headparts.geometry.outside import casting_pieces, fin_gaps, outside_void
from headparts.geometry.void import Void, chamber_void, port_void, round_void

EXACT = 1e-9
UP = (0, 0, 1)
LOWER, UPPER = (-30, -29, 0), (30, 29, 40)


def upright(name, x, y, diameter, length=40.0):
    return round_void(name, "oil", (x, y, 0), UP, diameter, length)


def test_across_a_third_void():
    """Holes of 10 at x -10 and 10, one of 6 at x 1 between them: from -5, 3 of metal, 6 of hole, 1 of metal, to 5."""
    left, right, between = (
        upright("left", -10, 0, 10),
        upright("right", 10, 0, 10),
        upright("between", 1, 0, 6),
    )
    (line,) = lines([wall(left, right).at], [("left", "right")], [left, between, right])
    assert line.length == pytest.approx(10.0, abs=EXACT)
    assert line.through == ("between",)
    assert [(s.between, s.start, s.end) for s in line.spans] == [
        (("left", "between"), pytest.approx(0.0, abs=EXACT), pytest.approx(3.0, abs=EXACT)),
        (("between", "right"), pytest.approx(9.0, abs=EXACT), pytest.approx(10.0, abs=EXACT)),
    ]
    assert line.metal == pytest.approx(4.0, abs=EXACT)
    assert line.thinnest.between == ("between", "right")


def test_two_voids_that_lie_over_each_other_are_counted_once():
    """Of 12 mm a void takes 2 to 6, a later one 4 to 9: its own part is 6 to 9, and 2 + 3 of metal are left."""
    first, second = upright("first", 4, 0, 4), upright("second", 6.5, 0, 5)
    (line,) = lines([((0, 0, 9), (12, 0, 9))], [("a", "b")], [first, second])
    assert [(c.name, c.start, c.end) for c in line.crossings] == [
        ("first", pytest.approx(2.0), pytest.approx(6.0)),
        ("second", pytest.approx(6.0), pytest.approx(9.0)),
    ]
    assert line.metal == pytest.approx(5.0, abs=EXACT)
    (other,) = lines([((0, 0, 9), (12, 0, 9))], [("a", "b")], [second, first])
    assert other.metal == pytest.approx(5.0, abs=EXACT)
    assert [c.name for c in other.crossings] == ["first", "second"]


def test_several_lines_in_one_go_are_the_same_as_one_by_one():
    """Random lines through a head's kinds of voids, sampled: the share of 4000 points of each that lie in one."""
    rng = np.random.default_rng(5)
    dome = dome_hole(23.0, 7.2)
    voids = [
        outside_void(LOWER, UPPER, (-20, 20), (-19, 19), ((10, 30), 5.0, 2.0)),
        chamber_void(dome),
        Void(
            "point",
            "thread",
            (cylinder((9, 3, 40), (0, 0, -1), 3, 20), frustum((9, 3, 20), (0, 0, -1), 3, 0, 2)),
        ),
        port_void("port", (-8, 0, 14), (-1, 0.2, 0.1), 11, 40, (-8, 0, 3), (0.2, 0, 1), 18, (dome,)),
        chamber_void(bathtub_hole(18, 12, 4, 3)),
    ]
    points = [tuple(map(tuple, pair)) for pair in rng.uniform((-33, -32, -2), (33, 32, 43), (60, 2, 3))]
    shares = (np.arange(4000) + 0.5) / 4000
    for void in voids:
        start, end = (np.array([pair[k] for pair in points]) for k in (0, 1))
        size = np.linalg.norm(end - start, axis=1)
        found = stretches(void, start, (end - start) / size[:, None], size)
        for k in range(len(points)):
            at = shares * size[k]
            inside = np.any([(low[k] < at) & (at < high[k]) for low, high in found], axis=0)
            sampled = void.contains(start[k] + shares[:, None] * (end[k] - start[k]))
            assert np.count_nonzero(inside != sampled) <= 2 * len(found)
    together = lines(points, [("", "")] * len(points), voids)
    for pair, line in zip(points, together, strict=True):
        (alone,) = lines([pair], [("", "")], voids)
        assert line.metal == pytest.approx(alone.metal, abs=EXACT)
        x = np.asarray(pair[0]) + shares[:, None] * (np.asarray(pair[1]) - np.asarray(pair[0]))
        open_ = np.any([void.contains(x) for void in voids], axis=0)
        assert line.metal == pytest.approx(line.length * float(np.mean(~open_)), abs=line.length * 3e-3)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ((30, -9, 20), (30, 9, 20)),  # on a side of the casting
        ((30, 29, 5), (30, 29, 35)),  # on its edge
        ((-9, 0, 40), (9, 3, 40)),  # on its top
        ((5, 0, 3), (5, 0, 33)),  # along a bore's generator
        ((-8, 5, 12), (14, 5, 12)),  # touching the bore from outside
    ],
)
def test_a_line_along_a_face_is_in_metal(first, second):
    voids = [outside_void(LOWER, UPPER), upright("bore", 0, 0, 10)]
    (line,) = lines([(first, second)], [("", "")], voids)
    assert line.in_metal
    assert line.metal == pytest.approx(math.dist(first, second), abs=EXACT)


@pytest.mark.parametrize("deeper", [0.5 * DEPTH, 2.0 * DEPTH])
def test_how_deep_a_line_may_run_in_a_face(deeper):
    voids = [outside_void(LOWER, UPPER)]
    (line,) = lines([((30 + deeper, 0, 5), (30 + deeper, 0, 9))], [("", "")], voids)
    assert line.in_metal is (deeper < DEPTH)


def test_a_dome_between_two_bores():
    """Two points of a ball's surface are joined through the ball, not through the metal above it."""
    dome = dome_hole(23.0, 7.2)
    z = dome.centre[2] + math.sqrt(dome.radius**2 - 9)
    (line,) = lines([((-3, 0, z), (3, 0, z))], [("a", "b")], [chamber_void(dome)])
    assert line.through == ("chamber",)
    assert line.metal == 0.0
    assert line.thinnest is None


def test_the_nearest_points_lie_outside_the_block():
    """Two holes of 4 that near each other by 0.1 a mm each way, and meet the side x = 30 at y -3 and 3: there the
    section of each is an ellipse, 2 sqrt(1.01) high: 6 less two of them.
    """
    first, second = (
        round_void(name, "oil", (0, y, 15), (1, -y / 60.0, 0), 4.0, 36.0)
        for name, y in (("first", -6.0), ("second", 6.0))
    )
    plain = wall(first, second)
    inside = wall_within(first, second, casting_pieces(LOWER, UPPER))
    exact = 6.0 - 4.0 * math.sqrt(1.01)
    assert inside.value == pytest.approx(exact, abs=1e-8)
    assert plain.value < exact - 1.0
    assert max(point[0] for point in inside.at) == pytest.approx(30.0, abs=1e-6)
    (line,) = lines([plain.at], [("first", "second")], [outside_void(LOWER, UPPER)])
    assert line.through == ("outside",)
    (again,) = lines([inside.at], [("first", "second")], [outside_void(LOWER, UPPER)])
    assert again.in_metal


def test_holes_that_meet_outside_the_block_alone():
    """The same holes, 80 long: they cross at x 60; in the block they are as far apart as before."""
    first, second = (round_void("h", "oil", (0, y, 15), (1, -y / 60.0, 0), 4.0, 80.0) for y in (-6.0, 6.0))
    assert wall(first, second).value < -3.0
    inside = wall_within(first, second, casting_pieces(LOWER, UPPER))
    assert inside.value == pytest.approx(6.0 - 4.0 * math.sqrt(1.01), abs=1e-8)


def test_the_nearest_points_lie_in_a_fin_gap():
    """Fins of 2 every 5 from z 10; beyond the core two holes lean toward each other by 20 deg and end in the gap 12
    to 15: the metal ends at z 12, where each section is r / cos(20) wide.
    """
    core, fins = ((-20, 20), (-19, 19)), ((10, 30), 5.0, 2.0)
    lean = math.radians(20)
    first, second = (
        round_void("h", "oil", (x, 24, 0), (-x * math.tan(lean) / 10.0, 0, 1), 4.0, 13.5 / math.cos(lean))
        for x in (-10.0, 10.0)
    )
    casting = casting_pieces(LOWER, UPPER, *core, fins)
    exact = 2 * (10.0 - 12.0 * math.tan(lean) - 2.0 / math.cos(lean))
    plain, inside = wall(first, second), wall_within(first, second, casting)
    assert inside.value == pytest.approx(exact, abs=1e-8)
    assert plain.value < exact - 0.5
    (line,) = lines([plain.at], [("a", "b")], [outside_void(LOWER, UPPER, *core, fins)])
    assert line.through == ("outside",)
    in_core = [round_void("h", "oil", (x, 5, 0), UP, 4.0, 40.0) for x in (-6.0, 6.0)]
    assert wall_within(*in_core, casting).value == pytest.approx(8.0, abs=EXACT)


def test_a_void_wholly_outside_the_casting():
    casting = casting_pieces(LOWER, UPPER)
    assert within(round_void("h", "oil", (40, 0, 0), UP, 4.0, 40.0), casting) is None
    assert (
        wall_within(upright("a", 0, 0, 4), round_void("h", "oil", (40, 0, 0), UP, 4.0, 9.0), casting) is None
    )


def test_the_casting_and_its_outside_fill_space_once():
    """Random points: in one of the casting's boxes or outside it, never both (faces aside)."""
    core, fins = ((-20, 22), (-19, 18)), ((8, 31.5), 5.0, 2.0)
    points = np.random.default_rng(3).uniform((-35, -34, 0.1), (35, 34, 45), (20_000, 3))
    metal = np.any([box.contains(points) for box in casting_pieces(LOWER, UPPER, *core, fins)], axis=0)
    air = outside_void(LOWER, UPPER, *core, fins).contains(points)
    assert np.array_equal(metal, ~air)
    assert len(fin_gaps(*fins)) == 5


def test_straight_through_metal_beside_a_hole():
    """Circles of 5 at x -10 and 10, one of 3 between them: the line that touches it, y = 3, is
    20 less 2 sqrt(25 - 9) = 12 long; by its second derivative (78 - 20 > 0) no tilted one is shorter.
    """
    left, right, between = upright("l", -10, 0, 10), upright("r", 10, 0, 10), upright("b", 0, 0, 6)
    found = straight_metal(left, right, [between], wall(left, right).at)
    assert found.length == pytest.approx(12.0, abs=2e-3)
    assert found.length >= 12.0 - 1e-3
    assert math.dist(*found.at) == pytest.approx(found.length, abs=1e-9)
    (line,) = lines([found.at], [("l", "r")], [between])
    assert line.in_metal


def test_no_straight_line_through_metal():
    """A cross wall of air, as wide as the search goes."""
    left, right = upright("l", -10, 0, 10), upright("r", 10, 0, 10)
    split = Void("split", "oil", (casting_pieces((-1, -500, -500), (1, 500, 500))[0],))
    assert straight_metal(left, right, [split], wall(left, right).at) is None


def test_what_is_as_thick_elsewhere_is_measured_in_metal():
    """Parallel holes with a cross hole between them at the height where they were measured: as thick above it."""
    left, right = upright("l", -10, 0, 10), upright("r", 10, 0, 10)
    cross = round_void("c", "oil", (0, -29, 20), (0, 1, 0), 6.0, 58.0)
    at = ((-5.0, 0.0, 20.0), (5.0, 0.0, 20.0))
    moved = slid(left, right, at, [cross])
    assert abs(moved[0][2] - 20.0) >= 3.0 - 1e-6
    assert moved[0][2] == pytest.approx(moved[1][2], abs=1e-12)
    assert math.dist(*moved) == pytest.approx(10.0, abs=EXACT)
    assert lines([moved], [("l", "r")], [cross])[0].in_metal
    tall = round_void("t", "oil", (0, 0, 0), UP, 6.0, 40.0)
    assert slid(left, right, at, [tall]) is None


def test_shrinking_a_void_moves_every_face_in():
    """Points within 0.1 of the faces leave, deeper ones stay; a cone's side moves square to itself."""
    cone = Void("c", "oil", (frustum((0, 0, 0), UP, 4.0, 1.0, 6.0),), (dome_hole(5.0, 1.0),))
    less = shrunk(cone, 0.1)
    points = np.random.default_rng(4).uniform((-5, -5, -1), (5, 5, 7), (40_000, 3))
    depth = np.minimum(-cone.cores[0].violation(points), -cone.holes[0].depth(points))
    assert np.array_equal(less.contains(points, 0.0), depth >= 0.1)
