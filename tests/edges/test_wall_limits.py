"""Walls between cuts, cavities and the outside (W01 to W06, W11): both sides of every limit.

Bores are upright and ports level (see ``blocks``), so a wall is a distance of axes less two radii, a difference of
heights, or the hypotenuse of two such differences.
"""

from __future__ import annotations

from math import radians, tan

import pytest

from edges.blocks import ONE, PORT, PORTS, TWO
from edges.case import Edge, found, judged

Y = "head.cavities.hole.axis.p.1"
KIND = "head.cavities.hole.kind"
LEN = "stations.intake.bushing.body.len"
BARE = {"head.cavities": []}
HALF_POINT = radians(59.0)
"""Half of a drill's 118 degree point."""


def to_hole(check: str, kind: str, limit: float, limits: dict | None = None, label: str = "") -> Edge:
    """Body bore r 5 at y = 0 and a hole r 3 at y = 8 + limit, both upright at x = 20."""
    change = {KIND: kind} | ({"limits": limits} if limits else {})
    return Edge(
        check,
        "wall",
        "body_bore_intake~hole",
        ONE,
        {Y: 8.0 + limit},
        Y,
        -1,
        limit,
        "FAIL",
        f"{8.0 + limit} - 5 - 3 = {limit}",
        "oil_return" if kind == "oil_return" else "",
        change=change,
        drop=LEN,
        label=label or kind,
    )


def moved(
    check: str,
    subject: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    why: str,
    label: str = "",
    job: str = ONE,
    step: float = 1e-8,
    drop: str = "",
    **change: object,
) -> Edge:
    """The first number of ``at`` leaves the limit."""
    return Edge(
        check,
        "wall",
        subject,
        job,
        at,
        next(iter(at)),
        outward,
        limit,
        "FAIL",
        why,
        "pocket_floor" if subject.startswith("pocket") else "",
        label=label,
        change={key.replace("__", "."): value for key, value in change.items()},
        drop=drop,
        step=step,
    )


WEB = "body_bore_exhaust~body_bore_intake"
X = "stations.intake.axis.p.0"
HOLES = [
    to_hole("W02", "gas", 1.5),
    to_hole("W02", "gas", 0.975, {"scale": 0.65}, "scale 0.65"),
    to_hole("W02", "gas", 1.8, {"W02": 1.8}, "by id"),
    to_hole("W03", "bolt", 1.2),
    to_hole("W03", "bolt", 0.78, {"scale": 0.65}, "scale 0.65"),
    to_hole("W03", "bolt", 0.9, {"W03": 0.9}, "by id"),
    to_hole("W04", "oil", 1.2),
    to_hole("W04", "moving", 1.2),
    to_hole("W04", "oil_return", 1.0),
    to_hole("W04", "oil", 0.78, {"scale": 0.65}, "scale 0.65"),
    to_hole("W04", "oil_return", 0.65, {"scale": 0.65}, "return scale 0.65"),
    to_hole("W04", "oil_return", 0.9, {"W04": {"oil_return": 0.9}}, "return by name"),
    to_hole("W04", "oil_return", 1.0, {"W04": 1.4}, "a plain number leaves the return"),
    to_hole("W04", "oil", 1.4, {"W04": {"wall": 1.4}}, "first limit by name"),
    to_hole("W05", "outside", 1.5),
    to_hole("W06", "thread", 1.2),
    to_hole("W06", "thread", 1.3, {"W06": 1.3, "scale": 0.65}, "by id, never scaled"),
]

WEBS = [
    moved("W01", WEB, {X: -8.5}, -1, 1.5, "-8.5 - (-20) - 5 - 5 = 1.5", job=TWO, drop=LEN),
    moved("W01", WEB, {X: -9.025}, -1, 0.975, "0.65 x 1.5", "scale", TWO, limits={"scale": 0.65}),
    moved("W01", WEB, {X: -9.6}, -1, 0.4, "as given", "by id", TWO, limits={"W01": 0.4, "scale": 0.65}),
    moved(
        "W11",
        "body_bore_intake~shank_bore_exhaust",
        {X: -10.5},
        -1,
        1.5,
        "the exhaust's body ends at 15, its shank r 3 runs beside the other body r 5 from there: 9.5 - 5 - 3",
        job=TWO,
        drop="stations.exhaust.bushing.shank.dia",
        stations__exhaust__bushing__body__len=15.0,
    ),
    moved(
        "W11",
        "port_exhaust~shank_bore_intake",
        {"stations.exhaust.port.dia": 17.0},
        1,
        1.5,
        "the exhaust's port turned to +X, level at z = 10, under the other shank's flat end at 20: 20 - 10 - 8.5",
        job=TWO,
        step=1e-6,  # the port is trimmed by its own body: bounds within 1e-6
        **PORTS,
        stations__exhaust__port__azim=0.0,
        stations__exhaust__port__face__x=60.0,
        stations__exhaust__bushing__body={"dia": 18.0, "len": 20.0},
    ),
    moved(
        "W11",
        "shank_bore_exhaust~shank_bore_intake",
        {X: -13.025},
        -1,
        0.975,
        "6.975 - 3 - 3 = 0.65 x 1.5",
        "scale",
        TWO,
        limits={"scale": 0.65},
    ),
    moved(
        "W11", "shank_bore_exhaust~shank_bore_intake", {X: -13.2}, -1, 0.8, "6.8 - 6", "by id", TWO,
        limits={"W11": 0.8},
    ),
]  # fmt: skip

SIDE, TOP, CORE = "head.outline.y.1", "head.outline.z.1", "head.core.y.1"
FINNED = {"type": "box", "x": [-50, 50], "y": [-50, 50]}
OUTSIDE = [
    moved("W05", "body_bore_intake~outside", {SIDE: 6.5}, -1, 1.5, "6.5 - 5", "side", drop=LEN, **BARE),
    moved("W05", "outside~shank_bore_intake", {SIDE: 4.5}, -1, 1.5, "4.5 - 3; the top does not count", "side"),
    moved("W05", "body_bore_intake~outside", {SIDE: 5.975}, -1, 0.975, "0.65 x 1.5", "scale",
          limits={"scale": 0.65}),
    moved("W05", "body_bore_intake~outside", {SIDE: 6.0}, -1, 1.0, "6 - 5", "by id", limits={"W05": 1.0}),
    moved(
        "W05",
        "outside~port_intake",
        {TOP: 14.5},
        -1,
        1.5,
        "the port's top at 10 + 3 = 13 under a deck at 14.5; the side it leaves by, x = 60, does not count",
        "deck",
        **PORT,
        stations__intake__bushing__body__len=12.0,
    ),
    moved(
        "W05",
        "outside~port_intake",
        {CORE: 4.5},
        -1,
        1.5,
        "gaps from z = 5.5 on: the port's side at y = 3 counts, the core's side x = 50 that it leaves by does not",
        label="fin gap beside a port",
        step=1e-6,
        **PORT,
        head__core=FINNED,
        head__fins={"z": [4.0, 30.0], "pitch": 4.0, "thick": 1.5},
    ),
    moved(
        "W05",
        "body_bore_intake~outside",
        {CORE: 6.5},
        -1,
        1.5,
        "fins from z = 4: the first gap, from 5.5 to 8, is beside the bore, so the core's side at 6.5 counts",
        "fin gap",
        head__core=FINNED,
        head__fins={"z": [4.0, 30.0], "pitch": 4.0, "thick": 1.5},
    ),
    moved(
        "W05",
        "body_bore_intake~outside",
        {CORE: 5.9},
        -1,
        1.5,
        "fins from z = 19.7: the first gap begins at 21.2, 1.2 above the bore's end and 0.9 beside it: hypotenuse 1.5",
        "fin gap above",
        head__core=FINNED,
        head__fins={"z": [19.7, 50.0], "pitch": 4.0, "thick": 1.5},
    ),
]  # fmt: skip

FLOOR = "stations.intake.spring"
POCKETS = [
    moved(
        "W05",
        "pocket_intake~port_intake",
        {f"{FLOOR}.pocket.floor_s": 13.0 + limit},
        -1,
        limit,
        f"floor at {13.0 + limit}, port's top at 13, both where the pocket r 8 stands out beyond the body r 5",
        f"pocket {limit}",
        step=1e-6,
        drop="stations.intake.port.dia" if not limits else "",
        **PORT,
        **{LEN: 12.0, FLOOR: {"pocket": {"dia": 16.0, "floor_s": 20.0}}},
        **limits,
    )
    for limit, limits in (
        (2.0, {}),
        (1.3, {"limits": {"scale": 0.65}}),
        (1.4, {"limits": {"W05": {"pocket_floor": 1.4}}}),
        (2.0, {"limits": {"W05": 1.0}}),
    )
]

TAPPED = {KIND: "thread", "head.cavities.hole.axis": {"p": [20, 0, 60], "tilt": 180, "azim": 0}}
TAPPED |= {"head.cavities.hole.len": 5.0}
THREADS = [
    moved(
        "W06",
        "body_bore_intake~hole",
        {"head.cavities.hole.tap_dia": 5.0},
        1,
        1.2,
        "the thread ends at z = 55, its drilled hole r 2.5 at 60 - 42 = 18, beside the body bore: 8.7 - 5 - 2.5",
        "drilled hole",
        **TAPPED,
        **{Y: 8.7, "head.cavities.hole.drill_depth": 42.0},
    ),
    moved(
        "W06",
        "hole~port_intake",
        {"head.cavities.hole.drill_depth": 60.0 - 13.0 - 1.2 - 2.5 / tan(HALF_POINT)},
        1,
        1.2,
        "the drill's point of 118 deg, 2.5/tan 59 long, ends 1.2 above the port's top at 13",
        "drill's point",
        step=1e-6,
        **PORT,
        **TAPPED,
        **{"head.cavities.hole.axis.p.0": 40.0, "head.cavities.hole.tap_dia": 5.0},
    ),
]

EVERY = [*HOLES, *WEBS, *OUTSIDE, *POCKETS, *THREADS]


@pytest.mark.parametrize("edge", EVERY, ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in EVERY if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)


def test_a_web_below_half_is_noted_as_a_risk_taken(tmp_path):
    """Only where the job has lowered the limit: 0.5 is no such web, a smallest step less is one."""
    for wall, noted in ((0.5, False), (0.5 - 1e-8, True)):
        changes = {X: -10.0 + wall, "limits": {"W01": 0.3}}
        row = found(tmp_path, TWO, changes, "W01", WEB, "wall")
        assert ("below 0.5" in row.note) is noted
    row = found(tmp_path, TWO, {X: -9.6}, "W01", WEB, "wall")
    assert row.verdict == "fail"
    assert "below 0.5" not in row.note


@pytest.mark.parametrize("check", ["W02", "W03", "W04", "W06", "W09"])
def test_no_cavity_of_a_kind_is_one_row_not_run(check, tmp_path):
    (row,) = judged(tmp_path, ONE, BARE, check)
    assert (row.subject, row.verdict, row.value, row.note) == ("job", "not_run", None, "none in this job")


def test_each_pair_of_the_two_stations_cuts_once(tmp_path):
    """Three cuts against three, but for the two bodies, which W01 judges."""
    cuts = ("body_bore", "port", "shank_bore")
    wanted = {"~".join(sorted((f"{a}_exhaust", f"{b}_intake"))) for a in cuts for b in cuts}
    subjects = [row.subject for row in judged(tmp_path, TWO, PORTS, "W11")]
    assert len(subjects) == len(set(subjects)) == 8
    assert set(subjects) == wanted - {WEB}
    assert [row.subject for row in judged(tmp_path, TWO, PORTS, "W01")] == [WEB]


@pytest.mark.parametrize("check", ["W01", "W11"])
def test_one_station_has_no_other(check, tmp_path):
    (row,) = judged(tmp_path, ONE, {}, check)
    assert (row.verdict, row.value, row.missing) == ("not_run", None, ("stations.exhaust",))
