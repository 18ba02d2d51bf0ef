"""Every number that the stories give, from what they are given, to their own tolerance.

``data/numbers.json`` holds what was worked out apart from this package (closed forms, brute force): the given sizes, the
numbers, and how near counts. The stories themselves, with their traps, are in the modules beside this one.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from math import cos, radians
from pathlib import Path

import numpy as np
import pytest

from headparts.geometry.axis import (
    Axis,
    Frame,
    common_perpendicular,
    direction_from_elevation,
    direction_from_tilt,
)
from headparts.geometry.convex import cylinder
from headparts.geometry.distance import wall
from headparts.geometry.opening import opening
from headparts.geometry.quadrature import PlainBushing, plain_bushing_volume, saddle_sleeve
from headparts.geometry.void import Void, round_void
from headparts.geometry.window import PortInBody, depth_to_far_wall, depth_to_pass, extreme_of_window
from headparts.mechanics.buckling import free_ring_pressure
from headparts.mechanics.gas_flow import throat_area, useful_port_diameter, valve_opening_area
from headparts.mechanics.machining import clean_up, clock_step, smallest_new_diameter
from headparts.mechanics.press_fit import bore_closure, contact_pressure
from headparts.mechanics.rocker import lash_change, pad_sweep, pushrod_change_needed, spacer_lower_bound
from headparts.mechanics.selective_fit import od_window
from headparts.mechanics.sleeve import least_wall, rod_clearance
from headparts.mechanics.stack_up import rss_case, worst_case
from headparts.mechanics.thermal import interference_at
from headparts.mechanics.valve_seat import lowest_edge, piston_gap

STORIES = json.loads((Path(__file__).parent / "data" / "numbers.json").read_text(encoding="utf-8"))
Numbers = dict[str, float | list[float]]


def as01(g: dict) -> Numbers:
    a, b = g["a"], g["b"]
    bore = Void(
        "bore", "bore", (cylinder(a["p"], direction_from_tilt(a["tilt"], a["azim"]), a["r"], a["len"]),)
    )
    length = (b["z_end"] - b["p"][2]) / cos(radians(b["tilt"]))
    lean = direction_from_tilt(b["tilt"], b["azim"])
    return {"wall": wall(bore, round_void("tunnel", "oil", b["p"], lean, 2.0 * b["r"], length)).value}


def as02(g: dict) -> Numbers:
    port, gallery = g["port"], g["gallery"]
    out = direction_from_elevation(port["azim"], port["elev"])
    drilled = Void("port", "port", (cylinder(port["p"], out, port["r"], 25.0),))
    cored = cylinder(gallery["p"], gallery["dir"], gallery["r"], gallery["len"])
    return {"wall": wall(drilled, Void("gallery", "oil", (cored,))).value}


def as03(g: dict) -> Numbers:
    return {"worst": worst_case(g["nominal"], g["u"]), "rss": rss_case(g["nominal"], g["u"])}


def as04(g: dict) -> Numbers:
    return {"hot": list(interference_at(g["delta"], g["d"], g["cte_head"], g["T"], g["cte_bush"], g["T"]))}


def as05(g: dict) -> Numbers:
    pressure = contact_pressure(g["delta"], g["d"], g["di"], g["hub"], g["Eh"], g["nh"], g["Eb"], g["nb"])
    return {"p": pressure, "closure": bore_closure(pressure, g["d"], g["di"], g["Eb"])}


def as06(g: dict) -> Numbers:
    elastic = (g["Eh"], g["nu"], g["E"], g["nu"])
    thin = (g["od"] - g["id"]) / 2.0
    return {
        "p": contact_pressure(g["od"] - g["bore"], g["bore"], g["id"], g["hub"], *elastic),
        "wall": least_wall(g["od"], g["id"]),
        "pcr": free_ring_pressure(thin, (g["od"] + g["id"]) / 4.0, g["E"], g["nu"]),
    }


def as07(g: dict) -> Numbers:
    def clear(outside: float) -> float:
        return float(rod_clearance(g["gap"], outside, g["stud"]))

    # the clearance falls by half of what the outside grows
    return {"clear": clear(g["sleeve_od"]), "max_od": g["sleeve_od"] + 2.0 * (clear(g["sleeve_od"]) - 0.15)}


def as08(g: dict) -> Numbers:
    area = valve_opening_area(g["lift"], g["Dv"], g["w"], g["beta"], g["Dp"], g["Ds"])
    return {"area": area, "throat": throat_area(g["Dp"], g["Ds"]), "port_max": useful_port_diameter(area)}


def as09(g: dict) -> Numbers:
    return {
        "t_old_pushrod": spacer_lower_bound(g["dh"], g["R"]),
        "lash_t32": lash_change(3.2, g["dh"], g["R"]),
        "push_t2": pushrod_change_needed(2.0, g["dh"], g["R"]),
    }


def as10(g: dict) -> Numbers:
    port, hole = g["port"], g["hole"]
    out = direction_from_elevation(port["azim"], port["elev"])
    bore = Void("bore", "sleeve_bore", (cylinder(port["p"], out, port["dia"] / 2.0, 34.0),))
    tunnel = round_void("tunnel", "oil", hole["p"], (0.0, 0.0, 1.0), hole["dia"], 40.0)
    found = opening(bore, tunnel, with_volume=False)
    gap = common_perpendicular(bore.cores[0].axis, tunnel.cores[0].axis)[0]
    return {"gap": gap, "pen": -wall(bore, tunnel).value, "along": found.along, "centre": found.centre}


def as11(g: dict) -> Numbers:
    valve = Axis(tuple(g["foot"]), (0.0, 0.0, 1.0), 40.0)
    out = direction_from_elevation(0.0, g["elev"])
    face = (g["face_x"] - g["foot"][0]) / out[0]
    port = PortInBody.of(valve, Axis(valve.point, out, face), g["dia"] / 2.0)
    return {
        "through": depth_to_pass(port, g["inner_r"], face, g["point"]),
        "far_wall": depth_to_far_wall(port, g["inner_r"], face, g["point"]),
    }


def as12(g: dict) -> Numbers:
    return {"step": clock_step(g["r"], g["deg"])}


def as14(g: dict) -> Numbers:
    stack = (g["gasket"], g["deck"], g["lift"], g["tilt"])
    return {
        "edge": piston_gap(lowest_edge(g["z"], g["s"], g["tilt"], g["head"]), *stack),
        "centre": piston_gap(lowest_edge(g["z"], g["s"], g["tilt"], 1e-9), *stack),
    }


def as15(g: dict) -> Numbers:
    window = od_window(g["bores"], g["lo"], g["hi"])
    return {"od": [window.lower, window.upper]}


def as17(g: dict) -> Numbers:
    lean = direction_from_tilt(g["tilt"], g["azim"])
    frame = Frame.from_z_x(g["seat"], lean, (1.0, 0.0, 0.0))  # Z along the valve, Y kept
    return {
        "bore_axis": list(frame.to_local(np.zeros(3))),
        "tunnel": list(frame.to_local(np.array([22.9, -24.5, 0.0]))),
    }


def as19(g: dict) -> Numbers:
    return {
        "clean": clean_up(g["new"], g["old"], g["offset"]),
        "min_new": smallest_new_diameter(g["old"], g["offset"], g["u"], g["allow"]),
    }


def as26(g: dict) -> Numbers:
    valve = Axis((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 40.0)
    rings = []
    for elevation in g["elev"]:
        out = Axis(valve.at(g["s_axis"]), direction_from_elevation(180.0, elevation), 15.3)
        lowest = extreme_of_window(PortInBody.of(valve, out, g["dia"] / 2.0), g["rt"], g["rb"])[0]
        rings.append(lowest - g["seat_s"])
    return {"ring": rings}


def as27(g: dict) -> Numbers:
    return {"sweep": [pad_sweep(g["b"], low - g["lift"] / 2.0, low + g["lift"] / 2.0) for low in g["low"]]}


def as28(g: dict) -> Numbers:
    body, shank, throat, window = g["body"], g["shank"], g["throat"], g["window"]
    plain = PlainBushing(
        body[0] / 2.0, shank[0] / 2.0, throat[0] / 2.0, g["guide"] / 2.0, body[1], throat[1], shank[1]
    )
    port = PortInBody(window["s"], window["elev"], window["dia"] / 2.0)
    return {"volume": plain_bushing_volume(plain, port).value, "plain": plain_bushing_volume(plain).value}


def as29(g: dict) -> Numbers:
    """Scenario B: valve axis from (10.9, -0.5, 4.6), 15 deg to +X; port at s = 8.5, azimuth -40, 12 deg up."""
    valve = Axis((10.9, -0.5, 4.6), direction_from_tilt(15.0, 0.0), 60.0)
    out = Axis(valve.at(8.5), direction_from_elevation(-40.0, 12.0), g["face"])
    outer, inner = g["od"] / 2.0, g["id"] / 2.0
    made = saddle_sleeve(PortInBody.of(valve, out, outer), outer, inner, g["saddle_r"], g["face"])
    return {"len_min": made.length_min, "len_max": made.length_max, "volume": made.volume.value}


BY_STORY: dict[str, Callable[[dict], Numbers]] = {
    "AS01": as01, "AS02": as02, "AS03": as03, "AS04": as04, "AS05": as05, "AS06": as06, "AS07": as07, "AS08": as08,
    "AS09": as09, "AS10": as10, "AS11": as11, "AS12": as12, "AS14": as14, "AS15": as15, "AS17": as17, "AS19": as19,
    "AS25": as04, "AS26": as26, "AS27": as27, "AS28": as28, "AS29": as29,
}  # fmt: skip


@pytest.mark.parametrize("story", STORIES, ids=[f"{row['id']}-{k}" for k, row in enumerate(STORIES)])
def test_every_number_of_a_story(story):
    made = BY_STORY[story["id"]](story["given"])
    assert set(made) == set(story["expect"])
    for name, number in story["expect"].items():
        assert made[name] == pytest.approx(number, rel=0, abs=story["tol"]), name


def test_every_story_with_numbers_is_worked_out():
    assert {row["id"] for row in STORIES} == set(BY_STORY)
    assert len(STORIES) == 22
