"""Bickford, Introduction to the Design and Behavior of Bolted Joints, 4th ed.: tensile and strip areas of metric
threads.

Table of selected M threads, areas in mm2, class 6H/6g, engaged over one diameter, as transcribed on a public
engineering page (table number not noted there). Tolerance: 0.15 %, since the limits of this package's thread table
are rounded to a tenth of a micrometre and the book's to its own. M8 is printed as "M8 x 1.2" by a slip of the page;
its tensile area is that of 1.25.
"""

import pytest

from headparts.mechanics.thread import stress_area
from headparts.mechanics.thread_strip import bolt_shear_area, nut_shear_area
from headparts.tables.threads import metric_thread

PRINTED = [  # thread, tensile, bolt strip, nut strip
    ("M5", 14.183, 35.366, 49.994),
    ("M6", 20.123, 51.875, 73.145),
    ("M8", 36.609, 97.290, 134.63),
    ("M10", 57.990, 155.80, 214.77),
]


@pytest.mark.parametrize(("name", "tensile", "bolt", "nut"), PRINTED)
def test_areas(name, tensile, bolt, nut):
    thread = metric_thread(name)
    assert stress_area(thread.diameter, thread.pitch) == pytest.approx(tensile, abs=6e-4)
    assert bolt_shear_area(
        thread.diameter, thread.nut_minor[1], thread.bolt_pitch[0], thread.pitch
    ) == pytest.approx(bolt, rel=1.5e-3)
    assert nut_shear_area(
        thread.diameter, thread.bolt_major[0], thread.nut_pitch[1], thread.pitch
    ) == pytest.approx(nut, rel=1.5e-3)
