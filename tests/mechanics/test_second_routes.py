"""Second routes for the key results: rings by finite elements, other closed forms, brute force."""

import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics.compression import bathtub_volume, dome_volume
from headparts.mechanics.press_fit import (
    bore_closure,
    bush_hoop,
    bush_hoop_at_fit,
    contact_pressure,
    hub_hoop,
    hub_tresca,
    outer_growth,
)
from headparts.mechanics.rocker import circle_overlap, lash_change, pad_path, pad_sweep, small_angle_sweep
from headparts.mechanics.thermal import (
    assembly_slip,
    interference_at,
    least_assembly_slip,
    least_interference_at,
    yield_at,
)
from headparts.mechanics.thick_cylinder import (
    diameter_change,
    hoop_stress,
    radial_stress,
    tresca_stress,
    von_mises_stress,
)
from headparts.mechanics.valve_seat import lowest_edge
from headparts.mechanics.yielding import (
    first_yield_pressure,
    fully_plastic_pressure,
    pressure_for_plastic_zone,
)


def ring_by_elements(inner, outer, modulus, poisson, inside=0.0, outside=0.0, count=800):
    """Radii and radial displacements of a ring in plane stress, linear elements, two-point integration."""
    radii = np.linspace(inner, outer, count + 1)
    matrix = np.zeros((count + 1, count + 1))
    stiffness = modulus / (1 - poisson**2) * np.array([[1, poisson], [poisson, 1]])
    for element in range(count):
        a, b = radii[element], radii[element + 1]
        size = b - a
        for point in (-1 / math.sqrt(3), 1 / math.sqrt(3)):
            r = (a + b) / 2 + point * size / 2
            share = np.array([(b - r) / size, (r - a) / size])
            strain = np.array([[-1 / size, 1 / size], share / r])
            matrix[element : element + 2, element : element + 2] += (
                strain.T @ stiffness @ strain * r * size / 2
            )
    load = np.zeros(count + 1)
    load[0], load[-1] = inside * inner, -outside * outer
    return radii, np.linalg.solve(matrix, load)


@pytest.mark.parametrize(
    ("interference", "diameter", "bush_inner", "hub_outer", "elastic"),
    [
        (0.037, 16.5, 12.6, 19.9, (71e3, 0.33, 125e3, 0.30)),
        (0.030, 7.0, 5.0, 18.0, (71e3, 0.33, 120e3, 0.34)),
        (0.064, 20.0, 15.5, 30.0, (71e3, 0.33, 110e3, 0.26)),
    ],
)
def test_press_of_two_materials_against_elements(interference, diameter, bush_inner, hub_outer, elastic):
    eh, nh, eb, nb = elastic
    hub_radii, hub = ring_by_elements(diameter / 2, hub_outer / 2, eh, nh, inside=1.0)
    bush_radii, bush = ring_by_elements(bush_inner / 2, diameter / 2, eb, nb, outside=1.0)
    by_elements = interference / 2 / (hub[0] - bush[-1])
    pressure = contact_pressure(interference, diameter, bush_inner, hub_outer, *elastic)
    assert pressure == pytest.approx(by_elements, rel=1e-4)
    assert bore_closure(pressure, diameter, bush_inner, eb) == pytest.approx(
        -2 * bush[0] * by_elements, rel=2e-4
    )
    assert outer_growth(pressure, diameter, hub_outer, eh) == pytest.approx(
        2 * hub[-1] * by_elements, rel=2e-4
    )
    # hoop stress from the movement: E u/r + nu s_r
    assert hub_hoop(pressure, diameter, hub_outer) == pytest.approx(
        (eh * hub[0] / hub_radii[0] - nh) * by_elements, rel=3e-4
    )
    assert bush_hoop(pressure, diameter, bush_inner) == pytest.approx(
        eb * bush[0] / bush_radii[0] * by_elements, rel=3e-4
    )
    assert bush_hoop_at_fit(pressure, diameter, bush_inner) == pytest.approx(
        (eb * bush[-1] / bush_radii[-1] - nb) * by_elements, rel=3e-4
    )


def test_plane_strain_is_plane_stress_of_an_axially_held_ring():
    # hold the ends by an axial stress nu (s_r + s_t): the same rings, gap closed with the strain it adds
    e, nu = 200e3, 0.28
    strain = contact_pressure(0.05, 150.0, 100.0, 300.0, e, nu, e, nu, plane="strain")
    held = []
    for inner, outer, load in (
        (75.0, 150.0, {"bore_pressure": strain}),
        (50.0, 75.0, {"outside_pressure": strain}),
    ):
        hoop, radial = (f(75.0, inner, outer, **load) for f in (hoop_stress, radial_stress))
        axial = nu * (hoop + radial)
        held.append(150.0 * (hoop - nu * (radial + axial)) / e)
    assert held[0] - held[1] == pytest.approx(0.05, rel=1e-12)


@pytest.mark.parametrize("radius", [8.3, 8.8, 9.4, 9.9])
def test_ring_in_equilibrium_and_compatible(radius):
    ring, step = (8.25, 9.95, 20.0, 4.0), 1e-4
    before, here, after = radial_stress([radius - step, radius, radius + step], *ring)
    # equilibrium: ds_r/dr = (s_t - s_r)/r
    assert (after - before) / (2 * step) == pytest.approx(
        (hoop_stress(radius, *ring) - here) / radius, rel=1e-6
    )
    # compatibility: s_r + s_t is the same everywhere
    total = hoop_stress(radius, *ring) + here
    assert total == pytest.approx(2 * (20.0 * 8.25**2 - 4.0 * 9.95**2) / (9.95**2 - 8.25**2), rel=1e-12)


def test_ring_ends_carry_the_pressures():
    assert radial_stress([8.25, 9.95], 8.25, 9.95, 20.0, 4.0) == pytest.approx([-20.0, -4.0], rel=1e-12)
    # a thin ring: p d/(2 t)
    assert hoop_stress(100.05, 100.0, 100.1, bore_pressure=1.0) == pytest.approx(100.05 / 0.1, rel=1e-3)


def test_hub_tresca_is_hoop_plus_pressure_and_equals_the_field():
    pressure, d, do = 20.633, 16.5, 19.9
    assert hub_tresca(pressure, d, do) == pytest.approx(hub_hoop(pressure, d, do) + pressure, rel=1e-12)
    hoop, radial = (f(d / 2, d / 2, do / 2, pressure) for f in (hoop_stress, radial_stress))
    assert tresca_stress(hoop, radial) == pytest.approx(hub_tresca(pressure, d, do), rel=1e-12)


def test_equivalent_stresses_of_known_states():
    # uniaxial: the stress itself; all round: none; pure shear t: 2 t and sqrt(3) t
    assert tresca_stress(100.0, 0.0, 0.0) == von_mises_stress(100.0, 0.0, 0.0) == 100.0
    assert tresca_stress(-50.0, -50.0, -50.0) == von_mises_stress(-50.0, -50.0, -50.0) == 0.0
    assert tresca_stress(30.0, 0.0, -30.0) == pytest.approx(60.0)
    assert von_mises_stress(30.0, 0.0, -30.0) == pytest.approx(math.sqrt(3) * 30.0)


def test_solid_shaft_is_the_limit_of_a_fine_bore():
    fine = contact_pressure(0.03, 16.5, 1e-4, 30.0, 71e3, 0.33, 125e3, 0.30)
    assert contact_pressure(0.03, 16.5, 0.0, 30.0, 71e3, 0.33, 125e3, 0.30) == pytest.approx(fine, rel=1e-8)
    assert bush_hoop(20.0, 16.5, 0.0) == -20.0
    assert diameter_change(10.0, 0.0, 10.0, 2e5, 0.3, outside_pressure=100.0) == pytest.approx(
        -10.0 * 100.0 * (1 - 0.3) / 2e5, rel=1e-12
    )


def test_a_gap_carries_no_pressure():
    found = contact_pressure([-0.01, 0.0, 0.01], 16.5, 12.6, 30.0, 71e3, 0.33, 125e3, 0.30)
    assert found[0] == found[1] == 0.0
    assert found[2] > 0


def test_corners_hold_the_least_of_the_whole_band():
    hub, bush = (21.1e-6, 22.7e-6), (17.0e-6, 17.8e-6)
    alpha_h, alpha_b = np.meshgrid(np.linspace(*hub, 21), np.linspace(*bush, 21))
    for head, body in ((180.0, 160.0), (220.0, 220.0), (-20.0, -20.0), (180.0, -18.0), (20.0, 200.0)):
        grid = interference_at(0.03, 16.5, alpha_h, head, alpha_b, body)
        assert least_interference_at(0.03, 16.5, hub, head, bush, body) == pytest.approx(
            np.min(grid), abs=1e-15
        )
        slip = assembly_slip(0.03, 16.5, alpha_h, head, alpha_b, body)
        assert least_assembly_slip(0.03, 16.5, hub, head, bush, body) == pytest.approx(
            np.min(slip), abs=1e-15
        )


def test_yield_is_a_line_held_at_both_ends():
    # by hand: 155 at 20, 105 at 200, 130 in the middle at 110
    assert yield_at([-40.0, 20.0, 110.0, 200.0, 300.0], 155.0, 105.0) == pytest.approx(
        [155, 155, 130, 105, 105]
    )


def test_lash_change_against_a_turning_lever():
    # lift the pivot by t, the tip by dh: turn the lever until the pushrod end is back, look at the valve end
    valve_arm, pushrod_arm, thickness, rise, change = 11.4, 9.5, 0.02, 0.032, 0.01
    turn = math.asin((thickness - change) / pushrod_arm)
    tip_end = thickness + valve_arm * math.sin(turn)
    expected = tip_end - rise
    assert lash_change(thickness, rise, valve_arm / pushrod_arm, change) == pytest.approx(expected, rel=1e-6)


def test_pad_sweep_against_stepping():
    heights = np.linspace(-0.7, 2.5, 100001)
    reach = np.sqrt(11.4**2 - heights**2)
    assert pad_sweep(11.4, -0.7, 2.5) == pytest.approx(np.ptp(reach), rel=1e-8)
    heights = np.linspace(-4.0, -1.0, 100001)
    assert pad_sweep(11.4, -4.0, -1.0) == pytest.approx(np.ptp(np.sqrt(11.4**2 - heights**2)), rel=1e-8)


@pytest.mark.parametrize(("first", "second", "distance"), [(2.5, 2.5, 0.2), (3.0, 2.0, 1.2), (2.0, 3.0, 2.2)])
def test_circle_overlap_against_a_grid(first, second, distance):
    axis = np.linspace(-2.0, 4.5, 2601)
    x, y = np.meshgrid(axis, axis)
    common = (x**2 + y**2 <= (first / 2) ** 2) & ((x - distance) ** 2 + y**2 <= (second / 2) ** 2)
    area = np.count_nonzero(common) * (axis[1] - axis[0]) ** 2
    assert circle_overlap(first, second, distance) == pytest.approx(
        area / (math.pi / 4 * min(first, second) ** 2), rel=3e-3
    )


def test_circle_overlap_at_its_ends():
    assert circle_overlap(2.0, 3.0, [0.0, 0.5, 2.5, 3.0]) == pytest.approx([1.0, 1.0, 0.0, 0.0], abs=1e-12)
    assert circle_overlap(2.0, 2.0, 0.0) == 1.0


def test_lowest_edge_against_the_rim_point_by_point():
    tilt, radius, s_under, height = math.radians(16.0), 8.5, -1.0, 4.4
    along = np.array([math.sin(tilt), 0.0, math.cos(tilt)])
    across = np.array([math.cos(tilt), 0.0, -math.sin(tilt)])
    angles = np.linspace(0, 2 * math.pi, 7201)
    side = np.array([0.0, 1.0, 0.0])
    rim = s_under * along + radius * (np.cos(angles)[:, None] * across + np.sin(angles)[:, None] * side)
    assert lowest_edge(height, s_under, 16.0, 17.0) == pytest.approx(height + np.min(rim[:, 2]), abs=1e-9)


def test_chamber_volumes_against_slices():
    height = np.linspace(0.0, 7.2, 200001)
    ball = (23.0**2 + 7.2**2) / (2 * 7.2)
    slices = np.pi * (ball**2 - (ball - 7.2 + height) ** 2)
    assert dome_volume(23.0, 7.2) == pytest.approx(np.trapezoid(slices, height) / 1000, rel=1e-6)
    x = np.linspace(-15.0, 15.0, 200001)
    over = np.clip(np.abs(x) - (15.0 - 4.0), 0.0, None)
    half = 10.0 - 4.0 + np.sqrt(16.0 - over**2)
    assert bathtub_volume(30.0, 20.0, 5.0, 4.0) == pytest.approx(
        np.trapezoid(2 * half, x) * 5.0 / 1000, rel=1e-6
    )


def test_small_angle_sweep_reads_low_by_the_next_term():
    # sqrt(b^2 - h^2) = b - h^2/2b - h^4/8b^3 - ...: the error over 8 b^3 is the fourth power
    for low, high in ((-1.6, 1.6), (0.4, 2.4), (-3.0, -1.0)):
        near, far = (0.0, max(abs(low), abs(high))) if low < 0 < high else sorted((abs(low), abs(high)))
        small, true = small_angle_sweep(30.0, low, high), pad_sweep(30.0, low, high)
        assert true - small == pytest.approx((far**4 - near**4) / (8 * 30.0**3), rel=0.02)
        assert small == pytest.approx((far**2 - near**2) / 60.0, rel=1e-12)
    # 1 % low at a height of 0.2 arms, 5 % at 0.43, as the docstring says
    for share, error in ((0.2, 0.01), (0.43, 0.05)):
        found = small_angle_sweep(10.0, 0.0, 10.0 * share) / pad_sweep(10.0, 0.0, 10.0 * share)
        assert 1 - found == pytest.approx(error, rel=0.05)


def test_pad_path_against_a_turned_point():
    arm, height, lifts = 11.4, 2.5, np.linspace(0.0, 3.2, 33)
    path = pad_path(arm, height, lifts)
    for lift, shift in zip(lifts, path, strict=True):
        start = np.array([math.sqrt(arm**2 - height**2), height])
        turn = math.asin((height - lift) / arm) - math.asin(height / arm)
        turned = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]) @ start
        assert turned[1] == pytest.approx(height - lift, abs=1e-12)
        assert shift == pytest.approx(turned[0] - start[0], abs=1e-12)
    # what it covers is the sweep between the two heights
    assert np.ptp(path) == pytest.approx(pad_sweep(arm, height - 3.2, height), rel=2e-3)
    assert pad_path(arm, height, 0.0) == 0.0
    for arguments in ((11.4, 11.4, 0.0), (11.4, -9.0, 2.4), (11.4, -11.4, 1.0)):
        with pytest.raises(ParameterError, match="closed_height"):
            pad_path(*arguments)


def test_plastic_zone_against_integration_from_the_outside():
    # elastic beyond c: hoop - radial = R at c; inside, equilibrium ds_r/dr = R/r, by Runge and Kutta's rule
    strength, d, do, c = 155.0, 16.5, 22.0, 18.7
    radial = -strength / 2 * (1 - (c / do) ** 2)
    steps = 2000
    size = (d - c) / 2 / steps
    for step in range(steps):
        r = c / 2 + step * size
        radial += size / 6 * strength * (1 / r + 4 / (r + size / 2) + 1 / (r + size))
    assert pressure_for_plastic_zone(strength, d, do, c) == pytest.approx(-radial, rel=1e-10)
    assert hub_tresca(-(-strength / 2 * (1 - (c / do) ** 2)), c, do) == pytest.approx(strength, rel=1e-12)


def test_plastic_zone_at_its_limits():
    strength, d, do = 155.0, 16.5, 22.0
    assert pressure_for_plastic_zone(strength, d, do, d) == pytest.approx(
        first_yield_pressure(strength, d, do), rel=1e-12
    )
    assert pressure_for_plastic_zone(strength, d, do, do) == pytest.approx(
        fully_plastic_pressure(strength, d, do), rel=1e-12
    )
    # at first yield the elastic stress at the bore just reaches the strength, by either criterion
    hub = (d / 2, d / 2, do / 2)
    for criterion, stress in (("tresca", tresca_stress), ("von_mises", von_mises_stress)):
        first = first_yield_pressure(strength, d, do, criterion)
        reached = stress(hoop_stress(*hub, first), radial_stress(*hub, first))
        assert reached == pytest.approx(strength, rel=1e-12)
    # a thin hub is plastic all through almost as soon as it yields: both tend to R t/r
    thin = (strength, 100.0, 100.02)
    assert fully_plastic_pressure(*thin) == pytest.approx(strength * 0.0002, rel=2e-4)
    assert first_yield_pressure(*thin) == pytest.approx(strength * 0.0002, rel=4e-4)
