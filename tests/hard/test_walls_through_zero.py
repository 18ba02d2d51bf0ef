"""Walls that shrink to nothing: parallel holes through zero, tangent holes, equal crossing and coaxial cylinders.

Every number is a closed form. The same pairs as solids: `test_seams_and_presses.py`, `test_lost_material.py`.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.geometry.convex import cylinder, half_space
from headparts.geometry.distance import wall
from headparts.geometry.opening import opening, overlap_volume
from headparts.geometry.thin_area import thin_area
from headparts.geometry.void import Void

EXACT = 1e-9
WALLS = [1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 0.0, -1e-7, -1e-6, -1e-5, -1e-4, -1e-3]
DIRECTIONS = [(0, 0, 1), (1, 0, 0), (0.2, 0.1, 1), (-0.7, 0.4, 0.31)]


def void(*cores, name="v"):
    return Void(name, "oil", tuple(cores))


def beside(direction):
    side = np.cross(direction, (0.3, 1.0, 0.2))
    return side / np.linalg.norm(side)


@pytest.mark.parametrize("direction", DIRECTIONS)
@pytest.mark.parametrize("metal", WALLS)
def test_parallel_holes(metal, direction):
    first = void(cylinder((1, 2, 3), direction, 5.0, 30))
    centre = np.array([1, 2, 3]) + (8.0 + metal) * beside(direction)
    found = wall(first, void(cylinder(centre, direction, 3.0, 30)))
    assert found.value == pytest.approx(metal, abs=EXACT)
    assert found.lower - EXACT <= metal <= found.upper + EXACT
    assert found.proven
    if abs(metal) > EXACT:
        assert math.copysign(1, found.value) == math.copysign(1, metal)
    assert math.dist(*found.at) == pytest.approx(abs(metal), abs=1e-8)


@pytest.mark.parametrize("depth", [1e-3, 1e-5, 1e-7])
def test_parallel_holes_that_overlap_open_along_their_whole_length(depth):
    """Opening: half-angle by the law of cosines; shared volume: lens times length."""
    gap = 8.0 - depth
    bore, well = void(cylinder((0, 0, 0), (0, 0, 1), 5, 30)), void(cylinder((gap, 0, -5), (0, 0, 1), 3, 40))
    # 1 - cos(phi) without cancellation: (r^2 - (gap - R)^2) / (2 R gap)
    phi = 2 * math.asin(math.sqrt(depth * (6 - depth) / (2 * 5 * gap) / 2))
    psi = 2 * math.asin(math.sqrt(depth * (10 - depth) / (2 * 3 * gap) / 2))
    found = opening(bore, well)
    assert found.along == pytest.approx(30, abs=EXACT)
    assert found.area == pytest.approx(2 * 5 * phi * 30, rel=1e-6)
    lens = sum(r * r * (a - math.sin(2 * a) / 2) for r, a in ((5, phi), (3, psi)))
    assert found.overlap_volume == pytest.approx(lens * 30, rel=1e-5)


@pytest.mark.parametrize("direction", DIRECTIONS)
def test_a_hole_tangent_to_another_or_to_a_face_takes_nothing(direction):
    bore = void(cylinder((0, 0, 0), direction, 5.0, 30))
    side = beside(direction)
    across = np.cross(side, direction)
    middle = 15 * np.asarray(direction) / np.linalg.norm(direction)
    for other in (
        half_space(5.0 * side, -side),
        cylinder(8.0 * side, direction, 3.0, 30),
        cylinder(middle + 8.0 * side - 20 * across / np.linalg.norm(across), across, 3.0, 40),
    ):
        found = wall(bore, void(other))
        assert found.value == pytest.approx(0.0, abs=EXACT)
        assert overlap_volume(bore, void(other))[0] == pytest.approx(0.0, abs=1e-9)


def test_a_hole_tangent_from_within():
    """Radius 3 inside radius 5, touching its wall: it must go 5 + 3 - 2 to leave; the wider has no opening."""
    wide, thin = void(cylinder((0, 0, 0), (0, 0, 1), 5, 30)), void(cylinder((2, 0, 0), (0, 0, 1), 3, 30))
    assert wall(wide, thin).value == pytest.approx(-6.0, abs=EXACT)
    assert opening(thin, wide, with_volume=False).area == pytest.approx(2 * math.pi * 3 * 30, rel=1e-6)
    assert overlap_volume(thin, wide)[0] == pytest.approx(math.pi * 9 * 30, rel=1e-6)
    found = opening(wide, thin, with_volume=False)
    assert found is None or found.area < 1e-3


@pytest.mark.parametrize("turn", [0.0, 0.3, math.pi / 4, 1.0])
def test_equal_crossing_cylinders(turn):
    """Two of radius r crossing at right angles (Archimedes): 16/3 r^3 shared, 8 r^2 of each one's surface."""
    r = 5.0
    bore = void(cylinder((-30, 0, 0), (1, 0, 0), r, 60))
    d = np.array([0, math.cos(turn), math.sin(turn)])
    other = void(cylinder(-30 * d, d, r, 60))
    assert wall(bore, other).value == pytest.approx(-2 * r, abs=EXACT)
    found = opening(bore, other)
    assert found.along == pytest.approx(2 * r, abs=1e-8)
    assert found.area == pytest.approx(8 * r * r, rel=1e-6)
    assert found.overlap_volume == pytest.approx(16 / 3 * r**3, rel=1e-6)


@pytest.mark.parametrize("step", [1e-7, 1e-5, 1e-3])
def test_coaxial_radii_that_hardly_differ(step):
    thin, wide = (
        void(cylinder((0, 0, 0), (0, 0, 1), 5, 30)),
        void(cylinder((0, 0, 0), (0, 0, 1), 5 + step, 30)),
    )
    assert wall(thin, wide).value == pytest.approx(-(10 + step), abs=EXACT)
    inside = opening(thin, wide, with_volume=False)
    assert inside.area == pytest.approx(2 * math.pi * 5 * 30, rel=1e-6)
    assert inside.along == pytest.approx(30, abs=EXACT)
    assert opening(wide, thin, with_volume=False) is None
    assert overlap_volume(wide, thin)[0] == pytest.approx(math.pi * 25 * 30, rel=1e-6)


@pytest.mark.parametrize("metal", [1e-3, 0.0, -1e-3])
def test_thin_area_through_zero(metal):
    """Nearer than 0.5: the strip by the law of cosines, whatever the sign of the wall."""
    gap = 8.0 + metal
    found = thin_area(
        void(cylinder((0, 0, 0), (0, 0, 1), 5, 30)), void(cylinder((gap, 0, -5), (0, 0, 1), 3, 40)), 0.5
    )
    strip = math.acos((25 + gap**2 - 3.5**2) / (2 * 5 * gap))
    assert found.value == pytest.approx(2 * 5 * strip * 30, rel=1e-4)
