"""AS11: where to stop the drill of the 26 cc pump job's intake port; the way on its axis stops short.

Drill 10.5 with a 118 degree point, 12 degrees up, bowl wall r 6.3, flange at x = 26, foot at (8.2, -1.2, 10.3).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from headparts.checks.context import Context
from headparts.checks.run import run_checks
from headparts.config import read_job
from headparts.geometry.window import point_height
from headparts.plan import plan_job

ROOT = Path(__file__).resolve().parents[2]
TRAP = 14.911


@pytest.fixture(scope="module")
def plan():
    return plan_job(read_job(ROOT / "configs" / "pump_26cc.yaml"))


@pytest.fixture(scope="module")
def depths(plan):
    rows = run_checks(Context(plan), ("P06",))
    return {row.quantity: row for row in rows if row.subject == "port_intake"}


def test_between_clearing_the_window_and_the_far_wall(plan, depths):
    assert plan.stations["intake"].port.length == pytest.approx(18.198, abs=5e-4)
    assert depths["depth_to_pass"].value == pytest.approx(17.870, abs=5e-4)
    assert depths["depth_to_far_wall"].value == pytest.approx(24.638, abs=5e-4)
    assert depths["depth_window"].value == pytest.approx(24.638 - 17.870, abs=1e-3)
    assert depths["depth_window"].verdict == "pass"


def test_trap_the_wall_on_the_axis_and_the_points_height_leave_crescents(plan, depths):
    """18.198 - 6.3/cos 12 + 5.25/tan 59: the corners are through on top of the bore only, 2.96 short at its sides."""
    port = plan.stations["intake"].port
    on_axis = port.length - 6.3 / port.direction[0] + point_height(5.25, 118.0)
    assert on_axis == pytest.approx(TRAP, abs=5e-4)
    assert depths["depth_to_pass"].value - on_axis == pytest.approx(2.96, abs=5e-3)
