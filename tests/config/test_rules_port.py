"""A port's foot lies on the bushing, its face in front of the foot and outside the body."""

from __future__ import annotations

import pytest

P = "stations.intake.port"


@pytest.mark.parametrize(
    ("job", "old", "new", "key"),
    [
        ("pump", "p: {on_axis_s: 7.0}", "p: {on_axis_s: §0}", f"{P}.p.on_axis_s"),
        ("pump", "p: {on_axis_s: 7.0}", "p: {on_axis_s: §-1.0}", f"{P}.p.on_axis_s"),
        ("pump", "p: {on_axis_s: 7.0}", "p: {on_axis_s: §17.0}", f"{P}.p.on_axis_s"),
        ("pump", "p: {on_axis_s: 7.0}", "p: §[8.2, -1.2, 3.2]", f"{P}.p"),
        ("pump", "p: {on_axis_s: 7.0}", "p: §[8.2, -1.2, 20.31]", f"{P}.p"),
        ("pump", "face: {x: 26.0}", "face: {x: §8.1}", f"{P}.face.x"),
        ("pump", "face: {x: 26.0}", "face: {x: §-26.0}", f"{P}.face.x"),
        ("pump", "face: {x: 26.0}", "face: {x: §16.26}", f"{P}.face.x"),
        ("pump", "face: {x: 26.0}", "face: {x: 26.0, along: §18}", f"{P}.face.along"),
        ("generator", "face: {along: 34.0}", "face: {along: §10.99}", f"{P}.face.along"),
        ("generator", "azim: -40, elev: 12, dia: 15.00, old_dia: 12.50, face: {along: 34.0}",
         "azim: 90, elev: 12, dia: 15.00, old_dia: 12.50, face: {x: §34.0}", f"{P}.face.x"),
        ("pump", "spot_face: {dia: 14.0", "spot_face: {dia: §10.4", f"{P}.drill.spot_face.dia"),
    ],
)  # fmt: skip
def test_impossible_ports(one_fault, job, old, new, key):
    one_fault(job, old, new, key)


def test_the_last_legal_values(read, change):
    for job, old, new in (
        ("pump", "p: {on_axis_s: 7.0}", "p: {on_axis_s: 16.99}"),
        ("pump", "p: {on_axis_s: 7.0}", "p: {on_axis_s: 0.01}"),
        # by hand: 8.25 along a port that rises 12 deg is 8.25 cos 12 = 8.0697 in x, from the foot at 8.2
        ("pump", "face: {x: 26.0}", "face: {x: 16.28}"),
        ("generator", "face: {along: 34.0}", "face: {along: 11.0}"),
    ):
        read(change(job, old, new)[0])


def test_a_port_by_a_point(read, change):
    text, _ = change("pump", "p: {on_axis_s: 7.0}", "p: [8.2, -1.2, 10.3]")
    assert read(text).stations["intake"].port.p == (8.2, -1.2, 10.3)
    text, _ = change("pump", "p: {on_axis_s: 7.0}", "p: {on_axis_s: 7.0}")
    assert read(text).stations["intake"].port.p.on_axis_s == 7.0
