"""Yielding hub: elastic and fully plastic limits, and a numeric elastic-plastic ring solved step by step."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.press_fit import contact_pressure, interference_for_pressure
from headparts.mechanics.relaxation import bore_growth_left, yielded_bore_growth, yielded_fit
from headparts.mechanics.yielding import (
    first_yield_pressure,
    fully_plastic_pressure,
    pressure_for_plastic_zone,
)

FIT = (16.5, 12.6, 19.9, 71e3, 0.33, 125e3, 0.30)


def numeric_ring(bore, outside, e, nu, strength, growth, count=400, steps=60):
    """Pressure at the bore of an elastic-plastic ring in plane stress whose bore is widened by ``growth``, and after.

    Incremental: linear elements with the stress carried at their middles; where s_t - s_r passes the strength the
    excess is returned along Tresca's flow rule (plastic hoop strain = - plastic radial strain), and the balance is
    struck again with the elastic matrix until nothing is in excess. Then the bore is let go elastically. Returns (pressure,
    growth left on the diameter, plastic zone's diameter).
    """
    radii = np.linspace(bore / 2, outside / 2, count + 1)
    a, b = radii[:-1], radii[1:]
    middle, size = (a + b) / 2, b - a
    law = e / (1 - nu**2) * np.array([[1, nu], [nu, 1]])  # order: radial, hoop
    shapes = np.stack([np.stack([-1 / size, 1 / size]), np.stack([0.5 / middle, 0.5 / middle])])  # 2, 2, n
    weight = middle * size
    matrix = np.zeros((count + 1, count + 1))
    for n in range(count):
        matrix[n : n + 2, n : n + 2] += shapes[:, :, n].T @ law @ shapes[:, :, n] * weight[n]
    inverse = np.linalg.inv(matrix[1:, 1:])
    plastic = np.zeros((2, count))
    shear = e / (1 + nu)  # plastic strain (-f, +f) takes 2 f shear off s_t - s_r

    def stress_of(moved):
        strain = np.einsum("ijn,jn->in", shapes, np.stack([moved[:-1], moved[1:]]))
        return np.einsum("ij,jn->in", law, strain - plastic)

    def force_of(stress):
        node = np.einsum("ijn,in->jn", shapes, stress) * weight
        total = np.zeros(count + 1)
        total[:-1] += node[0]
        total[1:] += node[1]
        return total

    moved = np.zeros(count + 1)
    for target in np.linspace(0.0, growth / 2, steps + 1)[1:]:
        moved[0] = target
        for _ in range(20000):
            moved[1:] -= inverse @ force_of(stress_of(moved))[1:]
            excess = np.diff(stress_of(moved), axis=0)[0] - strength
            if excess.max() < 1e-6 * strength:
                break
            flow = np.maximum(excess, 0.0) / (2 * shear)
            plastic += np.stack([-flow, flow])
        else:
            raise AssertionError("the numeric ring did not settle")
    pressure = force_of(stress_of(moved))[0] / radii[0]
    zone = 2 * b[plastic[1] > 1e-12].max() if (plastic[1] > 1e-12).any() else bore
    free = moved - np.linalg.solve(matrix, force_of(stress_of(moved)))
    return pressure, 2 * free[0], zone


@pytest.mark.parametrize(("bore", "outside", "zone"), [(16.5, 19.9, 17.9), (14.0, 25.2, 18.0)])
def test_growth_and_what_is_left_against_a_numeric_ring(bore, outside, zone):
    e, nu, strength = 71e3, 0.33, 105.0
    growth = yielded_bore_growth(zone, bore, outside, e, nu, strength)
    pressure, left, reached = numeric_ring(bore, outside, e, nu, strength, growth)
    assert pressure == pytest.approx(pressure_for_plastic_zone(strength, bore, outside, zone), rel=2e-3)
    assert left == pytest.approx(bore_growth_left(zone, bore, outside, e, strength), rel=5e-3)
    assert reached == pytest.approx(zone, abs=2 * (outside - bore) / 400)
    # an elastic bore would have come back wholly
    elastic = yielded_bore_growth(bore, bore, outside, e, nu, strength)
    assert numeric_ring(bore, outside, e, nu, strength, 0.99 * elastic)[1] == pytest.approx(0.0, abs=1e-9)


def test_nothing_is_lost_below_first_yield():
    yields_at = interference_for_pressure(first_yield_pressure(105.0, 16.5, 19.9), *FIT)
    below = np.linspace(-0.01, yields_at, 50) * (1 - 1e-12)
    fit = yielded_fit(below, *FIT, 105.0)
    assert np.array_equal(fit.pressure, contact_pressure(below, *FIT))
    assert np.all(fit.lost == 0.0)
    assert np.array_equal(fit.kept, np.maximum(below, 0.0))
    assert np.all(fit.zone_diameter == 16.5)
    assert not fit.fully_plastic.any()
    assert yielded_fit(yields_at * 1.001, *FIT, 105.0).lost > 0.0


def test_first_yield_growth_is_the_elastic_one():
    # d p/E [(D^2 + d^2)/(D^2 - d^2) + nu] at first yield
    p = first_yield_pressure(105.0, 16.5, 19.9)
    lame = 16.5 * p / 71e3 * ((19.9**2 + 16.5**2) / (19.9**2 - 16.5**2) + 0.33)
    assert yielded_bore_growth(16.5, 16.5, 19.9, 71e3, 0.33, 105.0) == pytest.approx(lame, rel=1e-12)
    assert bore_growth_left(16.5, 16.5, 19.9, 71e3, 105.0) == pytest.approx(0.0, abs=1e-15)


def test_growth_under_load_is_what_is_left_and_what_springs_back():
    zones = np.linspace(16.5, 19.9, 30)
    p = pressure_for_plastic_zone(105.0, 16.5, 19.9, zones)
    back = 16.5 * p / 71e3 * ((19.9**2 + 16.5**2) / (19.9**2 - 16.5**2) + 0.33)
    grown = yielded_bore_growth(zones, 16.5, 19.9, 71e3, 0.33, 105.0)
    assert grown - back == pytest.approx(bore_growth_left(zones, 16.5, 19.9, 71e3, 105.0), abs=1e-15)


def test_fully_plastic_keeps_its_pressure_and_loses_the_rest():
    fit = yielded_fit([0.08, 0.10, 0.20], *FIT, 105.0)
    assert np.all(fit.fully_plastic)
    assert fit.pressure == pytest.approx(105.0 * math.log(19.9 / 16.5), rel=1e-12)
    assert np.ptp(fit.kept) == pytest.approx(0.0, abs=1e-15)
    assert fit.lost + fit.kept == pytest.approx([0.08, 0.10, 0.20], rel=1e-12)
    assert fit.kept[0] == pytest.approx(
        interference_for_pressure(fully_plastic_pressure(105.0, 16.5, 19.9), *FIT)
    )


def test_between_the_limits_the_fit_closes():
    # bush and hub, each moved by the found pressure, take up the interference
    i = np.linspace(0.0325, 0.0410, 12)
    fit = yielded_fit(i, *FIT, 105.0)
    assert np.all((fit.zone_diameter > 16.5) & (fit.zone_diameter < 19.9))
    bush = 16.5 * fit.pressure / 125e3 * ((16.5**2 + 12.6**2) / (16.5**2 - 12.6**2) - 0.30)
    hub = yielded_bore_growth(fit.zone_diameter, 16.5, 19.9, 71e3, 0.33, 105.0)
    assert bush + hub == pytest.approx(i, rel=1e-10)
    assert fit.pressure == pytest.approx(
        pressure_for_plastic_zone(105.0, 16.5, 19.9, fit.zone_diameter), rel=1e-10
    )
    assert np.all(np.diff(fit.pressure) > 0)
    assert np.all(np.diff(fit.lost) > 0)


def test_it_is_continuous_at_both_ends():
    first = interference_for_pressure(first_yield_pressure(105.0, 16.5, 19.9), *FIT)
    last = interference_for_pressure(fully_plastic_pressure(105.0, 16.5, 19.9), *FIT) + bore_growth_left(
        19.9, 16.5, 19.9, 71e3, 105.0
    )
    for here in (first, last):
        before, after = (yielded_fit(here * (1 + s), *FIT, 105.0) for s in (-1e-7, 1e-7))
        assert after.pressure == pytest.approx(before.pressure, rel=1e-6)
        assert after.lost == pytest.approx(before.lost, abs=1e-8)
    assert not before.fully_plastic
    assert after.fully_plastic


def test_a_second_heating_to_the_same_state_loses_nothing_more():
    fit = yielded_fit(0.045, *FIT, 105.0)
    # the bore is now larger by what was lost; the same heat asks for the same pressure, which the hub bears elastically
    again = contact_pressure(0.045 - fit.lost, *FIT)
    assert again == pytest.approx(fit.pressure, rel=1e-12)


@pytest.mark.parametrize(
    ("key", "change"),
    [("hub_outer", {2: 45.0}), ("hub_outer", {2: 16.0}), ("bush_inner", {1: 16.5}), ("yield_strength", {7: 0.0})],
)  # fmt: skip
def test_bad_values_are_named(key, change):
    values = [*FIT, 105.0]
    for place, value in change.items():
        values[place] = value
    with pytest.raises(ParameterError) as caught:
        yielded_fit(0.04, *values)
    assert caught.value.key == key
