"""Story AS07: a sleeve covers the hole but fouls the stud.

Stud hole 8.5 with a stud of 8.0, axis gap to the port 11.34, port 15.0, sleeve outer diameter 15.80. The figures
are plain sums of radii; the trap is that the cover of the opening alone passes.
"""

from __future__ import annotations

import pytest

from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.void import Void
from headparts.mechanics.sleeve import rod_clearance

GAP, PORT, HOLE, SLEEVE = 11.34, 15.0, 8.5, 15.80


def rod(name: str, kind: str, x: float, diameter: float, direction: tuple[float, float, float]) -> Void:
    """A round rod through (x, 0, 0), long enough on both sides."""
    start = tuple(place - 30.0 * d for place, d in zip((x, 0.0, 0.0), direction, strict=True))
    return Void(name, kind, (cylinder(start, direction, diameter / 2.0, 60.0),))


def between(first: float, second: float) -> float:
    """Wall of two crossing rods, square to each other, their axes 11.34 apart."""
    along_y, along_z = (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    return wall(rod("a", "port", 0.0, first, along_y), rod("b", "bolt", GAP, second, along_z)).value


def test_the_port_breaks_into_the_stud_hole_by_0_410():
    assert between(PORT, HOLE) == pytest.approx(-0.410, abs=1e-9)


@pytest.mark.parametrize(("stud", "clear"), [(8.0, -0.560), (6.5, 0.190)])
def test_the_sleeve_against_the_stud(stud, clear):
    assert between(SLEEVE, stud) == pytest.approx(clear, abs=1e-9)
    assert rod_clearance(GAP, SLEEVE, stud) == pytest.approx(clear, abs=1e-9)


def test_the_largest_sleeve_that_leaves_0_15_to_the_stud():
    assert rod_clearance(GAP, 14.380, 8.0) == pytest.approx(0.150, abs=1e-9)
    assert between(14.380, 8.0) == pytest.approx(0.150, abs=1e-9)


def test_the_trap_is_the_wall_to_the_hole_that_the_sleeve_takes_over():
    """Judged by the hole alone the sleeve passes: what the stud needs is not asked."""
    assert between(SLEEVE, 8.0) < 0.0 < SLEEVE / 2.0 - PORT / 2.0
