"""Compression ratio of an engine textbook's example, worked in a public notebook (title of the book not noted).

Bore 3.25 in, stroke 4 in, clearance 6 cubic inches.
"""

import pytest
from printed import Printed, Source

from headparts.mechanics.compression import compression_ratio, disc_volume

SOURCE = Source(
    "Internal combustion engines, notebook of a textbook", "edition not noted", "seen", "public notebook"
)
PRINTED = (
    Printed("example 3.2", "compression ratio", 6.531, "-", 5e-4, "half of the last digit",
            lambda: compression_ratio(disc_volume(3.25 * 25.4, 4.0 * 25.4), 6.0 * 16.387064)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
