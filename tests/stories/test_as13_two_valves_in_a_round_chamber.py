"""AS13: how large two valves may be in a disc chamber, alone and with the plug's web asked for."""

import math

import pytest

from headparts.errors import ParameterError
from headparts.mechanics.valve_packing import largest_valves

CHAMBER, WALL, LAND, WEB, LINE, RATIO = 16.8, 1.2, 1.0, 1.5, -1.2, 0.86
PLUG = (10.0, -0.6, 11.0)


def plug_webs(intake, exhaust, right, left):
    """Metal from each bushing's body to the plug hole, worked out in the plan view."""
    return [
        math.hypot(x - PLUG[1], LINE - PLUG[2]) - PLUG[0] / 2 - head / 2 - LAND
        for x, head in ((right, intake), (left, exhaust))
    ]


def test_the_web_between_them_decides():
    found = largest_valves(CHAMBER, WALL, LAND, WEB, LINE, RATIO)
    assert list(found) == pytest.approx([14.803, 12.730, 8.110, -9.156], abs=6e-4)
    assert plug_webs(*found) == pytest.approx([1.589, 2.536], abs=1e-3)
    intake, exhaust, right, left = found
    assert math.hypot(right, LINE) + intake / 2 == pytest.approx(CHAMBER - WALL, rel=1e-12)
    assert math.hypot(left, LINE) + exhaust / 2 == pytest.approx(CHAMBER - WALL, rel=1e-12)
    assert right - left - (intake + exhaust) / 2 - 2 * LAND == pytest.approx(WEB, rel=1e-9)


def test_a_wider_web_to_the_plug_decides():
    found = largest_valves(CHAMBER, WALL, LAND, WEB, LINE, RATIO, *PLUG, 1.8)
    assert list(found[:2]) == pytest.approx([14.537, 12.502], abs=6e-4)
    assert min(plug_webs(*found)) == pytest.approx(1.8, rel=1e-9)


def test_a_plug_far_enough_away_changes_nothing():
    alone = largest_valves(CHAMBER, WALL, LAND, WEB, LINE, RATIO)
    assert list(largest_valves(CHAMBER, WALL, LAND, WEB, LINE, RATIO, *PLUG, 1.5)) == pytest.approx(
        list(alone)
    )


def test_trap_half_of_what_is_left_on_the_diameter_is_too_much():
    """The chord less walls, lands and web, shared out by the ratio, forgets that the rims stand off the line."""
    shared = (2 * (CHAMBER - WALL) - 2 * LAND - WEB) / (1 + RATIO)
    assert shared > largest_valves(CHAMBER, WALL, LAND, WEB, LINE, RATIO)[0] + 0.05


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("line_y", {"line_y": 15.7}),
        ("web", {"web": 40.0}),
        ("ratio", {"ratio": 0.0}),
        ("wall", {"wall": -0.1}),
    ],
)
def test_what_is_impossible_is_refused(key, change):
    sizes = {
        "chamber_radius": CHAMBER,
        "wall": WALL,
        "land": LAND,
        "web": WEB,
        "line_y": LINE,
        "ratio": RATIO,
    }
    with pytest.raises(ParameterError, match=key):
        largest_valves(**{**sizes, **change})
