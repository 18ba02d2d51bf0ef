"""Bickford, Introduction to the Design and Behavior of Bolted Joints, 4th ed.: tensile and strip areas of metric
threads.

Table of selected M threads, areas in mm2, class 6H/6g, engaged over one diameter, as transcribed on a public
engineering page (table number not noted there). M8 is printed as "M8 x 1.2" by a slip of the page; its tensile area is
that of 1.25.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.thread import stress_area
from headparts.mechanics.thread_strip import bolt_shear_area, nut_shear_area
from headparts.tables.threads import metric_thread

SOURCE = Source(
    "Bickford, Introduction to the Design and Behavior of Bolted Joints",
    "4th ed.",
    "seen",
    "table on a public page",
)
LIMITS = "thread limits rounded to 0.1 um on both sides"


def tensile(name):
    thread = metric_thread(name)
    return stress_area(thread.diameter, thread.pitch)


def bolt_strip(name):
    thread = metric_thread(name)
    return bolt_shear_area(thread.diameter, thread.nut_minor[1], thread.bolt_pitch[0], thread.pitch)


def nut_strip(name):
    thread = metric_thread(name)
    return nut_shear_area(thread.diameter, thread.bolt_major[0], thread.nut_pitch[1], thread.pitch)


TABLE = [  # thread, tensile, bolt strip, nut strip
    ("M5", 14.183, 35.366, 49.994),
    ("M6", 20.123, 51.875, 73.145),
    ("M8", 36.609, 97.290, 134.63),
    ("M10", 57.990, 155.80, 214.77),
]
PRINTED = tuple(
    row
    for name, area, bolt, nut in TABLE
    for row in (
        Printed(f"table, {name}", "tensile area", area, "mm2", 6e-4, "last digit", lambda n=name: tensile(n)),
        Printed(
            f"table, {name}",
            "strip area, bolt",
            bolt,
            "mm2",
            bolt * 1.5e-3,
            LIMITS,
            lambda n=name: bolt_strip(n),
        ),
        Printed(
            f"table, {name}", "strip area, nut", nut, "mm2", nut * 1.5e-3, LIMITS, lambda n=name: nut_strip(n)
        ),
    )
)


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
