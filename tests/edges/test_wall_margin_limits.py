"""Walls less what may lie elsewhere (W07, W07r, W09), and how well what is near was measured (W12).

Bores are upright and ports level (see ``blocks``). Half-widths there: position 0.03, bore 0.04, hole 0.12, cast 0.40,
drill's start 0.10 and 0.004 x 40 over the port's length: the sums are written out in each case.
"""

from __future__ import annotations

import pytest

from edges.blocks import ONE, PORT, PORTS, TWO
from edges.case import OUTSIDE, Edge, found, judged

Y = "head.cavities.hole.axis.p.1"
U = "head.cavities.hole.u"
KIND = "head.cavities.hole.kind"
X = "stations.intake.axis.p.0"
BORE_U = "process.bore_position_u"
SEVERITY = {"W07": "FAIL", "W07r": "WARN", "W09": "WARN"}
QUANTITY = {"W07": "worst_case", "W07r": "rss_case", "W09": "wall"}


def hole(
    check: str,
    kind: str,
    limit: float,
    off: float,
    label: str,
    drop: str = "",
    key: str = Y,
    **change: object,
) -> Edge:
    """Body bore r 5 and hole r 3 upright, y = 8 + limit + off; the y shrinks or a half-width ``key`` grows."""
    y, start = round(8.0 + limit + off, 12), {U: 0.12, BORE_U: 0.04}.get(key, 0.0)
    return Edge(
        check,
        QUANTITY[check],
        "body_bore_intake~hole",
        ONE,
        {Y: y} if key == Y else {Y: y, key: start},
        key,
        -1 if key == Y else 1,
        limit,
        SEVERITY[check],
        f"{y} - 5 - 3 - {off} = {limit}",
        label=label,
        change={KIND: kind} | {key_.replace("__", "."): value for key_, value in change.items()},
        drop=drop,
    )


SUM = 0.19
"""0.03 + 0.04 + 0.12."""
ROOT = 0.13
"""sqrt(0.03^2 + 0.04^2 + 0.12^2) = sqrt(0.0009 + 0.0016 + 0.0144) = sqrt(0.0169)."""
LEAST = [
    hole("W07", "gas", 0.9, SUM, "0.6 x 1.5", BORE_U, U),
    hole("W07", "gas", 0.9, SUM, "0.6 x 1.5, the bore's place", key=BORE_U),
    hole("W07", "bolt", 0.72, SUM, "0.6 x 1.2 bolt"),
    hole("W07", "oil", 0.72, SUM, "0.6 x 1.2 oil"),
    hole("W07", "thread", 0.72, SUM, "0.6 x 1.2 thread"),
    hole("W07", "oil_return", 0.6, SUM, "0.6 x 1.0 return"),
    hole("W07", "gas", 0.585, SUM, "0.6 x 1.5 x 0.65", limits={"scale": 0.65}),
    hole("W07", "gas", 1.2, SUM, "0.6 x 2.0 given", limits={"W02": 2.0}),
    hole("W07", "gas", 0.5, SUM, "0.6 x 0.7 is below the floor", limits={"W02": 0.7}),
    hole("W07", "gas", 0.5, SUM, "the floor of a limit by id is not scaled", limits={"W02": 0.7, "scale": 0.65}),
    hole("W07", "oil_return", 0.39, SUM, "0.6 x 1.0 x 0.65", limits={"scale": 0.65}),
    hole("W07", "gas", 0.3, SUM, "by id", limits={"W07": 0.3, "scale": 0.65}),
    hole("W07", "gas", 0.9, 0.21, "the station's own u 0.05 in place of 0.03", stations__intake__axis__u=0.05),
    hole("W07", "gas", 0.9, 0.47, "no u of its own: cast 0.40", head__cavities__hole__u=None),
    hole("W07r", "gas", 1.2, ROOT, "0.8 x 1.5", BORE_U),
    hole("W07r", "gas", 1.2, ROOT, "0.8 x 1.5, the hole's place", key=U),
    hole("W07r", "bolt", 0.96, ROOT, "0.8 x 1.2 bolt"),
    hole("W07r", "oil_return", 0.8, ROOT, "0.8 x 1.0 return"),
    hole("W07r", "gas", 0.78, ROOT, "0.8 x 1.5 x 0.65", limits={"scale": 0.65}),
    hole("W07r", "gas", 0.56, ROOT, "0.8 x 0.7, no floor, not scaled", limits={"W02": 0.7, "scale": 0.65}),
    hole("W07r", "gas", 0.4, ROOT, "by id", limits={"W07r": 0.4}),
    hole("W09", "unknown", 1.5, 0.12, "1.5 less its u", "stations.intake.bushing.body.len", U),
    hole("W09", "unknown", 1.5, 0.40, "no u of its own: cast 0.40", head__cavities__hole__u=None),
    hole("W09", "unknown", 0.975, 0.12, "scale", limits={"scale": 0.65}),
    hole("W09", "unknown", 1.1, 0.12, "by id", limits={"W09": 1.1, "scale": 0.65}),
    hole("W09", "unknown", 2.0, 0.12, "the strictest kind is a bolt", limits={"W03": 2.0}),
    hole("W09", "unknown", 1.2, 0.12, "1.5 of gas and outside lowered", limits={"W02": 1.0, "W05": 1.0}),
    hole("W09", "unknown", 1.2, 0.12, "a limit by id is not scaled", limits={"scale": 0.65, "W06": 1.2}),
    hole("W09", "unknown", 1.8, 0.12, "the first of W04's", limits={"W04": {"wall": 1.8}}),
]  # fmt: skip


def other(
    check: str, subject: str, at: dict[str, float], limit: float, why: str, job: str = TWO, **change: object
) -> Edge:
    """Pairs with terms of their own; the first number of ``at`` goes down."""
    return Edge(
        check,
        QUANTITY[check],
        subject,
        job,
        at,
        next(iter(at)),
        -1,
        limit,
        SEVERITY[check],
        why,
        change={key.replace("__", "."): value for key, value in change.items()},
        # a port is trimmed by the body it starts at: the bounds of its walls meet within 1e-6
        step=1e-6 if "port" in subject else 1e-8,
        tolerance=1e-7 if "port" in subject else 1e-9,
    )


PAIRS = [
    other("W07", "body_bore_exhaust~body_bore_intake", {X: -9.02}, 0.9,
          "one pick-up for both bores: 10.98 - 5 - 5 - 2 x 0.04"),
    other("W07r", "body_bore_exhaust~body_bore_intake", {X: -8.7}, 1.2,
          "11.3 - 5 - 5 - sqrt(2 x 0.0707106781186547^2) = 1.3 - 0.1, the bores' places alone",
          process__bore_position_u=0.005**0.5),
    other("W07", "shank_bore_exhaust~shank_bore_intake", {X: -12.96}, 0.9,
          "7.04 - 3 - 3 - 0.03 - 0.04 - 0.03 - 0.04"),
    other("W07r", "shank_bore_exhaust~shank_bore_intake", {X: -12.7}, 1.2,
          "7.3 - 3 - 3 - sqrt(2 x 0.0707106781186547^2) = 1.3 - 0.1, the bores' places alone",
          process__bore_position_u=0.005**0.5, datums__position_u=0.0),
    other("W07", "body_bore_intake~outside", {"head.outline.y.1": 6.37}, 0.9,
          "6.37 - 5 - 0.03 - 0.04 - 0.40", ONE, head__cavities=[]),
    other("W07r", "body_bore_intake~outside", {"head.outline.y.1": 6.33}, 1.2,
          "1.33 - 0.13 with cast 0.12", ONE, head__cavities=[], datums__cast_u=0.12),
    other("W07", "hole~port_intake", {Y: 7.36}, 0.9,
          "the hole beside the port at x = 40: 7.36 - 3 - 3 - (0.03 + 0.10 + 0.004 x 40 + 0.12 + 0.1/2)",
          ONE, **PORT, **{"head.cavities.hole.axis.p.0": 40.0, "process.oversize": 0.1}),
    other("W07", "hole~port_intake", {Y: 7.31}, 0.9,
          "without process.oversize: 7.31 - 6 - 0.41", ONE, **PORT, **{"head.cavities.hole.axis.p.0": 40.0}),
    other("W07r", "hole~port_intake", {Y: 7.4}, 1.2,
          "0.2 = sqrt(0.01 + 0.01 + 0.01 + 0.01): start, wander 0.0025 x 40, hole and half of 0.2 oversize 0.10 each",
          ONE, **PORT, **{"head.cavities.hole.axis.p.0": 40.0, U: 0.10, "process.oversize": 0.2,
                          "process.drill_wander": 0.0025, "datums.position_u": 0.0}),
    other("W07", "outside~port_intake", {"head.outline.z.1": 14.59}, 0.9,
          "the port's top at 13: 1.59 - (0.03 + 0.10 + 0.16 + 0.40)", ONE,
          **PORT, **{"stations.intake.bushing.body.len": 12.0, "head.cavities": []}),
    other("W07", "pocket_intake~port_intake", {"stations.intake.spring.pocket.floor_s": 14.56}, 1.2,
          "a pocket's floor above the port's top at 13, 0.6 x 2.0: 1.56 - (0.03 + 0.04) - (0.03 + 0.10 + 0.16)",
          ONE, **PORT, **{"stations.intake.bushing.body.len": 12.0,
                          "stations.intake.spring": {"pocket": {"dia": 16.0, "floor_s": 20.0}}}),
    other("W07", "port_exhaust~port_intake", {"stations.exhaust.port.p.1": 7.64}, 0.9,
          "the exhaust's port turned to run beside the intake's: 7.64 - 3 - 3 - (0.03 + 0.10 + 0.004 x 80)"
          " - (0.03 + 0.10 + 0.004 x 40)",
          **PORTS, **{"stations.exhaust.port.azim": 0.0, "stations.exhaust.port.face.x": 60.0,
                      "stations.exhaust.port.p": [-20.0, 8.53, 10.0]}),
]  # fmt: skip


@pytest.mark.parametrize("edge", [*LEAST, *PAIRS], ids=str)
def test_both_sides_of_the_limit(edge, tmp_path):
    edge.holds(tmp_path)


@pytest.mark.parametrize("edge", [edge for edge in LEAST if edge.drop], ids=str)
def test_not_run_without_its_input(edge, tmp_path):
    edge.is_not_run(tmp_path)


def about(subject, folder, changes, check):
    return [finding for finding in judged(folder, ONE, changes, check) if finding.subject == subject]


@pytest.mark.parametrize(
    ("kind", "limits", "worst", "rss"),
    [
        ("gas", {}, 0.9, 1.2),
        ("gas", {"scale": 0.65}, 0.9, 1.2),
        ("gas", {"W02": 0.7, "W07": 0.3, "W07r": 0.2}, 0.9, 1.2),
        ("bolt", {"W03": 3.0}, 0.72, 0.96),
        ("oil_return", {"W04": {"oil_return": 0.2}}, 0.6, 0.8),
    ],
)
def test_the_default_that_a_job_leaves_stays_beside_its_own(kind, limits, worst, rss, tmp_path):
    """0.6 of the table's limit, at least 0.5, and 0.8 of it, whatever the job asks for."""
    changes = {Y: 20.0, KIND: kind} | ({"limits": limits} if limits else {})
    for check, quantity, default in (("W07", "worst_case", worst), ("W07r", "rss_case", rss)):
        row = found(tmp_path, ONE, changes, check, "body_bore_intake~hole", quantity)
        assert row.default_limit == pytest.approx(default, rel=0, abs=1e-12)


def test_no_margin_of_what_overlaps(tmp_path):
    """A breakthrough has no wall to take half-widths off: its pair is left out, the shank's stays."""
    changes = {Y: 7.0, KIND: "gas"}
    for check, quantity in (("W07", "worst_case"), ("W07r", "rss_case")):
        assert about("body_bore_intake~hole", tmp_path, changes, check) == []
        found(tmp_path, ONE, changes, check, "hole~shank_bore_intake", quantity)


def test_what_touches_has_a_margin(tmp_path):
    """8 - 5 - 3 = 0: nothing left and nothing shared, so the half-widths count."""
    for check, quantity, off in (("W07", "worst_case", SUM), ("W07r", "rss_case", ROOT)):
        row = found(tmp_path, ONE, {Y: 8.0}, check, "body_bore_intake~hole", quantity)
        assert row.value == pytest.approx(-off, rel=0, abs=1e-9)
        assert row.verdict == OUTSIDE[row.severity]


NEAR = Edge(
    "W12", "cavity_u", "hole", ONE, {U: 0.10, Y: 12.0}, U, 1, 0.10, "WARN", "as given, 12 - 8 = 4 away",
    change={"datums.cast_u": None}, drop=U,
)  # fmt: skip
NEAR_BY_ID = Edge(
    "W12", "cavity_u", "hole", ONE, {U: 0.25, Y: 12.0}, U, 1, 0.25, "WARN", "as given", label="by id",
    change={"limits": {"W12": 0.25}},
)  # fmt: skip


@pytest.mark.parametrize("edge", [NEAR, NEAR_BY_ID], ids=str)
def test_how_well_a_near_cavity_is_measured(edge, tmp_path):
    edge.holds(tmp_path)
    if edge.drop:
        edge.is_not_run(tmp_path)


def test_what_is_farther_than_eight_need_not_be_measured(tmp_path):
    """16 - 5 - 3 = 8 from the nearest cut: still judged; a smallest step farther no more, and never a pass by name."""
    assert [row.verdict for row in about("hole", tmp_path, {Y: 16.0}, "W12")] == ["warn"]
    assert about("hole", tmp_path, {Y: 16.0 + 1e-8}, "W12") == []
    (none,) = about("job", tmp_path, {Y: 16.0 + 1e-8}, "W12")
    assert (none.verdict, none.value) == ("not_run", None)


def test_an_unknown_zone_is_not_asked_for_a_better_measure(tmp_path):
    (none,) = about("job", tmp_path, {Y: 12.0, KIND: "unknown"}, "W12")
    assert none.verdict == "not_run"


def test_an_unknown_zone_has_no_margin_of_its_own(tmp_path):
    """Its u is taken off in W09."""
    for check in ("W07", "W07r"):
        assert about("body_bore_intake~hole", tmp_path, {KIND: "unknown", Y: 12.0}, check) == []
