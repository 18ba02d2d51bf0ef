"""Stripping threads: areas by slicing the overlap of both profiles, engagement by a separate calculation."""

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.thread_strip import (
    bolt_shear_area,
    engagement_for_bolt,
    nut_shear_area,
    stripping_force,
)
from headparts.tables.threads import metric_thread


def tooth_width(diameter, pitch_diameter, pitch, bolt):
    """Axial width of one 60 degree tooth on a cylinder: half a pitch at its pitch diameter, flanks 30 degrees."""
    radial = (diameter - pitch_diameter) / 2
    half_gained = radial * math.tan(math.radians(30.0))
    return pitch / 2 + (-2 if bolt else 2) * half_gained


@pytest.mark.parametrize("name", ["M4", "M6", "M10x1", "M12x1.25"])
def test_areas_are_tooth_widths_round_the_cylinder(name):
    thread = metric_thread(name)
    turns = 9.0 / thread.pitch
    on = thread.bolt_major[0]
    nut = math.pi * on * turns * tooth_width(on, thread.nut_pitch[1], thread.pitch, bolt=False)
    assert nut_shear_area(9.0, on, thread.nut_pitch[1], thread.pitch) == pytest.approx(nut, rel=1e-12)
    on = thread.nut_minor[1]
    bolt = math.pi * on * turns * tooth_width(on, thread.bolt_pitch[0], thread.pitch, bolt=True)
    assert bolt_shear_area(9.0, on, thread.bolt_pitch[0], thread.pitch) == pytest.approx(bolt, rel=1e-12)


# worked independently with shear = 0.577 tensile: bolt of 800 MPa in a casting of 234 MPa, and of equal metals
WORKED = [
    ("M3", 0.74, 5.38), ("M4", 0.69, 6.70), ("M5", 0.69, 8.41), ("M6", 0.67, 9.78), ("M8", 0.65, 12.89),
    ("M10", 0.65, 16.00), ("M10x1", 0.73, 18.55), ("M12x1.25", 0.70, 21.68),
]  # fmt: skip


@pytest.mark.parametrize(("name", "equal", "cast"), WORKED)
def test_engagement_at_which_bolt_and_thread_fail_together(name, equal, cast):
    thread = metric_thread(name)
    nut = nut_shear_area(1.0, thread.bolt_major[0], thread.nut_pitch[1], thread.pitch)
    bolt = bolt_shear_area(1.0, thread.nut_minor[1], thread.bolt_pitch[0], thread.pitch)
    assert engagement_for_bolt(thread.stress_area * 800.0, nut, 234.0, 0.577) == pytest.approx(cast, abs=6e-3)
    same = engagement_for_bolt(thread.stress_area * 500.0, bolt, 500.0, 0.577)
    assert same / thread.diameter == pytest.approx(equal, abs=6e-3)


def test_force_at_the_engagement_is_the_bolts():
    nut = nut_shear_area(1.0, 5.794, 5.5005, 1.0)
    length = engagement_for_bolt(16000.0, nut, 234.0, 0.5)
    assert stripping_force(nut * length, 234.0, 0.5) == pytest.approx(16000.0, rel=1e-12)
    assert stripping_force(100.0, 300.0) == pytest.approx(100.0 * 300.0 / math.sqrt(3.0), rel=1e-12)
    assert np.shape(stripping_force([1.0, 2.0], 300.0)) == (2,)


def test_threads_that_do_not_overlap_are_refused():
    # overlap ends where the width is 0: D2 = d + P sqrt 3/2, D1 = d2 + P sqrt 3/2
    edge = 6.0 + math.sqrt(3.0) / 2
    assert nut_shear_area(6.0, 6.0, edge - 1e-6, 1.0) > 0
    assert bolt_shear_area(6.0, edge - 1e-6, 6.0, 1.0) > 0
    with pytest.raises(ParameterError, match=r"nut_pitch_greatest.*do not overlap"):
        nut_shear_area(6.0, 6.0, edge + 1e-6, 1.0)
    with pytest.raises(ParameterError, match=r"nut_minor_greatest.*do not overlap"):
        bolt_shear_area(6.0, edge + 1e-6, 6.0, 1.0)
    with pytest.raises(ParameterError, match="shear_share"):
        stripping_force(100.0, 300.0, 1.01)
    assert stripping_force(100.0, 300.0, 1.0) == 30000.0
