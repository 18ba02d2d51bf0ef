"""Pulkrabek, Engineering Fundamentals of the Internal Combustion Engine, example 2-1 (values from memory).

V6 of 3 litres, bore and stroke 86 mm, 3600 1/min, compression ratio 9.5.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.compression import compression_ratio
from headparts.mechanics.gas_flow import mean_piston_speed

SOURCE = Source(
    "Pulkrabek, Engineering Fundamentals of the Internal Combustion Engine",
    "1997",
    "from memory",
    "example 2-1",
)
PRINTED = (
    Printed("example 2-1", "mean piston speed", 10.32, "m/s", 5e-3, "half of the last digit",
            lambda: mean_piston_speed(86.0, 3600.0)),
    Printed("example 2-1", "compression ratio, from the printed 59 cm3", 9.5, "-", 0.09, "59 cm3 is rounded: 0.9 %",
            lambda: compression_ratio(500.0, 59.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
