"""GB/T 16823.1-1997: stress areas of metric threads, as transcribed on a public page.

Two decimals printed; among them fine pitches that are not in the package's own thread table. M20 x 2.5 is printed 244.80
on that page and 244.79 on another: 244.794 rounds to the latter, so it is left out.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.thread import stress_area

SOURCE = Source("GB/T 16823.1, stress areas of threads", "1997", "seen", "table on a public page")
TABLE = [
    (3, 0.5, 5.03), (4, 0.7, 8.78), (5, 0.8, 14.18), (6, 1.0, 20.12), (8, 1.25, 36.61), (10, 1.5, 57.99),
    (12, 1.75, 84.27), (12, 1.5, 88.13), (12, 1.25, 92.07), (12, 1.0, 96.10), (14, 1.5, 124.55), (16, 1.5, 167.25),
]  # fmt: skip
PRINTED = tuple(
    Printed(f"table, M{d:g} x {p:g}", "stress area", area, "mm2", 6e-3, "half of the last digit",
            lambda d=d, p=p: stress_area(d, p))
    for d, p, area in TABLE
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
