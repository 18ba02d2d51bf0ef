"""The plane model against thick cylinders, symmetry, superposition, finer meshes, and an earlier model of three heads."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from headparts.mechanics.press_fit import (
    bore_closure,
    bush_hoop,
    contact_pressure,
    hub_hoop,
    hub_tresca,
    outer_growth,
)
from headparts.stress.bridge import across_web, rules_of
from headparts.stress.from_plan import body_section
from headparts.stress.section import Ellipse, Ring, Section
from headparts.stress.solve import PlaneModel, principal, tresca, von_mises

pytestmark = pytest.mark.usefixtures("extra")


def circle(diameter: float, count: int = 360) -> tuple[tuple[float, float], ...]:
    """Corners of as large a polygon as the circle, by area."""
    turns = np.arange(count) * (2 * np.pi / count)
    step = 2 * np.pi / count
    radius = diameter / 2 * np.sqrt(step / np.sin(step))
    return tuple((float(x), float(y)) for x, y in radius * np.stack([np.cos(turns), np.sin(turns)], axis=1))


def ring(name, centre, outer, inner, interference, metal) -> Ring:
    return Ring(name, Ellipse.round(centre, outer), Ellipse.round(centre, inner), outer, interference, *metal)


def plate(*rings: Ring, half: float = 40.0) -> Section:
    corners = ((-half, -half), (half, -half), (half, half), (-half, half))
    return Section(0.0, corners, rings, 71e3, 0.33)


@pytest.mark.parametrize(
    ("sizes", "interference", "head", "bush"),
    [
        ((16.5, 12.6, 30.0), 0.037, (71e3, 0.33), (125e3, 0.30)),
        ((14.0, 5.0, 22.0), 0.030, (110e3, 0.26), (120e3, 0.34)),
    ],
)
def test_one_ring_in_a_round_hub_is_the_thick_cylinder(sizes, interference, head, bush):
    d, di, do = sizes
    section = Section(0.0, circle(do), (ring("a", (0.0, 0.0), d, di, interference, bush),), *head)
    solution = PlaneModel.of(section, 2.0).solve()
    pressure = contact_pressure(interference, d, di, do, *head, *bush)
    for side in ("head", "ring"):
        _, found = solution.pressure(0, side)
        assert found == pytest.approx(pressure, rel=0.01)
    assert solution.mean_pressure(0) == pytest.approx(pressure, rel=0.002)
    nodes = solution.mesh.on(section.rings[0].outer)
    hoop, radial = principal(solution.head()[nodes])
    assert hoop == pytest.approx(hub_hoop(pressure, d, do), rel=0.01)
    assert radial == pytest.approx(-pressure, rel=0.01)
    assert tresca(solution.head()[nodes]) == pytest.approx(hub_tresca(pressure, d, do), rel=0.01)
    within = solution.mesh.on(section.rings[0].inner)
    assert principal(solution.stress[0, within])[1] == pytest.approx(bush_hoop(pressure, d, di), rel=0.01)
    across = solution.diameters(section.rings[0].inner, interference / d)
    assert -across == pytest.approx(bore_closure(pressure, d, di, bush[0]), rel=0.005)
    grown = solution.diameters(Ellipse.round((0.0, 0.0), 2 * np.hypot(*section.outline[0])))
    assert grown.mean() == pytest.approx(outer_growth(pressure, d, do, head[0]), rel=0.005)


def test_equivalent_stresses_of_known_states():
    # pull, pure shear, and pull both ways, with nothing across: 100, 2 x 50 and sqrt(3) 50, 80 and 80
    states = np.array([[100.0, 0.0, 0.0], [0.0, 0.0, 50.0], [80.0, 80.0, 0.0]])
    assert tresca(states) == pytest.approx([100.0, 100.0, 80.0])
    assert von_mises(states) == pytest.approx([100.0, 50.0 * np.sqrt(3.0), 80.0])


def test_two_equal_bores_look_the_same_from_both_sides():
    metal = (125e3, 0.30)
    section = plate(
        ring("a", (-8.0, 0.0), 14.0, 10.0, 0.03, metal), ring("b", (8.0, 0.0), 14.0, 10.0, 0.03, metal)
    )
    solution = PlaneModel.of(section).solve()
    along, hoop, stress = across_web(solution)
    assert section.web_width == pytest.approx(2.0)
    assert along[-1] == pytest.approx(2.0)
    assert hoop == pytest.approx(np.interp(2.0 - along, along, hoop), rel=0.01)
    assert np.abs(stress[:, 2]).max() < 0.01 * hoop.min()  # no shear on the line of the centres
    assert solution.mean_pressure(0) == pytest.approx(solution.mean_pressure(1), rel=1e-3)
    first, second = (np.ptp(solution.diameters(r.inner)) for r in section.rings)
    assert first == pytest.approx(second, rel=0.02)
    # the pressure round one is the mirror image of that round the other, and of itself
    turns = np.linspace(-3.0, 3.0, 61)
    first, second = (np.interp(turns, *solution.pressure(k), period=2 * np.pi) for k in (0, 1))
    mirrored = np.interp(np.pi - turns, *solution.pressure(1), period=2 * np.pi)
    assert first == pytest.approx(mirrored, rel=0.015)
    assert first == pytest.approx(first[::-1], rel=0.015)
    assert second == pytest.approx(second[::-1], rel=0.015)
    assert np.ptp(first) > 0.2 * first.mean()


def test_far_apart_each_ring_is_alone_in_a_wide_plate():
    metal = (125e3, 0.30)
    section = plate(
        ring("a", (-30.0, 0.0), 8.0, 5.0, 0.02, metal),
        ring("b", (30.0, 0.0), 8.0, 5.0, 0.02, metal),
        half=80.0,
    )
    solution = PlaneModel.of(section).solve()
    alone = contact_pressure(0.02, 8.0, 5.0, 8e4, 71e3, 0.33, *metal)
    for k in (0, 1):
        assert solution.mean_pressure(k) == pytest.approx(alone, rel=0.01)
        assert np.ptp(solution.pressure(k)[1]) < 0.03 * alone


def test_both_in_is_the_sum_of_each_tight_alone(planned):
    """The model is linear: each interference alone, the other ring only filling its bore, adds up exactly."""
    model = PlaneModel.of(body_section(planned("pump_26cc")))
    both, first, second = model.solve(), model.solve((0, 1), (0,)), model.solve((0, 1), (1,))
    assert both.head() == pytest.approx(first.head() + second.head(), abs=1e-7, nan_ok=True)
    # an earlier plane model of the same head: 46 MPa mean from one alone, the first throat 10.5 um oval by the second
    along, hoop, _ = across_web(first)
    assert np.trapezoid(hoop, along) / along[-1] == pytest.approx(46.0, rel=0.06)
    assert np.ptp(second.diameters(model.section.rings[0].inner)) == pytest.approx(0.0105, rel=0.05)
    # with the other bore empty the web carries more than with both in, by both measures
    empty = model.solve((0,))
    assert tresca(across_web(empty)[2]).max() > 1.15 * tresca(across_web(both)[2]).max()
    assert across_web(empty)[1].mean() > 1.2 * across_web(both)[1].mean()


@pytest.mark.parametrize(
    ("name", "before"), [("pump_26cc", 142.0), ("generator_62cc", 149.0), ("sprayer_10cc", 140.0)]
)
def test_three_heads_against_an_earlier_model_and_the_quick_rule(planned, name, before):
    """The earlier model was coarser and the third job has changed since: 4 %. The quick rule reads 0 to 10 % low."""
    section = body_section(planned(name))
    solution = PlaneModel.of(section).solve()
    _, hoop, stress = across_web(solution)
    found = tresca(stress)
    assert found.max() == pytest.approx(before, rel=0.04)
    for rule, at_bore in zip(rules_of(section), (found[0], found[-1]), strict=True):
        assert 1.0 <= at_bore / rule.tresca <= 1.10
        assert rule.added_tresca > at_bore
    assert found.min() > hoop.min() > 0.0


def test_finer_meshes_settle():
    metal = (125e3, 0.30)
    rings = (ring("a", (-8.2, 0.0), 14.5, 10.6, 0.03, metal), ring("b", (8.6, 1.0), 16.5, 12.6, 0.035, metal))
    section = plate(*rings, half=20.0)
    found = []
    for fineness in (1.0, 1.5, 2.2):
        solution = PlaneModel.of(section, fineness).solve()
        _, _, stress = across_web(solution)
        found.append(
            [tresca(stress).max(), solution.mean_pressure(0), np.ptp(solution.diameters(rings[0].inner))]
        )
    first, second = np.abs(np.diff(found, axis=0)) / np.array(found[-1])
    assert np.all(first < 0.01)
    assert np.all(second < 0.004)


def test_twice_the_interference_is_twice_the_stress():
    metal = (125e3, 0.30)
    once, twice = (
        PlaneModel.of(plate(ring("a", (0.0, 3.0), 14.0, 10.0, i, metal), half=12.0)).solve()
        for i in (0.01, 0.02)
    )
    assert twice.head() == pytest.approx(2 * once.head(), rel=1e-9, abs=1e-9, nan_ok=True)
    # nothing from outside: the whole section balances, so does each of its parts
    assert once.mean_pressure(0) > 0.0


def test_two_holes_under_even_pressure_are_lings():
    """Rings as soft as a fluid press evenly. Ling's factors of two equal holes in a wide plate pulled all round, at the
    edge toward the other hole: 2.887 at 1.5 diameters, 2.411 at 2 (C.-B. Ling, J. Appl. Phys. 19, 1948; from memory).
    Even pressure is that load less a pull of 1 everywhere: 1.887 and 1.411 times the pressure.
    """
    for spread, factor in ((1.5, 2.887), (2.0, 2.411)):
        rings = tuple(
            ring(n, (x, 0.0), 10.0, 6.0, 10.0, (1.0, 0.3)) for n, x in (("a", -5 * spread), ("b", 5 * spread))
        )
        solution = PlaneModel.of(plate(*rings, half=150.0)).solve()
        _, hoop, _ = across_web(solution)
        for end, k in ((hoop[0], 0), (hoop[-1], 1)):
            assert end / solution.mean_pressure(k) == pytest.approx(factor - 1.0, rel=0.01)


def test_a_sliding_ring_in_a_round_hub_is_the_thick_cylinder_too():
    metal, head = (125e3, 0.30), (71e3, 0.33)
    section = Section(0.0, circle(30.0), (ring("a", (0.0, 0.0), 16.5, 12.6, 0.037, metal),), *head)
    solution = PlaneModel.of(section, 1.5).solve(sliding=True)
    pressure = contact_pressure(0.037, 16.5, 12.6, 30.0, *head, *metal)
    assert solution.mean_pressure(0) == pytest.approx(pressure, rel=0.003)
    assert solution.friction(0) < 0.01
    across = solution.diameters(section.rings[0].inner, 0.037 / 16.5)
    assert -across == pytest.approx(bore_closure(pressure, 16.5, 12.6, metal[0]), rel=0.005)


def test_without_friction_the_web_carries_what_shear_at_the_fits_did(planned):
    """Nearly even pressure on both bores: the web must see what two holes under that pressure see, far above bonded."""
    section = body_section(planned("pump_26cc"))
    model = PlaneModel.of(section)
    bonded, sliding = model.solve(), model.solve(sliding=True)
    soft = tuple(dataclasses.replace(r, modulus=1.0, interference=0.1 * r.diameter) for r in section.rings)
    fluid = PlaneModel(dataclasses.replace(section, rings=soft), model.mesh).solve((0, 1), (0,))
    other = PlaneModel(dataclasses.replace(section, rings=soft), model.mesh).solve((0, 1), (1,))
    # even pressures as great as the sliding ones toward the web, within 12 mm of bore edge each side of it
    toward = []
    for k, angle in ((0, np.pi), (1, 0.0)):
        angles, pressure = sliding.pressure(k)
        near = np.abs(np.angle(np.exp(1j * (angles - angle)))) < 1.2
        toward.append(float(pressure[near].mean()))
    even = sum(
        across_web(each)[1] * p / each.mean_pressure(k)
        for k, (each, p) in enumerate(zip((fluid, other), toward, strict=True))
    )
    found = across_web(sliding)[1]
    assert found.mean() == pytest.approx(even.mean(), rel=0.12)
    assert found.mean() > 2.0 * across_web(bonded)[1].mean()
    assert max(bonded.friction(k) for k in (0, 1)) > 0.8
    assert max(sliding.friction(k) for k in (0, 1)) < 0.05
