"""Penetration: closed forms by hand, bounds, and the translation that really parts the bodies."""

from __future__ import annotations

import numpy as np
import pytest

from headparts.geometry.convex import ball, box, cylinder, half_space
from headparts.geometry.distance import wall
from headparts.geometry.penetration import penetrations
from headparts.geometry.void import Void

CASES = [
    (ball((0, 0, 0), 3), ball((1, 0, 0), 2), 4.0),  # sum of radii less the gap
    (box((0, 0, 0), (10, 10, 10)), box((8, 1, 1), (20, 9, 9)), 2.0),
    (
        cylinder((0, 0, 0), (0, 0, 1), 5, 20),
        cylinder((1, 0, 18), (0, 0, 1), 5, 20),
        2.0,
    ),  # out through the end
    (cylinder((0, 0, 0), (0, 0, 1), 5, 20), cylinder((7, 0, 10), (0, 1, 0), 4, 0.1), 2.0),
    (cylinder((0, 0, 0), (0, 0, 1), 5, 20), half_space((0, 0, 3), (0, 0, 1)), 3.0),
    (half_space((0, 0, 3), (0, 0, 1)), cylinder((0, 0, 0), (0, 0, 1), 5, 20), 3.0),
    (cylinder((0, 0, 0), (0, 0, 1), 5, 20), cylinder((8.999999, 0, 10), (0, 1, 0), 4, 30), 1e-6),
    (cylinder((0, 0, 0), (0, 0, 1), 5, 20), ball((0, 0, 19), 2), 3.0),  # up through the end
]


@pytest.mark.parametrize(("first", "second", "expected"), CASES)
def test_closed_forms(first, second, expected):
    (found,) = penetrations([(first, second)])
    assert found.upper == pytest.approx(expected, abs=1e-9)
    assert expected - 1e-6 <= found.lower <= expected + 1e-12
    # moving the first body back by the depth parts them, by a little less does not
    if first.bound is not None:
        away = -np.array(found.direction)
        parted = wall(
            Void("a", "oil", (first.moved((found.upper + 1e-3) * away),)), Void("b", "oil", (second,))
        )
        assert parted.value == pytest.approx(1e-3, abs=1e-6)


def test_crossing_round_holes_use_the_axis_gap():
    a = Void("a", "port", (cylinder((-20, 0, 0), (1, 0, 0), 5, 40),))
    b = Void("b", "oil", (cylinder((0, 7, -20), (0, 0, 1), 3, 40),))
    found = wall(a, b)
    assert found.value == pytest.approx(-(5 + 3 - 7), abs=1e-12)
    assert found.at[0] == pytest.approx((0, 5, 0), abs=1e-9)
    assert found.at[1] == pytest.approx((0, 4, 0), abs=1e-9)


@pytest.mark.parametrize("gap", [1e-3, 1e-5, 1e-7])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_parallel_holes_through_zero(gap, sign):
    a = Void("a", "oil", (cylinder((0, 0, 0), (0, 0, 1), 4, 20),))
    b = Void("b", "oil", (cylinder((7 + sign * gap, 0, 3), (0, 0, 1), 3, 20),))
    assert wall(a, b).value == pytest.approx(sign * gap, abs=5e-9)


def test_feet_outside_fall_back_to_least_translation():
    """A blind hole that pokes 0.5 into another from the side, its axis pointing at it: the foot lies beyond."""
    a = Void("a", "oil", (cylinder((0, 0, 0), (0, 0, 1), 4, 20),))
    b = Void("b", "oil", (cylinder((10, 0, 10), (-1, 0, 0), 1, 6.5),))
    found = wall(a, b)
    assert found.value == pytest.approx(-0.5, abs=1e-9)
    assert found.method == "least translation"
    assert found.upper - found.lower < 5e-3  # an honest gap where the minimum is flat


@pytest.mark.parametrize("seed", range(6))
def test_depth_against_a_scan_of_directions(seed):
    """The least width over 40,000 directions, by closed-form supports, is never less than the lower bound."""
    rng = np.random.default_rng(seed)
    a = cylinder((0, 0, 0), rng.normal(size=3), 3, 8)
    b = cylinder(np.array(a.axis.at(4)) + rng.normal(size=3) * 0.5, rng.normal(size=3), 2, 6)
    n = rng.normal(size=(40000, 3))
    n /= np.linalg.norm(n, axis=1)[:, None]

    def support(body, n):
        d = np.array(body.axis.direction)
        along = n @ d
        across = np.linalg.norm(n - along[:, None] * d, axis=1)
        return n @ np.array(body.axis.point) + np.maximum(along, 0) * body.axis.length + body.radius * across

    scan = (support(a, n) + support(b, -n)).min()
    (found,) = penetrations([(a, b)])
    assert found.lower <= found.upper <= scan + 1e-9
    assert scan - found.upper < 0.02
    assert found.upper - found.lower < 5e-3  # an honest gap where the minimum is flat
