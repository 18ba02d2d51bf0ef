"""Piston speed and compression ratio as worked on a public page for engine builders (maker not named).

Stroke 0.333 ft at 8000 1/min; 823.70 cm3 over 100 cm3.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.compression import compression_ratio
from headparts.mechanics.gas_flow import mean_piston_speed

SOURCE = Source("Page for engine builders, formulas with examples", "undated page", "seen", "public page")
PRINTED = (
    Printed("piston speed", "mean piston speed", 5328.0, "ft/min", 0.5, "half of the last digit",
            lambda: mean_piston_speed(0.333 * 304.8, 8000.0) / 0.3048 * 60),
    Printed("compression ratio", "compression ratio", 9.237, "-", 5e-4, "half of the last digit",
            lambda: compression_ratio(823.70, 100.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
