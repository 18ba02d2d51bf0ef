"""The repair sleeve: saddle, chamfer, square and flanged ends."""

from __future__ import annotations

import math

import pytest

from headparts.errors import ParameterError
from headparts.parts import SleeveParameters, sleeve


def test_sizes_of_a_saddled_sleeve(sleeve_parameters: SleeveParameters) -> None:
    part = sleeve(sleeve_parameters)
    expected = {
        "outer_diameter": 15.79,
        "inner_diameter": 15.0,
        "wall": 0.395,
        "saddle_radius": 11.0,
        "axis_angle": 66.75,
        "length_min": sleeve_parameters.length_min,
        "length_max": sleeve_parameters.length_max,
    }
    assert set(part.sizes) == set(expected)
    for name, value in expected.items():
        assert part.measure(name) == pytest.approx(value, abs=1e-9), name


def test_shortest_length_in_closed_form(sleeve_parameters: SleeveParameters) -> None:
    """The shortest generator lies in the plane of both axes: face - (r cos a + R)/sin a."""
    turn = math.radians(66.75)
    by_hand = 34.0 - (7.895 * math.cos(turn) + 11.0) / math.sin(turn)
    assert sleeve_parameters.length_min == pytest.approx(by_hand, abs=1e-9)


def test_square_to_the_valve_axis_in_closed_form() -> None:
    """At 90 deg: shortest 34 - 11, longest 34 - sqrt(11^2 - 7.895^2)."""
    part = sleeve(SleeveParameters(15.79, 15.0, 34.0, 11.0, 90.0))
    assert part.measure("length_min") == pytest.approx(23.0, abs=1e-9)
    assert part.measure("length_max") == pytest.approx(34.0 - math.sqrt(11.0**2 - 7.895**2), abs=1e-9)


def test_a_valve_axis_leaning_the_other_way_gives_the_same_sleeve(sleeve_sizes: dict[str, float]) -> None:
    one = sleeve(SleeveParameters(**sleeve_sizes))
    other = sleeve(SleeveParameters(**{**sleeve_sizes, "axis_angle": 180.0 - 66.75}))
    assert other.volume == pytest.approx(one.volume, rel=1e-8)


def test_an_axis_passing_beside(sleeve_sizes: dict[str, float]) -> None:
    """The volume is proven by integration when it is built; the longest generator grows with the offset."""
    beside = SleeveParameters(**sleeve_sizes, axis_offset=0.3)
    part = sleeve(beside)
    turn = math.radians(66.75)
    y = 7.895 * math.sin(math.radians(100.0)) + 0.3
    x = 7.895 * math.cos(math.radians(100.0))
    one_generator = 34.0 - (x * math.cos(turn) + math.sqrt(121.0 - y * y)) / math.sin(turn)
    assert part.measure("length_max") >= one_generator
    assert part.measure("length_max") == pytest.approx(beside.length_max, abs=1e-9)


@pytest.mark.parametrize("key", ["outer_diameter", "inner_diameter", "saddle_radius"])
def test_one_per_cent_is_seen(sleeve_sizes: dict[str, float], key: str) -> None:
    sizes = {**sleeve_sizes, "inner_diameter": 14.0}
    part = sleeve(SleeveParameters(**sizes))
    changed = sleeve(SleeveParameters(**{**sizes, key: sizes[key] * 1.01}))
    assert part.measure(key, changed.solid) == pytest.approx(sizes[key] * 1.01, rel=1e-9)


@pytest.mark.parametrize("end", ["square", "chamfer"])
def test_a_square_end_stops_before_the_bushing(sleeve_parameters: SleeveParameters, end: str) -> None:
    part = sleeve(SleeveParameters(15.79, 15.0, 34.0, 11.0, 66.75, inner_end=end))
    assert part.measure("length") == pytest.approx(sleeve_parameters.length_min, abs=1e-9)
    tube = math.pi / 4.0 * (15.79**2 - 15.0**2) * sleeve_parameters.length_min
    if end == "square":
        assert part.volume == pytest.approx(tube, rel=1e-9)
    else:
        assert part.measure("inner_chamfer") == pytest.approx(0.395 / 2.0, abs=1e-9)
        assert part.measure("inner_chamfer_angle") == pytest.approx(45.0, abs=1e-9)
        c = 0.395 / 2.0  # Pappus: a right triangle, its centroid a third of c from the outside
        assert tube - part.volume == pytest.approx(c * c / 2.0 * 2.0 * math.pi * (7.895 - c / 3.0), rel=1e-9)


def test_a_flange_lies_flush_with_the_face(sleeve_sizes: dict[str, float]) -> None:
    plain = sleeve(SleeveParameters(**sleeve_sizes))
    part = sleeve(
        SleeveParameters(**sleeve_sizes, outer_end="flange", flange_diameter=20.0, flange_thickness=1.0)
    )
    assert part.measure("flange_diameter") == pytest.approx(20.0, abs=1e-9)
    assert part.measure("flange_thickness") == pytest.approx(1.0, abs=1e-9)
    assert part.box[1][2] == pytest.approx(34.0, abs=2e-6)
    assert part.volume - plain.volume == pytest.approx(math.pi / 4.0 * (20.0**2 - 15.79**2), rel=1e-6)


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("inner_diameter", {"inner_diameter": 15.79}),
        ("inner_diameter", {"inner_diameter": -1.0}),
        ("saddle_radius", {"saddle_radius": 7.895}),
        ("saddle_radius", {"saddle_radius": 8.0, "axis_offset": 0.2}),
        ("face_distance", {"face_distance": 15.0}),
        ("axis_angle", {"axis_angle": 10.0}),
        ("inner_end", {"inner_end": "round"}),
        ("outer_end", {"outer_end": "rolled"}),
        ("inner_chamfer", {"inner_end": "chamfer", "inner_chamfer": 0.395}),
        ("flange_diameter", {"outer_end": "flange"}),
        ("flange_diameter", {"outer_end": "flange", "flange_diameter": 20.0}),
        ("flange_diameter", {"flange_diameter": 20.0, "flange_thickness": 1.0}),
        ("outer_diameter", {"outer_end": "flange", "flange_diameter": 15.0, "flange_thickness": 1.0}),
        ("flange_thickness", {"outer_end": "flange", "flange_diameter": 20.0, "flange_thickness": 19.0}),
    ],
    ids=str,
)
def test_impossible_sleeves(sleeve_sizes: dict[str, float], key: str, change: dict[str, object]) -> None:
    with pytest.raises(ParameterError) as caught:
        SleeveParameters(**{**sleeve_sizes, **change})
    assert caught.value.key == key
