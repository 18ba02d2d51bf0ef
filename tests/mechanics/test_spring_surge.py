"""Surge of a valve spring against a row of masses, and against another printed form of the formula."""

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.spring_surge import active_mass, surge_frequency, surge_margin, wire_rate

WIRE, COIL, TURNS, SHEAR, DENSITY = 2.1, 14.3, 5.0, 79300.0, 7.85


def test_rate_from_the_twist_of_the_wire():
    # a wire of length pi D n twisted by F D/2: deflection = twist D/2, twist = T l/(G J), J = pi d^4/32
    torque, length, polar = COIL / 2, math.pi * COIL * TURNS, math.pi * WIRE**4 / 32
    assert wire_rate(WIRE, COIL, TURNS, SHEAR) == pytest.approx(
        1 / (torque * length / (SHEAR * polar) * COIL / 2), rel=1e-12
    )


def test_mass_of_the_wire():
    volume = math.pi * (WIRE / 20) ** 2 * math.pi * COIL / 10 * TURNS  # cm3
    assert active_mass(WIRE, COIL, TURNS, DENSITY) == pytest.approx(volume * DENSITY, rel=1e-12)


def test_frequency_of_a_row_of_masses_between_two_plates():
    rate, mass, pieces = 11.56, 5.423, 400
    k, m = rate * 1000 * pieces, mass / 1000 / pieces
    matrix = (2 * np.eye(pieces - 1) - np.eye(pieces - 1, k=1) - np.eye(pieces - 1, k=-1)) * k / m
    first = math.sqrt(np.linalg.eigvalsh(matrix)[0]) / (2 * math.pi)
    assert surge_frequency(rate, mass) == pytest.approx(first, rel=1e-5)


def test_the_other_form():
    # D c/(pi d^3) sqrt(8/(rho G)) in SI units (public engineering page)
    rate = wire_rate(WIRE, COIL, TURNS, SHEAR)
    mass = active_mass(WIRE, COIL, TURNS, DENSITY)
    other = (
        COIL
        * 1e-3
        * rate
        * 1e3
        / (math.pi * (WIRE * 1e-3) ** 3)
        * math.sqrt(8 / (DENSITY * 1e3 * SHEAR * 1e6))
    )
    assert surge_frequency(rate, mass) == pytest.approx(other, rel=1e-12)


def test_margin_counts_turns_of_the_camshaft():
    # 6000/min at the crankshaft is 50 turns of the camshaft a second
    assert surge_margin([500.0, 1000.0], 6000.0) == pytest.approx([10.0, 20.0], rel=1e-12)


@pytest.mark.parametrize("function", [wire_rate, active_mass])
def test_wire_as_thick_as_its_coil_is_refused(function):
    assert function(13.999, 14.0, 5.0, 1.0) > 0
    with pytest.raises(ParameterError, match="wire"):
        function(14.0, 14.0, 5.0, 1.0)
