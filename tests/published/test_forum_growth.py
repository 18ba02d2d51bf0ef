"""Growth of a seat of 20 mm at 300 K, arithmetic of a public forum of model engineers: aluminium 22.2e-6, bronze 18e-6."""

import pytest
from printed import Printed, Source

from headparts.mechanics.thermal import expansion

SOURCE = Source("Forum of model engineers, seat of 20 mm", "undated page", "seen", "public forum")
PRINTED = (
    Printed("seat in aluminium", "growth at 300 K", 0.1332, "mm", 5e-5, "half of the last digit",
            lambda: expansion(20.0, 22.2e-6, 300.0)),
    Printed("seat of bronze", "growth at 300 K", 0.108, "mm", 5e-4, "half of the last digit",
            lambda: expansion(20.0, 18.0e-6, 300.0)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
