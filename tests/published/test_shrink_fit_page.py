"""Shrink fit of a steel sleeve on a solid shaft, worked on a public teaching page: 100/150 mm, 0.1 mm on the diameter.

E 210 GPa, one metal, 50 mm engaged, friction 0.15.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import contact_pressure, holding_torque, hub_hoop

SOURCE = Source("Teaching page on shrink fits, sleeve 100/150 mm", "undated page", "seen", "public page")
DIGIT = "half of the last digit"


def pressure():
    return contact_pressure(0.1, 100.0, 0.0, 150.0, 210e3, 0.3, 210e3, 0.3)


PRINTED = (
    Printed("example", "contact pressure", 58.3, "MPa", 0.05, DIGIT, pressure),
    Printed("example", "hoop stress, sleeve at its bore", 151.7, "MPa", 0.05, DIGIT,
            lambda: hub_hoop(pressure(), 100.0, 150.0)),
    Printed("example", "torque held by friction", 6.87, "kN m", 5e-3, DIGIT,
            lambda: holding_torque(pressure(), 100.0, 50.0, 0.15) / 1000),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
