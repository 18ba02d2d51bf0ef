"""Laying a body on another by three points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from headparts.errors import GeometryError
from headparts.geometry.placement import by_three_points

RNG = np.random.default_rng(11)


def test_a_rigid_motion_is_found_again() -> None:
    for _ in range(50):
        turn, shift = Rotation.random(random_state=RNG).as_matrix(), RNG.uniform(-50, 50, 3)
        points = RNG.uniform(-30, 30, (3, 3))
        found = by_three_points([(p, turn @ p + shift) for p in points])
        assert np.allclose(found.turn, turn, atol=1e-10)
        assert np.allclose(found.shift, shift, atol=1e-9)
        assert found.off < 1e-9


def test_nothing_is_scaled_or_mirrored_and_the_residuals_are_told() -> None:
    """First on first; the second 0.03 short along the line; the third in the plane, off by (0.1, 0.2)."""
    found = by_three_points(
        [((0, 0, 0), (5, 5, 5)), ((10, 0, 0), (15.03, 5, 5)), ((0, 8, 0), (5.1, 13.2, 5))]
    )
    assert np.allclose(found.turn, np.eye(3), atol=1e-12)
    assert found.residuals == pytest.approx((0.0, 0.03, math.hypot(0.1, 0.2)), abs=1e-12)
    assert found.off == pytest.approx(math.hypot(0.1, 0.2), abs=1e-12)
    assert np.linalg.det(found.turn) == pytest.approx(1.0, abs=1e-12)


def test_points_on_one_line_are_refused() -> None:
    line = [((0, 0, 0), (0, 0, 0)), ((1, 1, 1), (1, 1, 1)), ((2, 2, 2), (2, 2, 2))]
    with pytest.raises(GeometryError, match="one line"):
        by_three_points(line)
