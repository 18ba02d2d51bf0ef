"""The valve for clearances."""

from __future__ import annotations

import math

import pytest

from headparts.errors import ParameterError
from headparts.parts import ValveParameters, valve


def test_sizes_and_place(valve_parameters: ValveParameters) -> None:
    part = valve(valve_parameters)
    # closed: the face passes the seat's outer edge, s = 0.3 at radius 7.05; underside 0.3 - 0.2 - 0.9
    assert part.box[0][2] == pytest.approx(-0.8, abs=2e-6)
    expected = {
        "head_diameter": 14.5,
        "stem_diameter": 3.97,
        "margin": 0.9,
        "face_angle": 45.0,
        "overall_length": 49.9 + 0.8,
    }
    assert set(part.sizes) == set(expected)
    for name, value in expected.items():
        assert part.measure(name) == pytest.approx(value, abs=1e-9), name


def test_volume_by_hand(valve_parameters: ValveParameters) -> None:
    disc = math.pi * 7.25**2 * 0.9
    cone = math.pi / 3.0 * (7.25 - 1.985) * (7.25**2 + 7.25 * 1.985 + 1.985**2)
    stem = math.pi * 1.985**2 * (49.9 - (-0.8 + 0.9 + 7.25 - 1.985))
    assert valve(valve_parameters).volume == pytest.approx(disc + cone + stem, rel=1e-9)


def test_lift_moves_all_of_it() -> None:
    part = valve(ValveParameters(14.5, 0.9, 3.97, 49.9, 14.1, lift=3.2))
    low, high = part.box
    assert low[2] == pytest.approx(-4.0, abs=2e-6)
    assert high[2] == pytest.approx(46.7, abs=2e-6)


def test_one_per_cent_is_seen(valve_parameters: ValveParameters) -> None:
    part = valve(valve_parameters)
    changed = valve(ValveParameters(14.5 * 1.01, 0.909, 3.97 * 1.01, 49.9, 14.1))
    for name in ("head_diameter", "stem_diameter", "margin"):
        assert part.measure(name, changed.solid) == pytest.approx(1.01 * part.measure(name), rel=1e-9), name


@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("seat_outer_diameter", (14.5, 0.9, 3.97, 49.9, 14.6)),
        ("stem_diameter", (14.5, 0.9, 14.2, 49.9, 14.1)),
        ("margin", (14.5, 0.0, 3.97, 49.9, 14.1)),
        ("tip_s", (14.5, 0.9, 3.97, 5.0, 14.1)),
        ("head_diameter", (-14.5, 0.9, 3.97, 49.9, 14.1)),
    ],
)
def test_impossible_valves(key: str, sizes: tuple[float, ...]) -> None:
    with pytest.raises(ParameterError) as caught:
        ValveParameters(*sizes)
    assert caught.value.key == key
