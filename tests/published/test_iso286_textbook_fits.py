"""Limits of sizes worked in textbooks: Budynas and Nisbett, 9th ed., example 7-7 (p. 398, page read), and example 3.2 of
a machine design textbook's chapter on manufacturing, read as a public notebook.

These are sums of ISO 286 rows that the package reads itself; they check its adding up and are not counted as printed
values. Tolerance: none.
"""

import pytest

from headparts.tables.iso286 import fit

LIMITS = [  # source, size, fit, hole least and greatest, shaft least and greatest
    ("example 7-7", 34.0, "H11/c11", (34.000, 34.160), (33.720, 33.880)),
    ("example 3.2", 40.0, "H8/f7", (40.000, 40.039), (39.950, 39.975)),
]


@pytest.mark.parametrize(("source", "size", "text", "hole", "shaft"), LIMITS)
def test_limits_of_size(source, size, text, hole, shaft):
    found = fit(size, text)
    assert found.hole_limits == pytest.approx(hole, abs=1e-9), source
    assert found.shaft_limits == pytest.approx(shaft, abs=1e-9), source
