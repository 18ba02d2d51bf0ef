"""Table H-1, bolt root and tensile stress areas (ASME PCC-1 by its number, from memory), as transcribed on two public
pages: four digits, coarse pitches to M27, 3 mm pitch above.

Its root areas go by another minor diameter than the package's (rounded root) and are not used.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.thread import stress_area

SOURCE = Source(
    "Bolt root and tensile stress areas, table H-1", "edition not noted", "seen", "table on two public pages"
)
TABLE = [
    (14, 2.0, 115.4),
    (16, 2.0, 156.7),
    (20, 2.5, 244.8),
    (24, 3.0, 352.5),
    (30, 3.0, 580.4),
    (36, 3.0, 864.9),
]
PRINTED = tuple(
    Printed(f"table H-1, M{d:g}-{p:g}", "tensile stress area", area, "mm2", 0.051, "half of the last digit",
            lambda d=d, p=p: stress_area(d, p))
    for d, p, area in TABLE
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
