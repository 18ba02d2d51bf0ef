"""The polished distance against closed forms."""

from __future__ import annotations

import math

import cadquery as cq
import pytest

from headparts.solids.distance import least_distance
from headparts.solids.primitives import ball, box, cylinder
from headparts.solids.verify import volume


def test_skew_cylinders() -> None:
    a = cylinder((0.0, 0.0, -20.0), (0.0, 0.0, 1.0), 3.0, 40.0)
    b = cylinder((-20.0, 9.0, 5.0), (1.0, 0.0, 0.0), 2.0, 40.0)
    found = least_distance(a, b)
    assert found.value == pytest.approx(4.0, abs=1e-9)
    assert found.at[0] == pytest.approx((0.0, 3.0, 5.0), abs=1e-5)
    assert found.at[1] == pytest.approx((0.0, 7.0, 5.0), abs=1e-5)


def test_oblique_cylinders() -> None:
    """Common perpendicular along x: axis gap 12, whatever the angle."""
    turn = math.radians(35.0)
    a = cylinder((0.0, 0.0, -30.0), (0.0, 0.0, 1.0), 4.0, 60.0)
    d = (0.0, math.sin(turn), math.cos(turn))
    b = cylinder((12.0, -30.0 * d[1], -30.0 * d[2]), d, 3.0, 60.0)
    assert least_distance(a, b).value == pytest.approx(5.0, abs=1e-8)


def test_points_prove_the_value() -> None:
    a, b = box((0.0, 0.0, 0.0), (5.0, 5.0, 5.0)), ball((9.0, 9.0, 9.0), 2.0)
    found = least_distance(a, b)
    assert found.value == pytest.approx(math.sqrt(48.0) - 2.0, abs=1e-9)
    assert math.dist(*found.at) == pytest.approx(found.value, abs=1e-12)
    assert found.value <= found.raw + 1e-12


def test_touching_and_overlapping_are_zero() -> None:
    a = box((0.0, 0.0, 0.0), (5.0, 5.0, 5.0))
    assert least_distance(a, box((5.0, 0.0, 0.0), (6.0, 5.0, 5.0))).value == 0.0
    assert least_distance(a, box((4.0, 0.0, 0.0), (6.0, 5.0, 5.0))).value == 0.0


def test_inputs_are_not_meshed() -> None:
    from OCP.BRep import BRep_Tool
    from OCP.TopLoc import TopLoc_Location

    a, b = cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 3.0, 9.0), ball((9.0, 9.0, 9.0), 2.0)
    before = volume(a)
    least_distance(a, b)
    assert volume(a) == before
    for shape in (a, b):
        for face in cq.Shape.cast(shape).Faces():
            assert BRep_Tool.Triangulation_s(face.wrapped, TopLoc_Location()) is None


def test_a_start_beside_the_surface_is_no_answer() -> None:
    """Concentric balls: mesh points lie inside the inner and the outer surface by different chord errors."""
    shells = [
        cq.Shape.cast(face).Faces()[0] for face in (ball((0.0, 0.0, 0.0), 10.0), ball((0.0, 0.0, 0.0), 8.0))
    ]
    found = least_distance(*shells, deflection=0.3)
    assert found.value == pytest.approx(2.0, abs=1e-9)
    assert [math.hypot(*point) for point in found.at] == pytest.approx([10.0, 8.0], abs=1e-9)
