"""AS03: a wall of 1.30 passes nominally; the worst case fails and the root of squares warns."""

import pytest

from headparts.mechanics.stack_up import drill_drift, rss_case, worst_case

NOMINAL, LIMIT = 1.30, 1.2
HALF_WIDTHS = [0.35, 0.05, 0.10, drill_drift(0.004, 20.0), 0.05]


def test_nominal_passes_but_worst_case_fails_and_rss_warns():
    assert NOMINAL >= LIMIT
    worst, rss = worst_case(NOMINAL, HALF_WIDTHS), rss_case(NOMINAL, HALF_WIDTHS)
    assert worst == pytest.approx(0.670, abs=1e-9)
    assert rss == pytest.approx(0.9207, abs=5e-5)
    assert worst < max(0.6 * LIMIT, 0.5)
    assert rss < 0.8 * LIMIT


def test_trap_forgetting_the_drill_wander_looks_better():
    without = [u for u in HALF_WIDTHS if u != drill_drift(0.004, 20.0)]
    assert worst_case(NOMINAL, without) == pytest.approx(0.75, abs=1e-9)
    assert worst_case(NOMINAL, without) >= 0.6 * LIMIT  # would pass
