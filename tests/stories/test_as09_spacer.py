"""AS09: a spacer as thick as the tip's rise opens the lash; the pushrod decides the thickness."""

import pytest

from headparts.mechanics.rocker import (
    adjuster_need,
    lash_change,
    pushrod_change_needed,
    rocker_ratio,
    spacer_lower_bound,
)

RISE = 3.20
RATIO = rocker_ratio(11.4, 9.5)


def test_trap_spacer_equal_to_the_rise_opens_the_lash():
    assert pytest.approx(1.2, rel=1e-12) == RATIO
    assert lash_change(3.2, RISE, RATIO) == pytest.approx(3.84, abs=1e-9)
    assert lash_change(3.2, RISE, RATIO) != pytest.approx(0.0, abs=1.0)


def test_thickness_with_the_old_pushrod():
    thickness = spacer_lower_bound(RISE, RATIO)
    assert thickness == pytest.approx(1.4545, abs=5e-5)
    assert lash_change(thickness, RISE, RATIO) == pytest.approx(0.0, abs=1e-12)


def test_two_millimetres_need_a_pushrod_one_longer():
    change = pushrod_change_needed(2.0, RISE, RATIO)
    assert change == pytest.approx(1.000, abs=1e-9)
    assert lash_change(2.0, RISE, RATIO, change) == pytest.approx(0.0, abs=1e-12)
    assert adjuster_need(2.0, RISE, RATIO, change) == pytest.approx(0.0, abs=1e-12)
    assert adjuster_need(2.0, RISE, RATIO, 0.0, at_valve_end=True) == pytest.approx(1.2, abs=1e-9)


def test_no_spacer_at_all():
    assert lash_change(0.0, RISE, RATIO) == pytest.approx(-3.20, abs=1e-9)
