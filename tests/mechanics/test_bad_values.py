"""Bad values are refused by a ParameterError that names the key; nothing is repaired. Arrays broadcast."""

# ruff: noqa: C408
# (names read better as dict(...) in the lists below)
import inspect
import math

import numpy as np
import pytest

from headparts.errors import ParameterError
from headparts.mechanics import (
    buckling,
    compression,
    drilling,
    gas_flow,
    guide,
    lash,
    machining,
    press_fit,
    rocker,
    sleeve,
    spring,
    stack_up,
    thermal,
    thick_cylinder,
    thread,
    valve_seat,
    yielding,
)

FIT = dict(
    interference=0.03, diameter=16.5, bush_inner=12.6, hub_outer=29.7,
    hub_modulus=71e3, hub_poisson=0.33, bush_modulus=125e3, bush_poisson=0.30,
)  # fmt: skip
HOT = dict(
    interference=0.03,
    diameter=16.5,
    hub_cte=22e-6,
    hub_temperature=180.0,
    bush_cte=17e-6,
    bush_temperature=160.0,
)
SEAT = dict(lift=2.2, seat_outer=12.6, radial_width=0.7, angle=45.0)
RING = dict(radius=10.0, inner_radius=8.0, outer_radius=12.0)

GOOD = [
    (press_fit.contact_pressure, FIT),
    (press_fit.interference_for_pressure,
     {**{k: v for k, v in FIT.items() if k != "interference"}, "pressure": 20.0}),
    (press_fit.hub_hoop, dict(pressure=20.0, diameter=16.5, hub_outer=20.0)),
    (press_fit.hub_tresca, dict(pressure=20.0, diameter=16.5, hub_outer=20.0)),
    (press_fit.bush_hoop, dict(pressure=20.0, diameter=16.5, bush_inner=12.6)),
    (press_fit.bush_hoop_at_fit, dict(pressure=20.0, diameter=16.5, bush_inner=12.6)),
    (press_fit.bore_closure, dict(pressure=20.0, diameter=8.0, bush_inner=4.0, bush_modulus=125e3)),
    (press_fit.outer_growth, dict(pressure=20.0, diameter=16.5, hub_outer=20.0, hub_modulus=71e3)),
    (press_fit.press_force, dict(pressure=20.0, diameter=16.5, length=17.0, friction=0.1)),
    (press_fit.holding_torque, dict(pressure=20.0, diameter=16.5, length=17.0, friction=0.1)),
    (press_fit.roughness_loss, dict(rz_bore=4.0, rz_bush=3.0, coefficient=0.8)),
    (thick_cylinder.hoop_stress, {**RING, "bore_pressure": 10.0, "outside_pressure": 5.0}),
    (thick_cylinder.radial_stress, {**RING, "bore_pressure": 10.0, "outside_pressure": 5.0}),
    (thick_cylinder.tresca_stress, dict(first=1.0, second=2.0, third=3.0)),
    (thick_cylinder.von_mises_stress, dict(first=1.0, second=2.0, third=3.0)),
    (thermal.expansion, dict(length=20.0, cte=22e-6, rise=100.0)),
    (thermal.interference_at, HOT),
    (thermal.assembly_slip,
     {**{k: v for k, v in HOT.items() if k != "interference"}, "tight_interference": 0.03}),
    (thermal.head_temperature_for_slip, dict(
        slip=0.015, tight_interference=0.037, diameter=16.5, hub_cte=22e-6, bush_cte=17e-6,
         bush_temperature=-18.0)),
    (thermal.yield_at, dict(temperature=100.0, yield20=155.0, yield200=105.0)),
    (thermal.gap_change, dict(diameter=15.0, hub_cte=22e-6, sleeve_cte=23e-6, temperature=170.0)),
    (yielding.first_yield_pressure, dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0)),
    (yielding.fully_plastic_pressure, dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0)),
    (yielding.pressure_for_plastic_zone, dict(
        yield_strength=155.0, diameter=16.5, hub_outer=20.0, zone_diameter=18.0)),
    (buckling.free_ring_pressure, dict(wall=0.26, mean_radius=7.0, modulus=70e3, poisson=0.33)),
    (buckling.backed_ring_pressure, dict(wall=0.26, outer_diameter=14.3, modulus=70e3, poisson=0.33)),
    (buckling.pressure_over_buckling, dict(pressure=1.0, buckling_pressure=2.0)),
    (gas_flow.seat_opening_area, SEAT),
    (gas_flow.valve_opening_area, {**SEAT, "throat": 11.0, "stem": 4.0}),
    (gas_flow.throat_area, dict(throat=11.0, stem=4.0)),
    (gas_flow.mach_index,
     dict(bore=34.0, valve_head=14.5, piston_speed=6.7, flow_coefficient=0.35, sound_speed=340.0)),
    (gas_flow.port_speed, dict(bore=34.0, port_diameter=10.5, piston_speed=6.7)),
    (gas_flow.mean_piston_speed, dict(stroke=28.6, speed=7000.0)),
    (rocker.lash_change, dict(thickness=2.0, tip_rise=3.2, ratio=1.2, pushrod_change=1.0)),
    (rocker.pad_sweep, dict(arm=11.4, lowest=-1.6, highest=1.6)),
    (rocker.past_nut, dict(stud_projection=24.0, thickness=2.0, post_height=14.0, washer=1.2, nut=5.0)),
    (rocker.circle_overlap, dict(first_diameter=2.5, second_diameter=2.0, distance=0.5)),
    (spring.installed_length, dict(tip=50.0, retainer_below_tip=4.0, seat=27.0, shim=2.0)),
    (spring.spring_force, dict(free_length=22.5, rate=6.5, length=16.5)),
    (spring.coil_bind_reserve, dict(installed=16.5, lift=3.2, solid_length=10.8)),
    (lash.warm_lash, dict(cold_lash=0.1, ratio=1.2, pivot_growth=0.3, pushrod_growth=0.1, valve_growth=0.4)),
    (machining.clean_up, dict(new_diameter=16.5, old_diameter=15.0, offset=0.2, half_width=0.1)),
    (machining.stock_left, dict(
        finish_diameter=10.5, pilot_diameter=9.5, start_error=0.1, body_diameter=16.5, turn=1.0)),
    (machining.joint_lip, dict(upstream_diameter=10.5, downstream_diameter=10.5, position_error=0.1)),
    (compression.disc_volume, dict(diameter=34.0, depth=3.0)),
    (compression.bathtub_volume, dict(length=30.0, width=20.0, depth=4.0, corner=5.0)),
    (compression.dome_volume, dict(base_radius=23.0, depth=7.2)),
    (valve_seat.head_underside, dict(s_outer=0.3, head=14.5, seat_outer=14.1, angle=45.0, margin=0.9)),
    (valve_seat.lowest_edge, dict(seat_height=4.6, s_under=-0.8, tilt=15.0, head=19.5)),
    (valve_seat.piston_gap, dict(lowest_edge_height=1.3, gasket=1.0, deck=0.4, lift_at_tdc=1.3, tilt=15.0)),
    (guide.stem_clearance, dict(guide_bore=4.0, stem=3.97, bore_tolerance=0.012)),
    (sleeve.least_wall, dict(outer_diameter=15.8, inner_diameter=15.0, outer_lower=-0.01, inner_upper=0.02)),
    (sleeve.rod_clearance, dict(axis_gap=11.34, sleeve_outer=15.8, rod_diameter=8.0)),
    (thread.stress_area, dict(diameter=6.0, pitch=1.0)),
    (drilling.torque_on_bushing, dict(drill_torque_=3.0, port_diameter=10.5, body_diameter=16.5)),
]  # fmt: skip
NAMES = [function.__name__ for function, _ in GOOD]
BAD = [math.nan, math.inf, -math.inf, "16.5", None, True, [[1.0], [2.0, 3.0]], 1 + 1j]


@pytest.mark.parametrize(("function", "arguments"), GOOD, ids=NAMES)
def test_each_argument_refuses_what_is_no_finite_number(function, arguments):
    for key in arguments:
        for bad in BAD:
            with pytest.raises(ParameterError) as caught:
                function(**{**arguments, key: bad})
            assert caught.value.key == key, (key, bad, str(caught.value))


@pytest.mark.parametrize(("function", "arguments"), GOOD, ids=NAMES)
def test_scalars_give_a_float_and_arrays_the_broadcast_shape(function, arguments):
    single = function(**arguments)
    assert type(single) is float
    columns = {key: np.full((3, 1), value) for key, value in arguments.items()}
    first = next(iter(arguments))
    columns[first] = np.full((1, 4), arguments[first])
    result = function(**columns)
    expected = (1, 4) if len(arguments) == 1 else (3, 4)
    assert result.shape == expected
    assert np.allclose(result, single, rtol=1e-12, atol=0)


@pytest.mark.parametrize(("function", "arguments"), [item for item in GOOD if len(item[1]) > 1])
def test_shapes_that_do_not_fit_are_refused(function, arguments):
    keys = list(arguments)
    wrong = {**arguments, keys[0]: np.full(2, arguments[keys[0]]), keys[-1]: np.full(3, arguments[keys[-1]])}
    with pytest.raises(ParameterError):
        function(**wrong)


@pytest.mark.parametrize(
    ("function", "arguments", "change"),
    [
        (press_fit.contact_pressure, FIT, {"bush_inner": 16.5}),
        (press_fit.contact_pressure, FIT, {"bush_inner": -1.0}),
        (press_fit.contact_pressure, FIT, {"hub_outer": 16.5}),
        (press_fit.contact_pressure, FIT, {"hub_poisson": 0.5}),
        (press_fit.contact_pressure, FIT, {"bush_poisson": -0.1}),
        (press_fit.contact_pressure, FIT, {"hub_modulus": 0.0}),
        (press_fit.contact_pressure, FIT, {"plane": "stressed"}),
        (press_fit.hub_tresca, dict(pressure=1.0, diameter=10.0, hub_outer=20.0), {"pressure": -1.0}),
        (press_fit.bore_closure,
         dict(pressure=1.0, diameter=8.0, bush_inner=4.0, bush_modulus=1e5), {"bush_inner": 0}),
        (press_fit.press_force,
         dict(pressure=1.0, diameter=8.0, length=4.0, friction=0.1), {"friction": 0.0}),
        (press_fit.press_force,
         dict(pressure=1.0, diameter=8.0, length=4.0, friction=0.1), {"friction": 1.1}),
        (thick_cylinder.hoop_stress, RING, {"radius": 12.1}),
        (thick_cylinder.hoop_stress, RING, {"radius": 7.9}),
        (thick_cylinder.hoop_stress, RING, {"inner_radius": 12.0}),
        (thermal.interference_at, HOT, {"hub_cte": 22.0}),
        (thermal.interference_at, HOT, {"bush_temperature": -300.0}),
        (yielding.pressure_for_plastic_zone,
         dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0, zone_diameter=18.0),
          {"zone_diameter": 20.1}),
        (yielding.first_yield_pressure,
         dict(yield_strength=155.0, diameter=16.5, hub_outer=20.0), {"criterion": "mohr"}),
        (gas_flow.seat_opening_area, SEAT, {"lift": -0.1}),
        (gas_flow.seat_opening_area, SEAT, {"angle": 90.0}),
        (gas_flow.seat_opening_area, SEAT, {"radial_width": 6.3}),
        (gas_flow.throat_area, dict(throat=11.0, stem=4.0), {"stem": 11.0}),
        (rocker.pad_sweep, dict(arm=11.4, lowest=-1.6, highest=1.6), {"highest": 11.4}),
        (rocker.pad_sweep, dict(arm=11.4, lowest=-1.6, highest=1.6), {"lowest": 1.7}),
        (spring.spring_force, dict(free_length=22.5, rate=6.5, length=16.5), {"length": 22.6}),
        (spring.installed_length,
         dict(tip=50.0, retainer_below_tip=4.0, seat=27.0, shim=2.0), {"seat": 44.0}),
        (compression.bathtub_volume, dict(length=30.0, width=20.0, depth=4.0, corner=5.0), {"corner": 10.1}),
        (compression.dome_volume, dict(base_radius=23.0, depth=7.2), {"depth": 23.1}),
        (valve_seat.head_underside,
         dict(s_outer=0.3, head=14.5, seat_outer=14.1, angle=45.0, margin=0.9), {"head": 14.0}),
        (thread.stress_area, dict(diameter=6.0, pitch=1.0), {"pitch": 3.0}),
        (sleeve.least_wall, dict(outer_diameter=15.8, inner_diameter=15.0), {"inner_diameter": 15.8}),
        (machining.clock_tolerance, dict(radius=8.25, stock=0.5, other_error=0.2), {"other_error": 0.6}),
        (buckling.free_ring_pressure,
         dict(wall=0.26, mean_radius=7.0, modulus=70e3, poisson=0.33), {"wall": 14.0}),
    ],
)  # fmt: skip
def test_impossible_values_name_their_key(function, arguments, change):
    with pytest.raises(ParameterError) as caught:
        function(**{**arguments, **change})
    assert caught.value.key == next(iter(change))
    assert caught.value.key in str(caught.value)
    assert isinstance(caught.value, ValueError)


def test_one_bad_value_in_an_array_is_refused():
    with pytest.raises(ParameterError, match="diameter"):
        press_fit.hub_hoop(1.0, [10.0, math.nan], 20.0)
    with pytest.raises(ParameterError, match="hub_outer"):
        press_fit.hub_hoop(1.0, 10.0, [20.0, 10.0])


def test_bands_and_rows_of_another_shape_are_refused():
    with pytest.raises(ParameterError, match="hub_cte_band"):
        thermal.least_interference_at(0.03, 16.5, (22e-6, 21e-6), 180.0, (17e-6, 18e-6), 160.0)
    with pytest.raises(ParameterError, match="bush_cte_band"):
        thermal.least_assembly_slip(0.03, 16.5, (21e-6, 22e-6), 180.0, 17e-6, -18.0)
    with pytest.raises(ParameterError, match="half_widths"):
        stack_up.worst_case(1.0, 0.1)
    with pytest.raises(ParameterError, match="half_widths"):
        stack_up.rss_case(1.0, [0.1, -0.1])
    with pytest.raises(ParameterError, match=r"pieces\[1\]"):
        lash.chain_growth([(1.0, 22e-6, 10.0), (1.0, 22e-6)])


def test_arguments_are_not_changed():
    bore = np.array([16.5, 17.0])
    before = bore.copy()
    press_fit.hub_hoop(1.0, bore, 20.0)
    assert np.array_equal(bore, before)
    assert "interference" in inspect.signature(press_fit.contact_pressure).parameters
