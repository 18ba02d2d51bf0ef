"""Norton, Machine Design: An Integrated Approach, 4th ed., example 10-5: steel shaft 0.781 in, iron hub 3 in.

Inputs: 0.0015 in on the diameter, E 30 and 14 Mpsi, nu 0.28 for both.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import contact_pressure

SOURCE = Source(
    "Norton, Machine Design: An Integrated Approach", "4th ed.", "seen", "example as quoted in public"
)
PRINTED = (
    Printed(
        "example 10-5", "contact pressure", 15265.0, "psi", 1.0, "the printed digits",
        lambda: contact_pressure(0.0015, 0.781, 0.0, 3.0, 14e6, 0.28, 30e6, 0.28),
    ),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
