"""The simplified head: one cut, proven, every bore measured on the solid."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from headparts.errors import KernelError, ParameterError
from headparts.parts import HeadParameters, Part, head
from headparts.parts import head_tools as cuts
from headparts.parts.part import Vector

UP: Vector = (0.0, 0.0, 1.0)


def test_it_is_proven(small_head_part: Part) -> None:
    proof = small_head_part.proof
    assert proof.tries == ()
    assert proof.loose == ()
    assert proof.volume == pytest.approx(proof.second_volume, rel=1e-4)
    assert proof.step_volume == pytest.approx(proof.volume, rel=1e-6)
    assert "rays" in proof.lines()[0]


def test_sizes_of_every_cut(small_head_part: Part) -> None:
    length = 17.0 / math.cos(math.radians(12.0))
    expected = {
        "height": 30.0,
        "chamber_diameter": 33.0,
        "chamber_depth": 3.3,
        "chamber_x": 0.0,
        "chamber_y": 0.0,
        "chamber_tilt": 0.0,
        "stud_diameter": 5.5,
        "stud_x": 14.0,
        "stud_y": 14.0,
        "stud_tilt": 0.0,
        "thread_diameter": 6.0,
        "thread_x": 0.0,
        "thread_y": -14.0,
        "thread_tilt": 0.0,
        "body_bore_intake_diameter": 16.5,
        "body_bore_intake_x": 0.0,
        "body_bore_intake_y": 0.0,
        "body_bore_intake_tilt": 0.0,
        "body_bore_intake_step_depth": 20.3,
        "shank_bore_intake_diameter": 8.0,
        "shank_bore_intake_x": 0.0,
        "shank_bore_intake_y": 0.0,
        "shank_bore_intake_tilt": 0.0,
        "pocket_intake_diameter": 12.0,
        "pocket_intake_x": 0.0,
        "pocket_intake_y": 0.0,
        "pocket_intake_tilt": 0.0,
        "pocket_intake_floor_depth": 30.0 - 28.3,
        "port_intake_diameter": 10.5,
        "port_intake_rise": 12.0,
        "port_intake_length": length,
    }
    assert set(small_head_part.sizes) == set(expected)
    for name, value in expected.items():
        assert small_head_part.measure(name) == pytest.approx(value, abs=1e-9), name


def test_a_port_one_per_cent_wider_is_seen(small_head: HeadParameters, small_head_part: Part) -> None:
    wider = tuple(
        replace(tool, radius=tool.radius * 1.01) if tool.name == "port_intake" else tool
        for tool in small_head.tools
    )
    changed = head(replace(small_head, tools=wider))
    assert small_head_part.measure("port_intake_diameter", changed.solid) == pytest.approx(10.605, rel=1e-9)


def test_finned_block_in_closed_form() -> None:
    """z 6 to 27, pitch 4.2, fins 1.6: gaps 7.6-10.2, 11.8-14.4, 16-18.6, 20.2-22.8, 24.4-27."""
    p = HeadParameters(
        (-30.0, 30.0),
        (-29.0, 29.0),
        (0.0, 30.0),
        (),
        (-24.0, 26.0),
        (-26.0, 24.0),
        fin_z=(6.0, 27.0),
        fin_pitch=4.2,
        fin_thickness=1.6,
    )
    assert [round(value, 9) for gap in p.fin_gaps for value in gap] == [
        7.6, 10.2, 11.8, 14.4, 16.0, 18.6, 20.2, 22.8, 24.4, 27.0,
    ]  # fmt: skip
    by_hand = 60.0 * 58.0 * 30.0 - 5 * 2.6 * (60.0 * 58.0 - 50.0 * 50.0)
    assert head(p).volume == pytest.approx(by_hand, rel=1e-9)


def test_a_last_gap_is_cut_short() -> None:
    p = HeadParameters(
        (-9.0, 9.0), (-9.0, 9.0), (0.0, 9.0), (), (-5.0, 5.0), (-5.0, 5.0), (2.0, 6.0), 2.5, 1.0
    )
    assert p.fin_gaps == ((3.0, 4.5), (5.5, 6.0))


def test_the_boring_tools_way_in_is_cut() -> None:
    """A roof that hangs over the bore is cut too: above a small chamber the bore reaches the joint face."""
    bore = cuts.body_bore("intake", (6.0, 0.0, 3.0), UP, 12.0, 10.0)
    p = HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (cuts.chamber_disc(10.0, 3.0), bore))
    apart = 6.0  # two circles of radii 5 and 6 whose centres lie 6 apart: lens of intersection
    r, q = 5.0, 6.0
    lens = (
        r * r * math.acos((apart**2 + r * r - q * q) / (2 * apart * r))
        + q * q * math.acos((apart**2 + q * q - r * r) / (2 * apart * q))
        - 0.5 * math.sqrt((-apart + r + q) * (apart + r - q) * (apart - r + q) * (apart + r + q))
    )
    cut_away = math.pi * q * q * 13.0 + (math.pi * r * r - lens) * 3.0
    assert head(p).volume == pytest.approx(40.0 * 40.0 * 25.0 - cut_away, rel=1e-9)


def test_a_face_inside_the_outline_leaves_no_blind_port() -> None:
    """Beyond the face plane x = 10 everything is cleared by a wider cylinder about the same axis."""
    port = cuts.port("intake", (0.0, 0.0, 12.0), (1.0, 0.0, 0.0), 6.0, 10.0)
    clear = cuts.port_clearance("intake", (10.0, 0.0, 12.0), (1.0, 0.0, 0.0), 14.0, (1.0, 0.0, 0.0), 60.0)
    p = HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (port, clear))
    cut_away = math.pi * 9.0 * 10.0 + math.pi * 49.0 * 10.0
    assert head(p).volume == pytest.approx(40.0 * 40.0 * 25.0 - cut_away, rel=1e-9)


def test_a_slanting_port_is_cleared_from_the_plane_on() -> None:
    """The clearing cylinder, rise 12 deg, begins at the plane: its slant ends even out, area/cos rise."""
    rise = math.radians(12.0)
    out = (math.cos(rise), 0.0, math.sin(rise))
    clear = cuts.port_clearance("intake", (10.0, 0.0, 12.0), out, 8.0, (1.0, 0.0, 0.0), 60.0)
    p = HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (clear,))
    cut_away = math.pi * 16.0 * 10.0 / math.cos(rise)
    part = head(p)
    assert part.volume == pytest.approx(40.0 * 40.0 * 25.0 - cut_away, rel=1e-7)
    assert part.features["port_intake_face"].probe(part.solid).point[0] == pytest.approx(10.0, abs=1e-9)


def test_a_sleeves_bore_takes_the_port_along() -> None:
    foot, out = (0.0, 0.0, 12.0), (1.0, 0.0, 0.0)
    tools = (cuts.port("intake", foot, out, 6.0, 20.0), cuts.sleeve_bore("repair", foot, out, 7.0, 20.0))
    p = HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), tools)
    part = head(p)
    assert set(part.features) == {"joint_face", "top", "sleeve_bore_repair"}
    assert part.measure("sleeve_bore_repair_diameter") == pytest.approx(7.0, abs=1e-9)
    assert part.volume == pytest.approx(40.0 * 40.0 * 25.0 - math.pi * 12.25 * 20.0, rel=1e-9)


def test_a_ports_end_is_trimmed_by_the_bore_it_starts_in() -> None:
    """A port whose foot lies near the shoulder would cut above it: the tool spares the bore's cylinder."""
    point = (0.0, 0.0, 3.0)
    bore = (point, UP, 16.0, 10.0)
    inside = cuts.port("intake", (0.0, 0.0, 8.0), (1.0, 0.0, 0.0), 6.0, 20.0, bore)
    above = cuts.port("intake", (0.0, 0.0, 11.0), (1.0, 0.0, 0.0), 6.0, 20.0, bore)
    beside = cuts.port("intake", (0.0, 5.5, 8.0), (1.0, 0.0, 0.0), 6.0, 20.0, bore)
    assert inside.spares is None
    assert above.spares == (point, UP, 8.0)
    assert beside.spares == (point, UP, 8.0)
    p = HeadParameters(
        (-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (cuts.body_bore("intake", point, UP, 16.0, 10.0), above)
    )
    part = head(p)
    steps = 4000  # the tool outside the cylinder: chord by chord over its width
    widths = [-3.0 + 6.0 * (k + 0.5) / steps for k in range(steps)]
    port = sum((20.0 - math.sqrt(64.0 - y * y)) * 2.0 * math.sqrt(9.0 - y * y) for y in widths) * 6.0 / steps
    cut_away = math.pi * 64.0 * 13.0 + port
    assert part.volume == pytest.approx(40.0 * 40.0 * 25.0 - cut_away, rel=1e-6)


@pytest.mark.parametrize(
    ("chamber", "volume", "sizes"),
    [
        (cuts.chamber_disc(33.6, 3.3), math.pi / 4.0 * 33.6**2 * 3.3, {"chamber_depth": 3.3}),
        (
            cuts.chamber_dome(15.0, 5.0),
            math.pi * 5.0 / 6.0 * (3.0 * 15.0**2 + 5.0**2),
            {"chamber_depth": 5.0, "chamber_radius": 25.0},
        ),
        (
            cuts.chamber_bathtub(30.0, 20.0, 5.0, 4.0),
            5.0 * (600.0 - (4.0 - math.pi) * 16.0),
            {"chamber_depth": 5.0, "chamber_length": 30.0, "chamber_width": 20.0},
        ),
    ],
    ids=["disc", "dome", "bathtub"],
)
def test_chambers(chamber: cuts.Tool, volume: float, sizes: dict[str, float]) -> None:
    part = head(HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (chamber,)))
    assert 40.0 * 40.0 * 25.0 - part.volume == pytest.approx(volume, rel=1e-8)
    for name, value in sizes.items():
        assert part.measure(name) == pytest.approx(value, abs=1e-9)


def test_a_drilled_hole_ends_in_a_cone() -> None:
    hole = cuts.cavity("hole", (0.0, 0.0, 25.0), (0.0, 0.0, -1.0), 5.0, 10.0)
    point = cuts.drill_point("point", (0.0, 0.0, 15.0), (0.0, 0.0, -1.0), 5.0)
    part = head(HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (hole, point)))
    cone = math.pi / 3.0 * 2.5**3 / math.tan(math.radians(59.0))
    assert 40000.0 - part.volume == pytest.approx(math.pi * 6.25 * 10.0 + cone, rel=1e-8)
    assert part.features["point"].probe(part.solid).half_angle == pytest.approx(59.0, abs=1e-9)


def test_a_loose_piece_is_left_out_and_said() -> None:
    """Two wide holes through the corner cut it off."""
    ring = [cuts.cavity(f"hole_{k}", (4.0 + 8.0 * k, 20.0 - 8.0 * k, 0.0), UP, 12.0, 25.0) for k in range(3)]
    part = head(HeadParameters((0.0, 24.0), (0.0, 24.0), (0.0, 25.0), tuple(ring)))
    assert len(part.proof.loose) >= 1
    assert any("loose piece" in line for line in part.proof.lines())


def test_everything_cut_away_is_an_error() -> None:
    with pytest.raises(KernelError, match="not be proven"):
        head(
            HeadParameters(
                (0.0, 5.0), (0.0, 5.0), (0.0, 5.0), (cuts.cavity("all", (2.0, 2.0, -1.0), UP, 30.0, 9.0),)
            )
        )


@pytest.mark.parametrize(
    ("key", "change"),
    [
        ("x", {"x": (20.0, -20.0)}),
        ("core_x", {"core_x": None}),
        ("core_x", {"core_x": (-30.0, 17.0)}),
        ("fin_z", {"fin_pitch": None}),
        ("fin_z", {"fin_z": (6.0, 31.0)}),
        ("fin_thickness", {"fin_thickness": 4.2}),
        ("fin_pitch", {"fin_pitch": 0.2, "fin_thickness": 0.1}),
    ],
    ids=str,
)
def test_impossible_castings(small_head: HeadParameters, key: str, change: dict[str, object]) -> None:
    with pytest.raises(ParameterError) as caught:
        replace(small_head, **change)
    assert caught.value.key == key


def test_impossible_cuts() -> None:
    with pytest.raises(ParameterError, match=r"chamber\.corner"):
        cuts.chamber_bathtub(30.0, 20.0, 5.0, 10.0)
    with pytest.raises(ParameterError, match="tilted"):
        cuts.body_bore("intake", (0.0, 0.0, 3.0), (1.0, 0.0, 0.0), 16.0, 10.0)
    with pytest.raises(ParameterError, match="unit vector"):
        cuts.cavity("hole", (0.0, 0.0, 0.0), (0.0, 0.0, 2.0), 5.0, 10.0)
    with pytest.raises(ParameterError, match="face"):
        cuts.port_clearance("intake", (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 14.0, (-1.0, 0.0, 0.0), 60.0)
    twice = cuts.cavity("hole", (0.0, 0.0, 0.0), UP, 5.0, 10.0)
    with pytest.raises(ParameterError, match="one name"):
        HeadParameters((-20.0, 20.0), (-20.0, 20.0), (0.0, 25.0), (twice, twice))
