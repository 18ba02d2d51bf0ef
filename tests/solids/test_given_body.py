"""Cutting a solid from elsewhere: its second route by rays through triangles, and faults that it must catch."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from headparts.errors import KernelError
from headparts.geometry.bodies import Cut, Cylinder
from headparts.geometry.box_tree import BoxTree
from headparts.solids import primitives
from headparts.solids.body_solid import solid_of
from headparts.solids.cut import cut, cut_raw
from headparts.solids.given_body import GivenBody
from headparts.solids.mesh import skin_of
from headparts.solids.proven import proven_cut
from headparts.solids.verify import volume

UP = (0.0, 0.0, 1.0)
ACROSS = Cylinder((-1.0, 20.0, 12.0), (1.0, 0.0, 0.0), 4.0, 60.0)


@pytest.fixture(scope="module")
def bored() -> GivenBody:
    """A block 40 x 40 x 24 with an upright hole of 16 in its middle: not convex, so rays meet it twice."""
    solid = cut(primitives.box((0, 0, 0), (40, 40, 24)), [primitives.cylinder((20, 20, -1), UP, 8.0, 26.0)])
    return GivenBody(solid, skin_of(solid, 0.003))


def crossing(r: float, s: float) -> float:
    """Volume shared by two round bores of radius r < s whose axes cross square: 8 int sqrt((r2-y2)(s2-y2)) dy."""
    y, w = np.polynomial.legendre.leggauss(400)
    half = math.pi / 4.0
    at = r * np.sin(half * (y + 1.0))  # y = r sin a keeps the root smooth
    return float(
        8.0 * (w * half * r**2 * np.cos(half * (y + 1.0)) ** 2 * np.sqrt(s**2 - at**2)) @ np.ones(400)
    )


def test_the_volume_that_a_cut_takes_is_the_closed_form(bored: GivenBody) -> None:
    removed = math.pi * 16.0 * 40.0 - crossing(4.0, 8.0)
    left, allowed = bored.left([Cut(ACROSS)])
    whole = 40.0 * 40.0 * 24.0 - math.pi * 64.0 * 24.0
    assert bored.volume == pytest.approx(whole, rel=1e-9)
    assert whole - left == pytest.approx(removed, rel=2e-3)
    assert abs(whole - left - removed) <= allowed < 0.02 * removed
    found, proof = proven_cut(bored, [Cut(ACROSS, name="across")], "block")
    assert volume(found) == pytest.approx(whole - removed, rel=1e-6)
    assert proof.second_volume == pytest.approx(left)


def test_a_boolean_that_loses_a_tool_is_refused(bored: GivenBody) -> None:
    def forgetful(base: Any, tools: Any) -> Any:
        return cut_raw(base, tools[:1])

    other = Cut(Cylinder((8.0, -1.0, 18.0), (0.0, 1.0, 0.0), 1.5, 60.0), name="second")
    with pytest.raises(KernelError, match=r"volume .* by rays"):
        proven_cut(bored, [Cut(ACROSS, name="across"), other], "block", cutter=forgetful)
    small = Cut(Cylinder((4.0, 4.0, -1.0), UP, 0.3, 26.0), name="small")  # 7 mm3 of 32342
    left, allowed = bored.left([Cut(ACROSS), small])
    assert volume(forgetful(bored.given, [solid_of(ACROSS)])) - left > 5.0 * allowed


def test_points_inside_a_skin(bored: GivenBody) -> None:
    points = np.random.default_rng(2).uniform(-5, 45, (400, 3))
    x, y, z = points.T
    radius = np.hypot(x - 20.0, y - 20.0)
    inside = (points > 0).all(axis=1) & (x < 40) & (y < 40) & (z < 24) & (radius > 8.0)
    clear = np.abs(radius - 8.0) > 0.01
    assert np.array_equal(BoxTree(bored.skin).contains(points)[clear], inside[clear])
    assert inside.sum() > 50
