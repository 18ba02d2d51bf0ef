"""AS05: a guide reamed before pressing closes by more than its clearance."""

import pytest

from headparts.mechanics.guide import bore_before_press, clearance_after_press, stem_clearance
from headparts.mechanics.press_fit import bore_closure, contact_pressure

SHANK, BORE, STEM = 7.0, 5.000, 4.985


def closure():
    pressure = contact_pressure(0.030, SHANK, BORE, 18.0, 71e3, 0.33, 120e3, 0.34)
    assert pressure == pytest.approx(91.943, abs=5e-4)
    return bore_closure(pressure, SHANK, BORE, 120e3)


def test_the_stem_seizes():
    assert closure() == pytest.approx(0.015643, abs=5e-7)
    left = clearance_after_press(stem_clearance(BORE, STEM), closure())
    assert left == pytest.approx(-0.0006, abs=5e-5)


def test_trap_the_clearance_before_pressing_looks_right():
    assert stem_clearance(BORE, STEM) == pytest.approx(0.015, abs=1e-9)
    assert stem_clearance(BORE, STEM) - clearance_after_press(stem_clearance(BORE, STEM), closure()) > 0.015


def test_bore_to_ream_before_pressing():
    assert bore_before_press(STEM, 0.025, closure()) == pytest.approx(5.0256, abs=5e-5)
