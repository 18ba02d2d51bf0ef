"""The guide bushing: every size is read back from its own surfaces."""

from __future__ import annotations

import math

import pytest

from headparts.errors import KernelError, ParameterError
from headparts.parts import BushingParameters, Part, bushing
from headparts.solids.step_file import Body, Header, read_step, write_step
from headparts.solids.verify import is_valid, volume

ROOT_HALF = math.sqrt(0.5)

# What each size must be, by hand from the parameters (trigonometry of the definitions, no code of ours).
EXPECTED = {
    "body_diameter": 16.534,
    "shank_diameter": 8.008,
    "guide_bore": 4.0,
    "throat_diameter": 12.6,
    "seat_outer_diameter": 14.1,
    "seat_inner_diameter": 14.1 - 2.0 * ROOT_HALF,
    "top_cut_diameter": 14.1 + 2.0 * 0.3 * math.sqrt(3.0),
    "seat_angle": 45.0,
    "top_cut_angle": 30.0,
    "throat_cut_angle": 60.0,
    "seat_width": 1.0,
    "seat_outer_depth": 0.3,
    "gas_face_to_shoulder": 17.0,
    "overall_length": 34.7,
    "roof_depth": 14.0,
    "shank_length": 17.7,
    "body_lead_length": 1.5,
    "body_lead_angle": 10.0,
    "shank_lead_length": 1.0,
    "shank_lead_angle": 10.0,
    "relief_width": 0.8,
    "relief_depth": 0.5,
    "relief_diameter": 15.534,
    "window_diameter": 10.5,
    "window_axis_s": 7.0,
    "window_angle": 12.0,
    "clock_flat_depth": 0.45 * 8.008,
    "clock_flat_length": 0.25 * 8.008,
}

# Parameter, the size that must follow it, and by how much more or less it is enlarged for the test.
FOLLOWS = [
    ("body_diameter", "body_diameter"),
    ("shank_diameter", "shank_diameter"),
    ("guide_bore", "guide_bore"),
    ("throat_diameter", "throat_diameter"),
    ("seat_outer_diameter", "seat_outer_diameter"),
    ("seat_width", "seat_width"),
    ("seat_angle", "seat_angle"),
    ("top_cut_angle", "top_cut_angle"),
    ("throat_cut_angle", "throat_cut_angle"),
    ("seat_outer_s", "seat_outer_depth"),
    ("body_length", "gas_face_to_shoulder"),
    ("top_s", "overall_length"),
    ("roof_s", "roof_depth"),
    ("body_lead_length", "body_lead_length"),
    ("body_lead_angle", "body_lead_angle"),
    ("shank_lead_length", "shank_lead_length"),
    ("shank_lead_angle", "shank_lead_angle"),
    ("relief_width", "relief_width"),
    ("relief_depth", "relief_depth"),
    ("window_diameter", "window_diameter"),
    ("window_s", "window_axis_s"),
    ("window_elevation", "window_angle"),
]


def test_every_size_is_listed_here(pump_bushing: Part) -> None:
    assert set(pump_bushing.sizes) == set(EXPECTED)


@pytest.mark.parametrize("name", EXPECTED)
def test_size_is_read_from_the_surface(pump_bushing: Part, name: str) -> None:
    assert pump_bushing.measure(name) == pytest.approx(EXPECTED[name], abs=1e-9)


@pytest.mark.parametrize(("key", "name"), FOLLOWS)
def test_one_per_cent_more_is_seen_on_another_solid(
    pump_bushing: Part, bushing_sizes: dict[str, float], key: str, name: str
) -> None:
    """The features of one bushing measure another one whose size differs by 1 %."""
    changed = bushing(BushingParameters(**{**bushing_sizes, key: bushing_sizes[key] * 1.01}))
    assert pump_bushing.measure(name, changed.solid) == pytest.approx(EXPECTED[name] * 1.01, rel=1e-9)


def test_sizes_survive_a_step_file(pump_bushing: Part) -> None:
    header = Header(name="bushing", description="", date="2025-01-15", system="test")
    (again,) = read_step(write_step([Body("bushing", pump_bushing.solid)], header))
    for name, value in EXPECTED.items():
        assert pump_bushing.measure(name, again.solid) == pytest.approx(value, abs=1e-9), name


def test_a_missing_surface_names_the_feature(pump_bushing: Part, bushing_sizes: dict[str, float]) -> None:
    bare = bushing(BushingParameters(**{**bushing_sizes, "relief_width": None, "relief_depth": None}))
    with pytest.raises(KernelError, match="'relief'"):
        pump_bushing.measure("relief_diameter", bare.solid)


def test_volume_mass_and_box(pump_bushing: Part) -> None:
    assert is_valid(pump_bushing.solid)
    assert pump_bushing.volume == pytest.approx(pump_bushing.volume_expected, abs=0.02)
    assert pump_bushing.mass == pytest.approx(pump_bushing.volume * 8.25e-3, rel=1e-12)
    low, high = pump_bushing.box
    assert low == pytest.approx((-8.267, -8.267, 0.0), abs=2e-6)
    assert high == pytest.approx((8.267, 8.267, 34.7), abs=2e-6)


def test_unknown_size_lists_what_there_is(pump_bushing: Part) -> None:
    with pytest.raises(ParameterError, match="guide_bore"):
        pump_bushing.measure("diameter")


@pytest.mark.parametrize(
    "change",
    [
        {"boss_diameter": 7.0, "boss_length": 4.0, "boss_cone_angle": 30.0},
        {"boss_diameter": 5.2, "boss_length": 4.0, "boss_cone_angle": 30.0},  # thinner than 0.8: no cone
        {"boss_diameter": 9.0, "boss_length": 1.0, "boss_cone_angle": 30.0},  # cone longer than the boss
        {"window_offset": 0.4},
        {"window_elevation": -10.0, "window_s": 6.3},  # falls outward: the window cuts into the seat
        {"window_elevation": -23.25, "window_s": 8.5},
        {"window_diameter": None, "window_s": None},
        {"window_s": 10.5},  # the window marks the bowl's roof
        {"throat_diameter": 13.0},  # between the seat's inner and outer diameter
        {"relief_width": None, "relief_depth": None},
        {"body_lead_length": 0.0, "shank_lead_length": 0.0},
        {"relief_depth": 0.1},  # the lead drops deeper than the relief
        {"face_above_datum": 0.2},
        {"face_above_datum": -0.2},
        {"seat_outer_s": 0.0},  # the seat starts at the gas face: no top cut
        {"clock_flat": False},
        {"clock_flat_depth": 3.0, "clock_flat_length": 5.0},
    ],
    ids=lambda change: ",".join(f"{key}={value}" for key, value in change.items()),
)
def test_every_form_is_proven_and_measured(
    bushing_sizes: dict[str, float], change: dict[str, object]
) -> None:
    """Building proves the volume by a second route; every feature must then be found."""
    part = bushing(BushingParameters(**{**bushing_sizes, **change}))
    for name in part.sizes:
        assert math.isfinite(part.measure(name)), name
    for feature in part.features.values():
        feature.probe(part.solid)


def test_the_face_alone_moves_into_the_roof(bushing_sizes: dict[str, float]) -> None:
    moved = bushing(BushingParameters(**{**bushing_sizes, "face_above_datum": 0.2}))
    assert moved.measure("gas_face_to_shoulder") == pytest.approx(16.8, abs=1e-9)
    assert moved.measure("seat_outer_depth") == pytest.approx(0.1, abs=1e-9)
    assert moved.measure("window_axis_s") == pytest.approx(6.8, abs=1e-9)
    assert moved.box[0][2] == pytest.approx(0.2, abs=2e-6)


def test_a_wide_throat_ends_the_seat(bushing_sizes: dict[str, float]) -> None:
    part = bushing(BushingParameters(**{**bushing_sizes, "throat_diameter": 13.0}))
    assert part.measure("seat_inner_diameter") == pytest.approx(13.0, abs=1e-9)
    assert part.measure("seat_width") == pytest.approx((14.1 - 13.0) / 2.0 / ROOT_HALF, abs=1e-9)
    assert "throat_cut_angle" not in part.sizes


def test_a_deep_lead_sets_the_relief(bushing_sizes: dict[str, float]) -> None:
    part = bushing(BushingParameters(**{**bushing_sizes, "relief_depth": 0.1}))
    drop = 1.5 * math.tan(math.radians(10.0))
    assert part.measure("relief_depth") == pytest.approx(drop, abs=1e-9)


def test_boss_keeps_its_end_wall(bushing_sizes: dict[str, float]) -> None:
    """Free end 0.8 mm thick: radius 2.8, so the cone is (3.5 - 2.8)/tan 30 long."""
    part = bushing(
        BushingParameters(**bushing_sizes, boss_diameter=7.0, boss_length=4.0, boss_cone_angle=30.0)
    )
    end = part.features["boss_end"].probe(part.solid)
    cone = part.features["boss_cone"].probe(part.solid)
    assert end.point[2] == pytest.approx(10.0, abs=1e-9)
    assert cone.half_angle == pytest.approx(30.0, abs=1e-9)
    assert part.measure("boss_diameter") == pytest.approx(7.0, abs=1e-9)
    outline = part.features["boss"].probe(part.solid)
    assert outline.radius == pytest.approx(3.5, abs=1e-9)
    plain = bushing(BushingParameters(**bushing_sizes))
    height = 0.7 / math.tan(math.radians(30.0))
    ring = math.pi * (3.5**2 - 2.0**2) * (4.0 - height)
    coned = math.pi * height * ((3.5**2 + 3.5 * 2.8 + 2.8**2) / 3.0 - 2.0**2)
    assert part.volume - plain.volume == pytest.approx(ring + coned, abs=1e-3)


def test_solid_drops_into_a_cadquery_script(pump_bushing: Part) -> None:
    import cadquery as cq

    bound = cq.Workplane(obj=pump_bushing.solid).faces("<Z").val()
    assert bound.Center().z == pytest.approx(0.0, abs=1e-9)


def test_placed_moves_a_copy(bushing_sizes: dict[str, float]) -> None:
    from headparts.parts import Placement
    from headparts.solids.verify import bounds

    part = bushing(
        BushingParameters(**bushing_sizes),
        placement=Placement((1.0, 2.0, 3.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
    )
    low, high = bounds(part.placed())
    assert low == pytest.approx((1.0, 2.0 - 8.267, 3.0 - 8.267), abs=2e-6)
    assert high[0] == pytest.approx(35.7, abs=2e-6)
    assert volume(part.placed()) == pytest.approx(part.volume, rel=1e-9)
    assert part.box[1][2] == pytest.approx(34.7, abs=2e-6)
