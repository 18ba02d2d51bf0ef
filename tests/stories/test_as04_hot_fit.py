"""AS04: an iron bushing tight when cold is loose at 220 degC; bronze stays tight; iron needs far more."""

import pytest

from headparts.mechanics.press_fit import contact_pressure, hub_hoop, hub_tresca
from headparts.mechanics.thermal import interference_at

COLD = [0.035, 0.040, 0.045]
ALUMINIUM, IRON, BRONZE = 22e-6, 11e-6, 17e-6


def test_iron_is_loose_hot():
    hot = interference_at(COLD, 20.0, ALUMINIUM, 220.0, IRON, 220.0)
    assert hot == pytest.approx([-0.009, -0.004, 0.001], abs=1e-9)
    assert min(hot) < 0.002


def test_bronze_keeps_its_grip():
    hot = interference_at(COLD, 20.0, ALUMINIUM, 220.0, BRONZE, 220.0)
    assert hot == pytest.approx([0.015, 0.020, 0.025], abs=1e-9)
    assert min(hot) >= 0.002


def test_trap_the_cold_interference_looks_the_same_for_both():
    assert min(COLD) >= 0.010  # passes cold for either material
    iron, bronze = (interference_at(0.040, 20.0, ALUMINIUM, 220.0, cte, 220.0) for cte in (IRON, BRONZE))
    assert bronze - iron == pytest.approx(20.0 * (BRONZE - IRON) * 200.0, rel=1e-12)


def test_iron_needs_0_059_and_just_holds():
    # least 0.054 cold leaves +0.010 hot; the tight end 0.064 stresses the hub to 153 MPa, below 155
    assert interference_at(0.059 - 0.005, 20.0, ALUMINIUM, 220.0, IRON, 220.0) == pytest.approx(
        0.010, abs=1e-9
    )
    pressure = contact_pressure(0.064, 20.0, 15.5, 30.0, 71e3, 0.33, 110e3, 0.26)
    assert pressure == pytest.approx(42.5, abs=0.05)
    assert hub_hoop(pressure, 20.0, 30.0) == pytest.approx(110.4, abs=0.05)
    assert hub_tresca(pressure, 20.0, 30.0) == pytest.approx(152.9, abs=0.05)
    assert hub_tresca(pressure, 20.0, 30.0) <= 155.0
