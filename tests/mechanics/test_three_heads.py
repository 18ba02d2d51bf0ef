"""Fits, gas path and valve train of three invented heads against figures worked independently of this
package.

data/bushings.csv and data/valves.csv hold, head by head, the inputs (first columns) and results of an
independent calculation by closed forms; six decimals. Lengths mm, temperatures degC, stresses MPa, Rz um,
areas mm2, forces N, torques N m, speeds m/s. Tolerance: 1e-6 absolute plus the rounding to six decimals.
"""

import csv
import math
from pathlib import Path

import pytest

from headparts.mechanics import gas_flow, machining, rocker, spring, valve_seat
from headparts.mechanics.drilling import drill_torque, torque_on_bushing
from headparts.mechanics.press_fit import (
    bore_closure,
    bush_hoop,
    contact_pressure,
    holding_torque,
    hub_tresca,
    press_force,
    roughness_loss,
)
from headparts.mechanics.thermal import interference_at, least_assembly_slip, least_interference_at

HEAD = (71e3, 0.33)
HEAD_CTE, HEAD_BAND = 22.0e-6, (21.1e-6, 22.7e-6)
BUSH = {
    "cu_be": ((125e3, 0.30), 17.5e-6, (17.0e-6, 17.8e-6), 900.0),
    "al_bronze": ((120e3, 0.34), 17.0e-6, (16.2e-6, 18.0e-6), 330.0),
}
LOW, HIGH = 0.08, 0.18


def cases(name):
    with (Path(__file__).parent / "data" / name).open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            yield {key: float(text) if text[-1].isdigit() else text for key, text in row.items()}


def label(row):
    return f"{row['head']} {row['station']}"


def near(value):
    return pytest.approx(value, rel=2e-7, abs=1.1e-6)


@pytest.mark.parametrize("row", list(cases("bushings.csv")), ids=label)
def test_fit_of_a_bushing(row):
    elastic, cte, band, strength = BUSH[row["material"]]
    d, throat, length = row["diameter"], row["throat"], row["length"]
    loss = roughness_loss(row["rz_bore"], row["rz_bush"])
    loose = row["interference"] - row["band"] - loss - row["measure_u"]
    tight = row["interference"] + row["band"]
    assert loose == near(row["loose"])

    def grip(head, bush):
        return least_interference_at(loose, d, HEAD_BAND, head, band, bush)

    assert grip(20.0, 20.0) == near(loose)
    assert grip(row["head_running"], row["bush_running"]) == near(row["grip_running"])
    assert grip(row["soak"], row["soak"]) == near(row["grip_soak"])
    assert grip(row["head_oven"], row["head_oven"]) == near(row["grip_second"])

    hub = d + 2 * row["web"]

    def tresca(head, bush):
        press = interference_at(tight, d, HEAD_CTE, head, cte, bush)
        return hub_tresca(contact_pressure(press, d, throat, hub, *HEAD, *elastic), d, hub)

    # the web of the table is rounded to six decimals: 1e-5 MPa
    assert tresca(20.0, 20.0) == pytest.approx(row["tresca"], rel=2e-6)
    assert tresca(-20.0, -20.0) == pytest.approx(row["tresca_cold_soak"], rel=2e-6)
    assert tresca(row["head_running"], row["bush_running"]) == pytest.approx(row["tresca_running"], rel=2e-6)

    pressure = contact_pressure([loose, tight], d, throat, 1.8 * d, *HEAD, *elastic)
    assert -bush_hoop(pressure[1], d, throat) / strength == near(row["hoop_share"])
    assert press_force(pressure[1], d, length, HIGH) == near(row["force"])
    assert holding_torque(pressure[0], d, length, LOW) == near(row["torque"])
    wanted = 2 * torque_on_bushing(drill_torque(row["port"]), row["port"], d)
    assert wanted == pytest.approx(row["torque_wanted"], abs=6e-5)  # four decimals given
    slip = least_assembly_slip(tight, d, HEAD_BAND, row["head_oven"], band, row["bush_frozen"])
    assert slip == near(row["slip"])

    shank, guide = row["shank"], row["guide"]
    light = contact_pressure(row["shank_tight"], shank, guide, 2.2 * shank, *HEAD, *elastic)
    assert bore_closure(light, shank, guide, elastic[0]) == near(row["closure"])


@pytest.mark.parametrize("row", list(cases("valves.csv")), ids=label)
def test_seat_and_gas_path(row):
    seat = (row["seat_width"], 45.0)
    assert valve_seat.seat_inner_diameter(row["seat_outer"], *seat) == near(row["seat_inner"])
    assert valve_seat.seat_inner_edge(row["s_outer"], *seat) == near(row["seat_inner_edge"])
    assert valve_seat.tip_place(row["s_outer"], *seat, row["gauge_to_tip"]) == near(row["tip"])
    under = valve_seat.head_underside(
        row["s_outer"], row["valve_head"], row["seat_outer"], 45.0, row["margin"]
    )
    assert under == near(row["underside"])
    edge = valve_seat.lowest_edge(row["seat_z"], under, row["tilt"], row["valve_head"])
    stack = (row["gasket"], row["deck"], row["lift_tdc"], row["tilt"])
    assert valve_seat.piston_gap(edge, *stack, deck_u=row["deck_u"]) == near(row["piston_gap"])

    geometry = (row["lift"], row["seat_outer"], row["seat_width"] * math.cos(math.radians(45.0)), 45.0)
    assert gas_flow.seat_opening_area(*geometry) == near(row["opening"])
    assert gas_flow.throat_area(row["throat"], row["stem"]) == near(row["throat_area"])
    opening = gas_flow.valve_opening_area(*geometry, row["throat"], row["stem"])
    assert gas_flow.round_area(row["narrow_port"]) / opening == near(row["area_ratio"])
    speed = gas_flow.mean_piston_speed(row["stroke"], row["rpm"])
    assert gas_flow.mach_index(row["bore"], row["valve_head"], speed) == near(row["mach"])
    assert gas_flow.port_speed(row["bore"], row["narrow_port"], speed) == near(row["port_speed"])
    assert machining.joint_lip(row["upstream"], row["downstream"], row["mate_u"]) == near(row["lip"])


@pytest.mark.parametrize("row", list(cases("valves.csv")), ids=label)
def test_spring_and_rocker(row):
    length = spring.installed_length(row["tip"], row["drop"], row["spring_seat"], row["shim"])
    assert length == near(row["installed"])
    # the tip of the table is rounded to six decimals, times the rate
    assert spring.spring_force(row["free"], row["rate"], length) == pytest.approx(
        row["force_closed"], abs=5e-6
    )
    assert spring.coil_bind_reserve(length, row["lift"], row["solid"]) == near(row["coil_bind"])
    gap = spring.retainer_gap(
        row["tip"], row["drop"], row["depth"], row["lift"], row["guide_top"], row["seal"]
    )
    assert gap == near(row["retainer_gap"])
    ratio = rocker.rocker_ratio(row["valve_arm"], row["pushrod_arm"])
    need = rocker.adjuster_need(row["spacer"], row["rise_z"], ratio, row["pushrod_change"])
    assert need == near(row["adjuster"])
    sweep = rocker.half_sweep(row["valve_arm"], row["lift"], row["rise_z"], row["spacer"])
    assert sweep / row["stem"] == near(row["half_sweep_share"])
