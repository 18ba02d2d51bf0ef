"""The last value allowed is taken and the first one past it refused, with its key."""

# ruff: noqa: C408
# (names read better as dict(...) in the lists below)
import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics import (
    buckling,
    compression,
    gas_flow,
    guide,
    hot_fit,
    machining,
    press_fit,
    relaxation,
    rocker,
    selective_fit,
    sleeve,
    spring,
    thermal,
    thick_cylinder,
    thread,
    valve_seat,
    yielding,
)

NEXT = 1e-9
ELASTIC = dict(hub_modulus=71e3, hub_poisson=0.33, bush_modulus=125e3, bush_poisson=0.3)
PRESS = dict(interference=0.03, diameter=16.5, bush_inner=12.6, hub_outer=29.7, **ELASTIC)
HUB = dict(pressure=20.0, diameter=16.5, hub_outer=29.7)
BUSH = dict(pressure=20.0, diameter=16.5, bush_inner=12.6)
SEAT = dict(lift=2.2, seat_outer=12.6, radial_width=0.7, angle=45.0)
SLIP = dict(slip=0.015, tight_interference=0.037, diameter=16.5, hub_cte=22e-6, bush_cte=17e-6,
            bush_temperature=-18.0)  # fmt: skip

# function, good arguments, key, the first value refused, one just inside it
EDGES = [
    (buckling.backed_ring_pressure, dict(wall=0.3, outer_diameter=14.0, modulus=7e4, poisson=0.33), "wall", 7.0, 6.99),
    (buckling.free_ring_pressure, dict(wall=0.3, mean_radius=7.0, modulus=7e4, poisson=0.33), "wall", 14.0, 13.99),
    (buckling.free_ring_pressure, dict(wall=0.3, mean_radius=7.0, modulus=7e4, poisson=0.33), "poisson", 0.5, 0.4999),
    (buckling.free_ring_pressure, dict(wall=0.3, mean_radius=7.0, modulus=7e4, poisson=0.33), "poisson", -NEXT, 0.0),
    (compression.dome_volume, dict(base_radius=23.0, depth=7.0), "depth", 23.0 + NEXT, 23.0),
    (compression.bathtub_volume, dict(length=30.0, width=20.0, depth=5.0, corner=4.0), "corner", 10.0 + NEXT, 10.0),
    (compression.bathtub_volume, dict(length=20.0, width=30.0, depth=5.0, corner=4.0), "corner", 10.0 + NEXT, 10.0),
    (compression.disc_volume, dict(diameter=30.0, depth=5.0), "depth", -NEXT, 0.0),
    (compression.disc_volume, dict(diameter=30.0, depth=5.0), "diameter", 0.0, NEXT),
    (gas_flow.seat_opening_area, SEAT, "angle", 90.0, 89.9),
    (gas_flow.seat_opening_area, SEAT, "angle", 0.0, 0.1),
    (gas_flow.seat_opening_area, SEAT, "radial_width", 6.3, 6.29),
    (gas_flow.seat_opening_area, SEAT, "lift", -NEXT, 0.0),
    (gas_flow.throat_area, dict(throat=11.0, stem=4.0), "stem", 11.0, 10.999),
    (machining.clock_step, dict(radius=8.0, turn=1.0), "turn", 90.0 + NEXT, 90.0),
    (machining.clock_step, dict(radius=8.0, turn=1.0), "turn", -90.0 - NEXT, -90.0),
    (machining.clock_tolerance, dict(radius=8.0, stock=0.5, other_error=0.1), "other_error", 0.5 + NEXT, 0.5),
    (machining.clock_tolerance, dict(radius=8.0, stock=0.5, other_error=0.1), "stock", 8.0 + NEXT, 8.0),
    (machining.stock_left, dict(finish_diameter=10.5, pilot_diameter=9.5, start_error=0.1, body_diameter=16.5,
                                turn=1.0), "turn", -NEXT, 0.0),
    (machining.stock_left, dict(finish_diameter=10.5, pilot_diameter=9.5, start_error=0.1, body_diameter=16.5,
                                turn=1.0), "turn", 90.0 + NEXT, 90.0),
    (press_fit.contact_pressure, PRESS, "bush_inner", 16.5, 16.499),
    (press_fit.contact_pressure, PRESS, "bush_inner", -NEXT, 0.0),
    (press_fit.contact_pressure, PRESS, "hub_outer", 16.5, 16.501),
    (press_fit.contact_pressure, PRESS, "hub_poisson", 0.5, 0.4999),
    (press_fit.hub_hoop, HUB, "hub_outer", 16.5, 16.501),
    (press_fit.hub_hoop, HUB, "pressure", -NEXT, 0.0),
    (press_fit.bush_hoop, BUSH, "bush_inner", 16.5, 16.499),
    (press_fit.bore_closure, dict(**BUSH, bush_modulus=125e3), "bush_inner", 0.0, 0.005),
    (press_fit.press_force, dict(pressure=20.0, diameter=16.5, length=17.0, friction=0.1), "friction", 1.0 + NEXT, 1.0),
    (press_fit.press_force, dict(pressure=20.0, diameter=16.5, length=17.0, friction=0.1), "friction", 0.0, 0.005),
    (rocker.pad_sweep, dict(arm=11.4, lowest=-1.6, highest=1.6), "lowest", 1.6 + NEXT, 1.6),
    (rocker.pad_sweep, dict(arm=11.4, lowest=-1.6, highest=1.6), "highest", 11.4, 11.399),
    (rocker.pad_path, dict(arm=11.4, closed_height=1.6, lift=2.0), "closed_height", 11.4, 11.399),
    (rocker.pad_path, dict(arm=11.4, closed_height=1.6, lift=2.0), "closed_height", -9.4, -9.399),
    (rocker.pad_path, dict(arm=11.4, closed_height=1.6, lift=2.0), "lift", -NEXT, 0.0),
    (sleeve.least_wall, dict(outer_diameter=15.8, inner_diameter=15.0), "inner_diameter", 15.8, 15.799),
    (spring.spring_force, dict(free_length=22.5, rate=6.5, length=16.5), "length", 22.5 + NEXT, 22.5),
    (spring.installed_length, dict(tip=50.0, retainer_below_tip=4.0, seat=27.0), "seat", 46.0, 45.995),
    (thermal.head_temperature_for_slip, SLIP, "hub_cte", 0.0, 1e-7),
    (thermal.head_temperature_for_slip, SLIP, "hub_cte", 1.001e-3, 1e-3),
    (thermal.head_temperature_for_slip, SLIP, "bush_temperature", -273.151, -273.15),
    (thick_cylinder.hoop_stress, dict(radius=9.0, inner_radius=8.0, outer_radius=10.0), "radius", 7.999, 8.0),
    (thick_cylinder.hoop_stress, dict(radius=9.0, inner_radius=8.0, outer_radius=10.0), "radius", 10.001, 10.0),
    (thick_cylinder.hoop_stress, dict(radius=9.0, inner_radius=8.0, outer_radius=10.0), "inner_radius", 10.0, 9.0),
    (thick_cylinder.hoop_stress, dict(radius=9.0, inner_radius=0.0, outer_radius=10.0, outside_pressure=5.0),
     "bore_pressure", 0.001, 0.0),
    (thread.stress_area, dict(diameter=6.0, pitch=1.0), "pitch", 3.0, 2.999),
    (valve_seat.head_underside, dict(s_outer=0.3, head=14.5, seat_outer=14.1, angle=45.0, margin=0.9),
     "head", 14.1 - NEXT, 14.1),
    (valve_seat.lowest_edge, dict(seat_height=4.6, s_under=-0.8, tilt=15.0, head=19.5), "tilt", 90.0, 89.9),
    (valve_seat.lowest_edge, dict(seat_height=4.6, s_under=-0.8, tilt=15.0, head=19.5), "tilt", -NEXT, 0.0),
    (valve_seat.seat_inner_diameter, dict(seat_outer=14.0, width=1.0, angle=60.0), "width", 14.0 + NEXT, 13.995),
    (yielding.first_yield_pressure, dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0), "hub_outer", 16.5, 16.6),
    (yielding.pressure_for_plastic_zone, dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0, zone_diameter=18.0),
     "zone_diameter", 16.5 - NEXT, 16.5),
    (yielding.pressure_for_plastic_zone, dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0, zone_diameter=18.0),
     "zone_diameter", 20.0 + NEXT, 20.0),
]  # fmt: skip


@pytest.mark.parametrize(
    ("function", "good", "key", "refused", "taken"),
    EDGES,
    ids=[f"{e[0].__name__}-{e[2]}-{e[3]:g}" for e in EDGES],
)
def test_edge(function, good, key, refused, taken):
    assert math.isfinite(function(**{**good, key: taken}))
    with pytest.raises(ParameterError) as caught:
        function(**{**good, key: refused})
    assert caught.value.key == key


def test_rounding_of_a_last_digit_is_forgiven():
    # half a ball, a slot: the last bit of a sum must not refuse them
    assert compression.dome_volume(23.0, 23.0 * (1 + 5e-13)) > 0
    assert compression.bathtub_volume(30.0, 20.0, 5.0, 10.0 * (1 + 5e-13)) > 0


def test_fine_bore_is_no_solid_bush():
    assert press_fit.bush_hoop(20.0, 16.5, [0.0, 0.005]) == pytest.approx([-20.0, -40.0], rel=1e-6)


def test_whole_turn_of_the_arm_ends_before_upright():
    with pytest.raises(ParameterError, match="highest"):
        rocker.pad_sweep(11.4, -11.4, 1.6)
    assert rocker.pad_sweep(11.4, 1.6, 1.6) == 0.0


def test_no_wall_round_the_bore_to_ream():
    with pytest.raises(ParameterError, match=r"diameter.*no wall"):
        guide.bore_to_ream(5.0, 0.5, 0.03, 5.5, 18.0, 71e3, 0.33, 120e3, 0.34)


def test_readings_are_needed():
    with pytest.raises(ParameterError, match="readings"):
        selective_fit.od_window(np.array([]), 0.02, 0.03)
    with pytest.raises(ParameterError, match="least_interference"):
        selective_fit.od_window([16.5], 0.03 + NEXT, 0.03)
    with pytest.raises(ParameterError, match="least_interference"):
        selective_fit.od_window([16.5], np.array([0.02]), 0.03)
    with pytest.raises(ParameterError, match="greatest_interference"):
        selective_fit.od_window([16.5], 0.02, np.array([0.03]))


def test_absolute_zero_itself_can_be_asked_for():
    # 293.15 K of 1e-3 on 1 mm, exact in doubles
    assert hot_fit.bush_temperature_for_slip(293.15 * 1e-3, 0.0, 1.0, 22e-6, 20.0, 1e-3) == -273.15


@pytest.mark.parametrize("outer", [10.0, float(np.e * 10.0)])
def test_hub_between_its_bore_and_2_718_bores(outer):
    metal = dict(hub_modulus=71e3, hub_poisson=0.33, yield_strength=105.0)
    with pytest.raises(ParameterError, match="hub_outer"):
        relaxation.yielded_bore_growth(10.0, 10.0, outer, **metal)
    inside = outer + (1e-6 if outer == 10.0 else -1e-6)
    assert relaxation.yielded_bore_growth(10.0, 10.0, inside, **metal) > 0
