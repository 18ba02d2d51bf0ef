"""AS19: an offset new bore leaves a crescent of the old one."""

import pytest

from headparts.mechanics.machining import clean_up, smallest_new_diameter


def test_crescent_stays():
    assert clean_up(15.6, 15.0, 0.35) == pytest.approx(-0.050, abs=1e-9)
    assert clean_up(15.6, 15.0, 0.35, 0.08) == pytest.approx(-0.130, abs=1e-9)


def test_smallest_new_bore():
    smallest = smallest_new_diameter(15.0, 0.35, 0.08, 0.10)
    assert smallest == pytest.approx(16.06, abs=1e-9)
    assert clean_up(smallest, 15.0, 0.35, 0.08) == pytest.approx(0.10, abs=1e-9)


def test_trap_without_the_offset_it_looks_clean():
    assert clean_up(15.6, 15.0, 0.0) == pytest.approx(0.30, abs=1e-9)
