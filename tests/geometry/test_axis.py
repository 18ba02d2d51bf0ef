"""Axes and frames: closed forms by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.axis import (
    Axis,
    Frame,
    angle_between,
    common_perpendicular,
    direction_from_elevation,
    direction_from_tilt,
    perpendicular_pair,
    unit,
)


def test_directions_follow_the_job_file_convention():
    assert direction_from_tilt(0.0, 123.0) == pytest.approx((0.0, 0.0, 1.0), abs=1e-15)
    assert direction_from_tilt(90.0, 90.0) == (0.0, 1.0, 0.0)  # exact at quarters
    assert direction_from_tilt(180.0, 0.0) == (0.0, 0.0, -1.0)
    sine, cosine = math.sin(math.radians(12)), math.cos(math.radians(12))
    assert direction_from_elevation(-90.0, 12.0) == pytest.approx((0.0, -cosine, sine), abs=1e-15)
    # tilt 60 is elevation 30
    assert direction_from_tilt(60.0, 40.0) == pytest.approx(direction_from_elevation(40.0, 30.0), abs=1e-15)


def test_common_perpendicular_of_skew_lines_by_hand():
    # X axis, and a line along Y at height 5 through x = 3: gap 5, square, feet at 3 and at 2 before its point
    first = Axis((0, 0, 0), (1, 0, 0), 10)
    second = Axis((3, 2, 5), (0, 1, 0), 10)
    assert common_perpendicular(first, second) == pytest.approx((5.0, 90.0, 3.0, -2.0), abs=1e-14)


def test_common_perpendicular_of_parallel_lines_uses_the_shared_stretch():
    first = Axis((0, 0, 0), (0, 0, 1), 10)
    second = Axis((3, 4, 16), (0, 0, -1), 12)  # runs from z 16 down to 4: shared 4..10, middle 7
    gap, angle, foot_a, foot_b = common_perpendicular(first, second)
    assert (gap, angle, foot_a, foot_b) == pytest.approx((5.0, 0.0, 7.0, 9.0), abs=1e-14)


@pytest.mark.parametrize("seed", range(20))
def test_common_perpendicular_is_the_least_distance(seed):
    rng = np.random.default_rng(seed)
    a = Axis(rng.normal(size=3) * 10, unit(rng.normal(size=3)))
    b = Axis(rng.normal(size=3) * 10, unit(rng.normal(size=3)))
    gap, angle, foot_a, foot_b = common_perpendicular(a, b)
    pa, pb = np.array(a.at(foot_a)), np.array(b.at(foot_b))
    assert np.linalg.norm(pa - pb) == pytest.approx(gap, abs=1e-9)
    assert abs((pa - pb) @ a.direction) < 1e-9
    assert abs((pa - pb) @ b.direction) < 1e-9
    assert math.cos(math.radians(angle)) == pytest.approx(abs(np.dot(a.direction, b.direction)), abs=1e-12)


def test_frame_there_and_back():
    frame = Frame.from_z_x((1, 2, 3), direction_from_tilt(15, 40), (1, 0, 0))
    points = np.random.default_rng(1).normal(size=(50, 3))
    assert np.allclose(frame.to_local(frame.to_world(points)), points, atol=1e-12)
    assert frame.to_world((0, 0, 2)) == pytest.approx(np.array([1, 2, 3]) + 2 * np.array(frame.z), abs=1e-14)
    assert np.allclose(frame.rotate_back(frame.rotate(points)), points, atol=1e-12)


def test_perpendicular_pair_is_right_handed():
    for d in ((0, 0, 1), (1, 0, 0), (1, 2, 3), (0, -1, 1e-9)):
        u, v = perpendicular_pair(d)
        assert np.allclose(np.cross(u, v), unit(d), atol=1e-14)


@pytest.mark.parametrize(
    "call",
    [
        lambda: unit((0, 0, 0)),
        lambda: Axis((0, 0, 0), (0, 0, 1), 0.0),
        lambda: Axis((0, math.nan, 0), (0, 0, 1)),
        lambda: Axis((0, 0, 0), (0, 0, 1), math.nan),
        lambda: Frame.from_z_x((0, 0, 0), (0, 0, 1), (0, 0, 2)),
        lambda: Frame((0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, -1)),
        lambda: direction_from_tilt(math.inf, 0.0),
    ],
)
def test_impossible_geometry_is_refused(call):
    with pytest.raises(GeometryError):
        call()


def test_angle_between_is_exact_near_zero():
    assert angle_between((1, 0, 0), (1, 1e-9, 0)) == pytest.approx(math.degrees(1e-9), rel=1e-9)
