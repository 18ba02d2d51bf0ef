"""Windows and tangent holes again as solids: the kernel's own patch of a bore's face, and bodies that only touch.

A patch 1e-5 deep, two windows in one bore, a seam through a window: whichever way the bore's face is split, the sum of
its pieces is the opening. The default area of such a face is off by some 1e-5 of it: the adaptive one is used.
"""

from __future__ import annotations

import math

import cadquery as cq
import numpy as np
import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from headparts.errors import KernelError
from headparts.geometry.bodies import Box, Cut, Cylinder
from headparts.geometry.convex import cylinder as convex
from headparts.geometry.opening import opening
from headparts.geometry.void import Void
from headparts.parts import clashes, wrap
from headparts.solids.cut import cut
from headparts.solids.distance import least_distance
from headparts.solids.overlap import common, overlap_volume
from headparts.solids.primitives import box, cylinder
from headparts.solids.proven import proven_cut

ALONG, UP = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)
BORE = Void("bore", "port", (convex((-30, 0, 0), ALONG, 5.0, 60),))


def patch(seam: float, cavity) -> tuple[float, int]:
    """Area of what the kernel finds of the bore's wall in a cavity, adaptive, and in how many faces."""
    tube = cylinder((-30.0, 0.0, 0.0), ALONG, 5.0, 60.0, seam)
    (wall,) = [face for face in cq.Shape.cast(tube).Faces() if face.geomType() == "CYLINDER"]
    found = common(wall, cavity)
    sums = GProp_GProps()
    BRepGProp.SurfaceProperties_s(found, sums, 1e-9)
    return float(sums.Mass()), len(cq.Shape.cast(found).Faces())


def beside(distance: float, seam: float = 0.3):
    """A bore of radius 3 square to the first, its axis ``distance`` away toward y; as a solid and as a void."""
    start = (2.0, distance, -20.0)
    return cylinder(start, UP, 3.0, 40.0, seam), Void("w", "oil", (convex(start, UP, 3.0, 40),))


@pytest.mark.parametrize("depth", [1e-5, 1e-4, 1e-2, 1.0])
def test_a_shallow_window(depth: float) -> None:
    """2 pi d sqrt(r R) to leading order, and the exact opening."""
    solid, void = beside(8.0 - depth)
    area, _ = patch(0.4, solid)
    assert area == pytest.approx(opening(BORE, void, with_volume=False).area, rel=1e-5)
    if depth < 1e-2:
        assert area == pytest.approx(2 * math.pi * depth * math.sqrt(15.0), rel=2e-3)


@pytest.mark.parametrize("short", [1e-5, 1e-3])
def test_what_falls_short_leaves_no_window(short: float) -> None:
    solid, _ = beside(8.0 + short)
    assert patch(0.4, solid)[0] == 0.0
    assert least_distance(
        cylinder((-30.0, 0.0, 0.0), ALONG, 5.0, 60.0), solid, starts=0
    ).value == pytest.approx(short, abs=1e-9)


def test_a_seam_through_the_window_splits_it_and_loses_nothing() -> None:
    """One of 24 seams all round lies in the window: two faces there, and the same area as with any other seam."""
    solid, void = beside(6.5)
    exact = opening(BORE, void, with_volume=False).area
    faces = []
    for seam in np.linspace(0.0, 2.0 * math.pi, 24, endpoint=False):
        area, count = patch(float(seam), solid)
        assert area == pytest.approx(exact, rel=1e-6)
        faces.append(count)
    assert set(faces) == {1, 2}


@pytest.mark.parametrize("seam", [0.0, 0.7, math.pi / 2])
def test_two_windows(seam: float) -> None:
    """A bore of radius 1 right through one of 5: two mouths, their area summed here by the angle."""
    q = (np.arange(400_000) + 0.5) / 400_000 * math.pi - math.pi / 2
    exact = 2 * math.pi * float(np.mean(2 * np.cos(q) ** 2 * 5.0 / np.sqrt(25.0 - np.sin(q) ** 2)))
    area, count = patch(seam, cylinder((2.0, 0.0, -20.0), UP, 1.0, 40.0, 0.3))
    assert area == pytest.approx(exact, rel=1e-6)
    assert count >= 2


@pytest.mark.parametrize("turn", [0.0, 0.4, math.pi / 2])
@pytest.mark.parametrize("seam", [0.0, 1.1])
def test_tangent_bars_share_nothing_and_do_not_clash(turn: float, seam: float) -> None:
    """Parallel, and crossing; side by side with the seam in the line of touch or elsewhere."""
    first = cylinder((0.0, 0.0, -20.0), UP, 5.0, 40.0, seam)
    aside = (8.0 * math.cos(turn), 8.0 * math.sin(turn), -20.0)
    across = (-math.sin(turn), math.cos(turn), 0.0)
    middle = tuple(
        8.0 * c - 20.0 * a for c, a in zip((math.cos(turn), math.sin(turn), 0.0), across, strict=True)
    )
    for other in (cylinder(aside, UP, 3.0, 40.0, 0.2), cylinder(middle, across, 3.0, 40.0, 0.2)):
        assert overlap_volume(first, other) == 0.0
        (result,) = clashes([wrap(first, "a"), wrap(other, "b")])
        assert result.verdict == "clear"
        assert result.clearance.upper == pytest.approx(0.0, abs=1e-7)


def test_a_hole_tangent_to_a_bore_or_to_a_face() -> None:
    """Block 40 x 40 x 20 with a bore of 10 and a tangent hole of 6: right, or refused; never silently wrong."""
    block = Box((-20.0, -20.0, 0.0), (20.0, 20.0, 20.0))
    bore = Cut(Cylinder((0.0, 0.0, -1.0), UP, 5.0, 22.0), name="bore")
    for x in (8.0, 17.0):  # touches the bore; touches the side of the block
        hole = Cut(Cylinder((x, 0.0, -1.0), UP, 3.0, 22.0), name="hole")
        try:
            _, proof = proven_cut(block, [bore, hole], "block")
        except KernelError as refused:
            assert "not be proven" in str(refused)  # noqa: PT017
        else:
            assert proof.volume == pytest.approx(32000.0 - math.pi * 34.0 * 20.0, abs=2e-3)


@pytest.mark.parametrize("step", [1e-7, 1e-6, 1e-4])
def test_a_bar_a_hairs_breadth_smaller_than_its_bore_is_clear(step: float) -> None:
    ring = wrap(cut(box((-9, -9, 0), (9, 9, 20)), [cylinder((0, 0, -1), UP, 5.0, 22.0, 0.9)]), "ring")
    bar = wrap(cylinder((0.0, 0.0, 1.0), UP, 5.0 - step, 18.0), "bar")
    (result,) = clashes([ring, bar])
    assert result.verdict == "clear"
    assert result.clearance.upper == pytest.approx(step, abs=2e-7)
