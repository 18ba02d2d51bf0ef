"""Walls of the three example jobs against a separate calculation (convex solvers and sampling, no CAD kernel).

The numbers were worked out apart from this package; those of ports with a curved inner end by sampling, which
can only over-estimate: there ours must lie at or below, within the stated tolerance, and proven.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headparts.geometry.axis import direction_from_elevation, direction_from_tilt
from headparts.geometry.distance import walls
from headparts.geometry.holes import disc_hole, dome_hole
from headparts.geometry.outside import outside_void
from headparts.geometry.void import chamber_void, port_void, round_void


def station(name, p, tilt, azim, body, length, shank, foot_s, port_azim, elev, port, port_length, hole, top):
    d = np.array(direction_from_tilt(tilt, azim))
    p = np.array(p)
    out = direction_from_elevation(port_azim, elev)
    return {
        f"body_{name}": round_void("b", "bore", p - 40 * d, d, body, length + 40, (hole,)),
        f"shank_{name}": round_void("s", "bore", p + length * d, d, shank, 100, (hole,), top=top),
        f"port_{name}": port_void("p", p + foot_s * d, out, port, port_length, p, d, body, (hole,)),
    }


def upright(x, y, diameter, length, z=0.0, kind="bolt", tilt=0.0, azim=0.0, hole=None):
    return round_void("c", kind, (x, y, z), direction_from_tilt(tilt, azim), diameter, length, (hole,))


def generator():
    hole = dome_hole(23.0, 7.2)
    made = station("in", (10.9, -0.5, 4.6), 15, 0, 22.0, 24.0, 10.0, 8.5, -40, 12, 15.0, 34.0, hole, 40.0)
    made |= station("ex", (-11.4, -0.5, 4.4), 16, 180, 19.0, 23.0, 10.0, 9.5, 180, 6, 13.0, 30.0, hole, 40.0)
    made |= {
        "plug": upright(-0.5, 14.0, 12.0, 19.0, 4.9, "gas", 28, 90, hole),
        "tunnel_in": upright(22.9, -24.5, 10.0, 40, kind="oil", hole=hole),
        "cast_pocket": upright(-13.0, 15.5, 6.0, 12.0, 15.0, "unknown", 90, 90, hole),
        "outside": outside_void((-46, -38, 0), (48, 38, 40)),
        "chamber": chamber_void(hole),
    }
    for name in ("in", "ex"):
        port = made[f"port_{name}"]
        made[f"open_{name}"] = replace(port, holes=port.holes[:1])
    return made


def sprayer():
    hole = disc_hole(25.0, 2.9)
    made = station("in", (6.1, 0.8, 3.45), 5, 0, 12.5, 13.0, 5.8, 5.6, 40, 9, 7.3, 18.0, hole, 21.0)
    made |= station("ex", (-6.4, 0.8, 3.4), 5, 180, 11.0, 12.5, 5.8, 5.2, 176, 7, 6.3, 13.277864, hole, 21.0)
    made |= {
        "plug": upright(-0.3, -9.2, 8.0, 10.5, 2.9, "gas", 22, 270, hole),
        "stud_3": upright(4.6, 15.6, 4.5, 21, hole=hole),
        "stud_4": upright(-15.0, 13.5, 4.5, 21, hole=hole),
        "tunnel_in": upright(12.23, 13.14, 5.0, 21, kind="oil", hole=hole),
        "tunnel_ex": upright(-5.0, 14.2, 5.0, 21, kind="oil", hole=hole),
        "post": upright(0.0, 9.9, 5.0, 8.0, 13.0, "thread", hole=hole),
        "outside": outside_void((-20, -18, 0), (23, 19, 21)),
        "chamber": chamber_void(hole),
    }
    for name in ("in", "ex"):
        port = made[f"port_{name}"]
        made[f"open_{name}"] = replace(port, holes=port.holes[:1])
    return made


def pump():
    hole = disc_hole(33.6, 3.3)
    fins = ((6.0, 27.0), 4.2, 1.6)
    made = station("in", (8.2, -1.2, 3.3), 0, 0, 16.5, 17.0, 8.0, 7.0, 0, 12, 10.5, 18.197663, hole, 30.0)
    made |= station("ex", (-9.0, -1.2, 3.3), 0, 0, 14.5, 16.0, 8.0, 6.3, 180, 10, 9.0, 15.231399, hole, 30.0)
    made |= {
        "plug": upright(-0.6, 11.0, 10.0, 14.0, 3.3, "gas", 20, 90, hole),
        "post": upright(0.0, -12.5, 6.0, 12.0, 18.0, "thread", hole=hole),
        "oil_return": upright(-14.0, -17.0, 3.5, 20, 30.0, "oil_return", 180, 0, hole),
        "outside": outside_void((-30, -29, 0), (30, 29, 30), (-24, 26), (-26, 24), fins),
        "shank_outside": outside_void((-30, -29, 0), (30, 29, 30), (-24, 26), (-26, 24), fins, ("top",)),
        "chamber": chamber_void(hole),
    }
    for name in ("in", "ex"):
        port = made[f"port_{name}"]
        made[f"open_{name}"] = replace(port, holes=port.holes[:1])
    return made


EXACT = {
    "generator": (
        generator,
        [
            ("body_ex", "body_in", 2.508706),
            ("body_ex", "plug", 3.357201),
            ("body_in", "plug", 2.102918),
            ("port_in", "tunnel_in", -0.414276),
            ("body_ex", "outside", 10.872426),
            ("body_in", "outside", 9.370771),
            ("body_ex", "cast_pocket", 6.5),
            ("body_ex", "shank_in", 20.066341),
            ("body_in", "shank_ex", 18.048421),
            ("shank_ex", "shank_in", 25.243401),
        ],
    ),
    "sprayer": (
        sprayer,
        [
            ("body_ex", "body_in", 0.613254),
            ("body_ex", "plug", 2.452621),
            ("body_in", "plug", 1.853359),
            ("body_ex", "stud_4", 7.010033),
            ("body_in", "stud_3", 6.370817),
            ("port_ex", "stud_4", 6.700772),
            ("port_in", "stud_3", 6.715366),
            ("body_ex", "tunnel_ex", 5.468248),
            ("body_in", "tunnel_in", 4.566708),
            ("port_in", "tunnel_in", -0.323573),
            ("body_ex", "outside", 4.66821),
            ("body_in", "outside", 4.054746),
            ("body_in", "post", 2.679151),
            ("post", "shank_in", 6.228671),
            ("body_in", "shank_ex", 5.512736),
        ],
    ),
    "pump": (
        pump,
        [
            ("body_ex", "body_in", 1.7),
            ("body_ex", "plug", 2.767349),
            ("body_in", "plug", 1.991557),
            ("body_ex", "oil_return", 7.572266),
            ("body_ex", "outside", 7.75),
            ("body_in", "outside", 9.55),
            ("shank_ex", "shank_outside", 11.0),
            ("shank_in", "shank_outside", 13.8),
            ("body_ex", "post", 4.196107),
            ("body_in", "post", 2.711733),
            ("shank_ex", "post", 7.446107),
            ("body_in", "shank_ex", 4.95),
        ],
    ),
}
SAMPLED = {
    "generator": (
        generator,
        [
            ("open_ex", "chamber", 6.327188, 0.01),
            ("open_in", "chamber", 5.570605, 0.01),
            ("body_ex", "port_in", 20.029287, 0.04),
            ("body_in", "port_ex", 22.238666, 0.04),
            ("port_ex", "shank_in", 37.250149, 0.04),
            ("port_in", "shank_ex", 31.679869, 0.04),
        ],
    ),
    "sprayer": (
        sprayer,
        [
            ("open_ex", "chamber", 3.157672, 0.01),
            ("open_in", "chamber", 3.396532, 0.01),
            ("port_in", "post", 6.723584, 0.013447),
            ("body_ex", "port_in", 10.710807, 0.04),
            ("body_in", "port_ex", 11.733803, 0.04),
            ("port_in", "shank_ex", 14.980747, 0.04),
        ],
    ),
    "pump": (
        pump,
        [
            ("open_ex", "chamber", 3.00898, 0.01),
            ("open_in", "chamber", 3.386641, 0.01),
            ("body_ex", "port_in", 16.902127, 0.04),
            ("body_in", "port_ex", 15.073543, 0.04),
        ],
    ),
}


@pytest.mark.parametrize("job", EXACT)
def test_convex_and_bored_pairs(job):
    make, rows = EXACT[job]
    voids = make()
    found = walls([(voids[a], voids[b]) for a, b, _ in rows])
    for item, (a, b, expected) in zip(found, rows, strict=True):
        assert item.value == pytest.approx(expected, abs=1e-6), (a, b)
        assert item.proven, (a, b)


@pytest.mark.parametrize("job", SAMPLED)
def test_ports_with_their_curved_inner_end(job):
    make, rows = SAMPLED[job]
    voids = make()
    found = walls([(voids[a], voids[b]) for a, b, _, _ in rows])
    for item, (a, b, expected, tolerance) in zip(found, rows, strict=True):
        assert expected - tolerance <= item.value <= expected + 1e-6, (a, b)
        assert item.proven, (a, b)
        assert item.upper - item.lower <= 1e-6
        assert voids[a].contains(item.at[0], 2e-9)
        assert voids[b].contains(item.at[1], 2e-9)


def test_trap_a_square_inner_end_overstates_the_wall():
    """The port's core alone, begun square on the axis where it leaves the body, would promise more metal."""
    voids = generator()
    port = voids["port_in"]
    square = replace(
        port,
        holes=(),
        cores=(
            port.cores[0].with_half_space(
                port.cores[0].axis.at(11.0), -np.array(port.cores[0].axis.direction)
            ),
        ),
    )
    true, promised = walls([(port, voids["body_ex"]), (square, voids["body_ex"])])
    assert promised.value > true.value + 0.5
