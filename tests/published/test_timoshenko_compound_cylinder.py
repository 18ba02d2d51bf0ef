"""Timoshenko, Strength of Materials, Part II: shrink-fit of a compound cylinder 4/6/8 in (values from
memory).

Printed: 4050 psi, -14 600 and 14 500 psi, monobloc 50 000 psi, superposed 35 400 and 42 300 psi. Tolerance
0.3 %: the book keeps three digits and rounds between steps.
"""

import pytest

from headparts.mechanics.compound import compound_hoop, compound_pressures
from headparts.mechanics.press_fit import bush_hoop, contact_pressure, hub_hoop
from headparts.mechanics.thick_cylinder import hoop_stress

SHRINK = contact_pressure(0.010, 12.0, 8.0, 16.0, 30e6, 0.3, 30e6, 0.3)


def test_shrink_pressure_and_stresses():
    assert pytest.approx(4050.0, rel=1e-3) == SHRINK
    assert bush_hoop(SHRINK, 12.0, 8.0) == pytest.approx(-14600.0, rel=3e-3)
    assert hub_hoop(SHRINK, 12.0, 16.0) == pytest.approx(14500.0, rel=3e-3)


def test_superposed_bore_pressure():
    monobloc = hoop_stress(4.0, 4.0, 8.0, bore_pressure=30000.0)
    assert monobloc == pytest.approx(50000.0, rel=1e-6)
    assert monobloc + bush_hoop(SHRINK, 12.0, 8.0) == pytest.approx(35400.0, rel=3e-3)
    outer = hoop_stress(6.0, 4.0, 8.0, bore_pressure=30000.0) + hub_hoop(SHRINK, 12.0, 16.0)
    assert outer == pytest.approx(42300.0, rel=3e-3)


def test_the_same_by_the_rings_all_at_once():
    diameters = (8.0, 12.0, 16.0)
    fits = compound_pressures(diameters, (30e6, 30e6), (0.3, 0.3), (0.010,), bore_pressure=30000.0)
    pressures = (30000.0, *fits, 0.0)
    assert compound_hoop(4.0, diameters, pressures) == pytest.approx(35400.0, rel=3e-3)
    assert compound_hoop(6.0, diameters, pressures, outer_side=True) == pytest.approx(42300.0, rel=3e-3)
