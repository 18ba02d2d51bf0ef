"""Valve guides of a workshop manual (maker not named): guide 11.023 to 11.034 in a bore of 10.975 to 10.996 mm."""

import pytest
from printed import Printed, Source

from headparts.mechanics.guide import stem_clearance

SOURCE = Source("Workshop manual, valve guides", "undated", "seen", "public manual")
PRINTED = (
    Printed("guides", "greatest interference", 0.059, "mm", 1e-9, "exact", lambda: -stem_clearance(10.975, 11.034)),
    Printed("guides", "least interference", 0.027, "mm", 1e-9, "exact", lambda: -stem_clearance(10.975, 11.023, 0.021)),
)  # fmt: skip


@pytest.mark.parametrize("row", PRINTED, ids=str)
def test_printed_value(row):
    row.check()
