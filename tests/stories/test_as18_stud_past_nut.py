"""AS18: thread past the nut after a spacer under the rocker post."""

import pytest

from headparts.mechanics.rocker import past_nut


def test_spacer_2_passes_and_3_2_fails():
    thin, thick = (past_nut(24.0, t, 14.0, 1.2, 5.0) for t in (2.0, 3.2))
    assert thin == pytest.approx(1.8, abs=1e-9)
    assert thin >= 1.0
    assert thick == pytest.approx(0.6, abs=1e-9)
    assert thick < 1.0


def test_trap_without_the_washer_the_thick_spacer_seems_to_pass():
    assert past_nut(24.0, 3.2, 14.0, 0.0, 5.0) == pytest.approx(1.8, abs=1e-9)
