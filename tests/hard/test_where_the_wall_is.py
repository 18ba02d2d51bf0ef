"""Where a wall is measured: over a dome's apex, below the joint face, in the chamber, along a face, at edges.

A thickness field of any solid does not exist yet; what stands for "constant shells" here is walls that are
equally thick over a whole face, where the place is not unique.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.convex import Convex, box, cylinder, half_space
from headparts.geometry.crossed import crossed, length_inside
from headparts.geometry.distance import wall
from headparts.geometry.holes import disc_hole, dome_hole
from headparts.geometry.outside import outside_void
from headparts.geometry.void import Void, chamber_void, round_void

EXACT = 1e-9


def void(*cores, holes=(), name="v"):
    return Void(name, "oil", tuple(cores), tuple(holes))


def test_a_hole_over_the_apex_of_a_dome():
    """120 holes over it, at any angle: distance of the ball's centre from the axis, less both radii."""
    dome = dome_hole(23.0, 7.2)
    ball_radius, sink = dome.radius, dome.centre[2]
    rng = np.random.default_rng(21)
    worst = 0.0
    for k in range(120):
        azimuth, rise = rng.uniform(0, 2 * math.pi), rng.uniform(-0.15, 0.15) * (k > 0)
        d = np.array([math.cos(azimuth) * math.cos(rise), math.sin(azimuth) * math.cos(rise), math.sin(rise)])
        through = np.array([*rng.uniform(-2, 2, 2) * (k > 0), 7.2 + rng.uniform(2.6, 6.0)])
        hole = round_void("hole", "oil", through - 30 * d, d, 4.0, 60.0)
        offset = through - np.array([0, 0, sink])
        apart = float(np.linalg.norm(offset - (offset @ d) * d))
        found = wall(hole, chamber_void(dome))
        assert found.proven
        worst = max(worst, abs(found.value - (apart - ball_radius - 2.0)))
    assert worst <= EXACT


def test_the_apex_itself_is_the_witness():
    found = wall(
        round_void("hole", "oil", (-30, 0, 12.2), (1, 0, 0), 4.0, 60.0), chamber_void(dome_hole(23.0, 7.2))
    )
    assert found.value == pytest.approx(3.0, abs=EXACT)
    assert found.at[0] == pytest.approx((0, 0, 10.2), abs=1e-4)
    assert found.at[1] == pytest.approx((0, 0, 7.2), abs=1e-4)


def test_what_lies_below_the_joint_face_is_no_wall():
    """Two holes that near each other downward, 20 deg off upright: the wall is at z = 0, not at their ends."""
    lean = math.radians(20)
    left, right = (
        round_void("h", "oil", (side * 6.0, 0, 0) - 10 * d, d, 4.0, 40.0)
        for side, d in (
            (-1, np.array([-math.sin(lean), 0, math.cos(lean)])),
            (1, np.array([math.sin(lean), 0, math.cos(lean)])),
        )
    )
    found = wall(left, right)
    assert found.value == pytest.approx(2 * (6.0 - 2.0 / math.cos(lean)), abs=EXACT)
    assert found.at[0][2] == pytest.approx(0.0, abs=1e-8)
    whole = wall(
        *(
            Void("h", "oil", (cylinder(v.cores[0].axis.point, v.cores[0].axis.direction, 2.0, 40.0),))
            for v in (left, right)
        )
    )
    assert whole.value < found.value - 1.0  # the trap


def test_what_lies_in_the_chamber_is_no_wall():
    """The same holes under a flat roof at z 3: there they are 3 tan(20) further apart on each side."""
    lean = math.radians(20)
    roof = disc_hole(60, 3.0)
    left, right = (
        round_void(
            "h", "oil", (side * 6.0, 0, 0), (side * math.sin(lean), 0, math.cos(lean)), 4.0, 40.0, (roof,)
        )
        for side in (-1, 1)
    )
    found = wall(left, right)
    assert found.value == pytest.approx(2 * (6.0 - 2.0 / math.cos(lean) + 3 * math.tan(lean)), abs=1e-6)
    assert found.at[0][2] == pytest.approx(3.0, abs=1e-4)


@pytest.mark.parametrize("metal", [2.0, 1e-3, 1e-7, 0.0, -1e-3])
def test_along_a_face(metal):
    """A hole parallel to the casting's side: equally thick over its whole length, no single place."""
    hole = round_void("h", "oil", (30 - 2.5 - metal, -20, 15), (0, 1, 0), 5.0, 30.0)
    found = wall(hole, outside_void((-30, -29, 0), (30, 29, 40)))
    assert found.value == pytest.approx(metal, abs=EXACT)
    assert found.proven
    if metal > 0:
        first, second = found.at
        assert hole.contains(first, 1e-8)
        assert second[0] == pytest.approx(30, abs=1e-8)
        assert -20 - 1e-8 <= first[1] <= 10 + 1e-8


@pytest.mark.parametrize("metal", [1.0, 1e-4, 0.0, -1e-4])
@pytest.mark.parametrize("turn", [(0, 0, 1), (0.3, -0.2, 1)])
def test_equally_thick_over_a_whole_flat_end(metal, turn):
    d = np.asarray(turn, float) / np.linalg.norm(turn)
    hole = void(cylinder(metal * d, d, 4.0, 10.0))
    assert wall(hole, void(half_space((0, 0, 0), d))).value == pytest.approx(metal, abs=1e-8)
    if turn == (0, 0, 1):
        floor = void(box((-9, -9, -5), (9, 9, 0)))
        assert wall(hole, floor).value == pytest.approx(metal, abs=EXACT)


@pytest.mark.parametrize("half", [5.0, 30.0, 45.0, 80.0])
def test_the_edge_of_a_wedge(half):
    """A wedge of half-angle ``half`` whose edge is the z axis, opening along -x: a hole before its edge, and beside
    a flank. Before the edge the wall is to the edge, beside it square to the flank.
    """
    a = math.radians(half)
    wedge = Convex()
    for side in (1, -1):
        wedge = wedge.with_half_space((0, 0, 0), (math.sin(a), side * math.cos(a), 0))
    before = void(cylinder((5, 0.5, -10), (0, 0, 1), 2.0, 20))
    assert wall(before, void(wedge)).value == pytest.approx(math.hypot(5, 0.5) - 2.0, abs=EXACT)
    flank, out = np.array([-math.cos(a), math.sin(a), 0]), np.array([math.sin(a), math.cos(a), 0])
    centre = 7 * flank + 3.25 * out + np.array([0, 0, -10])
    assert wall(void(cylinder(centre, (0, 0, 1), 2.0, 20)), void(wedge)).value == pytest.approx(
        1.25, abs=EXACT
    )
    across = void(cylinder((3, 0, 0) - 20 * np.array([0, 1, 1]) / math.sqrt(2), (0, 1, 1), 2.0, 40))
    assert wall(across, void(wedge)).value == pytest.approx(1.0, abs=EXACT)


def test_a_corner_of_the_casting():
    """A hole near an upright edge of the outline: the nearer side counts, not the edge."""
    hole = round_void("h", "oil", (26.0, 25.5, 0), (0, 0, 1), 4.0, 30.0)
    outside = outside_void((-30, -29, 0), (30, 29, 40), skip=("top",))
    assert wall(hole, outside).value == pytest.approx(29 - 25.5 - 2.0, abs=EXACT)


def test_a_wall_across_another_void_is_told_apart():
    """Two upright holes 20 apart with a third of 6 between them: 4 mm of metal, not 10."""
    left, right = (round_void("h", "oil", (x, 0, 0), (0, 0, 1), 10.0, 30.0) for x in (-10, 10))
    between = round_void("between", "gas", (1, 0, 0), (0, 0, 1), 6.0, 30.0)
    aside = round_void("aside", "gas", (0, 9, 0), (0, 0, 1), 6.0, 30.0)
    found = wall(left, right)
    assert found.value == pytest.approx(10.0, abs=EXACT)
    assert length_inside(*found.at, between) == pytest.approx(6.0, abs=1e-6)
    assert crossed(*found.at, [aside, between]) == ("between",)
    assert crossed(*found.at, [left, right, aside]) == ()  # it starts and ends there, and passes the third by


def test_a_line_off_the_middle_of_a_void():
    """Chord of a circle of radius 3 at the distance 2, of a slanted line: 2 sqrt(5), over the cosine of its rise."""
    void_ = round_void("v", "gas", (0, 0, 0), (0, 0, 1), 6.0, 30.0)
    found = length_inside((-10, 2, 5), (10, 2, 20), void_)
    assert found == pytest.approx(2 * math.sqrt(5) * math.hypot(20, 15) / 20, abs=EXACT)
    assert length_inside((-10, 3.0, 5), (10, 3.0, 5), void_) == pytest.approx(0.0, abs=EXACT)
    assert length_inside((-10, 2, 5), (0, 2, 5), void_) == pytest.approx(
        math.sqrt(5), abs=EXACT
    )  # ends inside
    assert length_inside((1, 1, 1), (1, 1, 1), void_) == 0.0


def test_a_line_through_the_part_of_a_void_that_the_chamber_took():
    """What the chamber took belongs to the chamber: the hole's chord begins above the roof at z 3."""
    void_ = round_void("v", "gas", (0, 0, 0), (0, 0, 1), 6.0, 30.0, (disc_hole(60, 3.0),))
    assert length_inside((0, 0, 1), (0, 0, 9), void_) == pytest.approx(6.0, abs=EXACT)
    assert length_inside((-10, 0, 2), (10, 0, 2), void_) == 0.0


def test_a_witness_outside_the_block():
    """Two holes that come nearest beyond the casting's side: the line between their nearest points is in the open."""
    d, e = np.array([1, 0.1, 0]), np.array([1, -0.1, 0])
    first = round_void("a", "oil", (0, -6, 15), d, 4.0, 36.0)
    second = round_void("b", "oil", (0, 6, 15), e, 4.0, 36.0)
    outside = outside_void((-30, -29, 0), (30, 29, 40))
    found = wall(first, second)
    assert found.at[0][0] > 30.0
    assert length_inside(*found.at, outside) == pytest.approx(found.value, abs=1e-6)
    assert crossed(*found.at, [outside]) == ("outside",)
