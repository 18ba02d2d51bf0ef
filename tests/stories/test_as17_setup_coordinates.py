"""AS17: the generator's intake bores are set up in a tilted head; where four known points lie on the table."""

from pathlib import Path

import numpy as np
import pytest

from headparts.config import read_job
from headparts.plan import plan_job
from headparts.plan.setups import check_points, setups

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def plan():
    return plan_job(read_job(ROOT / "configs" / "generator_62cc.yaml"))


@pytest.fixture(scope="module")
def setup(plan):
    return next(each for each in setups(plan) if each.name == "setup_bore_intake")


def test_four_points_in_the_set_up(plan, setup):
    tunnel = next(block for block in plan.voids.cavity_blocks if block.name == "tunnel_in")
    points = {
        "bore axis at the joint face": ((0.0, 0.0, 0.0), (-9.338, 0.500, -7.264)),
        "foot of the tunnel": (tunnel.axis.p, (12.782, -24.000, -1.337)),
        "foot of the port": (plan.stations["intake"].port.foot, (0.0, 0.0, 8.5)),
        "exhaust seat point": (plan.stations["exhaust"].axis.point, (-21.488, 0.0, -5.965)),
    }
    for name, (world, local) in points.items():
        found = setup.frame.to_local(np.asarray(world, dtype=float))
        assert list(found) == pytest.approx(local, abs=6e-4), name
        assert list(setup.frame.to_world(found)) == pytest.approx(list(world), abs=1e-12), name


def test_the_sheet_gives_the_same_numbers(plan, setup):
    named = {name: local for name, _, local in check_points(plan, setup)}
    assert named["cylinder axis at the joint face"] == pytest.approx((-9.338, 0.500, -7.264), abs=6e-4)


def test_trap_turned_the_other_way_the_bore_axis_lies_elsewhere(plan, setup):
    """Tilted by -15 degrees instead of 15 the table reads 11.719 instead of 9.338 in x."""
    origin, tilt = np.asarray(setup.frame.origin), np.radians(-15.0)
    wrong = -origin @ np.array([np.cos(tilt), 0.0, -np.sin(tilt)])
    right = setup.frame.to_local(np.zeros(3))[0]
    assert wrong == pytest.approx(-11.719, abs=1e-3)
    assert abs(wrong - right) > 2.0
