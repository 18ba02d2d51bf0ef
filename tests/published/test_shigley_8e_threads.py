"""Budynas and Nisbett, Shigley's Mechanical Engineering Design, table 8-1: tensile-stress areas of metric threads.

Values from memory. The package computes them from diameter and pitch; M12 x 1.75 and the finer ones are not in its own
thread table.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.thread import stress_area

SOURCE = Source(
    "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
    "8th ed., table 8-1",
    "from memory",
    "table 8-1",
)
TABLE = [
    (3, 0.5, 5.03, 5e-3), (4, 0.7, 8.78, 5e-3), (5, 0.8, 14.2, 0.05), (6, 1.0, 20.1, 0.05), (8, 1.25, 36.6, 0.05),
    (10, 1.5, 58.0, 0.05), (12, 1.75, 84.3, 0.05), (8, 1.0, 39.2, 0.05), (10, 1.25, 61.2, 0.05), (12, 1.25, 92.1, 0.05),
]  # fmt: skip
PRINTED = tuple(
    Printed(f"table 8-1, M{d:g} x {p:g}", "tensile-stress area", area, "mm2", half, "half of the last digit",
            lambda d=d, p=p: stress_area(d, p))
    for d, p, area, half in TABLE
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
