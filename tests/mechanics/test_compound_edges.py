"""Compound cylinders at the ends of what they take: one ring, a solid core, a press of next to nothing, the fits."""

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.compound import compound_hoop, compound_pressures, compound_radial, held_axial_stress
from headparts.mechanics.press_fit import contact_pressure
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress

RINGS = ((10.0, 14.0, 20.0), (2e5, 1e5), (0.3, 0.34))
PRESSURES = (30.0, 12.0, 5.0)


def test_one_ring_has_no_fit():
    assert np.size(compound_pressures((10.0, 20.0), (2e5,), (0.3,), ())) == 0
    with pytest.raises(ParameterError, match=r"diameters.*at least a bore and an outside"):
        compound_pressures((10.0,), (), (), ())
    assert compound_hoop(7.0, (10.0, 20.0), (30.0, 5.0)) == hoop_stress(7.0, 5.0, 10.0, 30.0, 5.0)


def test_solid_core():
    core = compound_pressures((0.0, 14.0, 20.0), *RINGS[1:], (0.02,))
    assert core == pytest.approx(contact_pressure(0.02, 14.0, 0.0, 20.0, 1e5, 0.34, 2e5, 0.3), rel=1e-12)
    with pytest.raises(ParameterError, match="bore_pressure"):
        compound_pressures((0.0, 14.0, 20.0), *RINGS[1:], (0.02,), bore_pressure=1e-6)
    assert np.all(
        np.isfinite(compound_pressures((0.005, 14.0, 20.0), *RINGS[1:], (0.02,), bore_pressure=5.0))
    )


def test_a_press_of_next_to_nothing_still_presses():
    slight = compound_pressures(*RINGS, (1e-6,))
    assert slight == pytest.approx(contact_pressure(1e-6, 14.0, 10.0, 20.0, 1e5, 0.34, 2e5, 0.3), rel=1e-12)
    assert 0 < float(np.squeeze(slight)) < 0.01


@pytest.mark.parametrize(("radius", "ring"), [(6.97, 0), (7.03, 1), (5.0, 0), (10.0, 1)])
def test_near_the_fit_each_radius_is_in_its_own_ring(radius, ring):
    sides = (RINGS[0][ring] / 2, RINGS[0][ring + 1] / 2, PRESSURES[ring], PRESSURES[ring + 1])
    for outer_side in (False, True):
        assert compound_hoop(radius, RINGS[0], PRESSURES, outer_side) == hoop_stress(radius, *sides)
        assert compound_radial(radius, RINGS[0], PRESSURES, outer_side) == radial_stress(radius, *sides)


@pytest.mark.parametrize("radius", [4.999, 10.001])
def test_radius_just_outside_the_rings(radius):
    with pytest.raises(ParameterError, match=r"radius.*metal of the rings"):
        compound_hoop(radius, RINGS[0], PRESSURES)


def test_what_is_not_given_counts_as_nothing():
    assert held_axial_stress(100.0, -20.0, 0.25, modulus=2e5, rise=100.0) == 20.0
    assert held_axial_stress(100.0, -20.0, 0.25, modulus=2e5, cte=1e-5) == 20.0
    assert held_axial_stress(100.0, -20.0, 0.25, modulus=2e5, cte=1e-5, rise=100.0) == pytest.approx(
        -180.0, rel=1e-12
    )
    assert held_axial_stress(0.0, 0.0, 0.25, cte=1e-3, rise=100.0) == pytest.approx(-0.1, rel=1e-12)


def test_slight_presses_are_in_proportion():
    rings = ((10.0, 14.0, 20.0, 26.0), (2e5, 1e5, 7e4), (0.3, 0.34, 0.33))
    full, slight = (compound_pressures(*rings, (amount, amount)) for amount in (0.02, 1e-6))
    assert np.all(full > 1.0)
    assert slight == pytest.approx(full * (1e-6 / 0.02), rel=1e-9)
