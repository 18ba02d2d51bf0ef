"""Sizes of one station that exclude each other. Where a bound is named, the last legal value beside it is read too."""

from __future__ import annotations

import pytest

S = "stations.intake"
B = S + ".bushing"
# job, what is changed, into what (the mark stands before the value at fault), key
IMPOSSIBLE = [
    ("throat at the seat's outer diameter", "pump", "throat: 12.60", "throat: §14.10", f"{B}.bowl.throat"),
    ("throat above it", "pump", "throat: 12.60", "throat: §15.00", f"{B}.bowl.throat"),
    ("seat above the valve head", "pump", "seat: {outer: 14.10", "seat: {outer: §14.51", f"{B}.seat.outer"),
    ("seat so wide that the guide is reached", "pump", "width: 1.00", "width: §7.15", f"{B}.seat.width"),
    ("guide bore at the shank", "pump", "guide: {bore: 4.000", "guide: {bore: §8.000", f"{B}.guide.bore"),
    ("shank at the body", "pump", "shank: {dia: 8.00", "shank: {dia: §16.50", f"{B}.shank.dia"),
    ("stem at the guide bore", "pump", "stem: {v: 3.970", "stem: {v: §4.000", f"{S}.valve.stem"),
    ("roof below the seat's inner edge", "pump", "roof_s: 14.0", "roof_s: §1.0", f"{B}.bowl.roof_s"),
    ("roof above the body's end", "pump", "roof_s: 14.0", "roof_s: §17.1", f"{B}.bowl.roof_s"),
    ("shank's top at the body's end", "pump", "top_z: 38.0", "top_z: §20.3", f"{B}.shank.top_z"),
    ("the same along a leaning axis", "generator", "top_s: 49.0", "top_s: §24.0", f"{B}.shank.top_s"),
    ("undercut as deep as the shoulder", "pump", "undercut: {w: 0.8, d: 0.5}", "undercut: {w: 0.8, d: §4.25}",
     f"{B}.body.undercut.d"),
    ("undercut as wide as the body", "pump", "undercut: {w: 0.8,", "undercut: {w: §15.5,", f"{B}.body.undercut.w"),
    ("lead through the shoulder", "pump", "lead: {len: 1.5, angle: 10}, face", "lead: {len: §8.0, angle: 30}, face",
     f"{B}.body.lead.len"),
    ("lead through the guide's wall", "pump", "top_z: 38.0, lead: {len: 1.0, angle: 10}",
     "top_z: 38.0, lead: {len: §2.01, angle: 45}", f"{B}.shank.lead.len"),
    ("lead as long as the shank", "pump", "top_z: 38.0, lead: {len: 1.0, angle: 10}",
     "top_z: 38.0, lead: {len: §17.71, angle: 1}", f"{B}.shank.lead.len"),
    ("cut above the seat steeper than the seat", "pump", "top_cut: 30", "top_cut: §45", f"{B}.seat.top_cut"),
    ("overlap lift above the lift", "pump", "lift_tdc: 0.90", "lift_tdc: §3.21", f"{S}.valve.lift_tdc"),
    ("bored before pressing wider than after", "pump", "pre_bore: 3.85", "pre_bore: §4.01", f"{B}.guide.pre_bore"),
    ("guide boss as wide as the throat", "pump", "boss_cone_deg: 30}", "boss_cone_deg: 30, boss_dia: §12.6}",
     f"{B}.bowl.boss_dia"),
    ("old shank bore at the old body bore", "pump", "shank_bore: {v: 7.00", "shank_bore: {v: §14.80",
     f"{S}.old.shank_bore"),
    ("spring solid at its installed length", "generator", "solid: 14.5", "solid: §20.93", f"{S}.spring.solid"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("job", "old", "new", "key"), [row[1:] for row in IMPOSSIBLE], ids=[r[0] for r in IMPOSSIBLE]
)
def test_impossible(one_fault, job, old, new, key):
    fault = one_fault(job, old, new, key)
    assert fault.value is not None
    assert "must" in fault.message


@pytest.mark.parametrize(
    ("job", "old", "new"),
    [
        (
            "pump",
            "throat: 12.60",
            "throat: 14.09",
        ),  # between seat inner and outer diameter: a check's business
        ("pump", "seat: {outer: 14.10", "seat: {outer: 14.50"),
        ("pump", "width: 1.00", "width: 7.13"),  # inner 14.1 - 2 x 7.13 cos 45 = 4.017 by hand
        ("pump", "guide: {bore: 4.000", "guide: {bore: 3.971"),
        ("pump", "stem: {v: 3.970", "stem: {v: 3.999"),
        ("pump", "roof_s: 14.0", "roof_s: 1.01"),  # inner edge 0.3 + sin 45 = 1.0071 by hand
        ("pump", "roof_s: 14.0", "roof_s: 17.0"),
        ("pump", "top_z: 38.0", "top_z: 22.3"),
        ("pump", "undercut: {w: 0.8, d: 0.5}", "undercut: {w: 0.8, d: 4.24}"),
        ("pump", "undercut: {w: 0.8,", "undercut: {w: 15.49,"),
        ("pump", "top_cut: 30", "top_cut: 44.9"),
        ("pump", "lift_tdc: 0.90", "lift_tdc: 3.20"),
        ("generator", "solid: 14.5", "solid: 20.92"),
    ],
)
def test_the_last_legal_value(read, change, job, old, new):
    if "roof_s: 1.01" in new or "width" in new:
        text, _ = change(job, old, new)
        text = text.replace("pre_bore: 3.85", "pre_bore: 3.5")
    else:
        text, _ = change(job, old, new)
    if "guide: {bore: 3.971" in new:
        text = text.replace("pre_bore: 3.85", "pre_bore: 3.80")
    read(text)


def test_the_spring_s_installed_length_by_hand(one_fault):
    # generator intake: tip 0.3 + 1.2 sin45/2 + 65.4 = 66.12426; less retainer 5.0, seat 38.0, shim 2.2 = 20.924
    fault = one_fault("generator", "solid: 14.5", "solid: §20.93", f"{S}.spring.solid")
    assert "20.92" in fault.message


@pytest.mark.parametrize(
    ("job", "old", "new", "key", "word"),
    [
        ("pump", "top_z: 38.0", "top_s: 34.7, top_z: §38.0", f"{B}.shank.top_z", "one of them"),
        ("pump", "top_z: 38.0", "top_z: 38.0, top_s: §34.7", f"{B}.shank.top_s", "one of them"),
        ("pump", "seat_z: 30.0", "seat_z: 30.0, seat_s: §26.7", f"{S}.spring.seat_s", "one of them"),
        ("generator", "tip_s: 63.00", "tip_s: 63.00, tip_z: §65.0", f"{S}.old.tip_z", "one of them"),
        ("generator", "top_s: 49.0", "top_z: §52.0", f"{B}.shank.top_z", "top_s"),
        ("generator", "seat_s: 38.0", "seat_z: §42.0", f"{S}.spring.seat_z", "seat_s"),
        ("generator", "tip_s: 63.00", "tip_z: §65.0", f"{S}.old.tip_z", "tip_s"),
    ],
)
def test_s_or_z(one_fault, job, old, new, key, word):
    assert word in one_fault(job, old, new, key).message


def test_old_tip_is_needed_in_s_where_the_old_axis_leans(one_fault):
    fault = one_fault("generator", ", tip_s: 63.00", "", f"{S}.old.tip_s")
    assert "required" in fault.message


POINTS = "axis: {points: [[8.20, -1.20, 3.30], [8.20, -1.20, 40]], u: 0.05}"
AXIS = "axis: {p: [8.20, -1.20, 3.30], tilt: 0, azim: 0, u: 0.05}"


def test_an_axis_by_two_points(read, change):
    text, _ = change("pump", AXIS, POINTS)
    job = read(text)
    assert job.stations["intake"].axis.points == ((8.2, -1.2, 3.3), (8.2, -1.2, 40.0))
    assert job.stations["intake"].axis.p is None
    assert job.stations["intake"].axis.u == 0.05


@pytest.mark.parametrize(
    ("new", "keys"),
    [
        (
            "axis: {p: [8.2, -1.2, 3.3], tilt: 0, azim: 0, points: §[[8.2, -1.2, 3.3], [8.2, -1.2, 40]]}",
            ["points"],
        ),
        ("axis: {tilt: 0, azim: 0, points: §[[8.2, -1.2, 3.3], [8.2, -1.2, 40]]}", ["points"]),
        ("§axis: {tilt: 0, azim: 0}", ["p"]),
        ("§axis: {u: 0.05}", ["p"]),
        ("§axis: {p: [8.2, -1.2, 3.3]}", ["tilt"]),
        ("axis: {points: §[[8.2, -1.2, 3.3], [8.2, -1.2, 3.3]]}", ["points"]),
    ],
)
def test_two_ways_to_give_an_axis_and_never_both(one_fault, new, keys):
    one_fault("pump", AXIS, new, f"{S}.axis.{keys[0]}")


def test_an_axis_by_points_leans_at_most_45_degrees_gas_side_first(read, faults, known):
    text = known["generator"]
    axis = "axis: {p: [10.90, -0.50, 4.60], tilt: 15, azim: 0, u: 0.05}\n"
    assert axis in text
    upside_down = "axis: {points: [[10.9, -0.5, 44.6], [10.9, -0.5, 4.6]]}\n"
    keys = [fault.key for fault in faults(text.replace(axis, upside_down, 1))]
    assert f"{S}.axis.points" in keys
    flat = "axis: {points: [[0, 0, 0], [10.1, 0, 10]]}\n"
    assert any("45 deg" in fault.message for fault in faults(text.replace(axis, flat, 1)))
    job = read(
        "schema: 1\njob: {id: J, status: proposal}\nstations: {intake: {"
        + flat.strip().replace("10.1", "10")
        + "}}\n"
    )
    assert job.stations["intake"].axis.points[1] == (10.0, 0.0, 10.0)


def test_a_leaning_axis_needs_its_azimuth_and_an_upright_one_does_not(read, one_fault, change):
    text, _ = change("pump", AXIS, "axis: {p: [8.20, -1.20, 3.30], tilt: 0}")
    assert read(text).stations["intake"].axis.azim == 0.0
    new = "    §axis: {p: [10.90, -0.50, 4.60], tilt: 15, u: 0.05}\n    # a"
    one_fault(
        "generator",
        "    axis: {p: [10.90, -0.50, 4.60], tilt: 15, azim: 0, u: 0.05}\n    # a",
        new,
        f"{S}.axis.azim",
    )


@pytest.mark.parametrize(
    ("job", "old", "new", "key", "numbers"),
    [
        # by hand: 14.1 - 2 x 1.0 x cos 45 = 12.68579
        ("pump", "s_outer: 0.30}", "s_outer: 0.30, inner: §12.70}", f"{B}.seat.inner", ("12.7", "12.6858")),
        # by hand: tip 0.3 + sin45/2 + 49.25 = 49.90355 above z 3.3, old tip 50.00: 3.20355
        ("pump", "lift_tdc: 0.90", "lift_tdc: 0.90\n      tip_rise: §3.22", f"{S}.valve.tip_rise", ("3.22", "3.2036")),
        # mean of 3.20355 and, with width 1.1, 3.23891: 3.22123
        ("pump", "pad_radius: 6.0", "pad_radius: 6.0\n  dh: §3.21", "rocker.dh", ("3.21", "3.2212")),
        ("generator", "wall_min: 0.30", "wall_min: 0.30, wall: §0.38", "repairs.sleeve_intake.sleeve.wall",
         ("0.38", "0.395")),
    ],
)  # fmt: skip
def test_a_derived_value_that_is_written_must_agree(one_fault, read, change, job, old, new, key, numbers):
    fault = one_fault(job, old, new, key)
    for number in numbers:
        assert number in fault.message
    computed = float(numbers[1])
    text, _ = change(job, old, new.replace(f"§{numbers[0]}", f"{computed + 0.0095:.4f}"))
    assert read(text).get(key) == pytest.approx(computed + 0.0095, abs=1e-4)
    text, _ = change(job, old, new.replace(f"§{numbers[0]}", f"{computed - 0.0105:.4f}"))
    one_fault(text, "schema: 1", "schema: 1", key)


def test_the_tip_rise_counts_what_was_lapped_off_the_joint_face(one_fault, known):
    text = known["pump"].replace("lift_tdc: 0.90", "lift_tdc: 0.90\n      tip_rise: 3.2036", 1)
    fault = one_fault(
        text, "  pin_repeat: 0.01", "  pin_repeat: 0.01\n  faced_off: 0.30", f"{S}.valve.tip_rise"
    )
    assert "3.5036" in fault.message


def test_the_tip_rise_of_a_leaning_valve_is_along_its_axis(one_fault):
    # generator: same axis before and after, so 66.12426 - 63.00 = 3.12426 along it and times cos 15 in z
    fault = one_fault("generator", "lift_tdc: 1.30", "lift_tdc: 1.30, tip_rise: §3.00", f"{S}.valve.tip_rise")
    assert "3.1243" in fault.message
