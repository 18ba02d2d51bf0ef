"""AS01: a leaning tunnel that looks far away in plan and is not.

Numbers worked out apart from this package (closed forms; brute-force sampling agrees): wall 0.637 mm.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.axis import Axis, common_perpendicular, direction_from_tilt
from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.void import Void, round_void

LIMIT = 1.2
BORE = Void("body_bore_intake", "bore", (cylinder((9.0, 0.0, 4.0), (0, 0, 1), 8.5, 18.0),))
DIRECTION = direction_from_tilt(16.0, 135.0)
LENGTH = 30.0 / math.cos(math.radians(16.0))
TUNNEL = round_void("tunnel", "oil", (23.0, -13.0, 0.0), DIRECTION, 7.0, LENGTH)


def test_the_wall_is_found_between_the_solids():
    found = wall(BORE, TUNNEL)
    assert found.value == pytest.approx(0.637, abs=0.002)
    assert found.value < LIMIT
    assert found.proven
    assert found.upper - found.lower <= 1e-9
    # the witness on the bore is on its upper rim, where nobody looks in plan
    assert found.at[0][2] == pytest.approx(22.0, abs=1e-6)


def test_trap_plan_at_the_joint_face_says_pass():
    plan = math.dist((9.0, 0.0), (23.0, -13.0)) - 8.5 - 3.5
    assert plan == pytest.approx(7.105, abs=0.002)
    assert plan > LIMIT
    assert wall(BORE, TUNNEL).value < plan - 6.0


def test_trap_infinite_lines_say_nonsense():
    gap, _, foot, _ = common_perpendicular(
        Axis((9, 0, 4), (0, 0, 1), 18), Axis((23, -13, 0), DIRECTION, LENGTH)
    )
    assert gap - 12.0 == pytest.approx(-11.293, abs=0.002)
    assert 4.0 + foot == pytest.approx(66.6, abs=0.1)  # far above the casting


def test_brute_force_sampling_agrees():
    """Points of both curved surfaces and ends, no method in common with the solver."""
    q = np.linspace(0, 2 * math.pi, 721)
    z = np.linspace(4, 22, 73)
    rim = np.stack([9 + 8.5 * np.cos(q), 8.5 * np.sin(q)], axis=1)
    bore = np.array([(x, y, h) for h in z for x, y in rim])
    d = np.array(DIRECTION)
    offset = bore - np.array([23.0, -13.0, 0.0])
    along = np.clip(offset @ d, 0.0, LENGTH)  # the tunnel's ends lie above and below the bore's ends
    sampled = (np.linalg.norm(offset - along[:, None] * d, axis=1) - 3.5).min()
    assert wall(BORE, TUNNEL).value == pytest.approx(sampled, abs=2e-3)
    assert wall(BORE, TUNNEL).value <= sampled + 1e-9
