"""AS25: the table fit H7/s6 is tight on paper and loose when both parts are at 220 degC."""

import pytest

from headparts.mechanics.thermal import interference_at
from headparts.tables.iso286 import fit


def test_loose_end_opens():
    found = fit(16.5, "H7/s6")
    assert (found.least_interference, found.greatest_interference) == pytest.approx((0.010, 0.039), abs=1e-12)
    cold = [found.least_interference, found.greatest_interference]
    hot = interference_at(cold, 16.5, 22.0e-6, 220.0, 17.5e-6, 220.0)
    assert hot == pytest.approx([-0.00485, 0.02415], abs=1e-9)
    assert hot[0] < 0.002


def test_trap_the_table_says_interference_fit():
    found = fit(16.5, "H7/s6")
    assert found.kind == "interference"
    mean = (found.least_interference + found.greatest_interference) / 2
    assert interference_at(mean, 16.5, 22.0e-6, 220.0, 17.5e-6, 220.0) > 0.002  # the mean size would pass
