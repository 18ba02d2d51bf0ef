"""Budynas and Nisbett, Shigley's Mechanical Engineering Design, 10th and 11th ed., printed solution of problem 10-3.

Music wire 2.5 mm, outside 31 mm, plain ground ends, 14 coils of which 13 work, G 81 GPa, solid at 35 mm.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.spring import spring_force
from headparts.mechanics.spring_surge import wire_rate

SOURCE = Source(
    "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
    "10th ed., solutions",
    "seen",
    "pages seen in public",
)
PRINTED = (
    Printed("10-3 a", "rate", 1.314, "N/mm", 5e-4, "half of the last digit", lambda: wire_rate(2.5, 28.5, 13.0, 81e3)),
    Printed("10-3 c", "force when solid, from the printed free length 162.8", 167.9, "N", 0.1, "162.8 is rounded",
            lambda: spring_force(162.8, 1.314, 35.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
