"""Brown, Marks' Calculations for Machine Design (2005), example 6 (p. 136): steel shaft in a steel hub.

The page was read. Its inch side rounds (2/3)^2 to 0.44, so 2100 psi stands for 3750 x 0.56 and not for the exact
3750 x 5/9 = 2083 psi; its metric side rounds to 0.61 and prints 12.6 MPa, which the exact 0.609375 gives too. The inch
row undoes only that rounding.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import contact_pressure

SOURCE = Source(
    "Brown, Marks' Calculations for Machine Design", "2005", "seen", "page read in a public library"
)
PRINTED = (
    Printed(
        "example 6, p. 136, U.S. customary", "interface pressure", 2100.0, "psi", 0.5, "digits, rounding of 5/9 undone",
        lambda: contact_pressure(2 * 0.0005, 4.0, 0.0, 6.0, 30e6, 0.3, 30e6, 0.3) * 0.56 / (5 / 9),
    ),
    Printed(
        "example 6, p. 136, SI", "interface pressure", 12.6, "MPa", 0.05, "half of the last digit",
        lambda: contact_pressure(2 * 0.010, 100.0, 0.0, 160.0, 207e3, 0.3, 207e3, 0.3),
    ),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
