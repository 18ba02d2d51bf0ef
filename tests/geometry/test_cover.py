"""What a tube leaves bare of the opening in its bore: against sums written here and the kernel's own faces."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import GeometryError
from headparts.geometry.convex import cylinder
from headparts.geometry.opening import cover_of, opening
from headparts.geometry.opening_solve import axis_gap_of_width
from headparts.geometry.void import Void, port_void

R, SMALL, GAP, PLACE = 5.0, 3.0, 6.5, 32.0
BORE = Void("bore", "sleeve_bore", (cylinder((-30, 0, 0), (1, 0, 0), R, 60),))
WELL = Void("well", "oil", (cylinder((2, GAP, -20), (0, 0, 1), SMALL, 40),))


def square_opening(begin, end):
    """Area of the opening of a square crossing that lies before ``begin`` or beyond ``end`` along the bore: every line
    at the angle q from the well's side has the half-width sqrt(r^2 - (gap - R cos q)^2) about the place 32.
    """
    widest = math.acos((GAP - SMALL) / R)
    q = (np.arange(400_000) + 0.5) / 400_000 * 2 * widest - widest
    half = np.sqrt(SMALL**2 - (GAP - R * np.cos(q)) ** 2)
    low, high = PLACE - half, PLACE + half
    bare = np.maximum(np.minimum(high, begin) - low, 0) + np.maximum(high - np.maximum(low, end), 0)
    return R * 2 * widest * float(np.mean(bare))


def flat(begin):
    return lambda radials: np.full(len(radials), begin)


@pytest.mark.parametrize(
    ("begin", "end"), [(32.0, 60.0), (30.5, 60.0), (29.7, 33.9), (0.0, 33.0), (40.0, 60.0)]
)
def test_a_square_ended_tube(begin, end):
    found = cover_of(BORE, WELL, flat(begin), end)
    assert found.uncovered == pytest.approx(square_opening(begin, end), rel=1e-5)
    assert found.area == pytest.approx(opening(BORE, WELL, with_volume=False).area, rel=1e-9)
    reach = math.sqrt(SMALL**2 - (GAP - R) ** 2)
    assert found.least == pytest.approx(PLACE - reach - begin, abs=1e-8)


def test_all_of_it_and_nothing_of_it():
    whole = cover_of(BORE, WELL, flat(60.0), 60.0)
    assert whole.uncovered == pytest.approx(whole.area, rel=1e-9)
    assert cover_of(BORE, WELL, flat(0.0), 60.0).uncovered == 0.0
    aside = Void("well", "oil", (cylinder((2, 9, -20), (0, 0, 1), SMALL, 40),))
    assert cover_of(BORE, aside, flat(0.0)) is None


@pytest.mark.parametrize("saddle", [21.4, 22.5, 24.5])
def test_a_saddle_by_the_kernels_faces(saddle):
    """The generator job's bore of 15.85: what the kernel cuts of the bore's face by the tunnel, and of that patch by
    the saddle's cylinder. A sleeve as wide as its bore.
    """
    import cadquery as cq
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    from headparts.geometry.axis import direction_from_elevation, direction_from_tilt
    from headparts.geometry.chords import hole_chord
    from headparts.geometry.holes import endless_cylinder_hole
    from headparts.solids.overlap import common
    from headparts.solids.primitives import cylinder as solid

    valve = np.array(direction_from_tilt(15.0, 0.0))
    point = np.array((10.90, -0.50, 4.60))
    foot, out = point + 8.5 * valve, np.array(direction_from_elevation(-40.0, 12.0))
    bore = port_void("b", foot, out, 15.85, 34.0, point, valve, 22.0, kind="sleeve_bore")
    tunnel = Void("t", "oil", (cylinder((22.9, -24.5, 0), (0, 0, 1), 5.0, 40),))
    hole = endless_cylinder_hole(point, valve, saddle)
    found = cover_of(bore, tunnel, lambda radials: hole_chord(hole, foot + 7.925 * radials, out)[1], 34.0)

    def of(array):
        return tuple(float(x) for x in array)

    def area(shape):
        sums = GProp_GProps()
        BRepGProp.SurfaceProperties_s(shape, sums, 1e-9)
        return sums.Mass()

    tube = solid(of(foot), of(out), 7.925, 34.0, 0.4)
    lateral = next(face for face in cq.Shape.cast(tube).Faces() if face.geomType() == "CYLINDER")
    patch = common(lateral, solid((22.9, -24.5, 0.0), (0.0, 0.0, 1.0), 5.0, 40.0, 1.1))
    bare = common(patch, solid(of(point - 100 * valve), of(valve), saddle, 200.0, 2.2))
    assert found.area == pytest.approx(area(patch), rel=1e-6)
    assert 0.0 < found.uncovered < found.area
    assert found.uncovered == pytest.approx(area(bare), rel=1e-5)


@pytest.mark.parametrize("angle", [90.0, 78.0, 40.0])
@pytest.mark.parametrize("gap", [7.9, 6.5, 4.0])
def test_the_gap_back_from_the_width(angle, gap):
    """The exact opening's width at a gap, put back, gives the gap."""
    lean = math.radians(angle)
    d = np.array([math.cos(lean), 0, math.sin(lean)])
    well = Void("w", "oil", (cylinder(np.array([0, gap, 0]) - 60 * d, d, SMALL, 120),))
    bore = Void("b", "sleeve_bore", (cylinder((-60, 0, 0), (1, 0, 0), R, 120),))
    found = opening(bore, well, with_volume=False)
    assert axis_gap_of_width(found.around, R, SMALL, angle) == pytest.approx(gap, abs=1e-6)


@pytest.mark.parametrize("around", [0.0, -1.0, 10.001, math.nan])
def test_widths_that_no_bore_has(around):
    with pytest.raises(GeometryError, match="wide"):
        axis_gap_of_width(around, R, SMALL, 90.0)
