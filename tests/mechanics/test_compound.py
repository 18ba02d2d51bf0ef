"""Compound cylinders of three and more rings against finite elements of rings, superposition and two-ring formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.compound import (
    compound_hoop,
    compound_pressures,
    compound_radial,
    held_axial_stress,
)
from headparts.mechanics.press_fit import contact_pressure
from headparts.mechanics.thermal import interference_at
from headparts.mechanics.thick_cylinder import hoop_stress, radial_stress

DIAMETERS = (5.0, 7.0, 10.0, 18.0)
MODULI, POISSONS, GAPS = (120e3, 110e3, 71e3), (0.34, 0.26, 0.33), (0.010, 0.030)
CTES, RISES = (17.0e-6, 11.0e-6, 22.0e-6), (140.0, 180.0, 160.0)


def stack_by_elements(diameters, moduli, poissons, gaps, alphas, rises, inside, outside, plane, count=300):
    """Radial movement at the nodes of each ring, and the pressures, by linear elements with own nodes a ring.

    The fits are joined by Lagrange multipliers, which are the contact forces per radian. Plane strain by the
    three-dimensional law with no axial strain, not by swapped constants.
    """
    rings = len(moduli)
    size = rings * (count + 1)
    matrix, load = np.zeros((size + rings - 1,) * 2), np.zeros(size + rings - 1)
    places = []
    for k in range(rings):
        e, nu, free = moduli[k], poissons[k], alphas[k] * rises[k]
        if plane == "stress":
            law = e / (1 - nu**2) * np.array([[1, nu], [nu, 1]])
            locked = law @ np.array([free, free])
        else:
            law = e / (1 + nu) / (1 - 2 * nu) * np.array([[1 - nu, nu], [nu, 1 - nu]])
            locked = np.full(2, e * free / (1 - 2 * nu))
        radii = np.linspace(diameters[k] / 2, diameters[k + 1] / 2, count + 1)
        places.append(radii)
        for n in range(count):
            a, b = radii[n], radii[n + 1]
            at = k * (count + 1) + n
            for point in (-1 / math.sqrt(3), 1 / math.sqrt(3)):
                r = (a + b) / 2 + point * (b - a) / 2
                strain = np.array(
                    [[-1 / (b - a), 1 / (b - a)], [(b - r) / (b - a) / r, (r - a) / (b - a) / r]]
                )
                matrix[at : at + 2, at : at + 2] += strain.T @ law @ strain * r * (b - a) / 2
                load[at : at + 2] += strain.T @ locked * r * (b - a) / 2
    load[0] += inside * diameters[0] / 2
    load[size - 1] -= outside * diameters[-1] / 2
    for i in range(rings - 1):
        own, next_ = (i + 1) * (count + 1) - 1, (i + 1) * (count + 1)
        matrix[size + i, own], matrix[size + i, next_] = 1.0, -1.0
        matrix[own, size + i], matrix[next_, size + i] = 1.0, -1.0
        load[size + i] = -gaps[i] / 2
    found = np.linalg.solve(matrix, load)
    return found[size:] / (np.array(diameters[1:-1]) / 2)


@pytest.mark.parametrize("plane", ["stress", "strain"])
@pytest.mark.parametrize(("inside", "outside"), [(0.0, 0.0), (40.0, 0.0), (0.0, 15.0)])
def test_three_rings_of_three_metals_hot_against_elements(plane, inside, outside):
    found = compound_pressures(DIAMETERS, MODULI, POISSONS, GAPS, CTES, RISES, inside, outside, plane)
    other = stack_by_elements(DIAMETERS, MODULI, POISSONS, GAPS, CTES, RISES, inside, outside, plane)
    assert np.all(other > 1.0)
    assert found == pytest.approx(other, rel=3e-5)


def test_four_rings_against_elements():
    case = (
        (4.0, 6.0, 9.0, 13.0, 20.0),
        (2e5, 1.2e5, 7e4, 1.1e5),
        (0.3, 0.34, 0.33, 0.26),
        (0.01, 0.02, 0.03),
    )
    other = stack_by_elements(*case, [0.0] * 4, [0.0] * 4, 0.0, 0.0, "stress", count=200)
    assert compound_pressures(*case) == pytest.approx(other, rel=1e-4)


@pytest.mark.parametrize("plane", ["stress", "strain"])
def test_two_rings_are_the_two_ring_formula_to_the_last_digit(plane):
    gaps = np.linspace(-0.02, 0.05, 71)
    found = compound_pressures((12.6, 16.5, 19.9), (125e3, 71e3), (0.30, 0.33), (gaps,), plane=plane)
    assert np.array_equal(found[0], contact_pressure(gaps, 16.5, 12.6, 19.9, 71e3, 0.33, 125e3, 0.30, plane))


def test_two_hot_rings_are_the_fit_at_temperature():
    hot = interference_at(0.04, 16.5, 22e-6, 180.0, 17.5e-6, 160.0)
    (found,) = compound_pressures(
        (12.6, 16.5, 19.9), (125e3, 71e3), (0.30, 0.33), (0.04,), (17.5e-6, 22e-6), (140.0, 160.0)
    )
    expected = contact_pressure(hot, 16.5, 12.6, 19.9, 71e3, 0.33, 125e3, 0.30)
    assert found == pytest.approx(expected, rel=1e-12)


def test_rings_without_interference_are_one_ring_under_pressure():
    # same metal, no interference: the fits carry what a solid ring has there (Lame)
    found = compound_pressures(DIAMETERS, (2e5,) * 3, (0.3,) * 3, (0.0, 0.0), bore_pressure=50.0)
    solid = [-radial_stress(d / 2, 2.5, 9.0, bore_pressure=50.0) for d in DIAMETERS[1:-1]]
    assert found == pytest.approx(solid, rel=1e-12)
    pressures = (50.0, *found, 0.0)
    radii = np.linspace(2.5, 9.0, 50)
    assert compound_hoop(radii, DIAMETERS, pressures) == pytest.approx(
        hoop_stress(radii, 2.5, 9.0, bore_pressure=50.0), rel=1e-12
    )


def test_an_open_fit_carries_nothing_and_leaves_the_others_alone():
    found = compound_pressures(DIAMETERS, MODULI, POISSONS, (-0.05, 0.030))
    assert found[0] == 0.0
    alone = contact_pressure(0.030, 10.0, 7.0, 18.0, 71e3, 0.33, 110e3, 0.26)
    assert found[1] == pytest.approx(alone, rel=1e-12)
    # a small gap is closed again by the outer press, which shrinks the middle ring: its bore closes by more
    closes = 2 * alone * 10.0**2 * 7.0 / (110e3 * (10.0**2 - 7.0**2))
    shut = compound_pressures(DIAMETERS, MODULI, POISSONS, (-0.9 * closes, 0.030))
    wide = compound_pressures(DIAMETERS, MODULI, POISSONS, (-1.1 * closes, 0.030))
    assert shut[0] > 0.0 == wide[0]


def test_opening_and_closing_together():
    # by trying all sets of closed fits: the one whose pressures are not negative and whose open fits gap
    rng = np.random.default_rng(4)
    d, e, nu = (4.0, 6.0, 9.0, 13.0, 20.0), (2e5, 1.2e5, 7e4, 1.1e5), (0.3, 0.34, 0.33, 0.26)
    gaps = rng.uniform(-0.02, 0.02, (3, 200))
    found = compound_pressures(d, e, nu, tuple(gaps))
    unit = np.array([compound_pressures(d, e, nu, tuple(row), bore_pressure=0.0) for row in np.eye(3)])
    assert unit.min() > 0.0  # all fits closed: the columns of the compliance's inverse
    compliance = np.linalg.inv(unit.T)
    slack = compliance @ found - gaps
    assert found.min() >= 0.0
    assert slack.min() > -1e-12
    assert np.abs(slack * found).max() < 1e-10
    assert 0.2 < np.mean(found == 0.0) < 0.8


def test_fields_jump_at_a_fit_only_round_the_ring():
    pressures = (0.0, *compound_pressures(DIAMETERS, MODULI, POISSONS, GAPS), 0.0)
    assert compound_radial(np.array(DIAMETERS) / 2, DIAMETERS, pressures) == pytest.approx(
        -np.array(pressures), abs=1e-9
    )
    for k, inner in enumerate(DIAMETERS[1:-1], 1):
        within = hoop_stress(inner / 2, DIAMETERS[k - 1] / 2, inner / 2, pressures[k - 1], pressures[k])
        without = hoop_stress(inner / 2, inner / 2, DIAMETERS[k + 1] / 2, pressures[k], pressures[k + 1])
        assert compound_hoop(inner / 2, DIAMETERS, pressures) == pytest.approx(within, rel=1e-12)
        assert compound_hoop(inner / 2, DIAMETERS, pressures, True) == pytest.approx(without, rel=1e-12)
        assert compound_radial(inner / 2, DIAMETERS, pressures, True) == pytest.approx(-pressures[k])


def test_held_ends_by_hookes_law():
    hoop, radial, nu, e, alpha, dt = 80.0, -30.0, 0.3, 2e5, 12e-6, 50.0
    axial = held_axial_stress(hoop, radial, nu, e, alpha, dt)
    assert (axial - nu * (hoop + radial)) / e + alpha * dt == pytest.approx(0.0, abs=1e-15)


def test_a_million_cases_keep_their_shape():
    gaps = np.linspace(0.0, 0.03, 1000)
    found = compound_pressures(DIAMETERS, MODULI, POISSONS, (gaps[:, None], gaps[None, :]))
    assert found.shape == (2, 1000, 1000)
    one = compound_pressures(DIAMETERS, MODULI, POISSONS, (gaps[700], gaps[3]))
    assert found[:, 700, 3] == pytest.approx(one, rel=1e-12)


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("diameters[2]", {"diameters": (5.0, 7.0, 7.0, 18.0)}),
        ("diameters", {"diameters": (5.0,)}),
        ("moduli", {"moduli": (1e5, 1e5)}),
        ("poissons[1]", {"poissons": (0.3, 0.5, 0.3)}),
        ("interferences", {"interferences": (0.01,)}),
        ("interferences[0]", {"interferences": (float("nan"), 0.0)}),
        ("ctes", {"rises": (1.0, 1.0, 1.0)}),
        ("bore_pressure", {"diameters": (0.0, 7.0, 10.0, 18.0), "bore_pressure": 1.0}),
        ("bore_pressure", {"bore_pressure": -1.0}),
        ("plane", {"plane": "both"}),
    ],
)
def test_bad_values_are_named(key, change):
    good = {"diameters": DIAMETERS, "moduli": MODULI, "poissons": POISSONS, "interferences": GAPS}
    with pytest.raises(ParameterError) as caught:
        compound_pressures(**{**good, **change})
    assert caught.value.key == key


def test_a_radius_outside_the_rings_is_refused():
    with pytest.raises(ParameterError, match="radius"):
        compound_hoop(9.1, DIAMETERS, (0.0, 1.0, 1.0, 0.0))
