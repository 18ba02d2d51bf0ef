"""Steel disc of 750 mm shrunk on a shaft of 80 mm, 0.05 mm on the diameter, E 207 GPa: exercise worked in public.

The page prints 63.9 MPa of pressure and then calls the disc's hoop stress "compressive, -63.9": that is the shaft's. The
disc's is a tension, 63.9 x 1.0230 = 65.4 MPa by Lame (hub_hoop); the page is wrong there and the value is not used.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.press_fit import contact_pressure

SOURCE = Source("Exercise, steel disc on a steel shaft", "undated page", "seen", "public question and answer")
PRINTED = (
    Printed("answer", "contact pressure", 63.9, "MPa", 0.06, "last digit, cut and not rounded",
            lambda: contact_pressure(0.05, 80.0, 0.0, 750.0, 207e3, 0.3, 207e3, 0.3)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
