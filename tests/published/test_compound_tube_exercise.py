"""Compound tube 100/150/200 mm, 20 MPa of shrinkage, then 100 MPa inside: exercise worked on a public homework page.

The page takes the Lame constant of the inside pressure as 33.33 + 0.333 x 400 = 165.33 and 92 where the exact values
are 166.67 and 92.59 (its sum 163.42 is 164.02); those three are slips of its arithmetic and are not used.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import bush_hoop, bush_hoop_at_fit, hub_hoop
from headparts.mechanics.thick_cylinder import hoop_stress

SOURCE = Source("Exercise, compound tube 100/150/200 mm", "undated page", "seen", "public homework page")
CUT = "last digit, cut and not rounded"


def outside_shrunk():
    return hoop_stress(100.0, 75.0, 100.0, bore_pressure=20.0)


def outside_loaded():
    return hoop_stress(100.0, 50.0, 100.0, bore_pressure=100.0)


PRINTED = (
    Printed("answer", "hoop stress, outside, shrunk", 51.42, "MPa", 0.011, CUT, outside_shrunk),
    Printed("answer", "hoop stress, outer tube at the joint, shrunk", 71.42, "MPa", 0.011, CUT,
            lambda: hub_hoop(20.0, 150.0, 200.0)),
    Printed("answer", "hoop stress, bore, shrunk", -72.0, "MPa", 0.005, "exact", lambda: bush_hoop(20.0, 150.0, 100.0)),
    Printed("answer", "hoop stress, inner tube at the joint, shrunk", -52.0, "MPa", 0.005, "exact",
            lambda: bush_hoop_at_fit(20.0, 150.0, 100.0)),
    Printed("answer", "hoop stress, outside, 100 MPa inside", 66.66, "MPa", 0.011, CUT, outside_loaded),
    Printed("answer", "hoop stress, outside, both", 118.0, "MPa", 0.1, "four digits, sum of two cut ones",
            lambda: outside_shrunk() + outside_loaded()),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
