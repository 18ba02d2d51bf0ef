"""What the sleeve comes near to (S07) and what its bore leaves standing (S08), both sides of every limit.

The bore r 6 runs level at y = 0, z = 15 (see ``blocks``); what stands beside it is upright, so a wall is a distance of
axes less two radii.
"""

from __future__ import annotations

import pytest

from edges.blocks import SLEEVED
from edges.case import Edge, found, judged

ROD, Y = "head.cavities.hole", "head.cavities.hole.axis.p.1"
OD = "repairs.tube.sleeve.od"
BORE = "sleeve_bore_tube"
STEP = 1e-6
"""The bore is trimmed by the bushing's body: the bounds of its walls meet within 1e-6."""


def edge(
    check: str,
    subject: str,
    quantity: str,
    at: dict[str, float],
    outward: int,
    limit: float,
    why: str,
    name: str = "",
    label: str = "",
    drop: str = "",
    **change: object,
) -> Edge:
    """The first number of ``at`` leaves the limit."""
    return Edge(
        check, quantity, subject, SLEEVED, at, next(iter(at)), outward, limit, "FAIL", why, name,
        change={key.replace("__", "."): value for key, value in change.items()},
        drop=drop, label=label, step=STEP, tolerance=1e-7,
    )  # fmt: skip


BOLT = {"head.cavities.hole.kind": "bolt", f"{ROD}.bolt_dia": 5.0}
MOVING = {"head.cavities.hole.kind": "moving", f"{ROD}.moving_dia": 4.0, f"{ROD}.moving_play": 0.5}
CLEAR = [
    edge("S07", "hole~tube", "clearance", {Y: -8.62, OD: 11.94}, 1, 0.15, "8.62 - 5.97 - 5/2, the bolt centred",
         drop=OD, **BOLT),
    edge("S07", "hole~tube", "clearance", {Y: -8.77, OD: 11.94}, 1, 0.30, "8.77 - 5.97 - (4/2 + 0.5)", "moving",
         drop=f"{ROD}.moving_play", **MOVING),
    edge("S07", "hole~tube", "clearance", {f"{ROD}.moving_play": 0.5, Y: -8.77, OD: 11.94}, 1, 0.30,
         "the play counts once, on the radius", "moving", "play", **MOVING),
    edge("S07", "hole~tube", "clearance", {Y: -8.52, OD: 11.94}, 1, 0.05, "8.52 - 5.97 - 2.5", label="by id",
         limits={"S07": 0.05}, **BOLT),
    edge("S07", "hole~tube", "clearance", {Y: -8.97, OD: 11.94}, 1, 0.50, "8.97 - 5.97 - 2.5", "moving",
         "by name", limits={"S07": {"moving": 0.5}}, **MOVING),
    edge("S07", "hole~tube", "clearance", {"repairs.tube.sleeve.od": 11.7, Y: -8.5}, 1, 0.15, "8.5 - 5.85 - 2.5",
         label="outside", **BOLT),
]  # fmt: skip


def behind(kind: str, limit: float, label: str = "", drop: str = "", **change: object) -> Edge:
    """A hole r 3 at y = -(9 + limit) beside the bore r 6."""
    return edge(
        "S08",
        f"hole~{BORE}",
        "wall",
        {Y: -(9.0 + limit)},
        1,
        limit,
        f"{9 + limit} - 6 - 3",
        label=label or kind,
        drop=drop,
        **{"head.cavities.hole.kind": kind},
        **change,
    )


DEPTH, SIDE, SUM = "head.chamber.depth", "head.outline.y.0", 0.49
"""Terms of the bore: 0.03 + 0.10 + 0.004 x 60 + 0.12 of the hole = 0.49."""
CHAMBER = {"head.chamber": {"type": "disc", "dia": 40.0, "depth": 6.0}}
NEIGHBOUR = {
    "temps": None,
    "stations.exhaust.axis": {"p": [35.0, -20.0, 0.0], "tilt": 0, "azim": 0},
    "stations.exhaust.bushing": {"body": {"dia": 10.0, "len": 40.0}, "shank": {"dia": 6.0}},
}
EXHAUST_Y = "stations.exhaust.axis.p.1"


def worst(kind: str, limit: float, label: str, drop: str = "", off: float = SUM, **change: object) -> Edge:
    return edge(
        "S08",
        f"hole~{BORE}",
        "worst_case",
        {Y: -round(9.0 + limit + off, 12)},
        1,
        limit,
        f"{9 + limit + off} - 6 - 3 - {off}",
        "worst_case",
        label=label,
        drop=drop,
        **{"head.cavities.hole.kind": kind},
        **change,
    )


BEHIND = [
    behind("gas", 1.5, drop="repairs.tube.bore.dia"),
    behind("bolt", 1.2),
    behind("oil", 1.2),
    behind("moving", 1.2),
    behind("oil_return", 1.0),
    behind("thread", 1.2),
    behind("outside", 1.5),
    behind("unknown", 1.5),
    behind("unknown", 2.0, "unknown, the strictest kind is a bolt", limits={"W03": 2.0}),
    behind("unknown", 1.1, "unknown by its own id", limits={"W09": 1.1}),
    behind("gas", 0.975, "scale", limits={"scale": 0.65}),
    behind("oil_return", 0.9, "W04 by name", limits={"W04": {"oil_return": 0.9}}),
    behind("gas", 0.8, "by id", limits={"S08": 0.8, "W02": 2.0}),
    edge("S08", f"outside~{BORE}", "wall", {SIDE: -7.5}, 1, 1.5, "7.5 - 6", label="outside of the casting",
         **{Y: 50.0}),
    edge("S08", f"chamber~{BORE}", "wall", {DEPTH: 7.0}, 1, 2.0, "15 - 6 - 7", label="P03's limit", **CHAMBER),
    edge("S08", f"chamber~{BORE}", "wall", {DEPTH: 7.7}, 1, 1.3, "15 - 6 - 7.7", label="chamber scale",
         limits={"scale": 0.65}, **CHAMBER),
    edge("S08", f"body_bore_exhaust~{BORE}", "wall", {EXHAUST_Y: -12.5}, 1, 1.5, "12.5 - 6 - 5",
         label="W11's limit", **NEIGHBOUR),
    worst("gas", 0.9, "0.6 x 1.5", "process.drill_start_u"),
    worst("bolt", 0.72, "0.6 x 1.2"),
    worst("oil_return", 0.6, "0.6 x 1.0"),
    worst("unknown", 0.9, "unknown 0.6 x 1.5"),
    worst("gas", 0.5, "floor", limits={"W02": 0.7}),
    worst("gas", 0.585, "0.6 x 1.5 x 0.65", limits={"scale": 0.65}),
    worst("gas", 1.2, "0.6 of S08's own 2.0", limits={"S08": 2.0, "scale": 0.65}),
    worst("gas", 0.5, "floor of S08's own 0.8", limits={"S08": 0.8}),
    worst("gas", 0.4, "by name", limits={"S08": {"worst_case": 0.4}}),
    worst("gas", 0.9, "half the oversize more", off=0.54, process__oversize=0.1),
    worst("gas", 0.9, "no u of its own: cast 0.40", off=0.77, head__cavities__hole__u=None),
    edge("S08", f"outside~{BORE}", "worst_case", {SIDE: -7.67}, 1, 0.9, "7.67 - 6 - (0.37 + cast 0.40)",
         "worst_case", "outside of the casting",
         **{Y: 50.0}),
    edge("S08", f"chamber~{BORE}", "worst_case", {DEPTH: 7.03}, 1, 1.2, "15 - 6 - 7.03 - 0.77, 0.6 x 2.0",
         "worst_case", "0.6 of P03's limit", **CHAMBER),
    edge("S08", f"body_bore_exhaust~{BORE}", "worst_case", {EXHAUST_Y: -12.34}, 1, 0.9,
         "12.34 - 11 - 0.37 - (0.03 + 0.04)", "worst_case", "0.6 of W11's limit", **NEIGHBOUR),
]  # fmt: skip


@pytest.mark.parametrize("edge", [*CLEAR, *BEHIND], ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in [*CLEAR, *BEHIND] if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)


def test_the_cause_is_not_judged_behind_the_bore(tmp_path):
    """The tunnel that the sleeve was put in for is judged by S05; the overlap with another is a negative wall."""
    subjects = {row.subject for row in judged(tmp_path, SLEEVED, {}, "S08")}
    assert f"{BORE}~tunnel" not in subjects
    assert {f"hole~{BORE}", f"outside~{BORE}"} <= subjects
    into = found(tmp_path, SLEEVED, {Y: -8.0}, "S08", f"hole~{BORE}", "wall")
    assert into.value == pytest.approx(8.0 - 6.0 - 3.0, rel=0, abs=1e-9)
    assert into.verdict == "fail"


def test_a_worst_case_as_long_as_there_is_a_wall(tmp_path):
    """9 - 6 - 3 = 0 apart and a millionth more have a worst case, as much less has none."""
    for step, has in ((1e-6, True), (0.0, True), (-1e-6, False)):
        rows = judged(tmp_path, SLEEVED, {Y: -9.0 - step}, "S08")
        cases = [row for row in rows if (row.subject, row.quantity) == (f"hole~{BORE}", "worst_case")]
        assert bool(cases) is has


def test_no_bolt_and_nothing_moving_is_no_clearance(tmp_path):
    row = found(tmp_path, SLEEVED, {}, "S07", "tube", "clearance")
    assert (row.verdict, row.value, row.note) == ("not_run", None, "none in this job")
